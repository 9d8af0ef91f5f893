//! How woods shrink.

/// Where a figure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Read in the handbook's table.
    Read,
    /// Recalled from it.
    Memory,
}

/// One wood of the handbook.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Species {
    /// Its common name.
    pub name: &'static str,
    /// Radial and tangential shrinkage from green to ovendry, percent of the green size (table 4-3).
    pub shrinkage: [f64; 2],
    /// Where the shrinkage comes from.
    pub source: Source,
    /// Radial and tangential change of size a percent of moisture, between 6 and 14 % (table 13-5, read); where it was not
    /// read, shrinkage tells.
    pub change: Option<[f64; 2]>,
}

const fn read(name: &'static str, shrinkage: [f64; 2], change: Option<[f64; 2]>) -> Species {
    Species {
        name,
        shrinkage,
        source: Source::Read,
        change,
    }
}

const fn recalled(name: &'static str, shrinkage: [f64; 2], change: Option<[f64; 2]>) -> Species {
    Species {
        name,
        shrinkage,
        source: Source::Memory,
        change,
    }
}

/// Tables 4-3 and 13-5 of the handbook, so far as they were at hand.
const TABLE: [Species; 27] = [
    read("black walnut", [5.5, 7.8], Some([0.001_90, 0.002_74])),
    read("black cherry", [3.7, 7.1], Some([0.001_26, 0.002_48])),
    read("white oak", [5.6, 10.5], Some([0.001_80, 0.003_65])),
    read("yellow-poplar", [4.6, 8.2], None),
    read("white ash", [4.9, 7.8], Some([0.001_69, 0.002_74])),
    read("red alder", [4.4, 7.3], None),
    read("basswood", [6.6, 9.3], None),
    read("beech", [5.5, 11.9], Some([0.001_90, 0.004_31])),
    read("yellow birch", [7.3, 9.5], Some([0.002_56, 0.003_38])),
    read("butternut", [3.4, 6.4], None),
    read("chestnut", [3.4, 6.7], None),
    read("american elm", [4.2, 9.5], Some([0.001_44, 0.003_38])),
    read("hackberry", [4.8, 8.9], None),
    read("mockernut hickory", [7.7, 11.0], None),
    read("sweetgum", [5.3, 10.2], Some([0.001_83, 0.003_65])),
    read("sycamore", [5.0, 8.4], Some([0.001_72, 0.002_96])),
    read("western redcedar", [2.4, 5.0], None),
    read("coast douglas-fir", [4.8, 7.6], None),
    read("white fir", [3.3, 7.0], None),
    recalled("sugar maple", [4.8, 9.9], Some([0.001_65, 0.003_53])),
    recalled("red maple", [4.0, 8.2], Some([0.001_37, 0.002_89])),
    recalled("northern red oak", [4.0, 8.6], Some([0.001_58, 0.003_69])),
    recalled("eastern white pine", [2.1, 6.1], None),
    recalled("ponderosa pine", [3.9, 6.2], None),
    recalled("teak", [2.5, 5.8], None),
    recalled("true mahogany", [3.0, 4.1], None),
    recalled("african mahogany", [2.5, 4.5], None),
];

/// Every wood of the table.
#[must_use]
pub fn table() -> &'static [Species] {
    &TABLE
}

/// The woods that a name may mean: the one of that name, else those whose names hold all its words ("oak", "walnut"), else
/// none. Upper and lower case, and hyphens for spaces, are the same.
#[must_use]
pub fn matching(name: &str) -> Vec<&'static Species> {
    let words = |text: &str| -> Vec<String> {
        let parts = text.split(|c: char| c.is_whitespace() || c == '-');
        let kept = parts.filter(|word| !word.is_empty());
        kept.map(str::to_lowercase).collect()
    };
    let asked = words(name);
    if asked.is_empty() {
        return Vec::new();
    }
    if let Some(exact) = TABLE.iter().find(|s| words(s.name) == asked) {
        return vec![exact];
    }
    let holds = |s: &&Species| {
        let own = words(s.name);
        asked.iter().all(|word| own.contains(word))
    };
    TABLE.iter().filter(holds).collect()
}
