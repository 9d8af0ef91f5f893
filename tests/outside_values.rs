//! Values from outside the project, computed by the functions that the program uses. Run with `--nocapture` for the
//! figures reached.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use std::collections::BTreeMap;
use std::path::Path;

use approx::assert_abs_diff_eq;
use common::{flattened, grid, lowered};
use outwind::flatten::minimum_zone;
use outwind::readings::Point;
use outwind::surface::form::plane;
use outwind::surface::least_squares::{Fit, LeastSquares};

/// The rows of a data file, without comments and header.
fn rows(name: &str) -> Vec<Vec<String>> {
    let path = Path::new("tests/data/outside").join(name);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap();
    reader
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

fn numbers(name: &str) -> Vec<Vec<f64>> {
    rows(name)
        .iter()
        .map(|r| r.iter().map(|c| c.parse().unwrap()).collect())
        .collect()
}

/// How far the points reach over and under a plane, along z.
fn range_over(points: &[Point], [a, b, c]: [f64; 3]) -> f64 {
    let over = points.iter().map(|[x, y, z]| z - a - b * x - c * y);
    over.clone().fold(f64::NEG_INFINITY, f64::max) - over.fold(f64::INFINITY, f64::min)
}

fn zone_width(points: &[Point]) -> f64 {
    let [_, b, c] = plane(points);
    minimum_zone(points, [-b, -c, 1.0]).unwrap().width
}

// ---- NIST Statistical Reference Datasets, linear regression: certified values ----

/// Fits y on the regressors made of a row's other columns.
fn nist(name: &str, regressors: impl Fn(&[f64]) -> Vec<f64>) -> Fit {
    let data = numbers(name);
    let mut problem = LeastSquares::new(regressors(&data[0][1..]).len());
    for row in &data {
        problem.push(&regressors(&row[1..]), row[0]);
    }
    problem.solve()
}

fn powers(degree: i32) -> impl Fn(&[f64]) -> Vec<f64> {
    move |x| (0..=degree).map(|k| x[0].powi(k)).collect()
}

/// Correct significant digits, 16 at most.
fn digits(found: f64, certified: f64) -> f64 {
    let error = if certified == 0.0 {
        found.abs()
    } else {
        ((found - certified) / certified).abs()
    };
    if error == 0.0 { 16.0 } else { -error.log10() }
}

fn check(name: &str, fit: &Fit, coefficients: &[f64], errors: &[f64], sd: f64, least: f64) {
    let worst = |found: &[Option<f64>], certified: &[f64]| {
        found
            .iter()
            .zip(certified)
            .map(|(f, c)| digits(f.unwrap(), *c))
            .fold(16.0, f64::min)
    };
    let reached = worst(&fit.coefficients, coefficients);
    let of_errors = worst(&fit.standard_errors, errors);
    let of_sd = digits(fit.residual_sd().unwrap(), sd);
    println!("{name:<9} coefficients {reached:4.1} digits, residual sd {of_sd:4.1}");
    if !errors.is_empty() {
        println!("{name:<9} standard errors {of_errors:4.1} digits");
    }
    assert!(
        reached >= least,
        "{name}: {reached} digits of the coefficients, {least} wanted"
    );
    assert!(
        sd == 0.0 || of_sd >= least,
        "{name}: {of_sd} digits of the residual sd"
    );
    assert!(
        of_errors >= least.min(8.0),
        "{name}: {of_errors} digits of the standard errors"
    );
}

#[test]
fn nist_linear_regression() {
    let line = powers(1);
    check(
        "Norris",
        &nist("strd_norris.csv", &line),
        &[-0.262323073774029, 1.00211681802045],
        &[0.232818234301152, 0.429796848199937e-03],
        0.884796396144373,
        9.0,
    );
    check(
        "Pontius",
        &nist("strd_pontius.csv", powers(2)),
        &[
            0.673565789473684e-03,
            0.732059160401003e-06,
            -0.316081871345029e-14,
        ],
        &[],
        0.205177424076185e-03,
        9.0,
    );
    check(
        "Longley",
        &nist("strd_longley.csv", |x| {
            std::iter::once(1.0).chain(x.iter().copied()).collect()
        }),
        &[
            -3482258.63459582,
            15.0618722713733,
            -0.358191792925910e-01,
            -2.02022980381683,
            -1.03322686717329,
            -0.511041056535807e-01,
            1829.15146461355,
        ],
        &[
            890420.383607373,
            84.9149257747669,
            0.334910077722432e-01,
            0.488399681651699,
            0.214274163161675,
            0.226073200069370,
            455.478499142212,
        ],
        304.854073561965,
        9.0,
    );
    check(
        "Filip",
        &nist("strd_filip.csv", |x| powers(10)(&x[..1])),
        &[
            -1467.48961422980,
            -2772.17959193342,
            -2316.37108160893,
            -1127.97394098372,
            -354.478233703349,
            -75.1242017393757,
            -10.8753180355343,
            -1.06221498588947,
            -0.670191154593408e-01,
            -0.246781078275479e-02,
            -0.402962525080404e-04,
        ],
        &[],
        0.334801051324544e-02,
        7.0,
    );
    let ones = [1.0; 6];
    let tenths = [1.0, 0.1, 0.01, 0.001, 0.0001, 0.00001];
    for (name, certified, sd, least) in [
        ("wampler1", ones, 0.0, 9.0),
        ("wampler2", tenths, 0.0, 9.0),
        ("wampler3", ones, 2360.14502379268, 9.0),
        ("wampler4", ones, 236014.502379268, 7.0),
        ("wampler5", ones, 23601450.2379268, 6.0),
    ] {
        let fit = nist(&format!("strd_{name}.csv"), powers(5));
        check(name, &fit, &certified, &[], sd, least);
    }
}

// ---- Flatness: the surface plate of J. C. Moody, The Tool Engineer, October 1955, as corrected by B. Allen, 2019 ----

/// One arcsecond between pads 4 in apart, in 1e-5 in.
fn step() -> f64 {
    4.0 * (1.0 / 3600.0_f64).to_radians().sin() * 1e5
}

/// Cumulated heights of a line, its first reading taken off: n readings give n + 1 heights, 1e-5 in.
fn line(readings: &[f64]) -> Vec<f64> {
    readings.iter().fold(vec![0.0], |mut heights, r| {
        let last = heights[heights.len() - 1];
        heights.push(last + (r - readings[0]) * step());
        heights
    })
}

/// Tilts and shifts a line so that its ends lie at these heights.
fn tie(heights: &mut [f64], first: f64, last: f64) {
    let count = heights.len() - 1;
    let (at_first, at_last) = (first - heights[0], last - heights[count]);
    for (i, h) in heights.iter_mut().enumerate() {
        let share = i as f64 / count as f64;
        *h += at_first * (1.0 - share) + at_last * share;
    }
}

fn shift(heights: &mut [f64], by: f64) {
    for h in heights {
        *h += by;
    }
}

fn moody_readings() -> BTreeMap<String, Vec<f64>> {
    let mut lines: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for row in rows("moody1955_readings.csv") {
        lines
            .entry(row[0].clone())
            .or_default()
            .push(row[2].parse().unwrap());
    }
    assert_eq!(lines.values().map(Vec::len).sum::<usize>(), 118);
    lines
}

/// The paper's reduction of its 118 readings.
fn moody_heights() -> BTreeMap<String, Vec<f64>> {
    let mut lines: BTreeMap<String, Vec<f64>> = moody_readings()
        .into_iter()
        .map(|(name, readings)| (name, line(&readings)))
        .collect();
    for name in ["NWSE", "NESW"] {
        let diagonal = lines.get_mut(name).unwrap();
        tie(diagonal, 0.0, 0.0);
        let middle = diagonal[10];
        shift(diagonal, -middle);
    }
    let end = |lines: &BTreeMap<String, Vec<f64>>, name: &str, last: bool| {
        let l = &lines[name];
        if last { l[l.len() - 1] } else { l[0] }
    };
    let corner = BTreeMap::from([
        ("NW", end(&lines, "NWSE", false)),
        ("SE", end(&lines, "NWSE", true)),
        ("NE", end(&lines, "NESW", false)),
        ("SW", end(&lines, "NESW", true)),
    ]);
    for name in ["NENW", "NESE", "SESW", "NWSW"] {
        tie(
            lines.get_mut(name).unwrap(),
            corner[&name[..2]],
            corner[&name[2..]],
        );
    }
    let middle = |lines: &BTreeMap<String, Vec<f64>>, name: &str| {
        let l = &lines[name];
        l[l.len() / 2]
    };
    for (name, from, to) in [("EW", "NESE", "NWSW"), ("NS", "NENW", "SESW")] {
        let (from, to) = (middle(&lines, from), middle(&lines, to));
        let centre_line = lines.get_mut(name).unwrap();
        tie(centre_line, from, to);
        let centre = centre_line[centre_line.len() / 2];
        shift(centre_line, -centre);
    }
    let lowest = lines
        .values()
        .flatten()
        .copied()
        .fold(f64::INFINITY, f64::min);
    for heights in lines.values_mut() {
        shift(heights, -lowest);
    }
    lines
}

/// The 126 places of the readings' ends, by line, from the file of heights.
fn moody_places() -> BTreeMap<String, Vec<[f64; 3]>> {
    let mut lines: BTreeMap<String, Vec<[f64; 3]>> = BTreeMap::new();
    for row in rows("moody1955_heights.csv") {
        let number = |i: usize| row[i].parse::<f64>().unwrap();
        lines
            .entry(row[0].clone())
            .or_default()
            .push([number(1), number(2), number(3)]);
    }
    lines
}

#[test]
fn surface_plate_by_the_papers_rule() {
    let heights = moody_heights();
    let mut points: Vec<Point> = Vec::new();
    for (name, places) in moody_places() {
        for (place, h) in places.iter().zip(&heights[&name]) {
            // The published output of Allen's program, to the digits of the file.
            assert_abs_diff_eq!(*h, place[2], epsilon = 1e-6);
            // Heights in 1e-5 in over inches: as slopes they are nothing, so square to the plane is along z.
            points.push([place[0] * 1e5, place[1] * 1e5, *h]);
        }
    }
    assert_eq!(points.len(), 126);
    let level = range_over(&points, [0.0; 3]);
    let by_plane = range_over(&points, plane(&points));
    let zone = zone_width(&points);
    println!(
        "surface plate: {level:.4}, least-squares plane {by_plane:.4}, minimum zone {zone:.4} (1e-5 in)"
    );
    // Fig. 6: all points lie between two parallel planes 0.00018 in apart.
    assert_eq!((level / 1.0).round(), 18.0);
    // Recomputed from the same heights by two independent ways.
    assert_abs_diff_eq!(level, 17.8411, epsilon = 1e-4);
    assert_abs_diff_eq!(by_plane, 17.5371, epsilon = 1e-4);
    assert_abs_diff_eq!(zone, 16.3673, epsilon = 1e-4);
}

#[test]
fn surface_plate_adjusted_by_least_squares() {
    // Unknowns: the height of every distinct place, and the line's own level of the instrument.
    let places = moody_places();
    let key = |p: &[f64; 3]| ((p[0] * 1e3).round() as i64, (p[1] * 1e3).round() as i64);
    let mut index = BTreeMap::new();
    for place in places.values().flatten() {
        let next = index.len();
        index.entry(key(place)).or_insert(next);
    }
    let unknowns = index.len() + places.len();
    let mut problem = LeastSquares::new(unknowns);
    let readings = moody_readings();
    for (l, (name, places)) in places.iter().enumerate() {
        for (pair, reading) in places.windows(2).zip(&readings[name]) {
            let mut row = vec![0.0; unknowns];
            row[index[&key(&pair[0])]] = -1.0;
            row[index[&key(&pair[1])]] = 1.0;
            row[index.len() + l] = 1.0;
            problem.push(&row, reading * step());
        }
    }
    let fit = problem.solve();
    // The plate's own plane is free, three ways: two tilts and a height.
    assert_eq!(fit.rank, unknowns - 3);
    let points: Vec<Point> = index
        .iter()
        .map(|((x, y), i)| [*x as f64 * 100.0, *y as f64 * 100.0, fit.shortest[*i]])
        .collect();
    let zone = zone_width(&points);
    println!(
        "surface plate, least-squares adjustment: {} places, minimum zone {zone:.4} (1e-5 in)",
        points.len()
    );
    // Slightly other heights than by the paper's rule, which does not spread the misclosures: within a tenth.
    assert_abs_diff_eq!(zone, 16.3673, epsilon = 1.6);
}

/// The nine nodes of the paper's Fig. 6, in 1e-5 in, x and y from −1 to 1 (scaled so that slopes are nothing).
fn nine_nodes(scale: f64) -> Vec<Point> {
    let nodes = [[6.0, 16.0, 3.0], [2.0, 14.0, 1.0], [3.0, 18.0, 6.0]];
    let mut points = Vec::new();
    for (row, y) in nodes.iter().zip([1.0, 0.0, -1.0]) {
        for (z, x) in row.iter().zip([-1.0, 0.0, 1.0]) {
            points.push([x * scale, y * scale, *z]);
        }
    }
    points
}

#[test]
fn nine_published_nodes() {
    // Derived by exact arithmetic from the published nodes.
    let points = nine_nodes(1.0);
    let [a, b, c] = plane(&points);
    assert_abs_diff_eq!(a, 23.0 / 3.0, epsilon = 1e-12);
    assert_abs_diff_eq!(b, -1.0 / 6.0, epsilon = 1e-12);
    assert_abs_diff_eq!(c, -1.0 / 3.0, epsilon = 1e-12);
    assert_abs_diff_eq!(range_over(&points, [a, b, c]), 16.5, epsilon = 1e-12);
    assert_abs_diff_eq!(zone_width(&nine_nodes(1e6)), 15.5, epsilon = 1e-6);
    let mut quadratic = LeastSquares::new(6);
    for [x, y, z] in points {
        quadratic.push(&[1.0, x, y, x * x, x * y, y * y], z);
    }
    let fit = quadratic.solve();
    for (found, exact) in
        fit.coefficients
            .iter()
            .zip([14.0, -1.0 / 6.0, -1.0 / 3.0, -12.5, -1.5, 3.0])
    {
        assert_abs_diff_eq!(found.unwrap(), exact, epsilon = 1e-12);
    }
}

#[test]
fn four_by_four_plane() {
    // The plane printed with the example, n · p = −d; the rest derived from the data.
    let points: Vec<Point> = numbers("plane_4x4.csv")
        .iter()
        .map(|r| [r[0], r[1], r[2]])
        .collect();
    let [a, b, c] = plane(&points);
    assert_abs_diff_eq!(a, -1.00253375, epsilon = 1e-9);
    assert_abs_diff_eq!(b, 0.3342875, epsilon = 1e-9);
    assert_abs_diff_eq!(c, 0.5003725, epsilon = 1e-9);
    assert_abs_diff_eq!(range_over(&points, [a, b, c]), 0.010155, epsilon = 1e-9);
    assert_abs_diff_eq!(zone_width(&points), 0.007965437, epsilon = 1e-9);
    // The published plane is an algebraic fit: near the least-squares one, not the same.
    let published = [0.286432, 0.428737, -0.856821];
    assert_abs_diff_eq!(-published[0] / published[2], b, epsilon = 1e-4);
    assert_abs_diff_eq!(-published[1] / published[2], c, epsilon = 1e-4);
    assert_abs_diff_eq!(0.859019 / published[2], a, epsilon = 1e-4);
}

// ---- Exact shapes, derived by hand ----

#[test]
fn pure_twist_and_one_raised_corner() {
    let twist = grid(1000.0, 150.0, 2, 2, |u, v| 3.0 * u * v);
    assert_abs_diff_eq!(zone_width(&twist), 6.0, epsilon = 1e-9);
    let raised = grid(
        1000.0,
        150.0,
        2,
        2,
        |u, v| if u + v > 1.0 { 8.0 } else { 0.0 },
    );
    let width = zone_width(&raised);
    println!("one corner raised by 8: minimum zone {width:.9}");
    assert_abs_diff_eq!(width, 3.998546570, epsilon = 1e-8);
}

#[test]
fn few_readings_hide_wood() {
    let loss = |nx, ny| {
        let up = grid(2000.0, 200.0, nx, ny, |u, v| {
            6.0 * (1.0 - u * u) - 4.0 * (1.0 - v * v) + 2.5 * u * v
        });
        60.0 - flattened(&up, &lowered(&up, 60.0))
            .unwrap()
            .shimmed
            .thickness()
    };
    assert_abs_diff_eq!(loss(401, 401), 10.65104, epsilon = 1e-4);
    assert_abs_diff_eq!(loss(5, 3), 10.0, epsilon = 1e-9);
}

/// The form of a shorter or narrower piece, cut out of a board of even shape, has these shares of the board's warp.
#[test]
fn equal_pieces_scale_the_warp() {
    use outwind::board::Outline;
    use outwind::surface::form::Form;
    use outwind::warp::Warp;
    let (length, width) = (2400.0, 240.0);
    let board = grid(length, width, 121, 61, |u, v| {
        6.0 * (1.0 - u * u) + 2.0 * (1.0 - v * v) + 2.5 * u * v
    });
    for n in 1..=4 {
        let share = f64::from(n);
        for piece in 0..n {
            let within = |along: bool| {
                let (extent, k) = if along { (length, 0) } else { (width, 1) };
                let (from, to) = (
                    extent * f64::from(piece) / share,
                    extent * f64::from(piece + 1) / share,
                );
                let points: Vec<Point> = board
                    .iter()
                    .copied()
                    .filter(|p| p[k] >= from - 1e-9 && p[k] <= to + 1e-9)
                    .collect();
                let outline = if along {
                    Outline {
                        x0: from,
                        y0: 0.0,
                        length: length / share,
                        width,
                    }
                } else {
                    Outline {
                        x0: 0.0,
                        y0: from,
                        length,
                        width: width / share,
                    }
                };
                Warp::of(&Form::new(outline, &points), 0.0, None)
            };
            let (lengths, widths) = (within(true), within(false));
            assert_abs_diff_eq!(
                lengths.bow.unwrap().value,
                6.0 / share / share,
                epsilon = 1e-9
            );
            assert_abs_diff_eq!(lengths.cup.unwrap().value, 2.0, epsilon = 1e-9);
            assert_abs_diff_eq!(lengths.twist.unwrap().value, 10.0 / share, epsilon = 1e-9);
            assert_abs_diff_eq!(widths.bow.unwrap().value, 6.0, epsilon = 1e-9);
            assert_abs_diff_eq!(
                widths.cup.unwrap().value,
                2.0 / share / share,
                epsilon = 1e-9
            );
            assert_abs_diff_eq!(widths.twist.unwrap().value, 10.0 / share, epsilon = 1e-9);
        }
    }
}
