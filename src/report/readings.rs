//! Readings in words: what was read where, what does not fit, what to read next.

use super::page::Page;
use super::words::face_name;
use crate::flatten::{Doubted, Wanted};
use crate::length::Rounding;
use crate::readings::{Edge, Run};
use crate::surface::{Candidate, What};

impl Page<'_> {
    /// What was read, with its place.
    pub(super) fn reading(&self, what: What, place: [f64; 2]) -> String {
        let at = self.spot(place);
        match what {
            What::Height(face) => format!("the height of the {} face at {at}", face_name(face)),
            What::Thickness => format!("the thickness at {at}"),
            What::Straightedge(face, run) => {
                let runs = match run {
                    Run::Along => "along",
                    Run::Across => "across",
                    Run::Aslant => "aslant on",
                };
                format!(
                    "the gap under the straightedge {runs} the {} face at {at}",
                    face_name(face)
                )
            }
            What::Sticks(face) => {
                format!(
                    "the sliver over the winding sticks on the {} face about {at}",
                    face_name(face)
                )
            }
            What::Corner => format!("the gap under the corner at {at}"),
            What::Edge(edge) => {
                let name = if edge == Edge::Near { "near" } else { "far" };
                format!(
                    "the gap to the string along the {name} edge at station {}",
                    self.place(place[0])
                )
            }
        }
    }

    /// A reading that does not fit, and what to do.
    pub(super) fn doubted(&self, d: &Doubted) -> String {
        let off = (d.reading - d.expected).abs();
        let [x, y] = d.place.map(|mm| self.number(mm, Rounding::Nearest));
        format!(
            "Read again: {} is {}, {} off what the other readings expect ({}). The expected thickness counts it only so \
             far as it may be right; --without \"{x}, {y}\" leaves it out of everything.",
            self.reading(d.what, d.place),
            self.near(d.reading),
            self.near(off),
            self.near(d.expected),
        )
    }

    /// The reading that would tell most; nothing where nothing is left to tell.
    pub(super) fn read_next(&self, wanted: &Wanted) -> Option<String> {
        let (now, then) = (self.near(wanted.now), self.near(wanted.then));
        let what = self.candidate(&wanted.reading);
        if now == self.near(0.0) {
            return None;
        }
        Some(if now == then {
            format!("No single reading would narrow ± {now} by much; the most telling is {what}.")
        } else {
            format!("To be surer, read next {what}: that would narrow ± {now} to about ± {then}.")
        })
    }

    /// A reading that could be taken.
    pub(super) fn candidate(&self, candidate: &Candidate) -> String {
        let Candidate { what, place, ends } = candidate;
        let [from, to] = ends;
        let at = self.about_station(place[0]);
        let across = self.position(place[1]);
        match what {
            What::Thickness => format!("the thickness, with a caliper, at {at}, {across}"),
            What::Height(face) => {
                format!(
                    "the height of the {} face at {at}, {across}",
                    face_name(*face)
                )
            }
            What::Straightedge(face, Run::Across) => format!(
                "the gap under a straightedge across the {} face at {at}",
                face_name(*face)
            ),
            What::Straightedge(face, _) => format!(
                "the gap under a straightedge along the {} face, {across}, at {at}",
                face_name(*face)
            ),
            What::Sticks(face) => format!(
                "winding sticks on the {} face at {} and {}",
                face_name(*face),
                self.about_station(from[0]),
                self.about_station(to[0])
            ),
            _ => self.reading(*what, *place),
        }
    }
}
