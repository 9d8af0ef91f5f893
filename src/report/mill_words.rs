//! The sentences of a milling plan.

use super::pen::Pen;
use super::words::face_name;
use crate::length::{Rounding, Unit};
use crate::milling::{
    Caution, Lay, Limit, Machine, MillPlan, Passes, Refusal, Rest, Spot, Step, Storage, Task,
    Verdict,
};

/// The standing sentence.
pub(super) const STANDING: &str = "A prediction is no permission: look again at each machine. The machines' manuals, local rules \
     and licensed practice come first.";

pub(super) fn machine_name(machine: Machine) -> &'static str {
    match machine {
        Machine::Jointer => "jointer",
        Machine::RouterSled => "router sled",
        Machine::PlanerSled => "planer, the piece on a sled",
        Machine::Planer => "planer",
        Machine::HandPlanes => "hand planes",
    }
}

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
    /// Whether both days are carried, first of all.
    pub(super) fn verdict(self, plan: &MillPlan, need: f64) -> String {
        let expected = self.thickness(plan.expected);
        let low = plan.low.map_or(String::new(), |low| {
            let low = low.max(0.0);
            format!(
                ", {} or more 95 times in 100",
                self.number(low, Rounding::Down)
            )
        });
        let survives = match plan.low {
            Some(_) => format!("Expect {expected}{low}, for {}", self.place(need)),
            None => format!(
                "At the readings alone {expected} is left, for {}",
                self.place(need)
            ),
        };
        let allowance = self.near(plan.rough - plan.finish);
        match plan.verdict {
            Verdict::Carries { spare } => format!(
                "{survives}: that carries both days, {allowance} for the second and {} to spare.",
                self.thickness(spare)
            ),
            Verdict::ThinSecondDay { left } => format!(
                "{survives}: only {} is left for the second day, less than the rough allowance. Decide before the first cut: \
                 it may not come flat again at this thickness.",
                self.thickness(left)
            ),
            Verdict::Hollows { deep } => format!(
                "{survives}: reached only if hollows up to {} deep may stay in each face, which you tolerate.",
                self.off(deep)
            ),
            Verdict::Short { by } => format!(
                "{survives}: {} short. Do not mill it for this: make it thinner, cut it shorter or narrower first, or take \
                 another board.",
                self.off(by)
            ),
        }
    }

    /// What the piece does overnight.
    pub(super) fn movement(self, plan: &MillPlan) -> String {
        let moves = plan.moves;
        let told = format!(
            "Overnight it is expected to lose {} of flatness, up to {} nine times in ten",
            self.near(moves.mean),
            self.off(moves.nine_in_ten)
        );
        if plan.may_move_more {
            let left = (plan.rough - plan.finish).max(0.0);
            format!(
                "{told}: the {} left for it may not be enough.",
                self.thickness(left)
            )
        } else {
            format!("{told}; what is left carries that.")
        }
    }

    /// Why machines cannot take the piece, a sentence a machine.
    pub(super) fn refusals(self, plan: &MillPlan) -> Vec<String> {
        let mut machines: Vec<Machine> = plan.refused.iter().map(|r| r.machine).collect();
        machines.dedup();
        let told = machines.iter().map(|machine| {
            let own = plan.refused.iter().filter(|r| r.machine == *machine);
            let why: Vec<String> = own.map(|r| self.refusal(r)).collect();
            format!("Not the {}: {}.", machine_name(*machine), why.join("; "))
        });
        told.collect()
    }

    /// Why a machine cannot take the piece.
    fn refusal(self, refusal: &Refusal) -> String {
        let (is, allowed) = (self.near(refusal.is), self.near(refusal.allowed));
        match refusal.limit {
            Limit::Absent => "the shop has none".to_owned(),
            Limit::Width => format!("{is} wide, it takes {allowed}"),
            Limit::MinLength => format!("{is} long, it wants {allowed} at least"),
            Limit::MaxLength => format!("{is} long, it takes {allowed}"),
            Limit::MinThickness => format!("comes to {is}, it wants {allowed} at least"),
            Limit::MaxThickness => format!("stands {is} high, it takes {allowed}"),
        }
    }

    /// What to do where machines refuse.
    pub(super) fn instead(self, plan: &MillPlan) -> Option<String> {
        if plan.refused.is_empty() {
            return None;
        }
        let short = if plan.too_short {
            " Or leave short pieces in one length, mill that, and part them last."
        } else {
            ""
        };
        // A sled on rails takes nearly any piece; a shop that has none is told of it.
        let rails = if plan.machine == Machine::HandPlanes {
            " A router sled on rails would take it, or rip it, mill the strips and glue them up."
        } else {
            ""
        };
        Some(format!(
            "Instead: first face with {}, second with {}.{rails}{short}",
            machine_name(plan.machine),
            machine_name(plan.second_machine)
        ))
    }

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
