//! The sentences for what an answer notes, each with its remedy.

use super::lay_words;
use super::lines::paragraph;
use super::page::Page;
use super::pen::Pen;
use super::words::face_name;
use crate::board::{Assumption, Side};
use crate::flatten::Note;
use crate::length::Notation;
use crate::readings::Face;
use crate::surface::scan::{Roughness, Told};

impl Page<'_> {
    /// What a note says.
    pub(super) fn note(&self, note: Note) -> String {
        match note {
            Note::Assumed(Assumption::EndsAtReadings(side)) => format!(
                "The {} readings do not start at zero; the board is taken to end where they do. If it is {}, \
                 say so with {}.",
                match side {
                    Side::Length => "first",
                    Side::Width => "nearest",
                },
                match side {
                    Side::Length => "longer",
                    Side::Width => "wider",
                },
                option(side),
            ),
            Note::Assumed(Assumption::Centred(side)) => format!(
                "The readings do not lie between zero and {}, so they are taken to lie in the middle of the \
                 board's {}.",
                option(side),
                named(side),
            ),
            Note::NoCup => "Cup cannot be told from fewer than three positions across the width: read the middle \
                            too."
                .to_owned(),
            Note::NoBow => "Bow cannot be told from fewer than three stations along the length: read the middle \
                            too."
                .to_owned(),
            Note::NoTwist => {
                "Twist cannot be told from these readings: read near both edges at both ends.".to_owned()
            }
            Note::Kinked(kink) => format!(
                "Kink at station {}: the up face bends sharply there and stands {} {} than its bow explains. A \
                 crosscut there leaves two straighter pieces.",
                self.place(kink.station),
                self.near(kink.height.abs()),
                if kink.height > 0.0 { "higher" } else { "lower" },
            ),
            Note::Thin(spot) => format!(
                "Thin spot at {}: about {} thinner than the board round about.",
                self.spot(spot.place),
                self.near(spot.by),
            ),
            Note::NoHeights => "No heights were read, so nothing is said of the readings alone; shims and what comes \
                                off are those of the expected faces."
                .to_owned(),
            Note::FewThicknesses(count) => format!(
                "The thickness was read at {count} place{} only, so its changing over the board is guessed: read it \
                 with a caliper at least at the four corners and in the middle of both edges.",
                if count == 1 { "" } else { "s" }
            ),
            Note::Unread { count, of, first } => format!(
                "Of the grid's {of} places {count} {} not read, the first at {}. If a number is missing from a row \
                 there, those after it stand at the wrong stations.",
                if count == 1 { "was" } else { "were" },
                self.spot(first),
            ),
            Note::FewReadings(count) => format!(
                "There {} only {count} reading{}, so the interval is wide: read at least both edges and the middle at \
                 three stations, better at five.",
                if count == 1 { "is" } else { "are" },
                if count == 1 { "" } else { "s" },
            ),
            Note::OneLine(side) => {
                let (what, more) = match side {
                    Side::Length => ("at one station", "at both ends too"),
                    Side::Width => ("on one line along the board", "along both edges too"),
                };
                format!(
                    "All heights of the up face were read {what}, so the interval is wide: read {more}."
                )
            }
            Note::Beyond(side, share) => format!(
                "The heights reach over {} % of the board's {} only; beyond them the wood is guessed and the \
                 interval wider: read near {} too.",
                (share * 100.0).floor(),
                named(side),
                match side {
                    Side::Length => "both ends",
                    Side::Width => "both edges",
                }
            ),
            Note::ReadInPart(face, side, share) => format!(
                "The {} face was read over only {} % of the {} over which the other was; beyond that its wood is \
                 unknown and not counted at the readings.",
                face_name(face),
                (share * 100.0).floor(),
                named(side),
            ),
            Note::RestsElsewhere(taken) => format!(
                "For {} the wood between stands higher than where it was held, so it is taken to rest there. Two \
                 equal blocks or pads under it make such a reading surer.",
                self.reading(taken.what, taken.place)
            ),
            Note::Levelled(count) => format!(
                "{count} heights were read over another datum; at the readings they are brought to the first by \
                 least squares, the expected thickness carries what that leaves open."
            ),
            Note::Laid(laid) => lay_words::laid(&laid, **self),
            Note::Rough(face, roughness) => self.roughness(face, &roughness),
            Note::Spikes(face, spikes) => format!(
                "Of the points of the {} face {:.1} in 100 stand far off those round about and are left out of what is \
                 expected; at {} it is {:.0} in 100. The readings as such count them all.",
                face_name(face),
                100.0 * spikes.share,
                self.spot(spikes.place),
                100.0 * spikes.share_there,
            ),
            Note::Pits(face, pits) => format!(
                "Holes or gouges take {:.1} in 100 of the {} face, half of them {} or more under the wood round about, most at {}. \
                 What is expected does not plane down to their bottom: avoid those places or fill them.",
                100.0 * pits.share,
                face_name(face),
                self.near(pits.depth),
                self.spot(pits.place),
            ),
            Note::Unscanned(face, unread) => format!(
                "The scan of the {} face has no points over {:.0} % of it, most round about {}; there the wood is guessed \
                 and the interval wider: scan it again there.",
                face_name(face),
                (100.0 * unread.share).max(1.0),
                self.spot(unread.place),
            ),
            Note::Rocks(other) => format!(
                "Laid on a flat table the board rocks between two ways of lying; if it tips to the other, {} is \
                 left.",
                self.thickness(other)
            ),
            Note::BalancingLeavesLess(by) => format!(
                "Taking least off the first face leaves {} less than letting the board settle: it is thicker at one \
                 end or edge, and the second face pays for it.",
                self.off(by)
            ),
            Note::NothingSurvives(by) => format!(
                "Nothing survives flattening in one piece: the two finished planes cross by {} or so. Shorter or \
                 narrower pieces may still come out.",
                self.off(by)
            ),
            Note::OneThickness => "The thickness is one number for the whole board, so the expected thickness allows \
                                   for its changing from place to place; caliper readings along both edges would \
                                   narrow it."
                .to_owned(),
            Note::Sags(by) => format!(
                "On its two ends alone this board would sag by about {}, and readings taken so would show that as bow. \
                 Support it at 2/9 of its length from each end, or all along.",
                self.near(by)
            ),
            Note::ShopLoss { mean, boards } => self.shop_loss(mean, boards),
            Note::ShopUnknown { boards, of } => shop_unknown(boards, of),
        }
    }
}

impl Page<'_> {
    /// How rough a scanned face is.
    fn roughness(&self, face: Face, roughness: &Roughness) -> String {
        let told = match roughness.told {
            Told::Neighbours => "told from the sensor's noise by neighbouring points",
            Told::Stated => "what the stated error of a height leaves",
            Told::Open => {
                "not told from the sensor's noise: say --error if you know it, or scan with points 1 mm apart; until then \
                 the usual roughness of sawn wood is reckoned with, and the interval is wider"
            }
        };
        format!(
            "The {} face is rough by {} (noise {}; standard deviations), {told}. What is expected cleans up all but 1 in 1000 \
             of it, {} under its mean.",
            face_name(face),
            self.fine(roughness.sd),
            self.fine(roughness.noise),
            self.fine(roughness.depth),
        )
    }
}

/// What a note says of the shop's own loss, as a paragraph; nothing of another note.
#[must_use]
pub fn of_the_shop(note: Note, notation: Notation) -> Option<String> {
    Pen(notation).of_the_shop(note).map(|told| paragraph(&told))
}

impl Pen {
    /// What a note says of the shop's own loss; nothing of another note.
    pub(super) fn of_the_shop(self, note: Note) -> Option<String> {
        match note {
            Note::ShopLoss { mean, boards } => Some(self.shop_loss(mean, boards)),
            Note::ShopUnknown { boards, of } => Some(shop_unknown(boards, of)),
            _ => None,
        }
    }

    /// That the shop's own loss is in what is expected.
    pub(super) fn shop_loss(self, mean: f64, boards: usize) -> String {
        format!(
            "The shop's own loss of {}, learnt from {boards} boards in the book, is reckoned with in what is expected, its \
             interval and chances; --without-loss leaves it out.",
            self.near(mean)
        )
    }
}

/// That the shop's own loss is not learnt yet.
pub(super) fn shop_unknown(boards: usize, of: usize) -> String {
    format!(
        "The book holds {boards} of the {of} boards, milled and recorded, from which the shop's own loss is learnt; \
         until then nothing of it is reckoned with here."
    )
}

fn named(side: Side) -> &'static str {
    match side {
        Side::Length => "length",
        Side::Width => "width",
    }
}

fn option(side: Side) -> &'static str {
    match side {
        Side::Length => "--length",
        Side::Width => "--width",
    }
}
