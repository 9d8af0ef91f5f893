//! The board file that is being filled in: read afresh before each change, replaced as a whole by each.

use std::path::{Path, PathBuf};

use crate::cli::board_options::{BoardOptions, ReadingOptions};
use crate::cli::bounded::Holds;
use crate::cli::files::{fetch, replace};
use crate::cli::problem::Problem;
use crate::flatten::Ask;
use crate::length::Unit;
use crate::readings::{
    Addition, Face, Gauge, Record, Survey, add_to_board, begin_survey, change_in_board,
};

/// Readings this near to a place were taken there, mm.
const SAME_PLACE: f64 = 0.5;

/// A board file and what it holds.
pub(super) struct Sheet {
    path: PathBuf,
    unit: Option<Unit>,
    /// The date of the survey that the next reading begins, where one is to begin.
    begins: Option<String>,
    pub(super) record: Record,
}

impl Sheet {
    /// Reads the file.
    pub(super) fn open(path: &Path, unit: Option<Unit>) -> Result<Self, Problem> {
        let mut sheet = Self {
            path: path.to_owned(),
            unit,
            begins: None,
            record: Record::default(),
        };
        sheet.reread().map_err(Problem::Input)?;
        Ok(sheet)
    }

    /// Begins a survey of this date with the next reading, unless the last one is of that date.
    pub(super) fn begin(&mut self, date: &str) {
        let last = self.record.surveys.last();
        if last.is_none_or(|survey| survey.date.as_deref() != Some(date)) {
            self.begins = Some(date.to_owned());
        }
    }

    fn reread(&mut self) -> Result<(), Vec<String>> {
        let options = ReadingOptions::of_unit(self.unit);
        let mut faults = Vec::new();
        match BoardOptions::new(self.path.clone(), options).record(&mut faults) {
            Ok(record) => self.record = record,
            Err(_) => return Err(faults),
        }
        Ok(())
    }

    /// The survey that is being filled in, once it has a reading.
    fn survey(&self) -> Option<&Survey> {
        let last = self.record.surveys.last();
        last.filter(|_| self.begins.is_none())
    }

    /// The reading that was taken already where this one is asked for.
    pub(super) fn taken(&self, ask: &Ask) -> Option<Addition> {
        let survey = self.survey()?;
        let near = |[x, y]: [f64; 2], px: f64, py: f64| (px - x).hypot(py - y) <= SAME_PLACE;
        let held = |sample: Gauge| {
            let gauges = survey.gauged.iter().map(|gauged| &gauged.gauge);
            let mut alike = gauges.filter(|gauge| gauge.held_within(&sample, SAME_PLACE));
            alike.next().cloned().map(Addition::Gauge)
        };
        match *ask {
            Ask::Height(at) => {
                let sets = survey.heights.iter();
                let sets = sets.filter(|set| set.face == Face::Up && set.datum == 0);
                let mut points = sets.flat_map(|set| &set.heights.up);
                let face = Face::Up;
                let found = points.find(|p| near(at, p[0], p[1]))?;
                Some(Addition::Height {
                    face,
                    point: *found,
                })
            }
            Ask::Thickness(at) => {
                let mut readings = survey.calipers.iter().flat_map(|c| &c.readings);
                let found = readings.find(|c| near(at, c.x, c.y))?;
                Some(Addition::Caliper(*found))
            }
            Ask::Gap { .. } | Ask::Sliver { .. } => held(ask.gauge()?),
        }
    }

    /// Notes a reading: it is on the disk when this returns.
    pub(super) fn note(&mut self, ask: &Ask, addition: &Addition) -> Result<(), String> {
        let name = self.path.display().to_string();
        let bytes = fetch(&self.path, Holds::Sheet).map_err(|why| format!("{name}: {why}"))?;
        let text = String::from_utf8(bytes)
            .map_err(|_| format!("{name}: is no plain text (UTF-8); save it as such"))?;
        let noted = match (self.taken(ask), &self.begins) {
            (Some(before), _) => change_in_board(&text, &name, &at_place_of(addition, &before)),
            (None, Some(date)) => begin_survey(&text, &name, date, addition),
            (None, None) => add_to_board(&text, &name, addition),
        };
        let noted = noted.map_err(|faults| faults.to_string())?;
        replace(&self.path, &noted)?;
        self.begins = None;
        self.reread().map_err(|faults| faults.join("\n"))?;
        match self.taken(ask) {
            Some(_) => Ok(()),
            None => Err(format!(
                "{name}: the reading was noted, but in a survey that is not the latest; put the surveys in the order of \
                 their dates"
            )),
        }
    }
}

/// A reading with the place of the one that it puts right, which may be a hair off.
fn at_place_of(addition: &Addition, before: &Addition) -> Addition {
    let mut addition = addition.clone();
    match (&mut addition, before) {
        (Addition::Caliper(new), Addition::Caliper(old)) => (new.x, new.y) = (old.x, old.y),
        (Addition::Height { point: new, .. }, Addition::Height { point: old, .. }) => {
            (new[0], new[1]) = (old[0], old[1]);
        }
        _ => {}
    }
    addition
}
