//! The keys of each table of a board file.

use crate::readings::toml::keys::Keys;

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
        "table", "file", "face", "turned", "datum", "frame", "end-a-at", "depth", "error", "step",
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
pub(super) const TABLES: [Keys; 4] = [BOARD, SURVEY, AVOID, HEIGHTS];
