//! Does the interval hold the truth?

mod simulator;

use outwind::surface::estimate::Estimate;
use simulator::{Board, Dice, KINDS, grid_survey, hull_distance, quantile, sticks_survey, told};

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
        let (low, middle, high) = (quantile(&thick, 0.05), quantile(&thick, 0.5), quantile(&thick, 0.95));
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
    std::env::var(name).ok().and_then(|s| s.parse().ok()).unwrap_or(default)
}

#[test]
#[ignore]
fn table() {
    let each = env("EACH", 20);
    let seed = env("SEED", 1) as u64;
    let count = env("DRAWS", 300);
    let survey_kind = std::env::var("SURVEY").unwrap_or("7x3".into());
    let noise = std::env::var("NOISE").ok().and_then(|s| s.parse().ok()).unwrap_or(1.0);
    let mut all = Score::default();
    let mut all_told = Score::default();
    let mut spent = std::time::Duration::ZERO;
    for kind in KINDS {
        if let Ok(only) = std::env::var("KIND") && !only.contains(&format!("{kind:?}")) {
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
                    grid_survey(&board, a.parse().unwrap(), b.parse().unwrap(), noise, &mut dice)
                }
            };
            let start = std::time::Instant::now();
            let estimate = Estimate::new(board.outline, &survey, 0).unwrap();
            let draws: Vec<_> = estimate.draws(65, 9, count, 7).collect();
            spent += start.elapsed();
            let thick: Vec<f64> = draws.iter().map(|f| hull_distance(&f.up, &f.down)).collect();
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
