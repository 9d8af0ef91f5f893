//! What changed of a board between two surveys, and whether that is more than the readings' error.

use super::{Answer, Expectation, Interval, Question, Shortfall};
use crate::board::Board;
use crate::readings::{Caliper, Gauged, Point};
use crate::surface::{MOST_READINGS, normal};
use crate::warp::Figure;

/// A change counts as one beyond so many standard deviations: of four figures of a board that has not moved, one or more
/// then seems to have moved in 5 of 100 comparisons at most (Bonferroni's inequality: 1.25 in 100 for each, two-sided).
const BEYOND: f64 = 2.497_705_474_412_37;

/// Places read this near to one another are the same, mm: over so little a board does not depart from its form.
const SAME_PLACE: f64 = 5.0;

/// One figure of a board in two surveys, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// In the earlier survey.
    pub before: f64,
    /// In the later survey.
    pub after: f64,
    /// What the readings' errors alone may make of the difference, 98.75 times in a hundred.
    pub error: f64,
}

impl Change {
    /// From the earlier to the later survey.
    #[must_use]
    pub fn by(&self) -> f64 {
        self.after - self.before
    }

    /// Whether it is more than the readings' errors make of a board that stays as it is.
    #[must_use]
    pub fn beyond_error(&self) -> bool {
        self.by().abs() > self.error
    }
}

/// A board in two surveys, and how it changed between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// The earlier survey's answer.
    pub before: Answer,
    /// The later survey's.
    pub after: Answer,
    /// Cup of the up face; `None`, here and below, where either survey does not tell it.
    pub cup: Option<Change>,
    /// Bow of the up face.
    pub bow: Option<Change>,
    /// Twist of the up face.
    pub twist: Option<Change>,
    /// The thickness expected to survive, shimmed.
    pub survives: Option<Change>,
    /// Whether both surveys read the up face at the same places: what departs from cup, bow and twist then stands in both and
    /// falls out of the difference. So does what lies between the readings out of `survives`, where the calipers stood at the
    /// same places too.
    pub same_places: bool,
}

impl Moved {
    /// Compares two surveys of one board.
    #[must_use]
    pub fn new(before: &Board, after: &Board, question: &Question) -> Self {
        let same_places = same_places(before, after);
        let same_wood = same_places && same_calipers(before, after);
        let [before, after] = [before, after].map(|board| Answer::new(board, question));
        let figure = |of: fn(&Answer) -> Option<Figure>| {
            let (before, after) = (of(&before)?, of(&after)?);
            let off = error(before, same_places)?.hypot(error(after, same_places)?);
            Some(Change {
                before: before.value,
                after: after.value,
                error: BEYOND * off,
            })
        };
        let survives = || {
            let (before, after) = (
                before.expectation.as_ref().ok()?,
                after.expectation.as_ref().ok()?,
            );
            let spread = |of: &Expectation| match same_wood {
                true => of.repeat_error,
                false => spread(of.shimmed),
            };
            Some(Change {
                before: before.shimmed.expected,
                after: after.shimmed.expected,
                error: BEYOND * spread(before).hypot(spread(after)),
            })
        };
        Self {
            cup: figure(|a| a.warp.cup),
            bow: figure(|a| a.warp.bow),
            twist: figure(|a| a.warp.twist),
            survives: survives(),
            same_places,
            before,
            after,
        }
    }

    /// The same board in a shop that falls short: by as much in both surveys, so that the change and its error stay.
    #[must_use]
    pub fn short_by(mut self, shortfall: Shortfall) -> Self {
        for answer in [&mut self.before, &mut self.after] {
            let expectation = answer.expectation.clone();
            answer.expectation = expectation.map(|e| e.short_by(shortfall));
        }
        if let Some(survives) = &mut self.survives {
            survives.before -= shortfall.mean;
            survives.after -= shortfall.mean;
        }
        self
    }

    /// The figures that are told in both surveys.
    pub fn changes(&self) -> impl Iterator<Item = &Change> {
        let all = [&self.cup, &self.bow, &self.twist, &self.survives];
        all.into_iter().flatten()
    }
}

/// One standard deviation of a figure's share in a difference. Read at the same places, that of its readings; else what the
/// form leaves of them counts too, where it is more.
fn error(figure: Figure, same_places: bool) -> Option<f64> {
    let readings = figure.reading_error?;
    if same_places {
        return Some(readings);
    }
    Some(figure.error.map_or(readings, |left| left.max(readings)))
}

/// One standard deviation of a thickness, from its interval.
fn spread(interval: Interval) -> f64 {
    (interval.high - interval.low) / (2.0 * normal::NINE_IN_TEN)
}

/// Whether the calipers stood at the same places.
fn same_calipers(a: &Board, b: &Board) -> bool {
    let beside = |from: &Board, to: &Board| {
        let near = |p: &Caliper, q: &Caliper| (p.x - q.x).hypot(p.y - q.y) <= SAME_PLACE;
        let mut calipers = from.down.calipers.iter();
        calipers.all(|p| to.down.calipers.iter().any(|q| near(p, q)))
    };
    beside(a, b) && beside(b, a)
}

/// Whether the up face was read at the same places with the same tools; a scan never is.
fn same_places(a: &Board, b: &Board) -> bool {
    if a.readings().max(b.readings()) > MOST_READINGS {
        return false;
    }
    let near = |p: &Point, q: &Point| (p[0] - q[0]).hypot(p[1] - q[1]) <= SAME_PLACE;
    let heights = |from: &Board, to: &Board| {
        let beside = |p: &Point| to.up.iter().any(|q| near(p, q));
        from.up.iter().all(beside)
    };
    let gauges = |from: &Board, to: &Board| {
        let beside = |g: &Gauged| {
            to.gauged
                .iter()
                .any(|h| g.gauge.held_within(&h.gauge, SAME_PLACE))
        };
        from.gauged.iter().all(beside)
    };
    let level = a.set_ups.is_empty() && b.set_ups.is_empty();
    level && heights(a, b) && heights(b, a) && gauges(a, b) && gauges(b, a)
}
