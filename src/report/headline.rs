//! The lines that answer.

use super::lines::paragraph;
use super::page::Page;
use crate::flatten::{Basis, Expectation};
use crate::length::{Length, Rounding};

impl Page<'_> {
    /// The lines that answer: what is expected first, where anything is, then what the readings alone say.
    pub(super) fn headlines(&self) -> Vec<String> {
        let expected = self
            .answer
            .expectation
            .as_ref()
            .ok()
            .map(|e| self.expected(e));
        let doubted = self
            .answer
            .expectation
            .as_ref()
            .map_or(0, |e| e.doubted.len());
        let doubtful = match doubted {
            0 => None,
            1 => Some("One reading is doubtful: take it again first, see Notes.".to_owned()),
            n => Some(format!(
                "{n} readings are doubtful: take them again first, see Notes."
            )),
        };
        expected
            .into_iter()
            .chain(doubtful)
            .chain(self.at_readings().map(|line| paragraph(&line)))
            .chain(self.cut_once().map(|line| paragraph(&line)))
            .collect()
    }

    /// That one crosscut would pay before flattening, where one would.
    pub(super) fn cut_once(&self) -> Option<String> {
        let cut = self.cut?;
        let sure = |size: f64, chance: f64| {
            let place = self.place(size);
            (place, format!("({}\u{a0}in\u{a0}100)", hundredths(chance)))
        };
        let (size, chance) = sure(cut.size, cut.chance);
        let whole = match cut.whole.map(|(size, chance)| sure(size, chance)) {
            Some((size, chance)) => format!("{size} {chance}"),
            None => "none of the usual thicknesses".to_owned(),
        };
        Some(format!(
            "If shorter pieces do, cut once at {} from end A first: both come out at {size} or more {chance}; whole, {whole}.",
            self.place(cut.at)
        ))
    }

    /// What is expected of the whole board, and whether that is enough.
    pub(super) fn expected(&self, expectation: &Expectation) -> String {
        let interval = expectation.shimmed;
        if interval.high <= 0.0 {
            return "Nothing of this board is expected to survive flattening in one piece."
                .to_owned();
        }
        let sizes = match self.answer.need {
            Some(need) => vec![need.mm()],
            None => self.telling_sizes(expectation),
        };
        let verdicts: Vec<String> = sizes
            .into_iter()
            .map(|size| self.verdict(expectation, size))
            .collect();
        let shop = expectation.shortfall.map_or(String::new(), |loss| {
            format!(
                ", the shop's own loss of {} reckoned with",
                self.near(loss.mean)
            )
        });
        let comes_out = format!(
            "Comes out at {} ({} to {} nine times in ten){shop}",
            self.thickness(interval.expected),
            self.number(interval.low, Rounding::Down),
            self.number(interval.high, Rounding::Up),
        );
        if verdicts.is_empty() {
            format!("{comes_out}.")
        } else {
            paragraph(&format!("{comes_out}; {}.", verdicts.join(", ")))
        }
    }

    /// How sure a thickness is.
    fn verdict(&self, expectation: &Expectation, size: f64) -> String {
        let chance = expectation.chance(size);
        let word = match chance {
            // What hangs on a doubtful reading is not called safe.
            c if c >= SAFE && expectation.doubted.is_empty() => "safe",
            c if c >= 0.5 => "likely",
            c if c >= 0.1 => "unlikely",
            _ => "out of reach",
        };
        format!(
            "{} is {word} ({}\u{a0}in\u{a0}100)",
            self.place(size),
            hundredths(chance)
        )
    }

    /// The largest usual thickness that the board makes safely, and the next.
    fn telling_sizes(&self, expectation: &Expectation) -> Vec<f64> {
        let sizes = &self.answer.sizes;
        let safe = sizes.partition_point(|size| expectation.chance(size.mm()) >= SAFE);
        let telling = &sizes[safe.saturating_sub(1)..(safe + 1).min(sizes.len())];
        telling.iter().map(|size| size.mm()).collect()
    }

    /// What the readings alone say.
    fn at_readings(&self) -> Option<String> {
        let Ok(found) = &self.answer.flattening else {
            return Some(
                "There is no telling how thick this board comes out; the notes say why.".to_owned(),
            );
        };
        if self.answer.basis == Basis::Expected {
            return None;
        }
        let left = found.shimmed.thickness();
        if left <= 0.0 {
            return Some(
                "At the readings nothing of this board survives flattening in one piece."
                    .to_owned(),
            );
        }
        let answer = format!(
            "At the readings this board comes out at {}, shimmed",
            self.thickness(left)
        );
        Some(match self.answer.need {
            None => format!("{answer}."),
            Some(need) => format!("{answer}: {}.", self.against(need, left)),
        })
    }

    /// How what is left compares with what is needed.
    fn against(&self, need: Length, left: f64) -> String {
        let spare = left - need.mm();
        let enough = spare >= -1e-6;
        let shown = if enough {
            self.number(spare, Rounding::Down)
        } else {
            self.number(-spare, Rounding::Up)
        };
        match enough {
            true if shown == self.number(0.0, Rounding::Down) => "just what you need".to_owned(),
            true => format!("{shown} more than you need"),
            false => format!("{shown} less than you need"),
        }
    }
}

/// A chance from which a thickness counts as safe.
const SAFE: f64 = 0.9;

/// A chance in hundredths; never certain, never hopeless, since the draws are few.
pub(super) fn hundredths(chance: f64) -> u32 {
    ((chance * 100.0).floor() as u32).clamp(1, 99)
}
