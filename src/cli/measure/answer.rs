//! What a person types at a question.

use crate::flatten::Ask;
use crate::length::{DecimalMark, Length, LengthError, Unit, read};
use crate::readings::{Addition, Aligned, Caliper, Face, Gauge, Rest, Sticks, Straightedge};

/// What was typed.
#[derive(Debug, PartialEq)]
pub(super) enum Typed {
    Reading(Addition),
    /// Nothing: what is noted already stays.
    Nothing,
    Back,
    Skip,
    /// To the question of this number.
    Change(usize),
    Stop,
    Help,
    /// What is wrong with it, and what would be right.
    Wrong(String),
}

/// What an answer needs to know of the board.
pub(super) struct Bench {
    pub(super) unit: Option<Unit>,
    /// The length of one winding stick.
    pub(super) stick: f64,
}

impl Bench {
    /// Understands what was typed at a question; questions are numbered from 1 to `last`.
    pub(super) fn understand(&self, typed: &str, ask: &Ask, last: usize) -> Typed {
        let words = typed.to_lowercase();
        let words: Vec<&str> = words.split_whitespace().collect();
        match words[..] {
            [] => return Typed::Nothing,
            ["b" | "back"] => return Typed::Back,
            ["s" | "skip"] => return Typed::Skip,
            ["q" | "stop" | "quit" | "exit"] => return Typed::Stop,
            ["?" | "h" | "help"] => return Typed::Help,
            ["c" | "change", ..] => {
                let number = words.get(1).and_then(|n| n.parse::<usize>().ok());
                let number = number.filter(|n| (1..=last).contains(n) && words.len() == 2);
                return number.map_or_else(
                    || Typed::Wrong(format!("say which, such as change 3 (1 to {last})")),
                    Typed::Change,
                );
            }
            _ => {}
        }
        self.reading(&words, ask)
            .map_or_else(Typed::Wrong, Typed::Reading)
    }

    fn reading(&self, words: &[&str], ask: &Ask) -> Result<Addition, String> {
        match *ask {
            Ask::Height([x, y]) => Ok(Addition::Height {
                face: Face::Up,
                point: [x, y, self.length(words)?],
            }),
            Ask::Thickness([x, y]) => {
                let thickness = self.length(words)?;
                if thickness <= 0.0 {
                    return Err(
                        "a board is thicker than nothing; read the caliper again".to_owned()
                    );
                }
                Ok(Addition::Caliper(Caliper { x, y, thickness }))
            }
            Ask::Gap { from, to, at } => self.gap(words, from, to, at),
            Ask::Sliver { stations, across } => self.sliver(words, stations, across),
        }
    }

    /// `1/16` over a hollow, `3/8 on 1/2` on blocks, `1/16 crown` with equal gaps at both ends.
    fn gap(
        &self,
        words: &[&str],
        from: [f64; 2],
        to: [f64; 2],
        at: [f64; 2],
    ) -> Result<Addition, String> {
        let block = words
            .iter()
            .position(|word| ["on", "blocks", "block"].contains(word));
        let (rest, gap) = match (block, words) {
            (Some(on), _) => (Rest::Blocks(self.length(&words[on + 1..])?), &words[..on]),
            (None, [gap @ .., "crown" | "crowned"]) => {
                let middle = |axis: usize| (from[axis] + to[axis]) / 2.0;
                if (at[0] - middle(0)).abs() > 1e-6 || (at[1] - middle(1)).abs() > 1e-6 {
                    let how =
                        "off the middle a crown is read over two equal blocks, such as 3/8 on 1/2";
                    return Err(how.to_owned());
                }
                (Rest::EqualGaps, gap)
            }
            _ => (Rest::Wood, words),
        };
        let gap = self.length(gap)?;
        if gap < 0.0 {
            let how = "a gap is never below nothing; over a crown use blocks, such as 3/8 on 1/2";
            return Err(how.to_owned());
        }
        Ok(Addition::Gauge(Gauge::Straightedge(Straightedge {
            face: Face::Up,
            from,
            to,
            rest,
            at,
            gap,
        })))
    }

    /// `1/16 far`: the tips at the near side in line, the far end of the second stick high; `middles` where those were in line.
    fn sliver(
        &self,
        words: &[&str],
        stations: [f64; 2],
        across: [[f64; 2]; 2],
    ) -> Result<Addition, String> {
        let (mut side, mut aligned) = (None, Aligned::Tips);
        let mut rest = Vec::new();
        for word in words {
            match *word {
                "far" => side = Some(1.0),
                "near" => side = Some(-1.0),
                "middles" => aligned = Aligned::Middles,
                "tips" => aligned = Aligned::Tips,
                other => rest.push(other),
            }
        }
        let sliver = self.length(&rest)?;
        let side = match side {
            _ if sliver == 0.0 => 1.0,
            Some(side) if sliver > 0.0 => side,
            _ => {
                let how = "say which end of the second stick stood high: 1/16 far, or 1/16 near";
                return Err(how.to_owned());
            }
        };
        Ok(Addition::Gauge(Gauge::Sticks(Sticks {
            face: Face::Up,
            stations,
            across,
            length: self.stick,
            aligned,
            pads: false,
            sliver: side * sliver,
        })))
    }

    fn length(&self, words: &[&str]) -> Result<f64, String> {
        length(&words.join(" "), self.unit)
            .map(Length::mm)
            .map_err(|error| error.to_string())
    }
}

/// A length with a decimal point or comma.
pub(super) fn length(text: &str, unit: Option<Unit>) -> Result<Length, LengthError> {
    let with = |mark: DecimalMark| read(text, unit, mark).map(|written| written.length);
    with(DecimalMark::Point).or_else(|error| with(DecimalMark::Comma).map_err(|_| error))
}
