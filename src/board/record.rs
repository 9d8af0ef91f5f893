//! A board from what its file holds.

use super::{Board, BoardError, CALIPER_ERROR, HEIGHT_ERROR, Particulars, SetUp, with_rounding};
use crate::readings::{Face, HeightSet, Record, Survey};

impl Board {
    /// The board of a board file as its last survey found it; `name` where the file gives it none.
    ///
    /// # Errors
    ///
    /// As [`Board::new`].
    pub fn from_record(record: Record, name: &str) -> Result<Self, Vec<BoardError>> {
        let survey = record.surveys.into_iter().next_back().unwrap_or_default();
        Self::new(Particulars {
            name: record.name.unwrap_or_else(|| name.to_owned()),
            length: record.length,
            width: record.width,
            edges: record.edges,
            about: record.about,
            avoid: record.avoid,
            ..Particulars::surveyed(survey)
        })
    }
}

impl Particulars {
    /// What a survey tells.
    fn surveyed(survey: Survey) -> Self {
        let mut particulars = Self {
            gauged: survey.gauged,
            ..Self::default()
        };
        particulars.down.thickness = survey.thickness;
        if let Some(calipers) = survey.calipers {
            let own = survey.caliper_error.unwrap_or(CALIPER_ERROR);
            particulars.errors.caliper = with_rounding(own, calipers.step_mm);
            particulars.down.calipers = calipers.readings;
        }
        let of_up = |set: &&HeightSet| set.face == Face::Up;
        let alone = survey.heights.iter().filter(of_up).count() == 1;
        for set in survey.heights {
            particulars.add(set, alone);
        }
        particulars
    }

    /// Adds heights: those over the first datum to the faces, others as set-ups of their own. The up face has their layout
    /// where it was read in one set `alone`.
    fn add(&mut self, set: HeightSet, alone: bool) {
        let sd = with_rounding(set.error.unwrap_or(HEIGHT_ERROR), set.heights.step_mm);
        let stated = set.error.is_some();
        let HeightSet {
            face,
            turned,
            datum,
            heights,
            ..
        } = set;
        if alone && face == Face::Up && datum == 0 {
            self.layout = heights.layout;
        }
        if datum > 0 {
            self.set_ups.push(SetUp {
                datum,
                face,
                turned,
                points: heights.up,
                sd,
                stated,
            });
            return;
        }
        let mut points = heights.up;
        if turned {
            // Of a board that lay turned over, heights grow against z.
            points.iter_mut().for_each(|p| p[2] = -p[2]);
        }
        let (to, error) = match face {
            Face::Up => (&mut self.up, &mut self.errors.up),
            Face::Down => (&mut self.down.heights, &mut self.errors.down),
        };
        self.errors.stated |= stated;
        // Sets of one face over one datum are taken to be as good as the worst of them.
        *error = if to.is_empty() { sd } else { error.max(sd) };
        if to.is_empty() {
            *to = points;
        } else {
            to.extend(points);
        }
    }
}
