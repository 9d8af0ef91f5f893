//! The keys of each table, and what is said of one that is not among them.

use super::reader::{Place, Reader};
use crate::readings::nearest::nearest;

/// A table of the board file and its keys.
#[derive(Debug, Clone, Copy)]
pub(super) struct Keys {
    /// What its entries are called.
    pub(super) of: &'static str,
    pub(super) names: &'static [&'static str],
}

pub(super) const BOARD: Keys = Keys {
    of: "the board",
    names: &[
        "name", "unit", "length", "width", "species", "moisture", "end-a", "up", "show", "grain",
        "edges", "taper", "avoid", "survey",
    ],
};

pub(super) const AVOID: Keys = Keys {
    of: "[[avoid]]",
    names: &["what", "from", "to", "near", "far"],
};

pub(super) const SURVEY: Keys = Keys {
    of: "[[survey]]",
    names: &[
        "date",
        "thickness",
        "error",
        "caliper-error",
        "gap-error",
        "stick-error",
        "heights",
        "calipers",
        "straightedge",
        "sticks",
        "corner",
        "string",
    ],
};

pub(super) const HEIGHTS: Keys = Keys {
    of: "heights",
    names: &[
        "table", "file", "face", "turned", "datum", "depth", "error", "step",
    ],
};

pub(super) const CALIPERS: Keys = Keys {
    of: "calipers",
    names: &["table", "file", "step"],
};

pub(super) const STRAIGHTEDGE: Keys = Keys {
    of: "straightedge",
    names: &[
        "along", "across", "from", "to", "at", "gap", "face", "blocks", "crown", "sd",
    ],
};

pub(super) const STICKS: Keys = Keys {
    of: "sticks",
    names: &[
        "from", "to", "length", "sliver", "high", "aligned", "pads", "face", "across", "sd",
    ],
};

pub(super) const CORNER: Keys = Keys {
    of: "corner",
    names: &["corner", "gap", "on", "sd"],
};

pub(super) const STRING: Keys = Keys {
    of: "string",
    names: &["edge", "from", "to", "at", "gap", "blocks", "crown", "sd"],
};

/// The tables that lie one in the other; a key that strayed is looked for in the others.
const TABLES: [Keys; 4] = [BOARD, SURVEY, AVOID, HEIGHTS];

impl Reader<'_, '_> {
    /// Reports keys that are not `known`, and keys that are written twice.
    pub(super) fn check_keys(&mut self, place: Place<'_>, known: Keys) {
        for (at, entry) in place.table.entries.iter().enumerate() {
            let key = entry.key.as_str();
            if place.table.entries[..at]
                .iter()
                .any(|other| other.key == key)
            {
                self.fault(
                    &entry.key_span,
                    place.name,
                    format!("{key} is written twice"),
                    "keep one of them",
                );
            } else if !known.names.contains(&key) {
                let fix = advice(key, known);
                self.fault(
                    &entry.key_span,
                    place.name,
                    format!("{} has no such key", known.of),
                    fix,
                );
            }
        }
    }
}

/// What to do about a key that does not belong to a table.
fn advice(key: &str, known: Keys) -> String {
    if let Some(home) = TABLES
        .iter()
        .find(|table| table.of != known.of && table.names.contains(&key))
    {
        return match home.of {
            "the board" => format!("put {key} above the first line in double brackets"),
            of => format!("put {key} under {of}"),
        };
    }
    match nearest(key, known.names.iter().copied()) {
        Some(name) => format!("write {name}, if that is meant"),
        None if known.names.len() > 8 => "remove it, or put # before it".to_owned(),
        None => format!("it has {}", known.names.join(", ")),
    }
}
