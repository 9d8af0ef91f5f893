//! A page of SVG, in millimetres: black on white, for paper.

use std::fmt::Write as _;

/// Width of a character over its size: more than the mean of the usual sans-serif faces, so that texts stay apart in each.
const CHARACTER: f64 = 0.62;

/// The smallest type that is read at a machine, mm.
pub(super) const SMALLEST: f64 = 3.2;

/// Where a text stands at its x.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// A page that grows downwards.
#[derive(Debug)]
pub(super) struct Page {
    width: f64,
    body: String,
}

impl Page {
    pub(super) fn new(width: f64) -> Self {
        Self {
            width,
            body: String::new(),
        }
    }

    /// A text whose baseline begins, ends or has its middle at (x, y); sizes in mm.
    pub(super) fn text(&mut self, [x, y]: [f64; 2], size: f64, anchor: Anchor, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let text = escaped(text);
        let _ = writeln!(
            self.body,
            "<text x=\"{x:.2}\" y=\"{y:.2}\" font-size=\"{size:.2}\" text-anchor=\"{anchor}\">{text}</text>"
        );
    }

    pub(super) fn line(&mut self, from: [f64; 2], to: [f64; 2], stroke: f64) {
        self.path(&[from, to], false, stroke, "");
    }

    /// A line through points, closed or open; `more` holds further attributes.
    pub(super) fn path(&mut self, points: &[[f64; 2]], closed: bool, stroke: f64, more: &str) {
        let shape = if closed { "polygon" } else { "polyline" };
        let points: Vec<String> = points
            .iter()
            .map(|[x, y]| format!("{x:.2},{y:.2}"))
            .collect();
        let points = points.join(" ");
        let fill = if more.contains("fill=") {
            ""
        } else {
            " fill=\"none\""
        };
        let _ = writeln!(
            self.body,
            "<{shape} points=\"{points}\"{fill} stroke=\"black\" stroke-width=\"{stroke:.2}\"{more}/>"
        );
    }

    pub(super) fn circle(&mut self, [x, y]: [f64; 2], radius: f64) {
        let _ = writeln!(
            self.body,
            "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{radius:.2}\"/>"
        );
    }

    /// The whole file, the page `height` mm high.
    pub(super) fn finish(self, height: f64) -> String {
        let Self { width, body } = self;
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.0}mm\" height=\"{height:.0}mm\" \
             viewBox=\"0 0 {width:.0} {height:.0}\" font-family=\"Helvetica, Arial, sans-serif\">\n\
             <defs><pattern id=\"hatched\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate(45)\"><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"2\" stroke=\"black\" \
             stroke-width=\"0.5\"/></pattern></defs>\n\
             <rect width=\"{width:.0}\" height=\"{height:.0}\" fill=\"white\"/>\n{body}</svg>\n"
        )
    }
}

/// How wide a text is, mm, at the most.
pub(super) fn width(text: &str, size: f64) -> f64 {
    text.chars().count() as f64 * CHARACTER * size
}

/// The text, cut with an ellipsis where it is wider than `room`.
pub(super) fn fitted(text: &str, size: f64, room: f64) -> String {
    if width(text, size) <= room {
        return text.to_owned();
    }
    let most = (room / (CHARACTER * size)) as usize;
    let kept: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

pub(super) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            _ if sign.is_control() => safe.push(' '),
            _ => safe.push(sign),
        }
    }
    safe
}
