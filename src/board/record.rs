//! A board from what its file holds.

use super::{
    Board, BoardError, CALIPER_ERROR, HEIGHT_ERROR, Lay, Particulars, SetUp, Side, Stated,
    with_rounding,
};
use crate::readings::{EndA, Face, HeightSet, Layout, Point, Record, Survey};

impl Board {
    /// The board of a board file as its last survey found it; `name` where the file gives it none.
    ///
    /// # Errors
    ///
    /// As [`Board::new`].
    pub fn from_record(mut record: Record, name: &str) -> Result<Self, Vec<BoardError>> {
        let mut survey = record.surveys.pop().unwrap_or_default();
        let lays = laid(&mut survey.heights, &record)?;
        Self::new(Particulars {
            name: record.name.unwrap_or_else(|| name.to_owned()),
            length: record.length,
            width: record.width,
            edges: record.edges,
            about: record.about,
            avoid: record.avoid,
            lays,
            ..Particulars::surveyed(survey)
        })
    }
}

/// Puts heights in scanners' own frames on the board: how it lay in each, with the datums there.
fn laid(
    sets: &mut [HeightSet],
    record: &Record,
) -> Result<Vec<(Lay, Vec<usize>)>, Vec<BoardError>> {
    let frames = sets.iter().filter_map(|set| Some(set.frame?.number + 1));
    let frames = frames.max().unwrap_or(0);
    let (mut lays, mut faults): (Vec<(usize, Lay, Vec<usize>)>, _) = (Vec::new(), Vec::new());
    let mut stated = Stated {
        size: [record.length, record.width],
        edges: &record.edges,
        end_a: None,
        high: false,
    };
    for number in 0..frames {
        let of_frame = |set: &&HeightSet| set.frame.is_some_and(|frame| frame.number == number);
        let within: Vec<&HeightSet> = sets.iter().filter(of_frame).collect();
        let Some(&first) = within.first() else {
            continue;
        };
        let points: Vec<&[Point]> = within.iter().map(|set| &set.heights.up[..]).collect();
        let said = within.iter().find_map(|set| set.frame?.end_a);
        let read = |face: Face| within.iter().any(|set| set.face == face);
        let asked = Stated {
            end_a: said,
            ..stated
        };
        match Lay::find(&points, first.turned, &asked) {
            Ok(mut lay) => {
                (lay.up, lay.down) = (read(Face::Up), read(Face::Down));
                lays.push((number, lay, within.iter().map(|set| set.datum).collect()));
            }
            Err(why) => faults.push(BoardError::NoLay(first.face, why)),
        }
        // A board is usually rolled over lengthwise: its ends stay where they were.
        stated.high |= number == 0 && matches!(said, Some(EndA::HighX | EndA::HighY));
    }
    let Some((_, first, _)) = lays.first().cloned() else {
        return if faults.is_empty() {
            Ok(Vec::new())
        } else {
            Err(faults)
        };
    };
    let mean = [0, 1]
        .map(|axis| lays.iter().map(|(_, lay, _)| lay.size[axis]).sum::<f64>() / lays.len() as f64);
    for (number, lay, _) in &mut lays {
        for (axis, side) in [(0, Side::Length), (1, Side::Width)] {
            let face = if lay.up { Face::Up } else { Face::Down };
            let alike = lay.agrees(side, first.size[axis]);
            faults.extend(alike.err().map(|why| BoardError::NoLay(face, why)));
        }
        *lay = lay.on(&stated, mean);
        let of_frame =
            |set: &&mut HeightSet| set.frame.is_some_and(|frame| frame.number == *number);
        for set in sets.iter_mut().filter(of_frame) {
            lay.lay(&mut set.heights.up);
            set.heights.layout = Layout::Scattered;
        }
    }
    if faults.is_empty() {
        Ok(lays
            .into_iter()
            .map(|(_, lay, datums)| (lay, datums))
            .collect())
    } else {
        Err(faults)
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
