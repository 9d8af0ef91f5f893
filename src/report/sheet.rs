//! A drawing on a sheet, in millimetres: black on white, for paper. What it holds is plain data, and an SVG file when asked.

use std::fmt::Write as _;

/// Width of a character over its size: more than the mean of the usual sans-serif faces, so that texts stay apart in each.
const CHARACTER: f64 = 0.62;

/// The smallest type that is read at a machine, mm.
pub(super) const SMALLEST: f64 = 3.2;

/// Where a text stands at its x.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// How a line is drawn and what lies within it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Look {
    /// Drawn through, nothing within.
    Plain,
    /// Broken: the length of a stroke and of a gap, mm.
    Broken([f64; 2]),
    /// White within.
    White,
    /// Black within.
    Black,
    /// Hatched within.
    Hatched,
}

/// One thing on a sheet; places from its upper left corner, x to the right, y downwards, all in mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A line of text.
    Text {
        /// The end of its baseline that `anchor` says.
        at: [f64; 2],
        /// The size of its type.
        size: f64,
        /// Where it stands at its x.
        anchor: Anchor,
        /// What it says.
        text: String,
    },
    /// A line through points.
    Path {
        /// One after the other.
        points: Vec<[f64; 2]>,
        /// Whether it ends where it began.
        closed: bool,
        /// Its width.
        stroke: f64,
        /// How it looks.
        look: Look,
    },
    /// A black dot.
    Dot {
        /// Its middle.
        at: [f64; 2],
        /// Its radius.
        radius: f64,
    },
}

/// A drawing on a white sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Width and height, mm.
    pub size: [f64; 2],
    /// What is drawn, one over the other.
    pub marks: Vec<Mark>,
}

impl Sheet {
    /// A sheet that grows downwards.
    pub(super) fn new(width: f64) -> Self {
        Self {
            size: [width, 0.0],
            marks: Vec::new(),
        }
    }

    /// A text whose baseline begins, ends or has its middle at a place.
    pub(super) fn text(&mut self, at: [f64; 2], size: f64, anchor: Anchor, text: &str) {
        self.marks.push(Mark::Text {
            at,
            size,
            anchor,
            text: text.to_owned(),
        });
    }

    pub(super) fn line(&mut self, from: [f64; 2], to: [f64; 2], stroke: f64) {
        self.path(&[from, to], false, stroke, Look::Plain);
    }

    /// A line through points, closed or open.
    pub(super) fn path(&mut self, points: &[[f64; 2]], closed: bool, stroke: f64, look: Look) {
        self.marks.push(Mark::Path {
            points: points.to_vec(),
            closed,
            stroke,
            look,
        });
    }

    pub(super) fn dot(&mut self, at: [f64; 2], radius: f64) {
        self.marks.push(Mark::Dot { at, radius });
    }

    /// The sheet, so high.
    pub(super) fn high(mut self, height: f64) -> Self {
        self.size[1] = height;
        self
    }

    /// As an SVG file.
    #[must_use]
    pub fn svg(&self) -> String {
        let [width, height] = self.size;
        let mut body = String::new();
        for mark in &self.marks {
            write_mark(&mut body, mark);
        }
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

fn write_mark(body: &mut String, mark: &Mark) {
    // Nothing goes wrong in writing to a string.
    let _ = match mark {
        Mark::Text {
            at: [x, y],
            size,
            anchor,
            text,
        } => {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let text = escaped(text);
            writeln!(
                body,
                "<text x=\"{x:.2}\" y=\"{y:.2}\" font-size=\"{size:.2}\" text-anchor=\"{anchor}\">{text}</text>"
            )
        }
        Mark::Path {
            points,
            closed,
            stroke,
            look,
        } => {
            let shape = if *closed { "polygon" } else { "polyline" };
            let points: Vec<String> = points
                .iter()
                .map(|[x, y]| format!("{x:.2},{y:.2}"))
                .collect();
            let points = points.join(" ");
            let fill = match look {
                Look::Plain | Look::Broken(_) => "none",
                Look::White => "white",
                Look::Black => "black",
                Look::Hatched => "url(#hatched)",
            };
            let broken = match look {
                Look::Broken([stroke, gap]) => format!(" stroke-dasharray=\"{stroke} {gap}\""),
                _ => String::new(),
            };
            writeln!(
                body,
                "<{shape} points=\"{points}\" fill=\"{fill}\" stroke=\"black\" stroke-width=\"{stroke:.2}\"{broken}/>"
            )
        }
        Mark::Dot { at: [x, y], radius } => {
            writeln!(
                body,
                "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{radius:.2}\"/>"
            )
        }
    };
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
