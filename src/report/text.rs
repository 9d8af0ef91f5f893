//! The answer for a person at a bench: the first line answers, then why, then the detail.

use super::lines::{item, paragraph, table};
use super::words::{self, face_name};
use crate::flatten::{Answer, Expectation, Flattening, Interval, Laying, Removal, Way};
use crate::length::{Length, Notation, Rounding};
use crate::readings::Face;

/// The answer as text, 80 columns wide, lengths in `notation`: thicknesses rounded down, what comes off rounded up.
#[must_use]
pub fn text(answer: &Answer, notation: Notation) -> String {
    let page = Page { answer, notation };
    let mut parts = vec![page.headlines().join("\n")];
    parts.push(page.warp());
    if let Ok(found) = &answer.flattening
        && found.shimmed.thickness() > 0.0
    {
        parts.push(page.ways(found));
        parts.extend(page.shims());
        parts.push(page.holding(found));
        parts.extend(answer.removal.as_ref().map(|r| page.removal(r)));
        parts.push(page.sizes());
    }
    let notes: Vec<String> = words::all(answer, notation)
        .iter()
        .map(|n| item(n))
        .collect();
    if !notes.is_empty() {
        parts.push(format!("Notes\n{}", notes.join("\n")));
    }
    parts.push(paragraph(CAUTION));
    parts.join("\n\n") + "\n"
}

/// Common practice.
const CAUTION: &str = "A prediction is no permission: look again at each machine. Nothing that rocks or is under \
    12 in (305 mm) long goes over a jointer or planer; the machine's manual and local rules come first.";

struct Page<'a> {
    answer: &'a Answer,
    notation: Notation,
}

impl Page<'_> {
    fn thickness(&self, mm: f64) -> String {
        self.notation.write(Length::from_mm(mm), Rounding::Down)
    }

    fn off(&self, mm: f64) -> String {
        self.notation.write(Length::from_mm(mm), Rounding::Up)
    }

    fn near(&self, mm: f64) -> String {
        self.notation.write(Length::from_mm(mm), Rounding::Nearest)
    }

    fn number(&self, mm: f64, rounding: Rounding) -> String {
        self.notation.number(Length::from_mm(mm), rounding)
    }

    /// A place, or a size by its name: closing zeros would claim a fineness that it has no need of.
    fn bare_place(&self, mm: f64) -> String {
        let number = self.number(mm, Rounding::Nearest);
        match number.split_once('.') {
            Some(_) => number
                .trim_end_matches('0')
                .trim_end_matches('.')
                .to_owned(),
            None => number,
        }
    }

    fn place(&self, mm: f64) -> String {
        format!("{} {}", self.bare_place(mm), self.notation.unit().symbol())
    }

    /// The lines that answer: what is expected first, where anything is, then what the readings alone say.
    fn headlines(&self) -> Vec<String> {
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
        let left_out = match doubted {
            0 => None,
            1 => Some(
                "That leaves out a doubtful reading: take it again first, see Notes.".to_owned(),
            ),
            n => Some(format!(
                "That leaves out {n} doubtful readings: take them again first, see Notes."
            )),
        };
        expected
            .into_iter()
            .chain(left_out)
            .chain([self.at_readings()])
            .collect()
    }

    /// What is expected of the whole board, and whether that is enough.
    fn expected(&self, expectation: &Expectation) -> String {
        let interval = expectation.shimmed;
        if interval.high <= 0.0 {
            return "Nothing of this board is expected to survive flattening in one piece."
                .to_owned();
        }
        let size = match self.answer.need {
            Some(need) => Some(need.mm()),
            None => self.safe_size(expectation),
        };
        let verdict = size.map_or(String::new(), |size| {
            let chance = expectation.chance(size);
            let word = match chance {
                // What leaves out a reading that may be right is not called safe.
                c if c >= SAFE && expectation.doubted.is_empty() => "safe",
                c if c >= 0.5 => "likely",
                c if c >= 0.1 => "unlikely",
                _ => "out of reach",
            };
            format!(
                "; {} is {word} ({} in 100)",
                self.place(size),
                hundredths(chance)
            )
        });
        format!(
            "Comes out at {} ({} to {} nine times in ten){verdict}.",
            self.thickness(interval.expected),
            self.number(interval.low, Rounding::Down),
            self.number(interval.high, Rounding::Up),
        )
    }

    /// The largest usual thickness that the board makes safely.
    fn safe_size(&self, expectation: &Expectation) -> Option<f64> {
        let sizes = self.answer.makes.iter().map(|s| s.mm());
        sizes
            .into_iter()
            .find(|size| expectation.chance(*size) >= SAFE)
    }

    /// What the readings alone say.
    fn at_readings(&self) -> String {
        let Ok(found) = &self.answer.flattening else {
            return "There is no telling how thick this board comes out; the notes say why."
                .to_owned();
        };
        let left = found.shimmed.thickness();
        if left <= 0.0 {
            return "At the readings nothing of this board survives flattening in one piece."
                .to_owned();
        }
        let answer = format!(
            "At the readings this board comes out at {}, shimmed",
            self.thickness(left)
        );
        match self.answer.need {
            None => format!("{answer}."),
            Some(need) => format!("{answer}: {}.", self.against(need, left)),
        }
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

    fn warp(&self) -> String {
        let answer = self.answer;
        let size = format!(
            "{}: {} long, {} wide, {} reading{}. Its up face has",
            answer.name,
            self.place(answer.outline.length),
            self.place(answer.outline.width),
            answer.readings,
            if answer.readings == 1 { "" } else { "s" }
        );
        let row = |name: &str, value: Option<f64>, high: &str, low: &str| {
            let shown = value.map_or("not told".to_owned(), |v| self.near(v.abs()));
            let sense = match value {
                Some(v) if self.near(v.abs()) != self.near(0.0) => {
                    if v > 0.0 {
                        high
                    } else {
                        low
                    }
                }
                _ => "",
            };
            format!("  {name:<9}{shown:<11} {sense}")
                .trim_end()
                .to_owned()
        };
        let warp = &answer.warp;
        [
            paragraph(&size),
            row(
                "cup",
                warp.cup,
                "crowned: the middle of the width is high",
                "hollow: the middle of the width is low",
            ),
            row(
                "bow",
                warp.bow,
                "crowned: the middle of the length is high",
                "hollow: the middle of the length is low",
            ),
            row(
                "twist",
                warp.twist,
                "end B far and end A near corners are high",
                "end B near and end A far corners are high",
            ),
            format!(
                "  {:<9}{:<11} rough or kinked: departs so far on average",
                "the rest",
                self.off(warp.residual_rms)
            ),
        ]
        .join("\n")
    }

    fn ways(&self, found: &Flattening) -> String {
        let expectation = self.answer.expectation.as_ref().ok();
        let row = |laying: &Laying, interval: fn(&Expectation) -> Interval| {
            let mut row = vec![
                match laying.way {
                    Way::Shimmed => "shimmed: most is left".to_owned(),
                    Way::Balanced => {
                        format!("balanced: {} face first", face_name(laying.first))
                    }
                    Way::AsLaid => {
                        format!("as laid: {} face on the table", face_name(laying.first))
                    }
                },
                self.thickness(laying.thickness()),
            ];
            if let Some(interval) = expectation.map(interval) {
                row.push(self.thickness(interval.expected));
                row.push(format!(
                    "{} to {}",
                    self.number(interval.low, Rounding::Down),
                    self.number(interval.high, Rounding::Up)
                ));
            }
            row
        };
        let mut head = vec!["", "readings"];
        if expectation.is_some() {
            head.extend(["expected", "9 in 10"]);
        }
        let rows = [
            head.into_iter().map(str::to_owned).collect(),
            row(&found.shimmed, |e| e.shimmed),
            row(&found.balanced, |e| e.balanced),
            row(&found.as_laid, |e| e.as_laid),
        ];
        format!(
            "Three ways to lay it, and what each leaves\n{}\n{}",
            table(&rows),
            paragraph(&format!(
                "Shimmed, at most {} comes off the up face and {} off the down face.",
                self.off(found.shimmed.most_off_up),
                self.off(found.shimmed.most_off_down)
            ))
        )
    }

    fn shims(&self) -> Option<String> {
        let shims = &self.answer.shims;
        if shims.is_empty() {
            return None;
        }
        let mut rows = vec![
            ["from end A", "near edge", "far edge"]
                .map(str::to_owned)
                .to_vec(),
        ];
        for shim in shims {
            rows.push(vec![
                self.place(shim.station - self.answer.outline.x0),
                self.near(shim.near),
                self.near(shim.far),
            ]);
        }
        Some(format!(
            "Shims for the shimmed way, down face on the sled, up face cut first\n{}",
            table(&rows)
        ))
    }

    fn holding(&self, found: &Flattening) -> String {
        let points = &found.holding_points;
        let mut rows = vec![["", "station", "position"].map(str::to_owned).to_vec()];
        for held in points {
            rows.push(vec![
                format!("{} face", face_name(held.face)),
                self.place(held.point[0]),
                self.place(held.point[1]),
            ]);
        }
        let intro = format!(
            "What holds it: at these {} readings the finished planes touch rough wood, and no way of laying gets \
             past them. A crosscut or rip there would leave the rest thicker.",
            points.len()
        );
        format!("{}\n{}", paragraph(&intro), table(&rows))
    }

    fn removal(&self, removal: &Removal) -> String {
        let unit = self.notation.unit().symbol();
        let map = |face: Face, values: &[Vec<f64>]| {
            let mut rows = vec![
                std::iter::once(format!("{} face", face_name(face)))
                    .chain(removal.stations.iter().map(|&x| self.bare_place(x)))
                    .collect::<Vec<String>>(),
            ];
            // The far edge on top, as the board is seen from the near edge.
            for (y, row) in removal.positions.iter().zip(values).rev() {
                rows.push(
                    std::iter::once(self.bare_place(*y))
                        .chain(row.iter().map(|&v| self.number(v, Rounding::Up)))
                        .collect(),
                );
            }
            table(&rows)
        };
        format!(
            "What comes off where, shimmed ({unit}; end A at the left, far edge on top)\n{}\n\n{}",
            map(Face::Up, &removal.up),
            map(Face::Down, &removal.down)
        )
    }

    fn sizes(&self) -> String {
        let expectation = self.answer.expectation.as_ref().ok();
        let shown: Vec<String> = self
            .answer
            .makes
            .iter()
            .take(4)
            .map(|s| {
                let size = self.place(s.mm());
                let chance = expectation.map(|e| hundredths(e.chance(s.mm())));
                chance.map_or(size.clone(), |c| format!("{size} ({c} in 100)"))
            })
            .collect();
        if shown.is_empty() {
            "It makes none of the usual thicknesses.".to_owned()
        } else {
            paragraph(&format!(
                "Usual thicknesses that it makes: {}.",
                shown.join(", ")
            ))
        }
    }
}

/// A chance from which a thickness counts as safe.
const SAFE: f64 = 0.9;

/// A chance in hundredths; never certain, never hopeless, since the draws are few.
fn hundredths(chance: f64) -> u32 {
    ((chance * 100.0).floor() as u32).clamp(1, 99)
}
