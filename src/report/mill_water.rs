//! What a milling plan says of water and of standards.

use super::pen::Pen;
use crate::length::Rounding;
use crate::milling::moisture::{Acclimation, Change, HOUSE_RANGE, Outlook};
use crate::milling::{MEASURED, Milled, StrengthClass};

impl Pen {
    /// What water will do, a sentence an entry.
    pub(super) fn water(self, water: &Outlook) -> Vec<String> {
        let mut told = Vec::new();
        let house = if water.house_said {
            format!("{:.1} % in the house", water.house)
        } else {
            let [low, high] = HOUSE_RANGE;
            format!(
                "{:.0} % in a usual house ({low:.0} to {high:.0})",
                water.house
            )
        };
        let board = water.board.map(|b| format!("{b:.1} % in the board, "));
        let shop = water
            .shop
            .map(|s| format!("{s:.1} % at rest in the shop, "));
        told.push(format!(
            "Moisture: {}{}{house}.",
            board.unwrap_or_default(),
            shop.unwrap_or_default()
        ));
        match water.woods.as_slice() {
            [] => told.push(
                "The wood is not known here, so changes are ranges over all woods in it."
                    .to_owned(),
            ),
            [_] => {}
            woods => told.push(format!("Counted as any of {}.", woods.join(", "))),
        }
        for (change, place) in [
            (water.to_shop, "until it rests in the shop"),
            (water.to_house, "from there to the house"),
        ] {
            if let Some([width, thickness]) = change {
                let place = if water.to_shop.is_none() {
                    "until it rests in the house"
                } else {
                    place
                };
                told.push(format!(
                    "Width changes by {}, thickness by {} {place}.",
                    self.change(width),
                    self.change(thickness)
                ));
            }
        }
        if let Some(cup) = water.cup {
            let side = if cup.high >= 0.0 { "hollow" } else { "crowned" };
            told.push(format!(
                "Its rings would cup it by {}, {side} on the bark side.",
                self.size(cup)
            ));
        }
        told.extend(water.acclimation.map(|a| acclimation(&a)));
        if water.board.is_none() {
            told.push(
                "The board's moisture is not known: say it in the board file, or with --meter."
                    .to_owned(),
            );
        }
        if water.shop.is_none() {
            told.push(
                "The air of the shop is not known: say it under [air] in a shop file.".to_owned(),
            );
        }
        told
    }

    /// A change with its sense.
    fn change(self, change: Change) -> String {
        let number = |mm: f64| {
            let shown = self.number(mm.abs(), Rounding::Nearest);
            let sign = if mm < 0.0 && shown != self.number(0.0, Rounding::Nearest) {
                "-"
            } else {
                ""
            };
            format!("{sign}{shown}")
        };
        let (low, high) = (number(change.low), number(change.high));
        let unit = self.0.unit().symbol();
        if low == high {
            format!("{low} {unit}")
        } else {
            format!("{low} to {high} {unit}")
        }
    }

    /// A size without its sense.
    fn size(self, change: Change) -> String {
        let (a, b) = (change.low.abs(), change.high.abs());
        self.change(Change {
            low: a.min(b),
            high: a.max(b),
        })
    }

    /// Warp beside the standards.
    pub(super) fn standards(self, milled: &Milled) -> Vec<String> {
        let warp = &milled.warp;
        let over = if warp.over < MEASURED {
            format!(
                "over its whole {}, shorter than the standard's 2 m",
                self.place(warp.over)
            )
        } else {
            "over the worst 2 m".to_owned()
        };
        let spring = warp.spring.map_or("spring not read".to_owned(), |s| {
            format!("spring {}", self.near(s))
        });
        let holds = |class: StrengthClass| {
            let unread = if warp.spring.is_none() {
                ", spring aside"
            } else {
                ""
            };
            if class.holds(warp, milled.outline.width) {
                format!("kept{unread}")
            } else {
                "not kept".to_owned()
            }
        };
        let mut told = vec![
            format!(
                "By EN 1310, {over}: bow {}, {spring}, twist {}; cup {} over the width.",
                self.near(warp.bow),
                self.near(warp.twist),
                self.near(warp.cup)
            ),
            format!(
                "Limits of EN 14081-1 (from memory): up to C18 {}; above C18 {}.",
                holds(StrengthClass::UpToC18),
                holds(StrengthClass::AboveC18)
            ),
        ];
        told.extend(milled.surfaced.map(|(quarters, size)| {
            let expected = milled.pieces.first().map_or(0.0, |(piece, _)| {
                piece
                    .survives
                    .map_or(piece.flattening.shimmed.thickness(), |s| s.shimmed.expected)
            });
            let meets = if expected >= size - 1e-6 {
                "expected to"
            } else {
                "not expected to"
            };
            format!(
                "As {quarters}/4 hardwood it should surface both sides to {}: {meets}.",
                self.place(size)
            )
        }));
        told
    }
}

/// How far a board has come to rest.
fn acclimation(found: &Acclimation) -> String {
    let gone = found.gone.map_or(String::new(), |gone| {
        format!(
            "{:.0} % of the way to {:.1} % is gone; ",
            100.0 * gone.min(1.0),
            found.rest
        )
    });
    match found.days_left {
        Some(0.0) => format!(
            "By the meter it has come to rest: it is within 1 % of {:.1} %.",
            found.rest
        ),
        Some(days) => format!(
            "By the meter {gone}{:.1} % are still to go, about {} more days at this pace.",
            found.away.abs(),
            days.ceil()
        ),
        None => format!(
            "By the meter {gone}it does not come nearer to {:.1} %: check the air of the shop, and the meter.",
            found.rest
        ),
    }
}
