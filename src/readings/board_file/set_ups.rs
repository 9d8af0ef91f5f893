//! Over which datum heights stand, and in whose frame their places are given.

use crate::readings::toml::reader::{Place, Reader};
use crate::readings::{EndA, Frame};

/// How the sets of a survey lie: the datums and the scanners' frames that they name, each with its number.
#[derive(Debug, Default)]
pub(super) struct SetUps {
    datums: Vec<Datum>,
    frames: Vec<OwnFrame>,
}

#[derive(Debug)]
struct Datum {
    /// None for a datum of its own.
    name: Option<String>,
    /// The frame over which it lies.
    frame: Option<usize>,
    /// Whether sets that name none stand over it, too: it is that of the first set that was not turned.
    shared: bool,
}

#[derive(Debug)]
struct OwnFrame {
    name: String,
    turned: bool,
    end_a: Option<EndA>,
}

/// How one set lies.
pub(super) struct Lies {
    pub(super) datum: usize,
    pub(super) frame: Option<Frame>,
}

impl SetUps {
    /// A set of which nothing is said.
    pub(super) fn plain(&mut self) -> Lies {
        Lies {
            datum: self.datum(None, false, None),
            frame: None,
        }
    }

    /// The number of a datum, by its name if it has one: else that of others of its frame; of a board that was turned over a new
    /// one, unless it lay in that frame already.
    fn datum(&mut self, name: Option<String>, turned: bool, frame: Option<usize>) -> usize {
        let own = turned && frame.is_none();
        let shared = |datum: &Datum| datum.shared && datum.frame == frame;
        let first = !own && !self.datums.iter().any(shared);
        let known = match &name {
            Some(_) => self.datums.iter().position(|datum| datum.name == name),
            None if own => None,
            None => self.datums.iter().position(shared),
        };
        let number = known.unwrap_or_else(|| {
            self.datums.push(Datum {
                name,
                frame,
                shared: false,
            });
            self.datums.len() - 1
        });
        self.datums[number].shared |= first;
        number
    }

    fn frame(&mut self, name: String, turned: bool) -> usize {
        let known = self.frames.iter().position(|frame| frame.name == name);
        known.unwrap_or_else(|| {
            self.frames.push(OwnFrame {
                name,
                turned,
                end_a: None,
            });
            self.frames.len() - 1
        })
    }
}

impl Reader<'_, '_> {
    /// How the set of a table lies.
    pub(super) fn lies(&mut self, place: Place<'_>, turned: bool, set_ups: &mut SetUps) -> Lies {
        let name = self.words(place, "frame");
        let end_a = self.choice(place, "end-a-at", &EndA::NAMED);
        let frame = name.map(|name| set_ups.frame(name, turned));
        match (frame, place.table.get("end-a-at")) {
            (Some(number), _) => self.in_frame(place, turned, end_a, &mut set_ups.frames[number]),
            (None, Some(node)) if place.table.get("frame").is_none() => {
                let fix = "write frame = \"…\" too, or leave it out";
                let wrong = "this goes with a scanner's own frame";
                self.fault(&node.span, &place.key("end-a-at"), wrong, fix);
            }
            _ => {}
        }
        let name = self.words(place, "datum");
        let datum = set_ups.datum(name, turned, frame);
        if let (Some(node), true) = (
            place.table.get("datum"),
            set_ups.datums[datum].frame != frame,
        ) {
            let wrong = "another set over this datum has its places in another frame";
            let fix = "give each frame a datum of its own";
            self.fault(&node.span, &place.key("datum"), wrong, fix);
        }
        Lies {
            datum,
            frame: frame.map(|number| Frame {
                number,
                end_a: set_ups.frames[number].end_a,
            }),
        }
    }

    /// A set in a frame that others may have named.
    fn in_frame(
        &mut self,
        place: Place<'_>,
        turned: bool,
        end_a: Option<EndA>,
        frame: &mut OwnFrame,
    ) {
        if frame.turned != turned
            && let Some(node) = place.table.get("frame")
        {
            let wrong = "the board was turned over between two sets of this frame";
            let fix = "give each its own: frame = \"first\", frame = \"turned\"";
            self.fault(&node.span, &place.key("frame"), wrong, fix);
        }
        if end_a.is_some()
            && frame.end_a.is_some_and(|known| Some(known) != end_a)
            && let Some(node) = place.table.get("end-a-at")
        {
            let wrong = "another set of this frame says otherwise";
            let fix = "say it once";
            self.fault(&node.span, &place.key("end-a-at"), wrong, fix);
        }
        frame.end_a = frame.end_a.or(end_a);
    }
}
