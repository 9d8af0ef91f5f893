//! What is wrong with a line that cannot be parsed, in plain words, and how to read on behind it.

use std::ops::Range;

use super::brackets::{Open, innermost_open};
use super::source::Source;
use super::values::{bare, quoted};
use crate::readings::fault::visible;

/// A slip in the writing.
#[derive(Debug)]
pub(in crate::readings) struct Slip {
    pub(in crate::readings) span: Range<usize>,
    pub(in crate::readings) wrong: String,
    pub(in crate::readings) fix: String,
    pub(in crate::readings) repair: Repair,
}

/// How the text is patched so that the rest can be read.
#[derive(Debug)]
pub(in crate::readings) enum Repair {
    /// A value that stands here cannot be told.
    Value(Range<usize>),
    /// The space here should be a comma.
    Comma(usize),
    /// A statement that was made before.
    Twice(Range<usize>),
    /// Lines that say nothing; what depends on them is not looked at.
    Lines(Range<usize>),
    /// Nothing can be read from here on.
    None,
}

/// The slip at `at` of `text`, which is the source with earlier slips patched over. `message` is the parser's.
pub(in crate::readings) fn slip(
    source: &Source<'_>,
    text: &str,
    at: &Range<usize>,
    message: &str,
) -> Slip {
    let told = |span: Range<usize>, wrong: &str, fix: String, repair| Slip {
        span,
        wrong: wrong.to_owned(),
        fix,
        repair,
    };
    if let Some(first) = first_row_of_readings(source) {
        let fix = "give readings alone as a file that ends in .csv";
        return told(
            first,
            &format!("this is no {}: no line says key = value", source.kind.name),
            fix.to_owned(),
            Repair::None,
        );
    }
    if message.starts_with("cannot recurse") {
        return told(
            at.clone(),
            "brackets in brackets in brackets",
            "remove them".to_owned(),
            Repair::None,
        );
    }
    let line = source.line(source.line_of(at.start.min(text.len())));
    if message.starts_with("duplicate key") {
        return twice(source, at, &line);
    }
    let inside = innermost_open(text, at.start);
    if let Some(Open::Text(start)) = inside {
        let quotes = source.piece(&(start..start + 3));
        let fix = format!("end the text with a line of {quotes}");
        return told(
            start..start + 3,
            "the text that begins here has no end",
            fix,
            Repair::None,
        );
    }
    if message.starts_with("missing comma") {
        return missing_comma(source, at, &line);
    }
    let statement = source.piece(&line);
    let start = line.start + statement.len() - statement.trim_start().len();
    if source.piece(&(start..line.end)).starts_with('[')
        && inside.is_none_or(|open| open.at() >= start)
    {
        return header(source, start..line.end);
    }
    if let Some(value) = value_at(source, at.start, &line)
        && let Some(slip) = of_value(source, value)
    {
        return slip;
    }
    if let Some(open) = inside {
        let bracket = source.piece(&(open.at()..open.at() + 1));
        let close = if bracket == "{" { "}" } else { "]" };
        let wrong = format!("nothing closes this {bracket}, or something else in it is amiss");
        let fix = format!("close it with {close} and put commas between its parts");
        return told(open.at()..open.at() + 1, &wrong, fix, Repair::None);
    }
    of_line(source, start..line.end, at)
}

/// The first line of a file that is of another kind altogether: a table of readings, or another program's.
fn first_row_of_readings(source: &Source<'_>) -> Option<Range<usize>> {
    if source.text.contains('=') {
        return None;
    }
    let lines = (0..).map(|line| source.line(line));
    let mut lines = lines.take_while(|line| line.start < source.text.len());
    let says = |line: &Range<usize>| {
        let text = source.piece(line).trim();
        !text.is_empty() && !text.starts_with('#')
    };
    let first = lines.find(says)?;
    let text = source.piece(&first);
    (text.contains([',', ';', '\t', '{', '<']) || !text.is_ascii()).then_some(first)
}

/// A key or a table that is written twice.
fn twice(source: &Source<'_>, at: &Range<usize>, line: &Range<usize>) -> Slip {
    let key = visible(source.piece(at));
    let header = source.piece(line).trim_start().starts_with('[');
    let (wrong, fix, repair) = if header {
        let single = format!("[{key}]");
        let fix = match source.kind.tables.iter().any(|table| table.of == single) {
            true => format!("put all its keys under one {single}"),
            false => format!("write [[{key}]], in double brackets, each time"),
        };
        (format!("{key} is begun twice"), fix, Repair::None)
    } else {
        let one_line = !source.piece(line).contains(['{', '['])
            && source.piece(line).matches("\"\"\"").count() != 1;
        let repair = if one_line {
            Repair::Twice(line.clone())
        } else {
            Repair::None
        };
        (
            format!("{key} is written twice"),
            "keep one of them".to_owned(),
            repair,
        )
    };
    Slip {
        span: at.clone(),
        wrong,
        fix,
        repair,
    }
}

fn missing_comma(source: &Source<'_>, at: &Range<usize>, line: &Range<usize>) -> Slip {
    let before = source.text.get(..at.start).unwrap_or_default();
    let space = before.ends_with([' ', '\t']);
    // Where the part before it ends: on an earlier line when this one begins here.
    let first_of_line = source
        .piece(&(line.start..at.start.max(line.start)))
        .trim()
        .is_empty();
    let (span, wrong) = if first_of_line {
        let end = before.trim_end().len();
        (end.saturating_sub(1)..end, "a comma is missing after this")
    } else {
        (at.clone(), "a comma is missing before this")
    };
    Slip {
        span,
        wrong: wrong.to_owned(),
        fix: "put commas between readings and between keys in braces".to_owned(),
        repair: if space {
            Repair::Comma(at.start - 1)
        } else {
            Repair::None
        },
    }
}

/// A line that begins with a bracket.
fn header(source: &Source<'_>, span: Range<usize>) -> Slip {
    let text = source
        .piece(&span)
        .split('#')
        .next()
        .unwrap_or_default()
        .trim();
    let name = text.trim_matches(['[', ']', ' ']);
    let name = if name.is_empty() { "survey" } else { name };
    Slip {
        span: span.start..span.start + text.len(),
        wrong: "not the beginning of a table".to_owned(),
        fix: format!("write [[{}]], alone on its line", visible(name)),
        repair: Repair::Lines(span),
    }
}

/// The value in which `at` lies or at whose end: from behind the `=` before it on its line.
fn value_at(source: &Source<'_>, at: usize, line: &Range<usize>) -> Option<Range<usize>> {
    let before = source.piece(&(line.start..at.clamp(line.start, line.end)));
    // A quote that was opened too early may end behind the next key.
    let equals = line.start
        + before.rfind('=').or_else(|| {
            source
                .piece(line)
                .find('=')
                .filter(|e| line.start + e <= at)
        })?;
    let head = source.piece(&(line.start..equals));
    let rest = source.piece(&(equals + 1..line.end));
    let braces = head.matches('{').count() > head.matches('}').count();
    let quoted = rest.trim_start().starts_with(['"', '\'']);
    let end = match rest.find([',', '}', ']']) {
        Some(end) if braces => end,
        _ => match rest.find(" #") {
            Some(end) if !quoted => end,
            _ => rest.len(),
        },
    };
    let value = &rest[..end];
    let start = equals + 1 + value.len() - value.trim_start().len();
    Some(
        start
            ..equals
                + 1
                + value
                    .trim_end()
                    .len()
                    .max(value.len() - value.trim_start().len()),
    )
}

/// What is wrong with a value, if it can be told.
fn of_value(source: &Source<'_>, span: Range<usize>) -> Option<Slip> {
    let value = source.piece(&span);
    let line = source.line_of(span.start);
    let last = last_row_below(source, line);
    let (wrong, fix) = if value.is_empty() {
        let key = source
            .text
            .get(..span.start)?
            .trim_end()
            .trim_end_matches('=')
            .trim_end();
        if key.ends_with(['=', '[', '{', ',']) {
            return None;
        }
        let fix = if last > line {
            "write \"\"\" there, and again below the rows"
        } else {
            "write a value, or remove the key"
        };
        ("nothing stands after the =", fix.to_owned())
    } else if value.starts_with(['“', '”', '„', '‘', '’']) {
        let fix = format!("write {}", value.replace(['“', '”', '„', '‘', '’'], "\""));
        ("curly quotes", fix)
    } else if let Some(rest) = value.strip_prefix(['"', '\'']) {
        quoted(value, rest)?
    } else {
        bare(value)?
    };
    // Where nothing stands there is no room for a patch.
    let repair = if value.is_empty() {
        Repair::Lines(source.line(line).start..source.line(last).end)
    } else {
        Repair::Value(span.clone())
    };
    Some(Slip {
        span,
        wrong: wrong.to_owned(),
        fix,
        repair,
    })
}

/// What is wrong with a line that is no statement at all.
fn of_line(source: &Source<'_>, span: Range<usize>, at: &Range<usize>) -> Slip {
    let text = source.piece(&span).trim_end();
    let is_key = |text: &str| {
        !text.is_empty()
            && text
                .chars()
                .all(|sign| sign.is_alphanumeric() || "-_".contains(sign))
    };
    let word = text
        .split([' ', '\t', '=', ':', '"', '\''])
        .next()
        .unwrap_or_default();
    let rest = text[word.len()..].trim_start();
    let key = text.split_once('=').map(|(key, _)| key.trim());
    let (wrong, fix) = if text.starts_with("//") || text.starts_with(';') {
        (
            "a remark begins with #".to_owned(),
            "put # before it".to_owned(),
        )
    } else if let Some(key) = key.filter(|key| key.contains(' ') && is_key(&key.replace(' ', "-")))
    {
        (
            "a key is one word".to_owned(),
            format!("write {}", key.replace(' ', "-")),
        )
    } else if let Some(value) = rest.strip_prefix(':').filter(|_| is_key(word)) {
        (
            "a colon after the key".to_owned(),
            format!("write {word} = {}", visible(value.trim())),
        )
    } else if is_key(word)
        && word.starts_with(char::is_alphabetic)
        && !rest.is_empty()
        && !rest.starts_with([',', '='])
    {
        (
            "= is missing after the key".to_owned(),
            format!("write {word} = {}", visible(rest)),
        )
    } else if key.is_some() {
        let at = at.start.clamp(span.start, span.end);
        let here = visible(source.piece(&(at..span.end)).trim());
        (
            format!("\"{here}\" has no place here"),
            "remove it, or put # before a remark".to_owned(),
        )
    } else {
        let fix = "write key = value, # before a remark, and \"\"\" around a table";
        (
            "this line says nothing that is known".to_owned(),
            fix.to_owned(),
        )
    };
    // Rows of a table that lacks its quotes follow one another: they are one slip.
    let last = if is_row(text) {
        last_row_below(source, source.line_of(span.start))
    } else {
        source.line_of(span.start)
    };
    Slip {
        span: span.start..span.start + text.len(),
        wrong,
        fix,
        repair: Repair::Lines(span.start..source.line(last).end),
    }
}

/// Whether a line looks like the row of a table.
fn is_row(line: &str) -> bool {
    let line = line.trim_start();
    !line.contains('=')
        && !line.starts_with(['[', '{', '#'])
        && (line.contains([',', ';', '\t']) || line.starts_with("\"\""))
}

/// The last of the lines below `line` that look like rows of a table, or `line` itself.
fn last_row_below(source: &Source<'_>, line: usize) -> usize {
    let rows = (line + 1..).take_while(|line| is_row(source.piece(&source.line(*line))));
    rows.last().unwrap_or(line)
}
