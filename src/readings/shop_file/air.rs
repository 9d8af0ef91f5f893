//! The air of the shop and of the house.

use super::keys;
use super::record::AirRecord;
use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::tree::Value;

/// No wood is worked or lived with beyond these, degrees Celsius; the formula for its moisture holds between them.
const TEMPERATURES: [f64; 2] = [-10.0, 60.0];

/// What to write for either.
const TEMPERATURE: &str = "write it with its scale, as \"20 C\" or \"68 F\"";
const HUMIDITY: &str = "write percent, from 1 to 99, as 45";

impl Reader<'_, '_> {
    /// The air of the shop, then of the house.
    pub(super) fn air(&mut self, top: Place<'_>) -> [AirRecord; 2] {
        let Some(place) = self.part(top, "air", keys::AIR) else {
            return [AirRecord::default(); 2];
        };
        [
            ("shop-temperature", "shop-humidity"),
            ("house-temperature", "house-humidity"),
        ]
        .map(|(temperature, humidity)| AirRecord {
            temperature: self.read_air(place, temperature, celsius, TEMPERATURE),
            humidity: self.read_air(place, humidity, share, HUMIDITY),
        })
    }

    /// A number and its sign or scale.
    fn read_air(
        &mut self,
        place: Place<'_>,
        key: &str,
        read: impl Fn(&str) -> Option<f64>,
        fix: &str,
    ) -> Option<f64> {
        let node = place.table.get(key)?;
        let text = match &node.value {
            Value::Text(text) => text.clone(),
            Value::Number => self.source.piece(&node.span).to_owned(),
            _ => {
                self.wrong_sort(node, &place.key(key), "a number", fix);
                return None;
            }
        };
        let found = read(text.trim());
        if found.is_none() {
            let wrong = format!("not a {key} that is known here");
            self.fault(&node.span, &place.key(key), wrong, fix);
        }
        found
    }
}

/// A temperature with its scale, in degrees Celsius.
fn celsius(text: &str) -> Option<f64> {
    let scale = text.chars().last()?;
    let number = text[..text.len() - scale.len_utf8()]
        .trim_end()
        .trim_end_matches('°');
    let degrees = number.trim_end().replace(',', ".").parse::<f64>().ok()?;
    let celsius = match scale {
        'C' | 'c' => degrees,
        'F' | 'f' => (degrees - 32.0) / 1.8,
        _ => return None,
    };
    (TEMPERATURES[0]..=TEMPERATURES[1])
        .contains(&celsius)
        .then_some(celsius)
}

/// A percentage as a share: from 1 to 99, as 0.45 would be a slip for 45.
fn share(text: &str) -> Option<f64> {
    let percent = text
        .trim_end_matches('%')
        .trim_end()
        .replace(',', ".")
        .parse::<f64>()
        .ok()?;
    (1.0..=99.0).contains(&percent).then_some(percent / 100.0)
}

#[cfg(test)]
mod tests {
    use super::{celsius, share};

    #[test]
    fn air_is_read_with_its_scale() {
        assert_eq!(
            [celsius("20 C"), celsius("68°F"), celsius("20,5 °C")],
            [Some(20.0), Some(20.0), Some(20.5)]
        );
        assert_eq!(
            [celsius("20"), celsius("200 F"), celsius(""), celsius("°")],
            [None; 4]
        );
        assert_eq!([share("45 %"), share("45")], [Some(0.45); 2]);
        assert_eq!([share("0.45"), share("100"), share("nan")], [None; 3]);
    }
}
