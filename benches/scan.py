#!/usr/bin/env python3
"""Flattening scans, beside reading the same file into a data frame.

Writes scans of one simulated board (seeded), then runs `outwind flatten` as a whole process and `polars.read_csv` of the
same file by turns, and prints the ratio of the medians, and CPU seconds and peak memory of both. polars is timed inside its
process: its start and its import count in its CPU seconds and memory only. Files lie in a folder that is removed.

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
    """Seconds, CPU seconds, peak memory in MB and what it printed."""
    begun = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.PIPE)
    printed = process.stdout.read()
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode != 0:
        sys.exit(f"{command}: exit code {process.returncode}")
    seconds = time.perf_counter() - begun
    return seconds, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1000, printed


def compare(program, path, options, runs):
    """Both by turns, the first run of each thrown away: medians of seconds and CPU seconds, and the highest peak."""
    ours, theirs = [], []
    for _ in range(runs + 1):
        ours.append(run([program, "flatten", path, *options])[:3])
        _, processor, peak, printed = run([sys.executable, "-c", READ, path])
        theirs.append((float(printed.split()[0]), processor, peak))
    median = lambda turns, k: statistics.median(turn[k] for turn in turns[1:])
    return [
        (median(turns, 0), median(turns, 1), max(turn[2] for turn in turns)) for turns in (ours, theirs)
    ]


def main():
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--rows", type=int, default=10_000_000)
    options.add_argument("--runs", type=int, default=5)
    options.add_argument("--program", default="target/release/outwind")
    asked = options.parse_args()
    sizes = [n for n in (10_000, 100_000, 1_000_000) if n < asked.rows] + [asked.rows]
    print("| rows | faces | file, MB | outwind, s | read_csv, s | ratio | CPU, s | CPU, s | peak, MB | peak, MB |")
    print("|---|---|---|---|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as folder:
        for both_faces in (False, True):
            given = [] if both_faces else ["--thickness", f"{THICKNESS} mm"]
            for rows in sizes:
                path = os.path.join(folder, "scan.csv")
                write_scan(path, rows, both_faces)
                size = os.path.getsize(path) / 1e6
                ours, theirs = compare(asked.program, path, given, asked.runs)
                print(
                    f"| {rows:,} | {1 + both_faces} | {size:.1f} | {ours[0]:.3f} | {theirs[0]:.3f}"
                    f" | {ours[0] / theirs[0]:.2f} | {ours[1]:.2f} | {theirs[1]:.2f}"
                    f" | {ours[2]:.0f} | {theirs[2]:.0f} |",
                    flush=True,
                )


if __name__ == "__main__":
    main()
