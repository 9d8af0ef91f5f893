//! Ways of board files and shop files.

use super::super::May::{self, Refused, TheSame};
use super::super::common::random::Random;
use super::{Make, NO_NUMBERS, NO_UNITS, Way, one_of};

pub(crate) const TOML: [Way; 17] = [
    way("a value that is no number", |lines, random| {
        let at = lines.size(random)?;
        let value = one_of(&NO_NUMBERS, random);
        let quoted = format!("\"{value}\"");
        lines.set(at, one_of(&[value, &quoted], random));
        Some(())
    }),
    way("a size of nothing or less", |lines, random| {
        let at = lines.size(random)?;
        lines.set(at, one_of(&["0", "-5", "\"-1/8\"", "\"0 mm\""], random));
        // What is taken off may be nothing, and a place may be the end.
        let free = ["kerf", "trim", "shrink", "margin", "from", "near", "snipe"];
        let negative = lines.0[at].contains('-') && lines.value(at).contains('-');
        (negative || !free.iter().any(|word| lines.0[at].contains(word))).then_some(())
    }),
    way("another sort of value", |lines, random| {
        let at = lines.size(random)?;
        lines.set(
            at,
            one_of(
                &["true", "[1, 2]", "{ a = 1 }", "2026-11-20", "\"\""],
                random,
            ),
        );
        Some(())
    }),
    way("a key misspelt", |lines, random| {
        let at = lines.key(random)?;
        let line = &mut lines.0[at];
        let key = line.split('=').next().unwrap_or_default().trim().to_owned();
        *line = line.replacen(&key, &format!("{key}q"), 1);
        Some(())
    }),
    way("a key twice", |lines, random| {
        let at = lines.key(random)?;
        let again = lines.0[at].clone();
        lines.0.insert(at, again);
        Some(())
    }),
    way("no equals sign", |lines, random| {
        let at = lines.key(random)?;
        lines.0[at] = lines.0[at].replacen('=', " ", 1);
        Some(())
    }),
    way("a value left out", |lines, random| {
        let at = lines.key(random)?;
        lines.set(at, "");
        Some(())
    }),
    way("a quote left open", |lines, random| {
        let at = lines.key(random)?;
        if lines.0[at].contains("\"\"\"") {
            return None;
        }
        lines.set(at, "\"3");
        Some(())
    }),
    way("a unit that is none", |lines, random| {
        let at = lines.0.iter().position(|line| line.starts_with("unit"))?;
        let unit = format!("\"{}\"", one_of(&NO_UNITS, random));
        lines.set(at, &unit);
        Some(())
    }),
    way("three quotes never closed", |lines, _| {
        let at = lines.0.iter().rposition(|line| line == "\"\"\"")?;
        lines.0.remove(at);
        lines
            .0
            .iter()
            .all(|line| !line.contains("straightedge"))
            .then_some(())
    }),
    way("a bracket left open", |lines, random| {
        let open = [
            "[[survey",
            "[survey]",
            "[[survey]",
            "[[",
            "[saw",
            "x = [",
            "x = { a = 1",
        ];
        lines.0.push(one_of(&open, random).to_owned());
        Some(())
    }),
    way("a table that is none", |lines, _| {
        lines.0.push("[surveys]\na = 1".to_owned());
        Some(())
    }),
    way("nested ten thousand deep", |lines, random| {
        let (open, close) = [("[", "]"), ("{ a = ", " }")][random.count(0, 1)];
        let deep = format!("x = {}1{}", open.repeat(10_000), close.repeat(10_000));
        lines.0.insert(0, deep);
        Some(())
    }),
    way("a header ten thousand deep", |lines, _| {
        lines.0.push(format!("[{}a]", "a.".repeat(10_000)));
        Some(())
    }),
    way("a CSV behind it", |lines, _| {
        lines.0.push("x,y,z\n0,0,1\n".to_owned());
        Some(())
    }),
    Way {
        name: "cut off in a line",
        may: Refused,
        make: Make::Text(|good, random| {
            // Behind an equals sign: a file that ends with a line may have been meant so.
            let ends: Vec<usize> = good.match_indices("= ").map(|(at, _)| at + 2).collect();
            let end = ends[random.count(0, ends.len() - 1)];
            Some(good.as_bytes()[..end].to_vec())
        }),
    },
    Way {
        name: "comments and blank lines between",
        may: TheSame,
        make: Make::Text(|good, random| {
            let mut lines: Vec<String> = good.lines().map(str::to_owned).collect();
            for _ in 0..4 {
                let more = one_of(&["# \"\"\" [ { a \" rule", "", "   "], random);
                // Not within a table in quotes, where three of them would end it.
                let keys: Vec<usize> = (0..lines.len())
                    .filter(|k| lines[*k].starts_with("[[") || *k == 0)
                    .collect();
                let at = keys[random.count(0, keys.len() - 1)];
                lines.insert(at, more.to_owned());
            }
            Some(lines.join("\n").into_bytes())
        }),
    },
];

/// A way that may only be refused.
const fn way(name: &'static str, change: fn(&mut Lines, &mut Random) -> Option<()>) -> Way {
    Way {
        name,
        may: May::Refused,
        make: Make::Lines(change),
    }
}

/// The lines of a file.
pub(crate) struct Lines(pub(crate) Vec<String>);

impl Lines {
    /// A line of the file itself, not of a table in quotes, that gives a key a value.
    fn lines_with_keys(&self) -> Vec<usize> {
        let mut inside = false;
        let mut found = Vec::new();
        for (at, line) in self.0.iter().enumerate() {
            let is_key = line.split_once('=').is_some_and(|(key, _)| {
                let key = key.trim();
                !key.is_empty()
                    && key
                        .bytes()
                        .all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_')
            });
            if !inside && is_key {
                found.push(at);
            }
            if line.matches("\"\"\"").count() % 2 == 1 {
                inside = !inside;
            }
        }
        found
    }

    fn key(&self, random: &mut Random) -> Option<usize> {
        let keys = self.lines_with_keys();
        (!keys.is_empty()).then(|| keys[random.count(0, keys.len() - 1)])
    }

    /// A line whose value is a length or a number alone.
    fn size(&self, random: &mut Random) -> Option<usize> {
        let mut keys = self.lines_with_keys();
        keys.retain(|at| {
            let key = self.0[*at].split('=').next().unwrap_or_default().trim();
            let value = self.value(*at).trim_start_matches('"');
            value.starts_with(|sign: char| sign.is_ascii_digit()) && key != "date"
        });
        (!keys.is_empty()).then(|| keys[random.count(0, keys.len() - 1)])
    }

    fn value(&self, at: usize) -> &str {
        self.0[at]
            .split_once('=')
            .map_or("", |(_, value)| value.trim())
    }

    /// Gives the key of a line another value.
    fn set(&mut self, at: usize, value: &str) {
        let key = self.0[at].split('=').next().unwrap_or_default().to_owned();
        self.0[at] = format!("{key}= {value}");
    }
}
