//! The moisture of wood, as a board file and a shop file say it.

use super::reader::{Place, Reader};
use super::tree::Value;

/// Green wood holds more water than wood, percent of the dry mass.
const WETTEST: f64 = 250.0;

impl Reader<'_, '_> {
    /// The key `moisture`: percent of the dry mass.
    pub(in crate::readings) fn moisture(&mut self, place: Place<'_>) -> Option<f64> {
        let node = place.table.get("moisture")?;
        let text = match &node.value {
            Value::Text(text) => text
                .trim()
                .trim_end_matches('%')
                .trim_end()
                .replace(',', "."),
            Value::Number => self.source.piece(&node.span).to_owned(),
            _ => {
                self.wrong_sort(
                    node,
                    &place.key("moisture"),
                    "a number",
                    "write it in percent, as 9.5",
                );
                return None;
            }
        };
        let percent: Option<f64> = text
            .parse()
            .ok()
            .filter(|percent: &f64| percent.is_finite());
        let Some(percent) = percent else {
            self.fault(
                &node.span,
                &place.key("moisture"),
                "not a number",
                "write it in percent, as 9.5",
            );
            return None;
        };
        if !(percent > 0.0 && percent <= WETTEST) {
            let fix = "write percent of the dry mass, as 9.5";
            self.fault(
                &node.span,
                &place.key("moisture"),
                "no wood holds that much water",
                fix,
            );
            return None;
        }
        Some(percent)
    }
}
