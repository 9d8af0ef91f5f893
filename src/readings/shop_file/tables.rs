//! The tables of a shop file, each key with the sizes that it may have.

use super::keys;
use super::record::{
    AllowancesRecord, MachineRecord, MillingRecord, MovementRecord, PriceRecord, SawRecord,
    ShopRecord,
};
use crate::readings::toml::keys::Keys;
use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::tree::{Table, Value};

const INCH: f64 = 25.4;

/// Beyond these a unit has slipped.
#[derive(Debug, Clone, Copy)]
pub(super) struct Most(f64, &'static str);

/// Of a kerf, or of how far wood moves.
pub(super) const KERF: Most = Most(INCH, "1 in");
/// Of what comes off a piece, and of its thickness.
pub(super) const THICK: Most = Most(12.0 * INCH, "12 in");
/// Of a machine's width.
const WIDE: Most = Most(120.0 * INCH, "10 ft");
/// Of a machine's length.
const LONG: Most = Most(780.0 * INCH, "65 ft");

/// More than any wood costs a board foot, in any money.
const DEAREST: f64 = 1e7;

impl Reader<'_, '_> {
    /// All that the file says; where a fault was found, as far as it could be read.
    pub(super) fn shop(&mut self, table: &Table) -> ShopRecord {
        let top = Self::top(table);
        self.check_keys(top, keys::SHOP);
        let unit = self.own_unit(top);
        let [shop_air, house_air] = self.air(top);
        ShopRecord {
            unit: unit.or(self.unit),
            currency: self.words(top, "currency"),
            saw: self.saw(top),
            allowances: self.allowances(top),
            jointer: self.machine(top, "jointer", keys::JOINTER),
            planer: self.machine(top, "planer", keys::PLANER),
            sled: self.machine(top, "sled", keys::SLED),
            movement: self.movement(top),
            milling: self.milling(top),
            shop_air,
            house_air,
            prices: self.prices(top),
            woods: self.woods(top),
        }
    }

    /// The table of a key, its keys checked.
    pub(super) fn part<'p>(
        &mut self,
        top: Place<'p>,
        key: &'p str,
        known: Keys,
    ) -> Option<Place<'p>> {
        let node = top.table.get(key)?;
        let Value::Table(table) = &node.value else {
            let fix = format!("begin it with a line [{key}]");
            self.wrong_sort(node, key, "a table", &fix);
            return None;
        };
        let place = Place {
            table,
            span: &node.span,
            name: key,
        };
        self.check_keys(place, known);
        Some(place)
    }

    fn saw(&mut self, top: Place<'_>) -> SawRecord {
        let Some(place) = self.part(top, "saw", keys::SAW) else {
            return SawRecord::default();
        };
        SawRecord {
            crosscut_kerf: self.allowed(place, "crosscut-kerf", KERF),
            rip_kerf: self.allowed(place, "rip-kerf", KERF),
            resaw_kerf: self.allowed(place, "resaw-kerf", KERF),
            min_length: self.allowed(place, "min-length", WIDE),
        }
    }

    fn allowances(&mut self, top: Place<'_>) -> AllowancesRecord {
        let Some(place) = self.part(top, "allowances", keys::ALLOWANCES) else {
            return AllowancesRecord::default();
        };
        AllowancesRecord {
            end_trim: self.allowed(place, "end-trim", WIDE),
            over_length: self.allowed(place, "over-length", WIDE),
            over_width: self.allowed(place, "over-width", THICK),
            jointing: self.allowed(place, "jointing", THICK),
            glue_line: self.allowed(place, "glue-line", KERF),
            resaw_clean_up: self.allowed(place, "resaw-clean-up", THICK),
            useful_offcut: self.allowed(place, "useful-offcut", LONG),
        }
    }

    /// A machine, or `false` for a shop without it.
    fn machine(&mut self, top: Place<'_>, key: &str, known: Keys) -> MachineRecord {
        if let Some(Value::Flag(false)) = top.table.get(key).map(|node| &node.value) {
            return MachineRecord {
                absent: true,
                ..MachineRecord::default()
            };
        }
        let place = match top.table.get(key) {
            Some(node) if !matches!(node.value, Value::Table(_)) => {
                let fix = format!("begin it with a line [{key}], or write {key} = false");
                self.wrong_sort(node, key, "a table", &fix);
                None
            }
            _ => self.part(top, key, known),
        };
        let Some(place) = place else {
            return MachineRecord::default();
        };
        // A key that the machine does not have is told already.
        let mut allowed = |key: &str, most: Most| {
            let known = known.names.contains(&key);
            known.then(|| self.allowed(place, key, most)).flatten()
        };
        let (min_length, min_thickness) =
            (allowed("min-length", WIDE), allowed("min-thickness", THICK));
        let (roller_gap, snipe) = (allowed("roller-gap", WIDE), allowed("snipe", WIDE));
        let sled_height = allowed("sled-height", THICK);
        let mut limit = |key: &str, most: Most| {
            let known = known.names.contains(&key);
            known.then(|| self.limit(place, key, most)).flatten()
        };
        let (width, max_length) = (limit("width", WIDE), limit("max-length", LONG));
        let max_thickness = limit("max-thickness", THICK);
        let pass = limit("pass", KERF);
        if let (Some(least), Some(most)) = (min_thickness, max_thickness)
            && least >= most
        {
            let key = "max-thickness";
            let span = place.table.get(key).map_or(place.span, |node| &node.span);
            let wrong = "max-thickness is not above min-thickness";
            self.fault(span, &place.key(key), wrong, "swap or check them");
        }
        MachineRecord {
            absent: false,
            width,
            max_length,
            min_length,
            max_thickness,
            min_thickness,
            roller_gap,
            snipe,
            pass,
            sled_height,
        }
    }

    fn movement(&mut self, top: Place<'_>) -> MovementRecord {
        let Some(place) = self.part(top, "movement", keys::MOVEMENT) else {
            return MovementRecord::default();
        };
        MovementRecord {
            bow: self.allowed(place, "bow", KERF),
            cup: self.allowed(place, "cup", KERF),
        }
    }

    fn milling(&mut self, top: Place<'_>) -> MillingRecord {
        let Some(place) = self.part(top, "milling", keys::MILLING) else {
            return MillingRecord::default();
        };
        MillingRecord {
            rough_allowance: self.allowed(place, "rough-allowance", THICK),
            smoothing: self.allowed(place, "smoothing", KERF),
            tolerate: self.allowed(place, "tolerate", KERF),
        }
    }

    fn prices(&mut self, top: Place<'_>) -> Vec<PriceRecord> {
        let nodes = self.nodes(top, "price");
        let mut prices: Vec<PriceRecord> = Vec::new();
        for (at, node) in nodes.iter().enumerate() {
            let name = match nodes.len() {
                1 => "price".to_owned(),
                _ => format!("price {}", at + 1),
            };
            let Value::Table(table) = &node.value else {
                continue;
            };
            let place = Place {
                table,
                span: &node.span,
                name: &name,
            };
            let Some(price) = self.price(place) else {
                continue;
            };
            let same = |other: &PriceRecord| {
                let folded = |price: &PriceRecord| price.species.as_ref().map(|s| s.to_lowercase());
                folded(other) == folded(&price) && other.thickness == price.thickness
            };
            if prices.iter().any(same) {
                let wrong = "a price of this wood and thickness stands above";
                self.fault(place.span, place.name, wrong, "keep one of them");
            }
            prices.push(price);
        }
        prices
    }

    fn price(&mut self, place: Place<'_>) -> Option<PriceRecord> {
        self.check_keys(place, keys::PRICE);
        let species = self.words(place, "species");
        let thickness = self.limit(place, "thickness", THICK);
        let key = "per-board-foot";
        let Some(node) = place.table.get(key) else {
            self.missing(
                place,
                key,
                "write what a board foot costs: per-board-foot = 8.50",
            );
            return None;
        };
        let text = match &node.value {
            Value::Number => self.source.piece(&node.span).to_owned(),
            Value::Text(text) => text.trim().replace(',', "."),
            _ => {
                self.wrong_sort(
                    node,
                    &place.key(key),
                    "a price",
                    "write the number alone, as 8.50",
                );
                return None;
            }
        };
        let price = text.replace('_', "").parse::<f64>().ok();
        let wrong = match price.filter(|price| price.is_finite()) {
            None => "not a price",
            Some(price) if price <= 0.0 => "a price must be more than zero",
            Some(price) if price > DEAREST => "no wood costs as much",
            Some(per_board_foot) => {
                return Some(PriceRecord {
                    species,
                    thickness,
                    per_board_foot,
                });
            }
        };
        let fix = "write the number alone, as 8.50, and the money as currency";
        self.fault(&node.span, &place.key(key), wrong, fix);
        None
    }

    /// A length of zero or more.
    pub(super) fn allowed(&mut self, place: Place<'_>, key: &str, most: Most) -> Option<f64> {
        let node = place.table.get(key)?;
        let length = self.length_of(node, &place.key(key))?.length.mm();
        if length < 0.0 {
            let wrong = format!("{key} is never below zero");
            self.fault(
                &node.span,
                &place.key(key),
                wrong,
                "write it without a minus",
            );
            return None;
        }
        self.at_most(place, key, length, most)
    }

    /// A length above zero.
    fn limit(&mut self, place: Place<'_>, key: &str, most: Most) -> Option<f64> {
        let length = self.size(place, key)?.length.mm();
        self.at_most(place, key, length, most)
    }

    fn at_most(
        &mut self,
        place: Place<'_>,
        key: &str,
        length: f64,
        Most(most, told): Most,
    ) -> Option<f64> {
        if length <= most {
            return Some(length);
        }
        let span = place.table.get(key).map_or(place.span, |node| &node.span);
        let wrong = format!("{key} is more than {told}");
        self.fault(
            span,
            &place.key(key),
            wrong,
            "check the number and its unit",
        );
        None
    }
}
