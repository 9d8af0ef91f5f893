//! Where a board is to be read: the same for the form and for guided entry.

use clap::Args;

use super::problem::Problem;
use crate::board::Outline;
use crate::flatten::{SurveyPlan, Tools};
use crate::length::{DecimalMark, Length, Unit, read};
use crate::readings::EdgesAt;

/// Where a board is to be read, and with what.
#[derive(Debug, Args)]
pub(super) struct SurveyOptions {
    /// Heights at so many stations along and positions across [default: 5x3]
    #[arg(long, value_name = "NxM", value_parser = grid)]
    stations: Option<[usize; 2]>,

    /// Straightedge and winding sticks in place of heights over a datum
    #[arg(long, conflicts_with = "stations")]
    sticks: bool,

    /// Read at these stations, and at both ends, such as "18, 36, 54" [default: where readings tell most]
    #[arg(long, value_name = "LIST")]
    at: Option<String>,
}

/// Stations and positions where nothing is said: the usual five-minute survey (common practice).
const USUAL: [usize; 2] = [5, 3];

impl SurveyOptions {
    /// Whether straightedge and sticks are used.
    pub(super) fn sticks(&self) -> bool {
        self.sticks
    }

    /// The plan for a board of this size with these edges (none: a rectangle); lengths without a unit are in `unit`.
    pub(super) fn plan(
        &self,
        outline: Outline,
        edges: &[EdgesAt],
        unit: Unit,
    ) -> Result<SurveyPlan, Problem> {
        let [count, across] = self.stations.unwrap_or(USUAL);
        let tools = if self.sticks {
            Tools::Sticks
        } else {
            Tools::Heights(across)
        };
        if let Some(list) = &self.at {
            let stations = listed(list, unit, outline.length).map_err(Problem::Input)?;
            return Ok(SurveyPlan::at(outline, edges, tools, &stations));
        }
        let step = mark_step(unit, outline.length);
        SurveyPlan::chosen(outline, edges, tools, count, step)
            .map_err(|why| Problem::NoAnswer(format!("no stations could be chosen: {why}")))
    }
}

/// Stations as a list.
fn listed(list: &str, unit: Unit, length: f64) -> Result<Vec<f64>, Vec<String>> {
    let mut faults = Vec::new();
    let mut stations = Vec::new();
    for text in list.split([',', ';']).map(str::trim) {
        match read(text, Some(unit), DecimalMark::Point) {
            Ok(written) if (0.0..=length).contains(&written.length.mm()) => {
                stations.push(written.length.mm());
            }
            Ok(_) => faults.push(format!(
                "--at: station \"{text}\" is not on the board; give stations between its ends"
            )),
            Err(error) => faults.push(format!("--at: {error}")),
        }
    }
    if faults.is_empty() {
        Ok(stations)
    } else {
        Err(faults)
    }
}

/// Stations are marked to the whole inch or centimetre, finer on a short board.
fn mark_step(unit: Unit, length: f64) -> f64 {
    let (coarse, fine) = match unit {
        Unit::Inch | Unit::Foot => (
            Length::from_inches(1.0).mm(),
            Length::from_inches(0.25).mm(),
        ),
        Unit::Millimetre | Unit::Centimetre | Unit::Metre => (10.0, 5.0),
    };
    if length < 24.0 * coarse { fine } else { coarse }
}

fn grid(text: &str) -> Result<[usize; 2], String> {
    let wrong =
        || "give stations along, 2 to 13, and positions across, 2 to 5, such as 7x3".to_owned();
    let (stations, positions) = text.split_once(['x', 'X', '×']).ok_or_else(wrong)?;
    let number = |text: &str| text.trim().parse::<usize>().map_err(|_| wrong());
    let grid = [number(stations)?, number(positions)?];
    if (2..=13).contains(&grid[0]) && (2..=5).contains(&grid[1]) {
        Ok(grid)
    } else {
        Err(wrong())
    }
}
