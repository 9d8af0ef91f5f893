//! What is usual of single woods.

use super::keys;
use super::record::{MovementRecord, SawnRecord, WoodRecord};
use super::tables::{KERF, THICK};
use crate::readings::toml::reader::{Place, Reader};
use crate::readings::toml::tree::Value;

impl Reader<'_, '_> {
    pub(super) fn woods(&mut self, top: Place<'_>) -> Vec<WoodRecord> {
        let nodes = self.nodes(top, "wood");
        let mut woods: Vec<WoodRecord> = Vec::new();
        for (at, node) in nodes.iter().enumerate() {
            let name = match nodes.len() {
                1 => "wood".to_owned(),
                _ => format!("wood {}", at + 1),
            };
            let Value::Table(table) = &node.value else {
                continue;
            };
            let place = Place {
                table,
                span: &node.span,
                name: &name,
            };
            let wood = self.wood(place);
            let folded = |wood: &WoodRecord| wood.species.as_ref().map(|s| s.to_lowercase());
            if woods.iter().any(|other| folded(other) == folded(&wood)) {
                let wrong = "this wood stands above";
                self.fault(place.span, place.name, wrong, "write one table for it");
            }
            woods.push(wood);
        }
        woods
    }

    fn wood(&mut self, place: Place<'_>) -> WoodRecord {
        self.check_keys(place, keys::WOOD);
        WoodRecord {
            species: self.words(place, "species"),
            moisture: self.moisture(place),
            sawn: self.sawn(place),
            movement: MovementRecord {
                bow: self.allowed(place, "bow", KERF),
                cup: self.allowed(place, "cup", KERF),
            },
            rough_allowance: self.allowed(place, "rough-allowance", THICK),
        }
    }

    fn sawn(&mut self, place: Place<'_>) -> Option<SawnRecord> {
        let key = "sawn";
        let node = place.table.get(key)?;
        let text = match &node.value {
            Value::Text(text) => text.trim().to_lowercase(),
            _ => String::new(),
        };
        match text.as_str() {
            "flat" => Some(SawnRecord::Flat),
            "quarter" => Some(SawnRecord::Quarter),
            _ => {
                let fix = "write \"flat\" or \"quarter\"";
                self.fault(&node.span, &place.key(key), "not a way of sawing", fix);
                None
            }
        }
    }
}
