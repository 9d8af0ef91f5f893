//! Do parts that are planned come out as often as is said, on simulated boards?

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod simulator;

use outwind::cutting::{
    Allowances, Draws, Evidence, Ground, Movement, Pieces, Plan, PlanQuestion, Prefer, Stocked,
    Wanted, Window,
};
use outwind::flatten::widest_gap;
use outwind::surface::estimate::Estimate;
use simulator::{Board, Dice, KINDS, grid_survey};

/// How far a piece warps when it is cut free: as `docs/cutting.md` has it, a curvature along and one across, each normal.
fn moved(movement: Movement, dice: &mut Dice) -> [f64; 2] {
    // Of a bow b over the length l, 8 b / l².
    let curvature = |sd: f64, over: f64| 8.0 * sd / (over * over);
    [
        curvature(movement.bow, 1000.0),
        curvature(movement.cup, 200.0),
    ]
    .map(|sd| sd * dice.normal())
}

/// What truly survives of a window that was cut free and warped by the curvatures `moved`, on a grid of at most `step` mm.
fn truth(board: &Board, window: &Window, step: f64, moved: [f64; 2]) -> f64 {
    let count = |length: f64| (length / step).ceil() as usize;
    let (nx, ny) = (count(window.length()), count(window.width()));
    let (mut up, mut down) = (Vec::new(), Vec::new());
    for i in 0..=nx {
        for j in 0..=ny {
            let x = window.from + window.length() * i as f64 / nx as f64;
            let y = window.near + window.width() * j as f64 / ny as f64;
            let z = board.faces(x, y);
            let bend =
                (moved[0] * (x - window.from).powi(2) + moved[1] * (y - window.near).powi(2)) / 2.0;
            up.push([x, y, z[0] + bend]);
            down.push([x, y, z[1] + bend]);
        }
    }
    widest_gap(&up, &down, [0.0, 0.0, 1.0], None).width
}

/// What parts of a list are about as thick as.
#[derive(Clone, Copy)]
enum About {
    /// What is expected of a piece of their size somewhere on the board: hard to place.
    Piece,
    /// What is expected of the whole board.
    Whole,
}

/// A list of three kinds of part.
fn list(board: &Board, uncut: &mut Pieces<'_>, about: About, dice: &mut Dice) -> Vec<Wanted> {
    (0..3)
        .map(|k| {
            let length = dice.uniform(250.0, 900.0);
            let width = dice.uniform(40.0, (board.outline.width / 2.0).min(200.0));
            let from = dice.uniform(20.0, board.outline.length - length - 20.0);
            let near = dice.uniform(0.0, board.outline.width - width);
            let somewhere = Window {
                from,
                to: from + length,
                near,
                far: near + width,
            };
            Wanted {
                name: format!("part {k}"),
                count: 1 + dice.below(4) as u32,
                length,
                width,
                thickness: match about {
                    About::Piece => uncut.interval(&somewhere).expected + dice.uniform(-0.7, 0.7),
                    About::Whole => {
                        let whole = uncut.draws().whole();
                        uncut.interval(&whole).expected + dice.uniform(-2.0, 2.0)
                    }
                },
                from_one_board: None,
                strips: 1,
                resaw: false,
                certainty: None,
            }
        })
        .collect()
}

#[derive(Default)]
struct Tally {
    /// Stated chance, and whether the part came out.
    parts: Vec<(f64, bool)>,
    /// Finished wood that came out: planned, and of the parts that the whole board was likely to make.
    planned: f64,
    whole_first: f64,
    wanted: f64,
}

/// Plans a list on each of some boards of every kind, whose wood moves when it is cut, and is known to.
fn tally(each: u64, first: u64, certainty: f64, about: About, movement: Movement) -> Tally {
    let mut tally = Tally::default();
    for kind in KINDS {
        for k in 0..each {
            let mut dice = Dice::new(first + (kind as u64) * 10_007 + k);
            let board = Board::new(kind, &mut dice);
            let survey = grid_survey(&board, 7, 3, 1.0, &mut dice);
            let estimate = Estimate::new(board.outline, &survey, 0).unwrap();
            let evidence = Evidence::new(&estimate, movement);
            let mut uncut = Pieces::new(&evidence.whole);
            let whole = evidence.whole.whole();
            let wanted = list(&board, &mut uncut, about, &mut dice);
            let likely = |w: &Wanted| uncut.chance(&whole, w.thickness) >= certainty;
            let whole_first: Vec<Wanted> = wanted.clone().into_iter().filter(likely).collect();
            let stocked = [Stocked {
                name: String::new(),
                ground: Ground::rectangle(board.outline),
                evidence: evidence.clone(),
            }];
            let question = |wanted: Vec<Wanted>| PlanQuestion {
                wanted,
                allowances: Allowances::default(),
                step: 10.0,
                certainty,
                prefer: Prefer::Margin,
            };
            let wood = |w: &Wanted| w.length * w.width * w.thickness;
            tally.wanted += wanted
                .iter()
                .map(|w| wood(w) * f64::from(w.count))
                .sum::<f64>();
            let plan = Plan::new(&stocked, question(wanted.clone()));
            for piece in &plan.pieces {
                let moved = moved(movement, &mut dice);
                let reached = truth(&board, &piece.finished, 8.0, moved) >= piece.thickness;
                tally.parts.push((piece.chance, reached));
                tally.planned += if reached {
                    wood(&wanted[piece.part])
                } else {
                    0.0
                };
            }
            // The whole board flattened, then cut: it is as thick everywhere as what survives of it.
            let left = truth(&board, &whole, 8.0, [0.0; 2]);
            let plan = Plan::new(&stocked, question(whole_first.clone()));
            let reached = plan.pieces.iter().filter(|p| left >= p.thickness);
            tally.whole_first += reached.map(|p| wood(&whole_first[p.part])).sum::<f64>();
        }
    }
    tally
}

impl Tally {
    /// Parts whose stated chance lies in a bin: how many, their mean chance, the share that came out.
    fn bin(&self, from: f64, to: f64) -> (usize, f64, f64) {
        let bin: Vec<_> = self
            .parts
            .iter()
            .filter(|p| p.0 >= from && p.0 < to)
            .collect();
        let n = bin.len() as f64;
        (
            bin.len(),
            bin.iter().map(|p| p.0).sum::<f64>() / n,
            bin.iter().filter(|p| p.1).count() as f64 / n,
        )
    }
}

fn env(name: &str, default: u64) -> u64 {
    std::env::var(name)
        .ok()
        .and_then(|s| s.parse().ok())
        .unwrap_or(default)
}

/// Prints the tables of docs/cutting.md: EACH boards a kind, SEED, the first LISTS of the lists; with MOVES=1 of wood that moves
/// when it is cut.
#[test]
#[ignore = "prints a table"]
fn table() {
    let (each, seed) = (env("EACH", 30), env("SEED", 1));
    let lists = [
        (0.5, About::Piece),
        (0.9, About::Piece),
        (0.9, About::Whole),
    ];
    for (certainty, about) in lists.into_iter().take(env("LISTS", 3) as usize) {
        let start = std::time::Instant::now();
        let movement = if env("MOVES", 0) > 0 {
            Movement::default()
        } else {
            Movement::NONE
        };
        let tally = tally(each, seed * 1_000_003, certainty, about, movement);
        let name = match about {
            About::Whole => "the whole board",
            About::Piece => "a piece",
        };
        println!(
            "asked {certainty}, parts about as thick as {name}: {:?} for {} boards",
            start.elapsed(),
            each * 7
        );
        for (from, to) in [
            (0.0, 1.01),
            (0.0, 0.5),
            (0.5, 0.7),
            (0.7, 0.85),
            (0.85, 0.95),
            (0.95, 1.01),
        ] {
            let (parts, said, came) = tally.bin(from, to);
            println!("  {from:.2} to {to:.2}: {parts:5} parts, said {said:.3}, came out {came:.3}");
        }
        println!(
            "  wood wanted {:.1} l, made by plan {:.1} l, flattened whole first {:.1} l",
            tally.wanted / 1e6,
            tally.planned / 1e6,
            tally.whole_first / 1e6
        );
    }
}

/// A few boards of every kind: the share that comes out is the mean chance stated, within two standard errors and 3 in 100.
#[test]
fn planned_parts_come_out_as_often_as_is_said() {
    for movement in [Movement::NONE, Movement::default()] {
        let tally = tally(2, 700_001, 0.9, About::Piece, movement);
        let (parts, said, came) = tally.bin(0.0, 1.01);
        println!("{movement:?}: {parts} parts, said {said:.3}, came out {came:.3}");
        assert!(parts > 25);
        let error = (said * (1.0 - said) / parts as f64).sqrt();
        assert!(
            (said - came).abs() <= 0.03 + 2.0 * error,
            "said {said}, came out {came}"
        );
    }
}

/// Where the truth is a draw of the estimate itself, only the choice could make the chances untrue: those stated hold, those
/// that the choice was made by promise more.
#[test]
fn the_choice_does_not_flatter_the_chances() {
    let (mut said, mut chosen_by, mut came, mut parts) = (0.0, 0.0, 0.0, 0.0);
    let mut truth_seed = 0;
    for kind in KINDS {
        for k in 0..5 {
            let mut dice = Dice::new(800_003 + (kind as u64) * 10_007 + k);
            let board = Board::new(kind, &mut dice);
            let survey = grid_survey(&board, 7, 3, 1.0, &mut dice);
            let estimate = Estimate::new(board.outline, &survey, 0).unwrap();
            let evidence = Evidence::new(&estimate, Movement::NONE);
            // Of another seed for each board: the same numbers for all would be as lucky for all.
            let truths = Draws::new(&estimate, 2000, 77 + truth_seed, Movement::NONE);
            truth_seed += 1;
            let mut uncut = Pieces::new(&evidence.whole);
            let stocked = [Stocked {
                name: String::new(),
                ground: Ground::rectangle(board.outline),
                evidence: evidence.clone(),
            }];
            let question = PlanQuestion {
                wanted: list(&board, &mut uncut, About::Piece, &mut dice),
                allowances: Allowances::default(),
                step: 10.0,
                certainty: 0.6,
                prefer: Prefer::Margin,
            };
            let (mut truths, mut choosing) =
                (Pieces::new(&truths), Pieces::new(&evidence.choosing));
            for piece in Plan::new(&stocked, question).pieces {
                parts += 1.0;
                said += piece.chance;
                chosen_by += choosing.chance(&piece.finished, piece.thickness);
                came += truths.chance(&piece.finished, piece.thickness);
            }
        }
    }
    let [said, chosen_by, came] = [said, chosen_by, came].map(|sum| sum / parts);
    println!(
        "{parts} parts: said {said:.4}, by the draws chosen with {chosen_by:.4}, came out {came:.4}"
    );
    assert!((said - came).abs() < 0.01, "said {said}, came out {came}");
    assert!(
        chosen_by > said && chosen_by > came,
        "the draws chosen with flatter: {chosen_by} for {said} and {came}"
    );
}

/// Chances at which windows that nobody chose are asked.
const ASKED: [f64; 5] = [0.95, 0.9, 0.775, 0.6, 0.5];

/// How windows came out beside what was expected of them.
#[derive(Default)]
struct Beside {
    /// By how much the median was off, its square, and how often the thickness of each chance was reached; sums.
    error: f64,
    square: f64,
    reached: [f64; ASKED.len()],
    count: f64,
}

impl Beside {
    /// Adds a window of which these thicknesses were drawn, ascending, and this much was left.
    fn add(&mut self, drawn: &[f64], left: f64) {
        let error = drawn[drawn.len() / 2] - left;
        self.error += error;
        self.square += error * error;
        for (reached, chance) in self.reached.iter_mut().zip(ASKED) {
            let thickness = drawn[((1.0 - chance) * drawn.len() as f64) as usize];
            *reached += f64::from(u8::from(left >= thickness));
        }
        self.count += 1.0;
    }

    fn print(&self, name: &str) {
        let [error, square] = [self.error, self.square].map(|sum| sum / self.count);
        let reached = self.reached.map(|n| format!("{:.3}", n / self.count));
        let rms = square.sqrt();
        println!(
            "{name:18} {:5}: error {error:+.3}, rms {rms:.3}, reached {reached:?} of {ASKED:?}",
            self.count
        );
    }
}

/// Prints how windows that nobody chose come out beside what is expected of them: EACH boards a kind, SEED.
#[test]
#[ignore = "prints a table"]
fn windows_not_chosen() {
    let (each, seed) = (env("EACH", 30), env("SEED", 1));
    let (mut all, mut all_whole) = (Beside::default(), Beside::default());
    for kind in KINDS {
        let (mut some, mut some_whole) = (Beside::default(), Beside::default());
        for k in 0..each {
            let mut dice = Dice::new(seed * 1_000_003 + (kind as u64) * 10_007 + k);
            let board = Board::new(kind, &mut dice);
            let survey = grid_survey(&board, 7, 3, 1.0, &mut dice);
            let estimate = Estimate::new(board.outline, &survey, 0).unwrap();
            let draws = Draws::new(&estimate, 400, 9, Movement::NONE);
            let mut pieces = Pieces::new(&draws);
            let mut place = |window: &Window, sums: [&mut Beside; 2]| {
                let left = truth(&board, window, 8.0, [0.0; 2]);
                let mut drawn = pieces.thicknesses(window);
                drawn.sort_by(f64::total_cmp);
                for sum in sums {
                    sum.add(&drawn, left);
                }
            };
            place(&draws.whole(), [&mut some_whole, &mut all_whole]);
            for _ in 0..10 {
                let length = dice.uniform(250.0, 900.0);
                let width = dice.uniform(40.0, (board.outline.width / 2.0).min(200.0));
                let from = dice.uniform(20.0, board.outline.length - length - 20.0);
                let near = dice.uniform(0.0, board.outline.width - width);
                let window = Window {
                    from,
                    to: from + length,
                    near,
                    far: near + width,
                };
                place(&window, [&mut some, &mut all]);
            }
        }
        some.print(&format!("{kind:?}"));
        some_whole.print("  whole");
    }
    all.print("all");
    all_whole.print("  whole");
}
