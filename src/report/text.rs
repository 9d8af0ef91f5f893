//! The answer for a person at a bench: the first line answers, then why, then the detail.

use super::headline::hundredths;
use super::lines::{item, paragraph, table};
use super::page::Page;
use super::words::{self, face_name};
use crate::cutting::CutOnce;
use crate::flatten::{Answer, Basis, Expectation, Flattening, Interval, Laying, Removal, Way};
use crate::length::{Notation, Rounding};
use crate::readings::Face;
use crate::warp::Figure;

/// The answer as text, 80 columns wide, lengths in `notation`: thicknesses rounded down, what comes off rounded up. `cut` is
/// the crosscut that would pay before flattening.
#[must_use]
pub fn text(answer: &Answer, cut: Option<&CutOnce>, notation: Notation) -> String {
    let page = Page::new(answer, cut, notation);
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
    let notes: Vec<String> = words::all(&page).iter().map(|n| item(n)).collect();
    if !notes.is_empty() {
        parts.push(format!("Notes\n{}", notes.join("\n")));
    }
    parts.push(paragraph(CAUTION));
    parts.join("\n\n") + "\n"
}

/// The board's name and the first line that answers, in one line, for many boards under each other.
#[must_use]
pub fn first_line(answer: &Answer, cut: Option<&CutOnce>, notation: Notation) -> String {
    let lines = Page::new(answer, cut, notation).headlines();
    let first = lines.first().map_or("", String::as_str).replace('\n', " ");
    format!("{}: {first}", answer.name)
}

/// Common practice.
const CAUTION: &str = "A prediction is no permission: look again at each machine. Nothing that rocks or is under \
    12 in (305 mm) long goes over a jointer or planer; the machine's manual and local rules come first.";

impl Page<'_> {
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
        let row = |name: &str, figure: Option<Figure>, high: &str, low: &str| {
            let Some(Figure { value, error, .. }) = figure else {
                return format!("  {name:<9}not told");
            };
            let shown = self.near(value.abs());
            let error = error.map_or(String::new(), |e| {
                format!("± {}", self.number(e, Rounding::Up))
            });
            let sense = match value {
                _ if shown == self.near(0.0) => "",
                v if v > 0.0 => high,
                _ => low,
            };
            format!("  {name:<9}{shown:<10} {error:<8} {sense}")
                .trim_end()
                .to_owned()
        };
        let warp = &answer.warp;
        let mut rows = vec![
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
                "end B far, end A near corners are high",
                "end B near, end A far corners are high",
            ),
        ];
        if warp.crook.is_some() {
            let towards = [
                "the middle lies towards the far edge",
                "the middle lies towards the near edge",
            ];
            rows.push(row("crook", warp.crook, towards[0], towards[1]));
        }
        rows.push(format!(
            "  {:<9}{:<10} {:<8} rough or kinked: departs so far on average",
            "the rest",
            self.off(warp.residual_rms),
            ""
        ));
        if let Some(width) = answer.jointed {
            rows.push(paragraph(&format!(
                "Jointed straight and parallel it comes out {} wide ({} to {} nine times in ten).",
                self.thickness(width.expected),
                self.number(width.low, Rounding::Down),
                self.number(width.high, Rounding::Up)
            )));
        }
        rows.join("\n")
    }

    fn ways(&self, found: &Flattening) -> String {
        let expectation = self.answer.expectation.as_ref().ok();
        let read = self.answer.basis == Basis::Readings;
        let row = |laying: &Laying, interval: fn(&Expectation) -> Interval| {
            let mut row = vec![match laying.way {
                Way::Shimmed => "shimmed: most is left".to_owned(),
                Way::Balanced => {
                    format!("balanced: {} face first", face_name(laying.first))
                }
                Way::AsLaid => {
                    format!("as laid: {} face on the table", face_name(laying.first))
                }
            }];
            if read {
                row.push(self.thickness(laying.thickness()));
            }
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
        let mut head = vec![""];
        if read {
            head.push("readings");
        }
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
        let what = match self.answer.basis {
            Basis::Readings => "readings",
            Basis::Expected => "places of the expected faces",
        };
        let intro = format!(
            "What holds it: at these {} {what} the finished planes touch rough wood, and no way of laying gets \
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
