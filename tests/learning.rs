//! What a book learns of a shop's loss: simulated shops, a published example, and what shrinks to what.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

#[allow(dead_code)]
#[path = "common/random.rs"]
mod random;

use outwind::book::{Kind, LEARNT_FROM, Labels, Learnt, Outcome, Prior, Spread};
use random::Random;

/// How a simulated shop works: two to four machines, each with a loss of its own around the shop's and a scatter of its own
/// from board to board; three woods that differ little; boards whose predictions are as sure as those of
/// `docs/estimator.md`, read to the half millimetre.
struct Shop {
    /// Loss and scatter of each.
    machines: Vec<[f64; 2]>,
    woods: [f64; 3],
    random: Random,
}

/// Standard deviations, mm: from machine to machine, from wood to wood, of reading a rule to 0.5 mm.
const MACHINES: f64 = 0.25;
const WOODS: f64 = 0.1;
const RULE: f64 = 0.15;

impl Shop {
    fn new(loss: f64, seed: u64) -> Self {
        let mut random = Random::new(seed);
        let machines = (0..random.count(2, 4))
            .map(|_| [loss + MACHINES * random.normal(), random.within(0.1, 0.4)])
            .collect();
        let woods = [0; 3].map(|_| WOODS * random.normal());
        Self {
            machines,
            woods,
            random,
        }
    }

    /// The outcome of the next board.
    fn mill(&mut self, board: usize) -> Outcome {
        let [machine, wood] = [self.machines.len(), 3].map(|n| self.random.count(0, n - 1));
        let [loss, scatter] = self.machines[machine];
        let sd = self.random.within(0.2, 0.5).hypot(RULE);
        Outcome {
            loss: loss + self.woods[wood] + sd.hypot(scatter) * self.random.normal(),
            sd,
            board: board.to_string(),
            labels: [
                Some(machine.to_string()),
                Some(wood.to_string()),
                Some("shimmed".to_owned()),
            ],
        }
    }
}

/// Whether the 90 % interval of the next board's loss, its prediction's error included, holds it.
fn holds(learnt: &Learnt, next: &Outcome) -> bool {
    let loss = learnt.next(&next.labels);
    (next.loss - loss.mean).abs() <= 1.644_853_6 * loss.sd().hypot(next.sd)
}

/// Seeds from here on were used for nothing while the prior was chosen.
const SEEDS: u64 = 7_000_000;

/// 250 shops for each true loss: the mean learnt after ten boards, and how often the interval holds the next board before
/// anything is learnt (boards 1 to 4), while it is (5 to 10) and after (13, 16 and 19).
#[test]
fn shops_are_learnt() {
    const SHOPS: u64 = 250;
    let mut phases = [[0.0; 2]; 3];
    let nothing = Learnt::new(&[], &Prior::default());
    println!(
        "true loss, mean learnt after 10 boards, shop's own loss in its interval, boards in theirs by phase"
    );
    for (k, truth) in [0.0, 0.5, 1.0, 2.0].into_iter().enumerate() {
        let (mut sum, mut own) = (0.0, 0.0);
        let mut held = [[0.0; 2]; 3];
        for seed in 0..SHOPS {
            let mut shop = Shop::new(truth, SEEDS + seed + 1000 * k as u64);
            let mut outcomes: Vec<Outcome> = Vec::new();
            for board in 0..19 {
                let next = shop.mill(board);
                let phase = match board + 1 {
                    ..LEARNT_FROM => Some(0),
                    LEARNT_FROM..=10 => Some(1),
                    // Boards are many by now, and teach little each.
                    13 | 16 | 19 => Some(2),
                    _ => None,
                };
                if let Some(phase) = phase {
                    let holds = if phase == 0 {
                        holds(&nothing, &next)
                    } else {
                        holds(&Learnt::new(&outcomes, &Prior::default()), &next)
                    };
                    held[phase][0] += f64::from(u8::from(holds));
                    held[phase][1] += 1.0;
                }
                outcomes.push(next);
                if board == 9 {
                    let loss = Learnt::new(&outcomes, &Prior::default()).shop();
                    sum += loss.mean;
                    let true_loss = |o: &Outcome| {
                        let number =
                            |k: usize| -> usize { o.labels[k].as_ref().unwrap().parse().unwrap() };
                        shop.machines[number(0)][0] + shop.woods[number(1)]
                    };
                    let whole = outcomes.iter().map(true_loss).sum::<f64>() / 10.0;
                    own += f64::from(u8::from(loss.low <= whole && whole <= loss.high));
                }
            }
        }
        let mean = sum / SHOPS as f64;
        let share = |[held, of]: [f64; 2]| 100.0 * held / of;
        println!(
            "{truth:.1}: {mean:.3}, {:.1} %, before {:.1}, while {:.1}, after {:.1} %",
            100.0 * own / SHOPS as f64,
            share(held[0]),
            share(held[1]),
            share(held[2])
        );
        let bound = if truth == 0.0 { 0.05 } else { truth / 10.0 };
        assert!((mean - truth).abs() <= bound, "{truth}: {mean}");
        for phase in [1, 2] {
            let share = share(held[phase]);
            assert!((87.0..=93.0).contains(&share), "{truth}, {phase}: {share}");
        }
        for (all, one) in phases.iter_mut().zip(held) {
            all[0] += one[0];
            all[1] += one[1];
        }
    }
    // Before anything is learnt one interval serves shops that lose nothing and shops that lose 2 mm: it is for all of them.
    let [before, during, after] = phases.map(|[held, of]| 100.0 * held / of);
    println!("all shops: before {before:.1}, while {during:.1}, after {after:.1} %");
    for share in [before, during, after] {
        assert!((87.0..=93.0).contains(&share), "{share}");
    }
}

/// Eight schools, the worked example of *Bayesian Data Analysis* (A. Gelman and others, section 5.5): effects of coaching
/// and their standard errors, mean of all and spread of the schools unknown and flat. Data and results from memory: the
/// pooled estimate 7.7 ± 4.1; with the spread unknown the mean of all about 8, the first school's about 11, those of the
/// others between 5 and 11, none of them alike to its own figure.
#[test]
fn eight_schools_shrink_as_published() {
    let schools = [
        (28.0, 15.0),
        (8.0, 10.0),
        (-3.0, 16.0),
        (7.0, 11.0),
        (-1.0, 9.0),
        (1.0, 11.0),
        (18.0, 10.0),
        (12.0, 18.0),
    ];
    let outcomes: Vec<Outcome> = schools
        .iter()
        .enumerate()
        .map(|(k, &(loss, sd))| Outcome {
            loss,
            sd,
            board: k.to_string(),
            labels: [Some(k.to_string()), None, None],
        })
        .collect();
    let flat = |schools| Prior {
        shop: 1e4,
        groups: [schools, Spread::exactly(0.0), Spread::exactly(0.0)],
        scatter: Spread::exactly(0.0),
    };
    let pooled = Learnt::new(&outcomes, &flat(Spread::exactly(0.0))).shop();
    println!("pooled {pooled:?}, sd {}", pooled.sd());
    assert!((pooled.mean - 7.7).abs() < 0.05 && (pooled.sd() - 4.1).abs() < 0.05);

    let learnt = Learnt::new(&outcomes, &flat(Spread::even(60.0, 300)));
    let means: Vec<f64> = (0..8)
        .map(|k| learnt.of(Kind::Machine, &k.to_string()).mean)
        .collect();
    println!("schools {means:.2?}, all {:.2?}", learnt.shop());
    // Means of long runs of a sampler, from memory.
    let published = [11.4, 7.9, 6.1, 7.6, 5.1, 6.1, 10.6, 8.5];
    for (mean, told) in means.iter().zip(published) {
        assert!((mean - told).abs() < 0.5, "{means:?}");
    }
}

fn outcome(loss: f64, board: &str, machine: &str) -> Outcome {
    Outcome {
        loss,
        sd: 0.3,
        board: board.to_owned(),
        labels: [Some(machine.to_owned()), None, None],
    }
}

#[test]
fn few_records_stay_near_the_prior() {
    let prior = Learnt::new(&[], &Prior::default());
    assert!(prior.shop().mean.abs() < 1e-12);
    let mut last = 0.0;
    for count in [1, 2, 5, 20] {
        let outcomes: Vec<Outcome> = (0..count)
            .map(|k| outcome(1.0, &k.to_string(), "planer"))
            .collect();
        let shop = Learnt::new(&outcomes, &Prior::default()).shop();
        assert!(last < shop.mean && shop.mean < 1.0, "{count}: {shop:?}");
        last = shop.mean;
    }
    assert!(last > 0.97, "{last}");
}

/// A machine with one record is drawn to the shop, one with many keeps its own; an unknown one is the shop's, less surely.
#[test]
fn machines_shrink_by_how_little_is_known_of_them() {
    let mut outcomes: Vec<Outcome> = (0..12)
        .map(|k| outcome(1.0, &k.to_string(), "planer"))
        .collect();
    outcomes.push(outcome(2.0, "x", "sled"));
    let learnt = Learnt::new(&outcomes, &Prior::default());
    let [planer, sled] = ["planer", "sled"].map(|m| learnt.of(Kind::Machine, m));
    assert!((planer.mean - 1.0).abs() < 0.05, "{planer:?}");
    assert!(1.05 < sled.mean && sled.mean < 1.8, "{sled:?}");
    assert!(sled.sd() > planer.sd());
    let next = |machine: &str| learnt.next(&[Some(machine.to_owned()), None, None] as &Labels);
    assert!(next("never seen").sd() > next("planer").sd());
}

/// Four pieces of one board teach less than four boards do.
#[test]
fn pieces_of_one_board_share_their_error() {
    let of = |boards: [&str; 4]| {
        let outcomes = boards.map(|board| outcome(1.0, board, "planer"));
        Learnt::new(&outcomes, &Prior::default()).shop().sd()
    };
    assert!(of(["a"; 4]) > 1.2 * of(["a", "b", "c", "d"]));
}

/// What a piece lost whose prediction was worth nothing makes no difference, whatever the board's other pieces teach.
#[test]
fn an_unsure_piece_has_no_say() {
    let with = |loss: f64| {
        let unsure = Outcome {
            sd: 1e4,
            ..outcome(loss, "a", "planer")
        };
        let outcomes = [
            outcome(1.0, "a", "planer"),
            unsure,
            outcome(0.7, "b", "planer"),
        ];
        Learnt::new(&outcomes, &Prior::default()).shop()
    };
    let (less, more) = (with(-3.0), with(3.0));
    assert!((less.mean - more.mean).abs() < 1e-3, "{less:?} {more:?}");
    assert!((less.sd() - more.sd()).abs() < 1e-3, "{less:?} {more:?}");
}
