//! A layout bettered by laying a few sheets at a time anew.

use super::fill::fill;
use super::measure::{left, made};
use super::price::{Priced, Worth};
use super::task::{Placed, Task};

/// By how much a layout may fall short of the best so far to go on from, at first.
const SLACK: f64 = 0.01;

/// Sheets laid anew at a time, at most, but for the one that takes what is short.
const MOST_ANEW: usize = 12;

/// What items are worth is shaken by so much of itself at most.
const SHAKE: f64 = 0.15;

/// Rounds of laying anew at most, for each pair of sheets and in all, and places looked at in all of them: some seconds
/// (docs/cutting.md, Speed).
const ROUNDS_A_PAIR: usize = 100;
const MOST_ROUNDS: usize = 30_000;
const MOST_PLACES: usize = 1_000_000_000;

/// A search that goes on from what is hardly worse, until nothing more can be made or its rounds are over.
pub(super) struct Bettered<'a> {
    task: &'a Task,
    sheets: &'a [Priced],
    /// What its items are worth to it, and at their full worth.
    worth: [&'a Worth; 2],
    /// No layout makes more.
    most: f64,
    here: Vec<Placed>,
    /// The best so far.
    pub(super) best: Vec<Placed>,
    rounds: usize,
    /// Places looked at so far.
    places: usize,
    dice: Dice,
}

impl<'a> Bettered<'a> {
    pub(super) fn new(
        task: &'a Task,
        sheets: &'a [Priced],
        worth: [&'a Worth; 2],
        most: f64,
        start: Vec<Placed>,
    ) -> Self {
        Self {
            task,
            sheets,
            worth,
            most,
            here: start.clone(),
            best: start,
            rounds: 0,
            places: 0,
            dice: Dice(1),
        }
    }

    /// Whether nothing more can be made.
    pub(super) fn done(&self) -> bool {
        made(self.task, &self.best) >= self.most * (1.0 - 1e-9)
    }

    /// Goes on until this share of its rounds, or of what it may look at, is over.
    pub(super) fn go_on(&mut self, share: f64) {
        while self.over() < share && !self.done() {
            self.better();
            self.rounds += 1;
        }
    }

    fn over(&self) -> f64 {
        let most = MOST_ROUNDS.min(ROUNDS_A_PAIR * self.sheets.len().pow(2));
        let rounds = self.rounds as f64 / most as f64;
        rounds.max(self.places as f64 / MOST_PLACES as f64)
    }

    fn better(&mut self) {
        let task = self.task;
        let so_far = made(task, &self.best);
        let anew = self.drawn();
        let tried = self.laid(&anew);
        let slack = SLACK * (1.0 - self.over());
        let now = made(task, &tried);
        if now >= so_far * (1.0 - slack) {
            self.here = tried;
            if now > so_far * (1.0 + 1e-9) {
                self.best.clone_from(&self.here);
            }
        }
    }

    /// A few sheets by chance. The first may take something that is short, which counts for more there: what it takes the
    /// place of finds room on the others.
    fn drawn(&mut self) -> Anew {
        let (task, sheets, [worth, full]) = (self.task, self.sheets, self.worth);
        let dice = &mut self.dice;
        let missing = left(task, &self.here);
        let short: Vec<usize> = (0..task.items.len())
            .filter(|k| missing[task.items[*k].demand] >= task.items[*k].yields)
            .collect();
        let mut anew = Vec::new();
        let worth = if dice.below(2) == 0 { worth } else { full };
        let mut shaken = worth.items.clone();
        for w in &mut shaken {
            *w *= 1.0 + SHAKE * (dice.below(11) as f64 / 5.0 - 1.0);
        }
        if !short.is_empty() {
            let item = short[dice.below(short.len())];
            shaken[item] = full.items[item] * (1.0 + 0.5 * dice.below(5) as f64);
            let takes: Vec<usize> = (0..sheets.len())
                .filter(|s| sheets[*s].fits.anywhere(item))
                .collect();
            anew.extend(takes.get(dice.below(takes.len().max(1))));
        }
        for _ in 0..1 + dice.below(MOST_ANEW) {
            let s = dice.below(sheets.len());
            if !anew.contains(&s) {
                anew.push(s);
            }
        }
        Anew {
            sheets: anew,
            shaken,
        }
    }

    /// Those sheets laid anew, the others as they lie.
    fn laid(&mut self, anew: &Anew) -> Vec<Placed> {
        let (task, sheets, full) = (self.task, self.sheets, self.worth[1]);
        let kept = self.here.iter().filter(|p| !anew.sheets.contains(&p.sheet));
        let mut tried: Vec<Placed> = kept.copied().collect();
        for (k, &s) in anew.sheets.iter().enumerate() {
            let left = left(task, &tried);
            // Only the first is shaken: the others take all that they can.
            let shaken = (k == 0).then(|| sheets[s].best(task, &anew.shaken));
            let (worth, best) = match &shaken {
                Some(best) => (&anew.shaken, best),
                None => (&full.items, &full.best[s]),
            };
            let filled = fill(task, s, &sheets[s], worth, best, &left);
            let priced = shaken.as_ref().map_or(0, |best| best.strips.len());
            let sections = filled.ripped + priced;
            self.places += sections * task.sheets[s].starts.len() * task.items.len();
            tried.extend(filled.placed);
        }
        tried
    }
}

/// Sheets to be laid anew, and what items are worth on the first of them.
struct Anew {
    sheets: Vec<usize>,
    shaken: Vec<f64>,
}

/// Numbers by chance, the same at every run (SplitMix64).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % n as u64) as usize
    }
}
