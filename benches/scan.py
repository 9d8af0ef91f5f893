#!/usr/bin/env python3
"""Flattening scans, beside reading the same file into a data frame.

Writes scans of one simulated board (seeded), then runs `outwind flatten` as a whole process and `polars.read_csv` of the
same file by turns, and prints the ratio of the medians and the peak memory of both. polars is timed inside its process:
its start and its import do not count. Files lie in a folder of their own, which is removed.

    pip install polars
    cargo build --release --no-default-features
    python3 benches/scan.py [--rows 10000000] [--runs 5] [--program target/release/outwind]
"""

import argparse
import math
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time

LENGTH, WIDTH, THICKNESS = 2400.0, 200.0, 38.0
READ = """
import sys, time, polars
begun = time.perf_counter()
frame = polars.read_csv(sys.argv[1])
print(time.perf_counter() - begun, frame.height)
"""


def height(x, y):
    """The up face: bowed, cupped, in wind, with saw marks."""
    u, v = 2 * x / LENGTH - 1, 2 * y / WIDTH - 1
    form = 6 * (1 - u * u) - 2 * (1 - v * v) + 2 * u * v
    return 20 + form + 0.15 * math.sin(1.7 * x + 0.2 * y)


def write_scan(path, rows, both_faces):
    """Lines across the board, one after the other, with the sensor's noise; at least `rows` rows."""
    chance = random.Random(9)
    faces = [("up", 0.0), ("down", -THICKNESS)] if both_faces else [("", 0.0)]
    across = max(3, round(math.sqrt(rows / len(faces) * WIDTH / LENGTH)))
    along = -(-rows // (across * len(faces)))
    with open(path, "w", encoding="ascii") as file:
        file.write("x_mm,y_mm,z_mm,face\n" if both_faces else "x_mm,y_mm,z_mm\n")
        for face, below in faces:
            end = f",{face}\n" if face else "\n"
            for i in range(along):
                x = LENGTH * i / (along - 1)
                lines = []
                for j in range(across):
                    y = WIDTH * j / (across - 1)
                    z = height(x, y) + below + chance.gauss(0, 0.02)
                    lines.append(f"{x:.3f},{y:.3f},{z:.3f}{end}")
                file.write("".join(lines))


def run(command):
    """Seconds, peak memory in MB and what it printed."""
    begun = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.PIPE)
    printed = process.stdout.read()
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode != 0:
        sys.exit(f"{command}: exit code {process.returncode}")
    return time.perf_counter() - begun, usage.ru_maxrss / 1000, printed


def compare(program, path, options, runs):
    """Both by turns, the first run of each thrown away."""
    ours, theirs, our_peak, their_peak = [], [], 0, 0
    for turn in range(runs + 1):
        seconds, peak, _ = run([program, "flatten", path, *options])
        their_seconds, their, printed = run([sys.executable, "-c", READ, path])
        if turn > 0:
            ours.append(seconds)
            theirs.append(float(printed.split()[0]))
            our_peak, their_peak = max(our_peak, peak), max(their_peak, their)
    return statistics.median(ours), statistics.median(theirs), our_peak, their_peak


def main():
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--rows", type=int, default=10_000_000)
    options.add_argument("--runs", type=int, default=5)
    options.add_argument("--program", default="target/release/outwind")
    asked = options.parse_args()
    sizes = [n for n in (10_000, 100_000, 1_000_000) if n < asked.rows] + [asked.rows]
    print("rows         faces   MB      outwind   read_csv  ratio   peak MB  read_csv")
    with tempfile.TemporaryDirectory() as folder:
        for both_faces in (False, True):
            given = [] if both_faces else ["--thickness", f"{THICKNESS} mm"]
            for rows in sizes:
                path = os.path.join(folder, "scan.csv")
                write_scan(path, rows, both_faces)
                size = os.path.getsize(path) / 1e6
                ours, theirs, peak, their_peak = compare(asked.program, path, given, asked.runs)
                print(
                    f"{rows:<12,} {1 + both_faces}     {size:7.1f}  {ours:7.3f} s  {theirs:7.3f} s"
                    f"  {ours / theirs:5.2f}  {peak:7.0f}  {their_peak:7.0f}",
                    flush=True,
                )


if __name__ == "__main__":
    main()
