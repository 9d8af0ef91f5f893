//! The keys of each table of a shop file.

use crate::readings::toml::keys::Keys;

pub(super) const SHOP: Keys = Keys {
    of: "the shop",
    names: &[
        "unit",
        "currency",
        "saw",
        "allowances",
        "jointer",
        "planer",
        "sled",
        "movement",
        "milling",
        "air",
        "price",
        "wood",
    ],
};

pub(super) const SAW: Keys = Keys {
    of: "[saw]",
    names: &["crosscut-kerf", "rip-kerf", "resaw-kerf", "min-length"],
};

pub(super) const ALLOWANCES: Keys = Keys {
    of: "[allowances]",
    names: &[
        "end-trim",
        "over-length",
        "over-width",
        "jointing",
        "glue-line",
        "resaw-clean-up",
        "useful-offcut",
    ],
};

pub(super) const JOINTER: Keys = Keys {
    of: "[jointer]",
    names: &["width", "min-length", "min-thickness", "pass"],
};

pub(super) const PLANER: Keys = Keys {
    of: "[planer]",
    names: &[
        "width",
        "min-length",
        "min-thickness",
        "max-thickness",
        "roller-gap",
        "snipe",
        "pass",
        "sled-height",
    ],
};

pub(super) const SLED: Keys = Keys {
    of: "[sled]",
    names: &[
        "width",
        "max-length",
        "max-thickness",
        "min-thickness",
        "pass",
    ],
};

pub(super) const MOVEMENT: Keys = Keys {
    of: "[movement]",
    names: &["bow", "cup"],
};

pub(super) const MILLING: Keys = Keys {
    of: "[milling]",
    names: &["rough-allowance", "smoothing", "tolerate"],
};

pub(super) const AIR: Keys = Keys {
    of: "[air]",
    names: &[
        "shop-temperature",
        "shop-humidity",
        "house-temperature",
        "house-humidity",
    ],
};

pub(super) const PRICE: Keys = Keys {
    of: "[[price]]",
    names: &["species", "thickness", "per-board-foot"],
};

pub(super) const WOOD: Keys = Keys {
    of: "[[wood]]",
    names: &[
        "species",
        "moisture",
        "sawn",
        "bow",
        "cup",
        "rough-allowance",
    ],
};

/// The tables of the file; a key that strayed is looked for in the others.
pub(super) const TABLES: [Keys; 11] = [
    SHOP, SAW, ALLOWANCES, PLANER, JOINTER, SLED, MOVEMENT, MILLING, AIR, PRICE, WOOD,
];
