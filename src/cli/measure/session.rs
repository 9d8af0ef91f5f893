//! Question after question, in the order of the form.

use std::io::Write;

use super::answer::{Bench, Typed};
use super::sheet::Sheet;
use crate::board::Board;
use crate::cli::book_options::Losses;
use crate::cli::problem::{Problem, lay_out};
use crate::cli::prompt::Prompt;
use crate::flatten::{Answer, Ask, Doubted, Question, SurveyPlan};
use crate::length::{Length, Notation, Rounding};
use crate::readings::{Addition, Gauge, Rest, Run, Straightedge};
use crate::report;
use crate::shop::usual_thicknesses;
use crate::surface::What;

/// What guided entry works with.
pub(super) struct Session<'a> {
    pub(super) sheet: Sheet,
    pub(super) plan: SurveyPlan,
    pub(super) bench: Bench,
    pub(super) need: Option<Length>,
    pub(super) notation: Notation,
    /// What the shop's book says of losses, for the estimate after each reading; nothing where none is to be shown.
    pub(super) losses: Option<Losses<'a>>,
    /// The file's name.
    pub(super) name: String,
    /// What the board is called where its file does not say.
    pub(super) title: String,
}

const COMMANDS: &str = "Type a length; or back, skip, change N, stop, ? for help.";

impl Session<'_> {
    pub(super) fn run(mut self, prompt: &mut Prompt, out: &mut dyn Write) -> Result<(), Problem> {
        let last = self.plan.asks.len();
        writeln!(
            out,
            "{}: {} of {last} readings are taken.",
            self.name,
            self.taken()
        )?;
        writeln!(out, "{COMMANDS}")?;
        let said = self.losses.as_ref().and_then(|losses| {
            let species = self.sheet.record.about.species.as_ref();
            report::of_the_shop(losses.of_species(species).note?, self.notation)
        });
        if let Some(said) = said {
            writeln!(out, "{said}")?;
        }
        let mut skipped = vec![false; last];
        let mut next = self.open(0, &skipped);
        while let Some(at) = next {
            let ask = self.plan.asks[at];
            let before = self.sheet.taken(&ask);
            self.question(at, before.as_ref(), out)?;
            let Some(typed) = prompt.ask(out, "> ")? else {
                break;
            };
            match self.bench.understand(&typed, &ask, last) {
                Typed::Reading(reading) => match self.sheet.note(&ask, &reading) {
                    Ok(()) => {
                        writeln!(out, "  Noted.")?;
                        out.flush()?;
                        skipped[at] = false;
                        if !self.is_doubtful(at, out)? {
                            next = self.open(at + 1, &skipped);
                        }
                    }
                    Err(told) => writeln!(out, "{}", lay_out(&format!("Not noted: {told}")))?,
                },
                Typed::Nothing if before.is_some() => next = self.open(at + 1, &skipped),
                Typed::Nothing => writeln!(out, "  nothing typed; type a length, or skip")?,
                Typed::Skip => {
                    skipped[at] = before.is_none();
                    next = self.open(at + 1, &skipped);
                }
                Typed::Back if at == 0 => writeln!(out, "  this is the first question")?,
                Typed::Back => next = Some(at - 1),
                Typed::Change(number) => next = Some(number - 1),
                Typed::Stop => break,
                Typed::Help => write!(out, "{}", help(&ask))?,
                Typed::Wrong(remedy) => {
                    writeln!(out, "{}", report::message(&remedy))?;
                }
            }
        }
        self.end(out)
    }

    fn taken(&self) -> usize {
        let asks = self.plan.asks.iter();
        asks.filter(|ask| self.sheet.taken(ask).is_some()).count()
    }

    /// The next question from `start` on that is neither answered nor skipped; then those before it.
    fn open(&self, start: usize, skipped: &[bool]) -> Option<usize> {
        let count = self.plan.asks.len();
        (start..count)
            .chain(0..start.min(count))
            .find(|at| !skipped[*at] && self.sheet.taken(&self.plan.asks[*at]).is_none())
    }

    fn question(
        &self,
        at: usize,
        before: Option<&Addition>,
        out: &mut dyn Write,
    ) -> Result<(), Problem> {
        let asked = report::asked(&self.plan.asks[at], &self.plan, self.notation);
        writeln!(out, "{} of {}, {asked}", at + 1, self.plan.asks.len())?;
        if let Some(before) = before {
            writeln!(out, "  now {}; Enter keeps it", self.shown(before))?;
        }
        Ok(())
    }

    /// Shows the estimate. Whether the reading just taken does not fit the others.
    fn is_doubtful(&self, at: usize, out: &mut dyn Write) -> Result<bool, Problem> {
        let Some(losses) = &self.losses else {
            return Ok(false);
        };
        let Ok(board) = Board::from_record(self.sheet.record.clone(), &self.title) else {
            writeln!(out, "  No estimate yet.")?;
            return Ok(false);
        };
        let mut answer = Answer::new(
            &board,
            &Question {
                need: self.need,
                support_spacing: 250.0,
                sizes: usual_thicknesses(self.notation.unit()),
                expectation: true,
            },
        );
        losses.of(&board).reckon_with(&mut answer);
        writeln!(out, "{}", report::running(&answer, self.notation))?;
        let doubted = answer.expectation.iter().flat_map(|e| &e.doubted);
        let mut again = false;
        for doubt in doubted {
            let of = (0..self.plan.asks.len()).find(|k| is_of(doubt, &self.plan.asks[*k]));
            let [reading, expected] = [doubt.reading, doubt.expected].map(|mm| self.written(mm));
            let told = match of {
                Some(k) if k == at => {
                    again = true;
                    format!(
                        "Doubtful: {reading} was read, the other readings expect {expected}. Read it again now; Enter \
                         keeps it."
                    )
                }
                Some(k) => format!(
                    "Doubtful: reading {} is {reading}, the others expect {expected}; change {} takes it again.",
                    k + 1,
                    k + 1
                ),
                None => continue,
            };
            writeln!(out, "{}", report::message(&told))?;
        }
        Ok(again)
    }

    fn written(&self, mm: f64) -> String {
        self.notation.write(Length::from_mm(mm), Rounding::Nearest)
    }

    /// A reading as it is noted.
    fn shown(&self, reading: &Addition) -> String {
        match reading {
            Addition::Height { point, .. } => self.written(point[2]),
            Addition::Caliper(caliper) => self.written(caliper.thickness),
            Addition::Gauge(Gauge::Straightedge(Straightedge { rest, gap, .. })) => {
                let gap = self.written(*gap);
                match rest {
                    Rest::Wood => gap,
                    Rest::Blocks(blocks) => format!("{gap} on blocks of {}", self.written(*blocks)),
                    Rest::EqualGaps => format!("{gap} at both ends of a crown"),
                }
            }
            Addition::Gauge(Gauge::Sticks(sticks)) => {
                let side = if sticks.sliver < 0.0 { "near" } else { "far" };
                format!("{} {side}", self.written(sticks.sliver.abs()))
            }
            Addition::Gauge(_) => "another gauge".to_owned(),
        }
    }

    fn end(&self, out: &mut dyn Write) -> Result<(), Problem> {
        let (taken, all) = (self.taken(), self.plan.asks.len());
        if taken == all {
            writeln!(out, "All {all} readings are in {}.", self.name)?;
        } else {
            writeln!(
                out,
                "{taken} of {all} readings are in {}; the same command goes on.",
                self.name
            )?;
        }
        Ok(())
    }
}

/// Whether a doubted reading is the one that was asked for.
fn is_of(doubt: &Doubted, ask: &Ask) -> bool {
    let near = |[x, y]: [f64; 2]| (doubt.place[0] - x).hypot(doubt.place[1] - y) <= 0.5;
    match (doubt.what, *ask) {
        (What::Height(_), Ask::Height(at)) | (What::Thickness, Ask::Thickness(at)) => near(at),
        (What::Straightedge(_, run), Ask::Gap { from, to, at }) => {
            run == Run::between(from, to) && near(at)
        }
        (
            What::Sticks(_),
            Ask::Sliver {
                stations: [a, b], ..
            },
        ) => (doubt.place[0] - (a + b) / 2.0).abs() <= 0.5,
        _ => false,
    }
}

/// What may be typed at a question.
fn help(ask: &Ask) -> String {
    let reading = match ask {
        Ask::Height(_) => "  3/32, 0.094 or 2.4 mm: the height over the datum; more is more wood\n",
        Ask::Thickness(_) => "  1-3/16 or 30.2 mm: what the caliper shows\n",
        Ask::Gap { .. } => {
            "  1/16: the gap over a hollow; 0 where nothing shows\n  \
             3/8 on 1/2: the gap, blocks included, on two blocks of 1/2\n  \
             1/16 crown: rocked until both ends show this gap; in the middle only\n"
        }
        Ask::Sliver { .. } => {
            "  1/16 far: tips in line at the near side, the second stick's far end is high\n  \
             1/16 near: its near end is high; 0: nothing shows\n  \
             1/32 far middles: the middles were brought in line\n"
        }
    };
    format!(
        "{reading}  back: the question before      skip: leave it for later\n  \
         change 3: question 3 again      stop: everything noted is on the disk\n"
    )
}
