//! Whether to cut a board first, for a person at a bench: the first line answers.

use super::headline::hundredths;
use super::lines::{item, paragraph, table};
use super::notes::shop_unknown;
use super::pen::Pen;
use super::refusals::beyond_machines;
use crate::cutting::{CutFirst, CutKind, Movement, Way, WayKind};
use crate::flatten::{Interval, Note};
use crate::length::{Notation, Rounding};
use crate::shop::Shop;

/// The answers as text, 80 columns wide, lengths in `notation`; cuts as distances from end A, rips from the near edge. `losses` is
/// what the shop's book says, by wood where that differs.
#[must_use]
pub fn cut_first(
    answers: &[CutFirst],
    shop: &Shop,
    losses: &[(Option<String>, Note)],
    notation: Notation,
) -> String {
    let (mut parts, mut notes) = (Vec::new(), Vec::new());
    for answer in answers {
        let sheet = Sheet::new(answer, notation);
        parts.extend([sheet.headline(), sheet.ways()]);
        parts.extend(answer.best.map(|best| sheet.pieces(&answer.ways[best])));
        parts.push(sheet.by_length());
        for note in sheet.notes(shop) {
            // What holds for several boards is said once.
            if !notes.contains(&note) {
                notes.push(note);
            }
        }
    }
    notes.extend(shop_losses(losses, Pen(notation)));
    let notes: Vec<String> = notes.iter().map(|note| item(note)).collect();
    parts.push(format!("Notes\n{}", notes.join("\n")));
    parts.join("\n\n") + "\n"
}

/// One answer, and how its reader writes lengths.
pub(super) struct Sheet<'a> {
    pub(super) answer: &'a CutFirst,
    pub(super) pen: Pen,
}

impl<'a> Sheet<'a> {
    pub(super) fn new(answer: &'a CutFirst, notation: Notation) -> Self {
        let pen = Pen(notation);
        Self { answer, pen }
    }
}

impl Sheet<'_> {
    /// What to do, in one line.
    pub(super) fn headline(&self) -> String {
        let whole = &self.answer.ways[0];
        let whole_makes = match self.answer.size(whole) {
            Some(size) => format!("whole, {}", self.sure(whole, size)),
            None => "whole, none of the usual thicknesses".to_owned(),
        };
        let line = match self.answer.best {
            Some(best) => {
                let way = &self.answer.ways[best];
                let size = self.answer.size(way).unwrap_or(0.0);
                format!(
                    "{}: {} come out at {} or more ({}\u{a0}in\u{a0}100); {whole_makes}.",
                    self.order(way),
                    every_piece(way.pieces.len()),
                    self.pen.place(size),
                    hundredths(way.chance(size))
                )
            }
            None => format!(
                "Flatten {} whole: no cut tried makes a thicker usual size of every piece; {whole_makes}.",
                self.answer.name
            ),
        };
        paragraph(&line)
    }

    /// What to do, as one would say it.
    fn order(&self, way: &Way) -> String {
        let places: Vec<String> = way.cuts.iter().map(|c| self.at(c.kind, c.at)).collect();
        let places = places.join(" and ");
        match way.kind {
            WayKind::Whole => "Leave it whole".to_owned(),
            WayKind::Lengths(n) => format!("Cut it into {n} equal lengths, at {places} from end A"),
            WayKind::Uneven(2) => format!("Cut once at {places} from end A"),
            WayKind::Uneven(_) => format!("Cut at {places} from end A"),
            WayKind::Widths(n) => {
                format!(
                    "Rip it into {n} equal widths, at {places} from the near edge, flatten and reglue"
                )
            }
        }
    }

    fn name(&self, way: &Way) -> String {
        match way.kind {
            WayKind::Whole => "whole".to_owned(),
            WayKind::Lengths(n) => format!("{n} equal lengths"),
            WayKind::Uneven(_) => {
                // The unit once: with two places a line is as long as a terminal is wide.
                let places = way.cuts.iter().map(|c| c.at - self.answer.outline.x0);
                let places: Vec<String> = places.map(|at| self.pen.bare_place(at)).collect();
                let unit = self.pen.0.unit().symbol();
                format!("cut at {} {unit}", places.join(", "))
            }
            WayKind::Widths(n) => format!("{n} widths, reglued"),
        }
    }

    fn at(&self, kind: CutKind, at: f64) -> String {
        let outline = &self.answer.outline;
        let start = match kind {
            CutKind::Crosscut => outline.x0,
            CutKind::Rip => outline.y0,
        };
        self.pen.place(at - start)
    }

    fn sure(&self, way: &Way, size: f64) -> String {
        format!(
            "{} ({}\u{a0}in\u{a0}100)",
            self.pen.place(size),
            hundredths(way.chance(size))
        )
    }

    fn span(&self, interval: Interval) -> String {
        let [low, high] = [
            (interval.low, Rounding::Down),
            (interval.high, Rounding::Up),
        ]
        .map(|(mm, rounding)| self.pen.number(mm, rounding));
        format!("{low} to {high}")
    }

    fn ways(&self) -> String {
        let mut rows = vec![
            ["", "expected", "9 in 10", "makes", "lost"]
                .map(str::to_owned)
                .to_vec(),
        ];
        for way in &self.answer.ways {
            let makes = self.answer.size(way);
            rows.push(vec![
                self.name(way),
                self.pen.thickness(way.thinnest.expected),
                self.span(way.thinnest),
                makes.map_or("-".to_owned(), |size| {
                    format!(
                        "{} ({})",
                        self.pen.bare_place(size),
                        hundredths(way.chance(size))
                    )
                }),
                format!("{:.1} %", 100.0 * way.lost),
            ]);
        }
        let certainty = hundredths(self.answer.question.certainty);
        format!(
            "{}\n{}",
            paragraph(&format!(
                "{}: what each way leaves, the thinnest piece counting; the usual thickness that it makes of every piece \
                 {certainty} times in 100 or more; the share of the face lost to the saw, end trim and jointing",
                self.answer.name
            )),
            table(&rows)
        )
    }

    fn pieces(&self, way: &Way) -> String {
        let outline = &self.answer.outline;
        let mut rows = vec![
            ["from", "to", "expected", "9 in 10"]
                .map(str::to_owned)
                .to_vec(),
        ];
        for piece in &way.pieces {
            let window = &piece.window;
            let (from, to) = match way.kind {
                WayKind::Widths(_) => (window.near - outline.y0, window.far - outline.y0),
                _ => (window.from - outline.x0, window.to - outline.x0),
            };
            rows.push(vec![
                self.pen.place(from),
                self.pen.place(to),
                self.pen.thickness(piece.interval.expected),
                self.span(piece.interval),
            ]);
        }
        let along = match way.kind {
            WayKind::Widths(_) => "from the near edge",
            _ => "from end A",
        };
        format!("{}, {along}\n{}", self.name(way), table(&rows))
    }

    fn by_length(&self) -> String {
        let start = self.answer.outline.x0;
        let mut rows = vec![
            ["length", "from end A", "expected", "9 in 10"]
                .map(str::to_owned)
                .to_vec(),
        ];
        for piece in &self.answer.by_length {
            rows.push(vec![
                self.pen.place(piece.window.length()),
                self.pen.place(piece.window.from - start),
                self.pen.thickness(piece.interval.expected),
                self.span(piece.interval),
            ]);
        }
        format!(
            "Thickness against length: the best piece of each length, and where it begins\n{}",
            table(&rows)
        )
    }

    pub(super) fn notes(&self, shop: &Shop) -> Vec<String> {
        let question = &self.answer.question;
        let of_way = |way: &Way| {
            let each = way.pieces.iter();
            let why = each.map(|piece| self.answer.beyond_machines(piece, shop));
            let why = why.max_by_key(Vec::len).unwrap_or_default();
            (self.name(way), why)
        };
        let beyond: Vec<_> = self.answer.ways.iter().map(of_way).collect();
        let of = format!(" of {}", self.answer.name);
        let mut notes = beyond_machines(self.pen, &of, &beyond);
        notes.push(movement(question.movement));
        if let Some(best) = self.answer.best
            && matches!(self.answer.ways[best].kind, WayKind::Widths(_))
        {
            notes.push("A rip costs its kerf, jointing and a glue line, and the glued panel is flattened once more.".to_owned());
        }
        notes
    }
}

fn every_piece(count: usize) -> String {
    if count == 2 {
        "both pieces".to_owned()
    } else {
        format!("all {count} pieces")
    }
}

/// What the shop's book says, by wood where that differs.
pub(super) fn shop_losses(losses: &[(Option<String>, Note)], pen: Pen) -> Option<String> {
    let (_, first) = losses.first()?;
    let boards = match *first {
        Note::ShopLoss { mean, boards } if losses.len() == 1 => {
            return Some(pen.shop_loss(mean, boards));
        }
        Note::ShopLoss { boards, .. } => boards,
        Note::ShopUnknown { boards, of } => return Some(shop_unknown(boards, of)),
        _ => return None,
    };
    let each = losses.iter().filter_map(|(wood, note)| {
        let Note::ShopLoss { mean, .. } = note else {
            return None;
        };
        let wood = wood.as_deref().unwrap_or("others");
        Some(format!("{wood} {}", pen.near(*mean)))
    });
    Some(format!(
        "The shop's own loss, learnt from {boards} boards in the book, is reckoned with in every thickness and chance: {}; \
         --without-loss leaves it out.",
        each.collect::<Vec<_>>().join(", ")
    ))
}

/// How wood is taken to move when it is cut.
pub(super) fn movement(movement: Movement) -> String {
    // Fixed units: it is far below what a rule shows.
    let both = |mm: f64| format!("{mm} mm ({:.3} in)", mm / 25.4);
    format!(
        "Cutting sets tension free: to each piece is added a random bow of {} on a metre of length and a cup of {} on \
         200 mm of width (one standard deviation, our assumption), growing with the square of its size. Cut rough, let the \
         pieces rest, read them again.",
        both(movement.bow),
        both(movement.cup)
    )
}
