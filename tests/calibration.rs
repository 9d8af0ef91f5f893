//! Does the interval hold the truth?

mod simulator;

use outwind::readings::Face;
use outwind::surface::estimate::Estimate;
use outwind::surface::estimate::{Observation, Term};
use simulator::{
    Board, Dice, KINDS, caliper, grid_survey, hull_distance, quantile, sticks_survey, told,
};

#[derive(Default, Clone)]
struct Score {
    boards: usize,
    inside: usize,
    error: f64,
    square: f64,
    halves: Vec<f64>,
}

impl Score {
    fn add(&mut self, mut thick: Vec<f64>, truth: f64) {
        thick.sort_by(f64::total_cmp);
        let (low, middle, high) = (
            quantile(&thick, 0.05),
            quantile(&thick, 0.5),
            quantile(&thick, 0.95),
        );
        self.boards += 1;
        self.inside += usize::from(low <= truth && truth <= high);
        self.error += middle - truth;
        self.square += (middle - truth).powi(2);
        self.halves.push((high - low) / 2.0);
    }
    fn merge(&mut self, other: &Score) {
        self.boards += other.boards;
        self.inside += other.inside;
        self.error += other.error;
        self.square += other.square;
        self.halves.extend(&other.halves);
    }
    fn line(&self) -> String {
        let mut halves = self.halves.clone();
        halves.sort_by(f64::total_cmp);
        let n = self.boards as f64;
        format!(
            "{:4} boards  {:5.1} % inside  error {:+.3}  rms {:.3}  half-width {:.3}",
            self.boards,
            100.0 * self.inside as f64 / n,
            self.error / n,
            (self.square / n).sqrt(),
            quantile(&halves, 0.5)
        )
    }
}

fn env(name: &str, default: usize) -> usize {
    std::env::var(name)
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(default)
}

#[test]
#[ignore]
fn table() {
    let each = env("EACH", 20);
    let seed = env("SEED", 1) as u64;
    let count = env("DRAWS", 300);
    let survey_kind = std::env::var("SURVEY").unwrap_or("7x3".into());
    let noise = std::env::var("NOISE")
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(1.0);
    let mut all = Score::default();
    let mut all_told = Score::default();
    let mut spent = std::time::Duration::ZERO;
    for kind in KINDS {
        if let Ok(only) = std::env::var("KIND")
            && !only.contains(&format!("{kind:?}"))
        {
            continue;
        }
        let mut score = Score::default();
        let mut score_told = Score::default();
        for k in 0..each {
            let mut dice = Dice::new(seed * 1_000_003 + (kind as u64) * 10_007 + k as u64);
            let board = Board::new(kind, &mut dice);
            let truth = board.survives(8.0);
            let survey = match survey_kind.as_str() {
                "sticks" => sticks_survey(&board, &mut dice),
                s => {
                    let (a, b) = s.split_once('x').unwrap();
                    grid_survey(
                        &board,
                        a.parse().unwrap(),
                        b.parse().unwrap(),
                        noise,
                        &mut dice,
                    )
                }
            };
            let start = std::time::Instant::now();
            let estimate = Estimate::new(board.outline, &survey, 0).unwrap();
            let draws: Vec<_> = estimate.draws(65, 9, count, 7).collect();
            spent += start.elapsed();
            let thick: Vec<f64> = draws
                .iter()
                .map(|f| hull_distance(&f.up, &f.down))
                .collect();
            score.add(thick, truth);
            if env("TOLD", 0) > 0 {
                let thick = told(&board, &survey, env("TOLD", 0), count, &mut dice);
                score_told.add(thick, truth);
            }
        }
        println!("{:9} {}", format!("{kind:?}"), score.line());
        if score_told.boards > 0 {
            println!("     told {}", score_told.line());
        }
        all.merge(&score);
        all_told.merge(&score_told);
    }
    println!("all       {}", all.line());
    if all_told.boards > 0 {
        println!("     told {}", all_told.line());
    }
    println!("time per estimate {:?}", spent / all.boards as u32);
}

/// Planted slips in a 7 x 3 survey; which of the readings were changed.
fn plant(slip: usize, survey: &mut [Observation], dice: &mut Dice) -> Option<Vec<usize>> {
    let before: Vec<f64> = survey.iter().map(|o| o.value).collect();
    match slip {
        0 => {
            let i = dice.below(21);
            survey[i].value = -survey[i].value;
        }
        1 => {
            let i = dice.below(21);
            survey[i].value += if dice.coin() { 3.0 } else { -3.0 } * 25.4 / 16.0;
        }
        2 => {
            let (i, j) = (dice.below(21), dice.below(21));
            survey[i].value = before[j];
            survey[j].value = before[i];
        }
        3 => {
            let i = dice.below(21);
            survey[i].value *= 25.4;
        }
        4 => {
            let row = dice.below(3);
            for k in 1..7 {
                survey[3 * k + row].value = before[3 * (k - 1) + row];
            }
        }
        _ => {
            let i = dice.below(21);
            survey[i].value += if dice.coin() { 3.3 } else { -3.3 };
        }
    }
    let changed: Vec<usize> = (0..21)
        .filter(|&i| (survey[i].value - before[i]).abs() > 0.5)
        .collect();
    let most = (0..21)
        .map(|i| (survey[i].value - before[i]).abs())
        .fold(0.0, f64::max);
    (most >= 3.2).then_some(changed)
}

#[test]
#[ignore]
fn slips() {
    let each = env("EACH", 20);
    let seed = env("SEED", 1) as u64;
    let names = [
        "sign",
        "3/8 for 3/16",
        "swapped cells",
        "unit",
        "row shifted",
        "ten errors",
    ];
    let (mut clean, mut alarms) = (0, 0);
    let mut found = [[0usize; 2]; 6];
    for kind in KINDS {
        for k in 0..each {
            let mut dice = Dice::new(seed * 2_000_003 + (kind as u64) * 10_007 + k as u64);
            let board = Board::new(kind, &mut dice);
            let survey = grid_survey(&board, 7, 3, 1.0, &mut dice);
            clean += 1;
            let named = Estimate::new(board.outline, &survey, 0)
                .unwrap()
                .doubts()
                .len();
            alarms += usize::from(named > 0);
            for slip in 0..6 {
                let mut bad = survey.clone();
                let Some(changed) = plant(slip, &mut bad, &mut dice) else {
                    continue;
                };
                let estimate = Estimate::new(board.outline, &bad, 0).unwrap();
                let named = estimate.doubts();
                let right = named
                    .iter()
                    .filter(|d| changed.contains(&d.observation))
                    .count();
                found[slip][1] += 1;
                found[slip][0] += usize::from(right > 0 && 2 * right >= named.len());
            }
        }
    }
    println!("false alarms in {alarms} of {clean} clean surveys");
    for (name, [found, of]) in names.iter().zip(found) {
        println!("{name:14} named in {found} of {of}");
    }
}

fn half_width(estimate: &Estimate, count: usize) -> (f64, Vec<f64>) {
    let thick: Vec<f64> = estimate
        .draws(49, 9, count, 7)
        .map(|f| hull_distance(&f.up, &f.down))
        .collect();
    let mut sorted = thick.clone();
    sorted.sort_by(f64::total_cmp);
    (
        (quantile(&sorted, 0.95) - quantile(&sorted, 0.05)) / 2.0,
        thick,
    )
}

#[test]
#[ignore]
fn next_reading_narrows() {
    let each = env("EACH", 15);
    let seed = env("SEED", 1) as u64;
    let (mut chosen, mut random, mut boards) = (0.0, 0.0, 0.0);
    for kind in KINDS {
        for k in 0..each {
            let mut dice = Dice::new(seed * 3_000_017 + (kind as u64) * 10_007 + k as u64);
            let board = Board::new(kind, &mut dice);
            let survey = grid_survey(&board, 7, 3, 1.0, &mut dice);
            let estimate = Estimate::new(board.outline, &survey, 0).unwrap();
            let (before, thick) = half_width(&estimate, 600);
            let mut candidates = Vec::new();
            for i in 0..13 {
                for j in 0..5 {
                    let x = board.outline.length * f64::from(i) / 12.0;
                    let y = board.outline.width * f64::from(j) / 4.0;
                    for face in [Face::Up, Face::Down] {
                        let terms = vec![Term {
                            face,
                            x,
                            y,
                            weight: 1.0,
                        }];
                        candidates.push(Observation {
                            terms,
                            setup: vec![],
                            value: 0.0,
                            sd: 0.32,
                        });
                    }
                    if j % 4 == 0 {
                        candidates.push(Observation {
                            terms: caliper(x, y),
                            setup: vec![],
                            value: 0.0,
                            sd: 0.19,
                        });
                    }
                }
            }
            let best = estimate.next_reading(&candidates, &thick, 7).unwrap();
            let mut narrowing = |i: usize| {
                let mut more = survey.clone();
                let mut extra = candidates[i].clone();
                extra.value = board.value(&extra.terms) + extra.sd * dice.normal();
                more.push(extra);
                before - half_width(&Estimate::new(board.outline, &more, 0).unwrap(), 600).0
            };
            chosen += narrowing(best);
            for i in 0..3 {
                random += narrowing((17 + 31 * k + 53 * i) % candidates.len()) / 3.0;
            }
            boards += 1.0;
        }
    }
    println!(
        "narrowed by {:.4} mm where advised, {:.4} at random, {boards} boards",
        chosen / boards,
        random / boards
    );
}
