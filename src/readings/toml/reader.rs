//! What all parts of the reader share: the faults found so far, the unit, and how a value of each sort is read.

use std::ops::Range;

use super::source::Source;
use super::tree::{Node, Table, Value};
use crate::length::{self, DecimalMark, LengthError, Unit, Written};
use crate::readings::fault::{Collector, Problem, visible};
use crate::readings::nearest::nearest;
use crate::readings::{Face, Faults};

/// Fetches a readings file that a board file names.
pub(in crate::readings) type Load<'l> = &'l mut dyn FnMut(&str) -> Result<Vec<u8>, String>;

/// A reader at work.
pub(in crate::readings) struct Reader<'s, 'l> {
    pub(in crate::readings) source: &'s Source<'s>,
    pub(in crate::readings) faults: Collector,
    /// The unit of numbers that name none.
    pub(in crate::readings) unit: Option<Unit>,
    /// The file's own unit could not be read, and that is reported.
    pub(in crate::readings) unit_broken: bool,
    /// The first number without any unit, what it is, and how many more there are.
    unitless: Option<(Range<usize>, String, usize)>,
    /// Where the last fault was told, and what was wrong: both ends of a straightedge may find the same.
    last: Option<(usize, String)>,
    /// Nothing where named files are to be passed over.
    pub(in crate::readings) load: Option<Load<'l>>,
}

/// Where a table stands and what it is called in messages.
#[derive(Debug, Clone, Copy)]
pub(in crate::readings) struct Place<'p> {
    pub(in crate::readings) table: &'p Table,
    pub(in crate::readings) span: &'p Range<usize>,
    /// Such as `straightedge 2`; empty at the top.
    pub(in crate::readings) name: &'p str,
}

impl Place<'_> {
    /// The name of one of its keys.
    pub(in crate::readings) fn key(&self, key: &str) -> String {
        if self.name.is_empty() {
            key.to_owned()
        } else {
            format!("{}, {key}", self.name)
        }
    }
}

impl<'s, 'l> Reader<'s, 'l> {
    pub(in crate::readings) fn new(
        source: &'s Source<'s>,
        unit: Option<Unit>,
        load: Option<Load<'l>>,
    ) -> Self {
        Self {
            source,
            faults: Collector::default(),
            unit,
            unit_broken: false,
            unitless: None,
            last: None,
            load,
        }
    }

    /// Reports a fault of a piece of the file.
    pub(in crate::readings) fn fault(
        &mut self,
        span: &Range<usize>,
        place: &str,
        wrong: impl Into<String>,
        fix: impl Into<String>,
    ) {
        let (site, fault) = self.source.fault(span, place, Problem::new(wrong, fix));
        let told = Some((span.start, fault.wrong.clone()));
        if self.last != told {
            self.last = told;
            self.faults.told(site, fault);
        }
    }

    /// Reports that a key which must be there is not.
    pub(in crate::readings) fn missing(&mut self, place: Place<'_>, key: &str, fix: &str) {
        self.fault(place.span, place.name, format!("{key} is missing"), fix);
    }

    /// The faults found, with the unit that is missing among them.
    pub(in crate::readings) fn finish(mut self, file: &str) -> Result<(), Faults> {
        if let Some((span, place, more)) = self.unitless.take() {
            let wrong = match more {
                0 => "no unit".to_owned(),
                more => format!("no unit here and in {more} more"),
            };
            let fix = "write unit = \"in\" or \"mm\" at the top, or give --unit";
            self.fault(&span, &place, wrong, fix);
        }
        if self.faults.is_empty() {
            Ok(())
        } else {
            Err(self.faults.faults(file))
        }
    }

    /// Notes numbers without any unit.
    pub(in crate::readings) fn without_unit(&mut self, span: &Range<usize>, place: &str) {
        if self.unit_broken {
            return;
        }
        match &mut self.unitless {
            Some((_, _, more)) => *more += 1,
            None => self.unitless = Some((span.clone(), place.to_owned(), 0)),
        }
    }

    /// Reports a value of another sort than `wanted`.
    pub(in crate::readings) fn wrong_sort(
        &mut self,
        node: &Node,
        place: &str,
        wanted: &str,
        fix: &str,
    ) {
        let found = match node.value {
            Value::Text(_) => "text",
            Value::Number => "a number",
            Value::Flag(_) => "true or false",
            Value::Date => "a date",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
            Value::Broken => return,
        };
        self.fault(
            &node.span,
            place,
            format!("{found} where {wanted} stands"),
            fix,
        );
    }

    /// The table at the top of the file.
    pub(in crate::readings) fn top(table: &Table) -> Place<'_> {
        Place {
            table,
            span: &(0..0),
            name: "",
        }
    }

    /// The unit that the file names; numbers without one take it from here on.
    pub(in crate::readings) fn own_unit(&mut self, top: Place<'_>) -> Option<Unit> {
        let node = top.table.get("unit")?;
        let Value::Text(text) = &node.value else {
            self.unit_broken = true;
            self.wrong_sort(
                node,
                "unit",
                "a unit",
                "write unit = \"in\" or unit = \"mm\"",
            );
            return None;
        };
        let unit = Unit::named(text);
        if unit.is_none() {
            self.unit_broken = true;
            let wrong = format!("\"{}\" is not a unit known here", visible(text));
            self.fault(&node.span, "unit", wrong, "write in, ft, mm, cm or m");
        }
        self.unit = unit.or(self.unit);
        unit
    }

    /// Words: text, or a bare number or date taken as text. Blank ones are none.
    pub(in crate::readings) fn words(&mut self, place: Place<'_>, key: &str) -> Option<String> {
        let node = place.table.get(key)?;
        let text = match &node.value {
            Value::Text(text) => text.trim(),
            Value::Number | Value::Date => self.source.piece(&node.span),
            _ => {
                let fix = format!("write it in quotes: {key} = \"…\"");
                self.wrong_sort(node, &place.key(key), "text", &fix);
                return None;
            }
        };
        Some(text.to_owned()).filter(|text| !text.is_empty())
    }

    /// The tables of a key, one or several.
    pub(in crate::readings) fn nodes<'n>(&mut self, top: Place<'n>, key: &str) -> &'n [Node] {
        let Some(node) = top.table.get(key) else {
            return &[];
        };
        let fix = format!("begin it with a line [[{key}]]");
        let nodes = match &node.value {
            Value::List(nodes) => nodes.as_slice(),
            _ => std::slice::from_ref(node),
        };
        for node in nodes {
            if !matches!(node.value, Value::Table(_)) {
                self.wrong_sort(node, key, "a table", &fix);
            }
        }
        nodes
    }

    /// `true` or `false`; false where it is not given.
    pub(in crate::readings) fn flag(&mut self, place: Place<'_>, key: &str) -> bool {
        let Some(node) = place.table.get(key) else {
            return false;
        };
        let text = match &node.value {
            Value::Flag(flag) => return *flag,
            Value::Text(text) => text.trim().to_lowercase(),
            _ => String::new(),
        };
        match text.as_str() {
            "yes" | "true" => true,
            "no" | "false" | "" if matches!(node.value, Value::Text(_) | Value::Broken) => false,
            _ => {
                let fix = "write true or false, without quotes";
                self.fault(&node.span, &place.key(key), "neither true nor false", fix);
                false
            }
        }
    }

    /// One of a few words.
    pub(in crate::readings) fn choice<T: Copy>(
        &mut self,
        place: Place<'_>,
        key: &str,
        choices: &[(&str, T)],
    ) -> Option<T> {
        let node = place.table.get(key)?;
        self.choice_of(node, &place.key(key), choices)
    }

    /// One of a few words.
    pub(in crate::readings) fn choice_of<T: Copy>(
        &mut self,
        node: &Node,
        place: &str,
        choices: &[(&str, T)],
    ) -> Option<T> {
        let names = choices.iter().map(|(name, _)| *name);
        let wanted = either(&names.clone().collect::<Vec<_>>());
        let Value::Text(text) = &node.value else {
            self.wrong_sort(node, place, &wanted, &format!("write {wanted}, in quotes"));
            return None;
        };
        let word = text.trim().to_lowercase();
        let chosen = choices.iter().find(|(name, _)| *name == word);
        if chosen.is_none() {
            let fix = match nearest(&word, names) {
                Some(name) => format!("write \"{name}\", if that is meant"),
                None => format!("write {wanted}"),
            };
            self.fault(
                &node.span,
                place,
                format!("\"{}\" is not known here", visible(text)),
                fix,
            );
        }
        chosen.map(|(_, choice)| *choice)
    }

    /// A face, `default` where none is named.
    pub(in crate::readings) fn face(&mut self, place: Place<'_>, key: &str, default: Face) -> Face {
        let faces = [("up", Face::Up), ("down", Face::Down)];
        self.choice(place, key, &faces).unwrap_or(default)
    }

    /// A length above zero.
    pub(in crate::readings) fn size(&mut self, place: Place<'_>, key: &str) -> Option<Written> {
        let node = place.table.get(key)?;
        let written = self.length_of(node, &place.key(key))?;
        self.above_zero(node, &place.key(key), written)
    }

    /// A length of zero or more.
    pub(in crate::readings) fn gap(&mut self, place: Place<'_>, key: &str) -> Option<Written> {
        let node = place.table.get(key)?;
        let written = self.length_of(node, &place.key(key))?;
        if written.length.mm() < 0.0 {
            let fix = "write how wide it is, without a minus";
            self.fault(
                &node.span,
                &place.key(key),
                format!("a {key} is never below zero"),
                fix,
            );
            return None;
        }
        Some(written)
    }

    pub(in crate::readings) fn above_zero(
        &mut self,
        node: &Node,
        place: &str,
        written: Written,
    ) -> Option<Written> {
        if written.length.is_positive() {
            return Some(written);
        }
        let what = place.rsplit(", ").next().unwrap_or_default();
        let wrong = format!("{what} must be more than zero");
        self.fault(
            &node.span,
            place,
            wrong,
            "measure it and write what you find",
        );
        None
    }

    /// A length of any sign.
    pub(in crate::readings) fn length_of(&mut self, node: &Node, place: &str) -> Option<Written> {
        let text = match &node.value {
            Value::Text(text) => text.trim(),
            Value::Number => self.source.piece(&node.span),
            _ => {
                let fix = "write a number, or quotes around a fraction: \"7-1/2\"";
                self.wrong_sort(node, place, "a length", fix);
                return None;
            }
        };
        match read_length(text, self.unit) {
            Ok(written) => {
                if written.unit.is_none() && self.unit.is_none() {
                    self.without_unit(&node.span, place);
                }
                Some(written)
            }
            Err(problem) => {
                self.fault(&node.span, place, problem.wrong, problem.fix);
                None
            }
        }
    }
}

/// The length in a text; in millimetres where there is no unit at all, so that its other faults are told.
pub(in crate::readings) fn read_length(text: &str, unit: Option<Unit>) -> Result<Written, Problem> {
    let unit = Some(unit.unwrap_or(Unit::Millimetre));
    // A comma is a decimal mark unless three digits follow: it may then part thousands.
    let decimals = text
        .split_once(',')
        .map(|(_, rest)| rest.bytes().take_while(u8::is_ascii_digit).count());
    let mark = match decimals {
        Some(count) if count != 3 => DecimalMark::Comma,
        _ => DecimalMark::Point,
    };
    length::read(text, unit, mark).map_err(|error| problem(text, &error))
}

/// What is wrong with a text that is no length, without the text itself: it is shown beside.
fn problem(text: &str, error: &LengthError) -> Problem {
    if *error == LengthError::Empty {
        return Problem::new(
            "no length is given",
            "write one such as \"7-1/2\", or leave the key out",
        );
    }
    if text.contains('_') {
        return Problem::new("a line between the digits", "write the digits alone");
    }
    let message = error.to_string();
    let reason = message
        .strip_prefix('"')
        .and_then(|rest| rest.split_once("\": "));
    let reason = reason.map_or(message.as_str(), |(_, reason)| reason);
    let (wrong, fix) = reason
        .split_once("; ")
        .unwrap_or((reason, "write a length such as \"38 mm\" or \"1-3/16\""));
    Problem::new(wrong, fix)
}

/// `"a", "b" or "c"`.
pub(in crate::readings) fn either(names: &[&str]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
    match quoted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}
