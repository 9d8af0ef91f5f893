//! Which rough thickness to buy for a finished one.

use super::board_feet::{board_feet, with_waste};
use crate::shop::Shop;
use crate::surface::estimate::halton_normal;

const INCH: f64 = 25.4;

/// Rough thicknesses that are sold, in quarters of an inch.
const QUARTERS: [u32; 9] = [4, 5, 6, 8, 10, 12, 14, 16, 20];

/// How much thickness a rough board loses until it is flat and smooth, mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Losses {
    /// A shop's own record: rough thickness less what came out, a number a board.
    Record(Vec<f64>),
    /// Nothing is recorded.
    Usual,
}

/// Common practice: 3/16 to 1/4 in as a rule, up to 1/2 in of a warped board. Our reading of it: a lognormal loss with its
/// median between the two and one board in forty above 1/2 in. Rough boards are sold about as thick as they are called.
const MEDIAN: f64 = 7.0 / 32.0 * INCH;
const ONE_IN_FORTY: f64 = INCH / 2.0;
const FORTIETH: f64 = 1.959_963_985;

/// A loss of a 2 m board grows with its length as a mix of bow, which does with the square, and of the rest, which does not:
/// a stretch of the usual 8 ft board has this share of the loss even when it is short.
const LENGTH: f64 = 96.0 * INCH;
const EVEN_SHORT: f64 = 0.6;

/// Fewer boards than this are no record to judge by alone.
const ENOUGH: usize = 5;

/// What is wanted, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Purchase {
    /// The finished thickness.
    pub need: f64,
    /// Of the rough piece.
    pub length: f64,
    /// Of the rough piece.
    pub width: f64,
    /// How many.
    pub count: u32,
    /// The share of what is bought that is wasted in ends, edges and faults, 0 to less than 1.
    pub waste: f64,
    /// The chance that a thickness must have to be advised.
    pub certainty: f64,
    /// What boards lose.
    pub losses: Losses,
    /// The wood, for its price.
    pub species: Option<String>,
    /// Whose prices count.
    pub shop: Shop,
}

/// A rough thickness, and what it would give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// Quarters of an inch.
    pub quarters: u32,
    /// The chance that a board of it comes out thick enough, 0 to 1.
    pub chance: f64,
    /// In the pieces alone.
    pub net_board_feet: f64,
    /// To buy, the waste on top.
    pub board_feet: f64,
    /// What that costs, in the shop's money, where it has a price.
    pub money: Option<f64>,
}

/// What to buy.
#[derive(Debug, Clone, PartialEq)]
pub struct Buying {
    /// Every thickness from the thinnest that can do to the first that is nearly sure.
    pub choices: Vec<Choice>,
    /// The thinnest that is sure enough, by its place among the choices.
    pub advised: Option<usize>,
    /// Whether the shop's own record was counted.
    pub own_record: bool,
    /// How many boards it has.
    pub recorded: usize,
    /// The loss that half of the boards stay below, mm.
    pub usual_loss: f64,
}

impl Choice {
    /// Its rough thickness, mm.
    #[must_use]
    pub fn thickness(&self) -> f64 {
        f64::from(self.quarters) * INCH / 4.0
    }
}

impl Buying {
    /// Answers which thickness to buy.
    #[must_use]
    pub fn new(purchase: &Purchase) -> Self {
        let losses = losses(purchase);
        let chance = |rough: f64| {
            let fit = losses
                .iter()
                .filter(|loss| rough - **loss >= purchase.need - 1e-9)
                .count();
            // A record of n boards cannot tell a chance of 0 or 1 (rule of succession, P.-S. de Laplace).
            (fit as f64 + 1.0) / (losses.len() as f64 + 2.0)
        };
        let mut choices: Vec<Choice> = Vec::new();
        for quarters in QUARTERS {
            let rough = f64::from(quarters) * INCH / 4.0;
            if rough <= purchase.need || choices.last().is_some_and(|c| c.chance >= NEARLY_SURE) {
                continue;
            }
            let net =
                board_feet(rough, purchase.width, purchase.length) * f64::from(purchase.count);
            let bought = with_waste(net, purchase.waste);
            let price = purchase
                .shop
                .per_board_foot(purchase.species.as_deref(), rough);
            choices.push(Choice {
                quarters,
                chance: chance(rough),
                net_board_feet: net,
                board_feet: bought,
                money: price.map(|price| price * bought),
            });
        }
        let mut sorted = losses;
        sorted.sort_by(f64::total_cmp);
        Self {
            advised: choices.iter().position(|c| c.chance >= purchase.certainty),
            choices,
            recorded: match &purchase.losses {
                Losses::Record(own) => own.len(),
                Losses::Usual => 0,
            },
            own_record: matches!(&purchase.losses, Losses::Record(own) if own.len() >= ENOUGH),
            usual_loss: sorted[sorted.len() / 2],
        }
    }
}

/// Beyond this a thicker board is no choice.
const NEARLY_SURE: f64 = 0.98;

const DRAWS: usize = 999;

/// Losses as likely as one another: those recorded, or draws of the usual one.
fn losses(purchase: &Purchase) -> Vec<f64> {
    if let Losses::Record(own) = &purchase.losses
        && own.len() >= ENOUGH
    {
        return own.clone();
    }
    let spread = (ONE_IN_FORTY / MEDIAN).ln() / FORTIETH;
    let share = (purchase.length / LENGTH).min(2.0);
    let stretch = EVEN_SHORT + (1.0 - EVEN_SHORT) * share * share;
    let draws = (0..DRAWS).map(|draw| halton_normal(draw, 0));
    draws
        .map(|draw| stretch * MEDIAN * (spread * draw).exp())
        .collect()
}
