//! The keys of a table, and what is said of one that is not among them.

use std::collections::BTreeSet;

use super::reader::{Place, Reader};
use crate::readings::nearest::nearest;

/// A table of a file and its keys.
#[derive(Debug, Clone, Copy)]
pub(in crate::readings) struct Keys {
    /// What its entries are called.
    pub(in crate::readings) of: &'static str,
    pub(in crate::readings) names: &'static [&'static str],
}

impl Reader<'_, '_> {
    /// Reports keys that are not `known`, and keys that are written twice.
    pub(in crate::readings) fn check_keys(&mut self, place: Place<'_>, known: Keys) {
        let mut seen = BTreeSet::new();
        for entry in &place.table.entries {
            let key = entry.key.as_str();
            if !seen.insert(key) {
                self.fault(
                    &entry.key_span,
                    place.name,
                    format!("{key} is written twice"),
                    "keep one of them",
                );
            } else if !known.names.contains(&key) {
                let fix = advice(key, known, self.source.kind.tables);
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
fn advice(key: &str, known: Keys, tables: &[Keys]) -> String {
    let home = tables
        .iter()
        .find(|table| table.of != known.of && table.names.contains(&key));
    match home.map(|home| home.of) {
        Some(of) if of.starts_with('[') => return format!("put {key} under {of}"),
        Some(_)
            if tables
                .iter()
                .any(|table| table.of.starts_with('[') && !table.of.starts_with("[[")) =>
        {
            return format!("put {key} above the first line in brackets");
        }
        Some(_) => return format!("put {key} above the first line in double brackets"),
        None => {}
    }
    match nearest(key, known.names.iter().copied()) {
        Some(name) => format!("write {name}, if that is meant"),
        None if known.names.len() > 10 => "remove it, or put # before it".to_owned(),
        None => format!("it has {}", known.names.join(", ")),
    }
}
