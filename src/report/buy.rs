//! What to buy, as text and as JSON.

use serde::Serialize;

use super::headline::hundredths;
use super::lines::{paragraph, table};
use super::pen::Pen;
use crate::length::Notation;
use crate::milling::{Buying, Choice, Purchase};

/// Money with its sign, to the hundredth.
fn money(purchase: &Purchase, amount: f64) -> String {
    match purchase.shop.currency.as_deref() {
        Some(sign) if sign.chars().count() == 1 => format!("{sign}{amount:.2}"),
        Some(name) => format!("{amount:.2} {name}"),
        None => format!("{amount:.2}"),
    }
}

/// What to buy as text, lengths written in `notation`.
#[must_use]
pub fn buy(purchase: &Purchase, buying: &Buying, notation: Notation) -> String {
    let pen = Pen(notation);
    let advised = buying.advised.and_then(|at| buying.choices.get(at));
    let cost = |c: &Choice| {
        c.money
            .map_or(String::new(), |m| format!(", {}", money(purchase, m)))
    };
    let headline = match advised {
        Some(c) => format!(
            "Buy {}/4: it comes out at {} or more {} times in 100. {:.1} board feet{}.",
            c.quarters,
            pen.place(purchase.need),
            hundredths(c.chance),
            c.board_feet,
            cost(c)
        ),
        None => format!(
            "No thickness that is sold comes out at {} in {:.0} of 100: glue it up, or buy it surfaced.",
            pen.place(purchase.need),
            100.0 * purchase.certainty
        ),
    };
    let priced = buying.choices.iter().any(|c| c.money.is_some());
    let mut head = vec!["rough", "in 100", "net board feet", "to buy"];
    head.extend(priced.then_some("cost"));
    let mut rows = vec![head.into_iter().map(str::to_owned).collect::<Vec<String>>()];
    for c in &buying.choices {
        let mut row = vec![
            format!("{}/4", c.quarters),
            hundredths(c.chance).to_string(),
            format!("{:.1}", c.net_board_feet),
            format!("{:.1}", c.board_feet),
        ];
        if priced {
            row.push(
                c.money
                    .map_or("no price".to_owned(), |m| money(purchase, m)),
            );
        }
        rows.push(row);
    }
    let basis = if buying.own_record {
        format!(
            "Chances are those of your own record of {} boards: half of them lost {} or less.",
            buying.recorded,
            pen.off(buying.usual_loss)
        )
    } else {
        format!(
            "Chances rest on what boards usually lose, our reading of common practice: half of them {} or less at this length. \
             With five boards of your own record (--book or --losses) they would be your shop's{}.",
            pen.off(buying.usual_loss),
            match buying.recorded {
                0 => String::new(),
                n => format!("; it has {n}"),
            }
        )
    };
    let waste = format!(
        "{} piece{} {} long, {} wide; {:.0} % waste, so the pieces are divided by {:.2}. Under 1 in counts as 1 in.",
        purchase.count,
        if purchase.count == 1 { "" } else { "s" },
        pen.place(purchase.length),
        pen.place(purchase.width),
        100.0 * purchase.waste,
        1.0 - purchase.waste
    );
    [
        paragraph(&headline),
        table(&rows),
        paragraph(&waste),
        paragraph(&basis),
    ]
    .join("\n\n")
        + "\n"
}

#[derive(Serialize)]
struct Document {
    need_mm: f64,
    length_mm: f64,
    width_mm: f64,
    count: u32,
    waste: f64,
    own_record: bool,
    recorded: usize,
    usual_loss_mm: f64,
    advised_quarters: Option<u32>,
    choices: Vec<ChoicePart>,
}

#[derive(Serialize)]
struct ChoicePart {
    quarters: u32,
    thickness_mm: f64,
    chance: f64,
    net_board_feet: f64,
    board_feet: f64,
    money: Option<f64>,
}

/// What to buy as a JSON document, lengths in millimetres.
#[must_use]
pub fn buy_json(purchase: &Purchase, buying: &Buying) -> String {
    let choices = buying.choices.iter().map(|c| ChoicePart {
        quarters: c.quarters,
        thickness_mm: c.thickness(),
        chance: c.chance,
        net_board_feet: c.net_board_feet,
        board_feet: c.board_feet,
        money: c.money,
    });
    let document = Document {
        need_mm: purchase.need,
        length_mm: purchase.length,
        width_mm: purchase.width,
        count: purchase.count,
        waste: purchase.waste,
        own_record: buying.own_record,
        recorded: buying.recorded,
        usual_loss_mm: buying.usual_loss,
        advised_quarters: buying
            .advised
            .and_then(|at| buying.choices.get(at))
            .map(|c| c.quarters),
        choices: choices.collect(),
    };
    serde_json::to_string_pretty(&document)
        .unwrap_or_else(|error| unreachable!("a record of numbers and text is JSON: {error}"))
}
