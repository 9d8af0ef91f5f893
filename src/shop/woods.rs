//! What is usual of single woods.

use super::{Movement, Shop};
use crate::readings::{SawnRecord, WoodRecord};

/// What is usual of one wood, lengths in mm; what is left out is as in the whole shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Wood {
    /// Its name; any that no other names, where there is none.
    pub species: Option<String>,
    /// Moisture of its boards, percent of the dry mass.
    pub moisture: Option<f64>,
    /// How its boards are sawn.
    pub sawn: Option<SawnRecord>,
    /// Its own bow, as of [`Movement`].
    pub bow: Option<f64>,
    /// Its own cup.
    pub cup: Option<f64>,
    /// Thickness left on the first day.
    pub rough_allowance: Option<f64>,
}

impl Wood {
    pub(super) fn new(told: &WoodRecord) -> Self {
        Self {
            species: told.species.clone(),
            moisture: told.moisture,
            sawn: told.sawn,
            bow: told.movement.bow,
            cup: told.movement.cup,
            rough_allowance: told.rough_allowance,
        }
    }
}

impl Shop {
    /// What is usual of a wood: the entry that names it, the case of letters aside, else the one that names none.
    #[must_use]
    pub fn wood(&self, species: Option<&str>) -> Option<&Wood> {
        let folded = |name: &str| name.trim().to_lowercase();
        let named = species.and_then(|asked| {
            let own = |wood: &&Wood| wood.species.as_deref().map(folded) == Some(folded(asked));
            self.woods.iter().find(own)
        });
        named.or_else(|| self.woods.iter().find(|wood| wood.species.is_none()))
    }

    /// How far a wood warps when it is cut: by its own figures, else as in the whole shop.
    #[must_use]
    pub fn movement_of(&self, species: Option<&str>) -> Movement {
        let own = self.wood(species);
        Movement {
            bow: own.and_then(|w| w.bow).unwrap_or(self.movement.bow),
            cup: own.and_then(|w| w.cup).unwrap_or(self.movement.cup),
        }
    }

    /// The shop as it works one wood: with that wood's own movement and rough allowance.
    #[must_use]
    pub fn working(mut self, species: Option<&str>) -> Self {
        self.movement = self.movement_of(species);
        let own = self.wood(species).and_then(|w| w.rough_allowance);
        self.milling.rough_allowance = own.unwrap_or(self.milling.rough_allowance);
        self
    }
}
