//! Predicted against actual, and the loss that is learnt from it.

use super::entry::{Entry, Prediction};
use super::model::{Kind, Labels, Learnt, Loss, Outcome};
use super::{LEARNT_FROM, Prior};
use crate::flatten::Shortfall;
use crate::surface::normal;

/// A prediction and what became of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// The number of its entry.
    pub entry: i64,
    /// As it was made.
    pub prediction: Prediction,
    /// What came off the planer, mm; none until it is recorded.
    pub actual: Option<f64>,
    /// Its reading error, mm.
    pub rounding: f64,
    /// A later survey of the piece took its place before anything was recorded.
    pub replaced: bool,
}

/// All predictions of a book beside what came out.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// In the order in which they were made.
    pub pieces: Vec<Compared>,
    /// What is learnt of the shop's loss.
    pub learnt: Learnt,
    /// How many boards were milled and recorded.
    pub boards: usize,
}

/// The loss by one machine, species or way.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupLoss {
    /// What it is.
    pub kind: Kind,
    /// Its name.
    pub label: String,
    /// What the shop loses with it.
    pub loss: Loss,
    /// How many pieces were recorded.
    pub pieces: usize,
}

impl Comparison {
    /// Pairs the entries that were not undone.
    #[must_use]
    pub fn new(entries: &[Entry]) -> Self {
        let mut pieces: Vec<Compared> = Vec::new();
        for entry in entries {
            if let Some(prediction) = entry.prediction() {
                let name = prediction.name();
                let open = |p: &&mut Compared| p.actual.is_none() && p.prediction.name() == name;
                pieces
                    .iter_mut()
                    .filter(open)
                    .for_each(|p| p.replaced = true);
                pieces.push(Compared {
                    entry: entry.number,
                    prediction: prediction.clone(),
                    actual: None,
                    rounding: 0.0,
                    replaced: false,
                });
            } else if let Some(actual) = entry.actual() {
                let own = pieces.iter_mut().find(|p| p.entry == actual.prediction);
                if let Some(piece) = own {
                    piece.actual = Some(actual.thinnest());
                    piece.rounding = actual.rounding;
                    piece.replaced = false;
                }
            }
        }
        let outcomes: Vec<Outcome> = pieces.iter().filter_map(Compared::outcome).collect();
        let mut boards: Vec<&str> = outcomes.iter().map(|o| o.board.as_str()).collect();
        boards.sort_unstable();
        boards.dedup();
        Self {
            boards: boards.len(),
            learnt: Learnt::new(&outcomes, &Prior::default()),
            pieces,
        }
    }

    /// The last prediction of this name, the case of letters aside.
    #[must_use]
    pub fn latest(&self, name: &str) -> Option<&Compared> {
        let same = |p: &&Compared| p.prediction.name().to_lowercase() == name.trim().to_lowercase();
        self.pieces.iter().rev().find(same)
    }

    /// Predictions that wait for their actual.
    pub fn open(&self) -> impl Iterator<Item = &Compared> {
        self.pieces
            .iter()
            .filter(|p| p.actual.is_none() && !p.replaced)
    }

    /// Whether enough boards were milled for the next to be reckoned with the learnt loss.
    #[must_use]
    pub fn knows_the_shop(&self) -> bool {
        self.boards + 1 >= LEARNT_FROM
    }

    /// What the next board with these labels falls short by, as far as is known: what was learnt, or the prior before.
    #[must_use]
    pub fn shortfall(&self, labels: &Labels) -> Shortfall {
        let loss = if self.knows_the_shop() {
            self.learnt.next(labels)
        } else {
            Learnt::new(&[], &Prior::default()).next(labels)
        };
        Shortfall {
            mean: if self.knows_the_shop() {
                loss.mean
            } else {
                0.0
            },
            sd: loss.sd(),
        }
    }

    /// What recorded boards lost from their thickest rough place to what came out, mm: of those with all of these labels, where
    /// a shop can be judged by as many, else of all.
    #[must_use]
    pub fn record(&self, labels: &Labels) -> Vec<f64> {
        let fits = |p: &&Compared| {
            let own = p.prediction.labels.iter().zip(labels);
            own.into_iter()
                .all(|(own, asked)| asked.is_none() || own == asked)
        };
        let lost = |p: &Compared| Some(p.prediction.rough? - p.actual?);
        let alike: Vec<f64> = self.pieces.iter().filter(fits).filter_map(lost).collect();
        if alike.len() >= LEARNT_FROM {
            alike
        } else {
            self.pieces.iter().filter_map(lost).collect()
        }
    }

    /// The share of actuals inside their interval as stated; none where nothing was recorded.
    #[must_use]
    pub fn inside(&self) -> Option<f64> {
        mean(
            self.pieces
                .iter()
                .filter_map(|p| Some(f64::from(u8::from(p.inside()?)))),
        )
    }

    /// How much thicker than the actual predictions were on average: those made before the loss was reckoned with, those
    /// since.
    #[must_use]
    pub fn off_before_and_since(&self) -> [Option<f64>; 2] {
        [false, true].map(|since| {
            let of = self
                .pieces
                .iter()
                .filter(|p| (p.prediction.learnt_from > 0) == since);
            mean(of.filter_map(|p| Some(p.prediction.stated.expected - p.actual?)))
        })
    }

    /// The loss by machine, species and way of laying.
    #[must_use]
    pub fn by_group(&self) -> Vec<GroupLoss> {
        let mut groups = Vec::new();
        for kind in Kind::ALL {
            for label in self.learnt.labels(kind) {
                let of = |p: &&Compared| {
                    let own = p.prediction.labels[kind as usize].as_ref();
                    p.actual.is_some() && own == Some(label)
                };
                groups.push(GroupLoss {
                    kind,
                    label: label.clone(),
                    loss: self.learnt.of(kind, label),
                    pieces: self.pieces.iter().filter(of).count(),
                });
            }
        }
        groups
    }
}

impl Compared {
    /// Whether the actual lies inside the interval as stated.
    #[must_use]
    pub fn inside(&self) -> Option<bool> {
        let stated = &self.prediction.stated;
        // A hair of rounding puts nothing outside.
        let within = |actual: f64| actual >= stated.low - 1e-6 && actual <= stated.high + 1e-6;
        self.actual.map(within)
    }

    fn outcome(&self) -> Option<Outcome> {
        let plain = &self.prediction.plain;
        let own = (plain.high - plain.low) / (2.0 * normal::NINE_IN_TEN);
        Some(Outcome {
            loss: plain.expected - self.actual?,
            sd: own.hypot(self.rounding),
            board: self.prediction.board.clone(),
            labels: self.prediction.labels.clone(),
        })
    }
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), v| (sum + v, count + 1.0));
    (count > 0.0).then(|| sum / count)
}
