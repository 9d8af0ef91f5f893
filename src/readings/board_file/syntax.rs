//! From text to a tree.

use super::source::Source;
use super::tree::{self, Table};
use crate::readings::fault::{Collector, Problem};

/// The tree of a text; nothing where it could not be parsed, which is reported.
pub(super) fn parse(source: &Source<'_>, faults: &mut Collector) -> Option<Table> {
    match toml_edit::Document::parse(source.text) {
        Ok(document) => Some(tree::table(document.as_table(), &[])),
        Err(error) => {
            let span = error.span().unwrap_or(0..0);
            let (site, fault) = source.fault(&span, "", Problem::new(error.message(), "mend it"));
            faults.told(site, fault);
            None
        }
    }
}
