//! The top of a board file: what the board is, how large, what is known of it, and what to avoid.

use super::keys;
use super::outline::Outline;
use crate::readings::calipers::THICKEST_MM;
use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::tree::{Table, Value};
use crate::readings::{About, Avoid, Edge, Face, Record, Survey};

/// No board is longer or wider than these, mm: beyond them a unit has slipped.
const LARGEST_MM: [(&str, f64, &str); 2] =
    [("length", 20_000.0, "65 ft"), ("width", 3_000.0, "10 ft")];

impl Reader<'_, '_> {
    /// All that the file holds; where a fault was found, as far as it could be read.
    pub(super) fn record(&mut self, table: &Table) -> Record {
        let top = Self::top(table);
        self.check_keys(top, keys::BOARD);
        let unit = self.own_unit(top);
        let mut outline = Outline::default();
        let [length, width] = LARGEST_MM.map(|(key, largest, told)| {
            let size = self.size(top, key)?.length.mm();
            if size > largest {
                let node = table.get(key)?;
                let wrong = format!("a {key} of more than {told}");
                self.fault(&node.span, key, wrong, "check the number and its unit");
                return None;
            }
            Some(size)
        });
        outline.told = ["length", "width"].map(|key| table.get(key).is_some());
        (outline.length, outline.width) = (length, width);
        outline.edges = self.edges(top, &mut outline);
        let about = self.about(top);
        let avoid = self.avoid(top, &mut outline);
        let surveys = self.surveys(top, &mut outline);
        Record {
            name: self.words(top, "name"),
            unit: unit.or(self.unit),
            length,
            width,
            about,
            edges: outline.edges,
            avoid,
            surveys,
        }
    }

    fn about(&mut self, top: Place<'_>) -> About {
        About {
            species: self.words(top, "species"),
            moisture: self.moisture(top),
            end_a: self.words(top, "end-a"),
            up: self.words(top, "up"),
            show: self.choice(top, "show", &[("up", Face::Up), ("down", Face::Down)]),
            grain: self.words(top, "grain"),
        }
    }

    fn avoid(&mut self, top: Place<'_>, outline: &mut Outline) -> Vec<Avoid> {
        let nodes = self.nodes(top, "avoid");
        let mut avoid = Vec::new();
        for (at, node) in nodes.iter().enumerate() {
            let name = match nodes.len() {
                1 => "avoid".to_owned(),
                _ => format!("avoid {}", at + 1),
            };
            let Value::Table(table) = &node.value else {
                continue;
            };
            let place = Place {
                table,
                span: &node.span,
                name: &name,
            };
            avoid.extend(self.avoided(place, outline));
        }
        avoid
    }

    fn avoided(&mut self, place: Place<'_>, outline: &mut Outline) -> Option<Avoid> {
        self.check_keys(place, keys::AVOID);
        let what = self.words(place, "what");
        let mut station = |key: &str| match place.table.get(key) {
            Some(node) => self.station(outline, node, &place.key(key)),
            None => {
                self.missing(place, key, &format!("write its station: {key} = \"…\""));
                None
            }
        };
        let (from, to) = (station("from"), station("to"));
        // The whole width is that of its widest part.
        let reach = outline.reach();
        let mut position = |key: &str, edge: Edge, widest: Option<f64>| match place.table.get(key) {
            Some(node) => self.position(outline, from.unwrap_or(0.0), node, &place.key(key)),
            None => widest.or_else(|| self.edge_at(outline, edge, 0.0, (place.span, place.name))),
        };
        let near = position("near", Edge::Near, reach.map(|[near, _]| near));
        let far = position("far", Edge::Far, reach.map(|[_, far]| far));
        let (from, to, near, far) = (from?, to?, near?, far?);
        for (low, high, key, other) in [(from, to, "to", "from"), (near, far, "far", "near")] {
            if low >= high {
                let node = place.table.get(key).or(place.table.get(other));
                let span = node.map_or(place.span, |node| &node.span);
                self.fault(
                    span,
                    &place.key(key),
                    format!("{key} is not beyond {other}"),
                    "swap or check them",
                );
                return None;
            }
        }
        Some(Avoid {
            what: what.unwrap_or_else(|| "a place to avoid".to_owned()),
            from,
            to,
            near,
            far,
        })
    }

    fn surveys(&mut self, top: Place<'_>, outline: &mut Outline) -> Vec<Survey> {
        let nodes = self.nodes(top, "survey");
        let mut surveys = Vec::new();
        for (at, node) in nodes.iter().enumerate() {
            let name = match nodes.len() {
                1 => String::new(),
                _ => format!("survey {}", at + 1),
            };
            let Value::Table(table) = &node.value else {
                continue;
            };
            let place = Place {
                table,
                span: &node.span,
                name: &name,
            };
            surveys.push(self.survey(place, outline));
        }
        surveys.sort_by(|a, b| a.date.cmp(&b.date));
        surveys
    }

    fn survey(&mut self, place: Place<'_>, outline: &mut Outline) -> Survey {
        self.check_keys(place, keys::SURVEY);
        if !Self::holds_readings(place.table) {
            let fix = "write what was read, or remove the survey";
            self.fault(place.span, place.name, "the survey holds no reading", fix);
        }
        let date = self.date(place);
        let error = self.size(place, "error").map(|written| written.length.mm());
        Survey {
            date,
            thickness: self.thickness(place),
            heights: self.heights(place, error),
            calipers: self.calipers(place),
            caliper_error: self
                .size(place, "caliper-error")
                .map(|written| written.length.mm()),
            gauged: self.gauged(place, outline),
        }
    }

    fn thickness(&mut self, place: Place<'_>) -> Option<f64> {
        let node = place.table.get("thickness")?;
        let thickness = self.size(place, "thickness")?.length.mm();
        if thickness > THICKEST_MM {
            let wrong = "more than 12 in is no board's thickness";
            self.fault(
                &node.span,
                &place.key("thickness"),
                wrong,
                "check the number and its unit",
            );
            return None;
        }
        Some(thickness)
    }

    fn date(&mut self, place: Place<'_>) -> Option<String> {
        let node = place.table.get("date")?;
        let text = match &node.value {
            Value::Text(text) => text.trim(),
            Value::Date => self.source.piece(&node.span),
            _ => {
                self.wrong_sort(node, &place.key("date"), "a date", "write it as 2026-11-20");
                return None;
            }
        };
        let day = text.split(['T', 't', ' ']).next().unwrap_or_default();
        if !is_date(day) {
            let fix = "write year, month and day, as 2026-11-20";
            self.fault(&node.span, &place.key("date"), "not a date", fix);
            return None;
        }
        Some(day.to_owned())
    }
}

/// Whether a text is a day of the calendar, as 2026-11-20.
fn is_date(text: &str) -> bool {
    let digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts[..] else {
        return false;
    };
    let shaped = [(year, 4), (month, 2), (day, 2)]
        .iter()
        .all(|(part, length)| part.len() == *length && digits(part));
    let number = |part: &str| part.parse::<u32>().unwrap_or(0);
    let year = number(year);
    let leap = year.is_multiple_of(4) && !year.is_multiple_of(100) || year.is_multiple_of(400);
    let days = match number(month) {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 0,
    };
    shaped && (1..=days).contains(&number(day))
}
