//! The sentences of a milling plan.

use super::pen::Pen;
use super::refusals::machine_name;
use super::words::face_name;
use crate::length::Unit;
use crate::milling::{Caution, Lay, MillPlan, Passes, Rest, Spot, Step, Storage, Task};
use crate::shop::Machine;

/// The standing sentence.
pub(super) const STANDING: &str = "A prediction is no permission: look again at each machine. The machines' manuals, local rules \
     and licensed practice come first.";

/// A place that is found without a rule.
pub(super) fn spot_name(spot: Spot) -> &'static str {
    match (spot.along, spot.across) {
        (-1, -1) => "end A near",
        (-1, 0) => "end A middle",
        (-1, _) => "end A far",
        (0, -1) => "near edge, mid-length",
        (0, 0) => "middle",
        (0, _) => "far edge, mid-length",
        (_, -1) => "end B near",
        (_, 0) => "end B middle",
        (_, _) => "end B far",
    }
}

impl Pen {
    /// How many passes of what.
    fn passes(self, passes: Passes) -> String {
        let times = |n: u32| {
            if n == 1 {
                "1 pass".to_owned()
            } else {
                format!("{n} passes")
            }
        };
        match passes.count {
            0 => "nothing to take off".to_owned(),
            1 => format!("1 pass of {}", self.off(passes.last)),
            n => format!(
                "{} of {}, {} together",
                times(n),
                self.off(passes.each),
                self.off(passes.total)
            ),
        }
    }

    /// What is done in a step: what, and how.
    pub(super) fn task(self, step: &Step, plan: &MillPlan) -> (&'static str, String) {
        match &step.task {
            Task::RoughCut { length, width } => (
                "Cut to rough size",
                format!("{} long, {} wide.", self.near(*length), self.near(*width)),
            ),
            Task::LeaveWhole => (
                "Mark it",
                "Chalk ends A and B and the near edge; trim checked ends.".to_owned(),
            ),
            Task::FirstFace {
                face,
                machine,
                passes,
                beyond,
            } => {
                let laid = match &plan.lay {
                    Lay::Shims(shims) => {
                        format!("{} face down on shims as drawn", face_name(shims.lies_on))
                    }
                    Lay::HighPlaces(_) if *machine == Machine::Jointer => {
                        format!(
                            "{} face on the table, held so that the corners come down as drawn",
                            face_name(*face)
                        )
                    }
                    Lay::HighPlaces(_) => format!(
                        "{} face up, high places in the order drawn",
                        face_name(*face)
                    ),
                };
                let more = if self.near(*beyond) == self.near(0.0) {
                    String::new()
                } else {
                    format!(
                        "; {} of it to share the wood over both faces",
                        self.near(*beyond)
                    )
                };
                (
                    if *face == crate::readings::Face::Up {
                        "First face: up"
                    } else {
                        "First face: down"
                    },
                    format!(
                        "{}: {laid}. {}{more}.",
                        capital(machine_name(*machine)),
                        capital(&self.passes(*passes))
                    ),
                )
            }
            Task::FirstEdge { machine } => (
                "First edge",
                format!(
                    "{}: the hollow edge, square to the flat face.",
                    capital(machine_name(*machine))
                ),
            ),
            Task::SecondFace {
                machine,
                passes,
                from,
                stop,
                ..
            } => (
                "Second face",
                format!(
                    "{}: {}; from {} down to the stop at {}.",
                    capital(machine_name(*machine)),
                    self.passes(*passes),
                    self.near(*from),
                    self.near(*stop)
                ),
            ),
            Task::RipRough { width, saw } => {
                let how = if *saw {
                    "Rip"
                } else {
                    "Too short to rip: plane"
                };
                let wide = width.map_or("as wide as it comes".to_owned(), |w| {
                    format!("{} wide", self.near(w))
                });
                ("Second edge", format!("{how} parallel, {wide}."))
            }
            Task::Rest(rest) => ("Rest", self.rest(*rest)),
            Task::ReadAgain { stations, .. } => {
                let places: Vec<String> = stations.iter().map(|x| self.about(*x, plan)).collect();
                (
                    "Read again",
                    format!(
                        "At {} {} from end A; near edge, middle and far edge.",
                        places.join(", "),
                        self.0.unit().symbol()
                    ),
                )
            }
            Task::FinalFirst {
                face,
                machine,
                passes,
            } => (
                "First face again",
                format!(
                    "The {} face with the {}: flat, {}.",
                    face_name(*face),
                    machine_name(*machine),
                    self.at_most(*passes)
                ),
            ),
            Task::FinalSecond {
                machine,
                passes,
                stop,
                ..
            } => (
                "Second face again",
                format!(
                    "{}: {}; stop at {}.",
                    capital(machine_name(*machine)),
                    self.at_most(*passes),
                    self.near(*stop)
                ),
            ),
            Task::Size { finished, saw } => {
                let how = if *saw { "rip" } else { "plane" };
                let text = match finished {
                    Some([length, width]) => format!(
                        "Edge straight, {how} to {}; length last: {}.",
                        self.near(*width),
                        self.near(*length)
                    ),
                    None => format!("Edge straight, {how} to width; length last."),
                };
                ("Width and length", text)
            }
            Task::Smooth { by, to } => {
                let text = if *by > 0.0 {
                    format!(
                        "{} is left for it; {} when done. Write down what came out.",
                        self.near(*by),
                        self.near(*to)
                    )
                } else {
                    format!(
                        "As little as will do; {} was wanted. Write down what came out.",
                        self.near(*to)
                    )
                };
                ("Smooth and measure", text)
            }
        }
    }

    /// A station between the ends to the quarter inch or to 5 mm.
    fn about(self, x: f64, plan: &MillPlan) -> String {
        let step = match self.0.unit() {
            Unit::Inch | Unit::Foot => Unit::Inch.mm() / 4.0,
            Unit::Millimetre | Unit::Centimetre | Unit::Metre => 5.0,
        };
        let at_end = x <= 0.0 || x >= plan.length;
        self.bare_place(if at_end { x } else { (x / step).round() * step })
    }

    /// What is left for a pass of the second day.
    fn at_most(self, passes: Passes) -> String {
        match passes.count {
            0 => "though nothing is left for it".to_owned(),
            _ => format!("at most {}", self.passes(passes)),
        }
    }

    fn rest(self, rest: Rest) -> String {
        let days = match (rest.least, rest.most) {
            (1, most) => format!("A night to {most} days"),
            (least, most) => format!("{least} to {most} days"),
        };
        match rest.storage {
            Storage::Stickers => format!("{days} on stickers, air all round."),
            Storage::Weighted => {
                format!("{days} on stickers under weights or clamps: thin stock moves most.")
            }
        }
    }
}

fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(signs).collect()
    })
}

/// What to mind: common practice.
pub(super) fn caution(caution: Caution) -> &'static str {
    match caution {
        Caution::Metal => "metal and grit out first",
        Caution::KerfOpens => "crosscut so that the kerf opens",
        Caution::Short => "nothing under the machine's least length",
        Caution::PushBlocks => "push blocks, guard on, no gloves",
        Caution::Fixed => "work fixed and stopped",
        Caution::StandAside => "one piece at a time, stand aside",
        Caution::NotAlone => "a planer alone copies the warp",
        Caution::EdgedOnly => "only flat stock with a straight edge on a table saw",
        Caution::Dust => "eyes, ears and lungs covered; dust burns",
        Caution::Heavy => "heavy: get help",
        Caution::BothFaces => "equal wood off both faces",
    }
}

/// The cautions of a step in one line.
pub(super) fn cautions(step: &Step) -> String {
    step.cautions
        .iter()
        .map(|c| caution(*c))
        .collect::<Vec<_>>()
        .join("; ")
}
