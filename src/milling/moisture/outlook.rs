//! What water will do to one board.

use super::{
    Acclimation, Air, Change, HOUSE, MeterReading, Sawn, change_of, matching, ring_cup, table,
};
use crate::milling::rest::Drying;

/// What is known of the water in a board and in the air about it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Water {
    /// The wood.
    pub species: Option<String>,
    /// How it was sawn.
    pub sawn: Option<Sawn>,
    /// Width and finished thickness of the piece, mm.
    pub size: [f64; 2],
    /// The board's moisture, percent, where no meter tells it.
    pub moisture: Option<f64>,
    /// What a meter showed.
    pub meter: Vec<MeterReading>,
    /// The air of the shop.
    pub shop: Option<Air>,
    /// The air of the house.
    pub house: Option<Air>,
    /// From the pith of the tree to the middle of the face, mm.
    pub pith: Option<f64>,
}

/// What water will do.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// The board's moisture, percent: the last of the meter readings, else what was said.
    pub board: Option<f64>,
    /// At rest in the shop, percent.
    pub shop: Option<f64>,
    /// At rest in the house, percent.
    pub house: f64,
    /// Whether the air of the house was said; else it is the usual one.
    pub house_said: bool,
    /// The woods of the table that the species may be; none where it is not known.
    pub woods: Vec<&'static str>,
    /// Change of width and of thickness until the board rests in the shop, mm.
    pub to_shop: Option<[Change; 2]>,
    /// Change of width and of thickness from the shop (from now, where its air is not known) to the house, mm.
    pub to_house: Option<[Change; 2]>,
    /// Cup from the rings until the board rests in the shop (in the house, where the shop's air is not known), mm; positive is
    /// hollow on the bark side.
    pub cup: Option<Change>,
    /// How far it has come to rest in the shop.
    pub acclimation: Option<Acclimation>,
}

impl Outlook {
    /// Works out what follows from what is known.
    #[must_use]
    pub fn new(water: &Water) -> Self {
        let last = water.meter.iter().max_by(|a, b| a.day.total_cmp(&b.day));
        let board = last.map(|r| r.moisture).or(water.moisture);
        let shop = water.shop.map(Air::equilibrium);
        let house = water.house.map_or(HOUSE, Air::equilibrium);
        let species = water.species.as_deref();
        let change = |from: f64, to: f64| change_of(species, water.sawn, water.size, [from, to]);
        let woods = species.map(matching).unwrap_or_default();
        let cup = || {
            let (from, pith) = (board?, water.pith?);
            let to = shop.unwrap_or(house);
            let possible = if woods.is_empty() {
                table().iter().collect()
            } else {
                woods.clone()
            };
            let cups = possible
                .iter()
                .map(|wood| ring_cup(water.size[0], pith, wood.shrinks(from, to)));
            let [low, high] = cups.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], cup| {
                [low.min(cup), high.max(cup)]
            });
            Some(Change { low, high })
        };
        Self {
            board,
            shop,
            house,
            house_said: water.house.is_some(),
            to_shop: board.zip(shop).map(|(from, to)| change(from, to)),
            to_house: shop.or(board).map(|from| change(from, house)),
            // A quarter-sawn board's rings stand upright: they do not cup it.
            cup: if water.sawn == Some(Sawn::Quarter) {
                None
            } else {
                cup()
            },
            acclimation: shop.and_then(|rest| Acclimation::new(&water.meter, rest)),
            woods: woods.iter().map(|wood| wood.name).collect(),
        }
    }

    /// What all that adds to the movement of the piece until it rests in the shop (in the house, where the shop's air is not
    /// known): of a range, the end that costs most.
    #[must_use]
    pub fn drying(&self) -> Drying {
        let thickness = self
            .to_shop
            .or(self.to_house)
            .map(|[_, thickness]| thickness);
        Drying {
            cup: self
                .cup
                .map_or(0.0, |cup| cup.low.abs().max(cup.high.abs())),
            thinner: thickness.map_or(0.0, |change| (-change.low).max(0.0)),
        }
    }
}
