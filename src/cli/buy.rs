//! `outwind buy`: which rough thickness to buy.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::book_options::BookOptions;
use super::dimension;
use super::files::read_file;
use super::problem::Problem;
use crate::length::{DecimalMark, Length, Notation, Unit, read};
use crate::milling::{Buying, Losses, Purchase};
use crate::readings::read_shop;
use crate::report;
use crate::shop::Shop;

#[derive(Debug, Args)]
pub(super) struct BuyArguments {
    /// The finished thickness
    #[arg(long, value_name = "T", required = true, allow_hyphen_values = true)]
    need: Option<String>,

    /// The length of a rough piece
    #[arg(long, value_name = "L", required = true, allow_hyphen_values = true)]
    length: Option<String>,

    /// The width of a rough piece
    #[arg(long, value_name = "W", required = true, allow_hyphen_values = true)]
    width: Option<String>,

    /// How many pieces
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    count: u32,

    /// The share of what is bought that is wasted, percent; 15 to 50 by grade
    #[arg(long, value_name = "PERCENT", default_value = "30", value_parser = waste)]
    waste: f64,

    /// The chance that a thickness must have
    #[arg(long, value_name = "C", default_value = "0.90", value_parser = certainty)]
    certainty: f64,

    /// What your boards lost from rough to finished, with commas between: five or more count instead of the usual
    #[arg(
        long,
        value_name = "T, T, …",
        allow_hyphen_values = true,
        conflicts_with = "book"
    )]
    losses: Option<String>,

    #[command(flatten)]
    book: BookOptions,

    /// The wood, for its price, and for its boards in the book
    #[arg(long, value_name = "NAME")]
    species: Option<String>,

    /// The shop's prices: a shop file (.toml)
    #[arg(long, value_name = "FILE")]
    shop: Option<PathBuf>,

    /// The unit of numbers without one: in, ft, mm, cm or m
    #[arg(long, value_name = "U", value_parser = dimension::unit, default_value = "in")]
    unit: Unit,

    /// Print the answer as JSON, millimetres throughout
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &BuyArguments, out: &mut dyn Write) -> Result<(), Problem> {
    let unit = Some(arguments.unit);
    let mut faults = Vec::new();
    let mut positive = |name, text: &Option<String>| {
        dimension::positive(name, text.as_ref(), unit, &mut faults).map_or(0.0, Length::mm)
    };
    let need = positive("--need", &arguments.need);
    let (length, width) = (
        positive("--length", &arguments.length),
        positive("--width", &arguments.width),
    );
    let losses = arguments.losses.as_ref().map_or(Losses::Usual, |text| {
        Losses::Record(losses(text, unit, &mut faults))
    });
    let shop = arguments.shop.as_ref().and_then(|path| {
        let read = read_file(path, |bytes, name| read_shop(bytes, name, unit));
        read.map_err(|told| faults.push(told)).ok()
    });
    if !faults.is_empty() {
        return Err(Problem::Input(faults));
    }
    let recorded = arguments.book.record(arguments.species.as_ref())?;
    let purchase = Purchase {
        need,
        length,
        width,
        count: arguments.count,
        waste: arguments.waste,
        certainty: arguments.certainty,
        losses: recorded.map_or(losses, Losses::Record),
        species: arguments.species.clone(),
        shop: shop.map_or_else(Shop::default, |record| Shop::new(&record)),
    };
    let buying = Buying::new(&purchase);
    if arguments.json {
        writeln!(out, "{}", report::buy_json(&purchase, &buying))?;
    } else {
        let notation = match arguments.unit {
            Unit::Inch | Unit::Foot => Notation::default(),
            Unit::Millimetre | Unit::Centimetre | Unit::Metre => {
                Notation::Millimetres { places: 1 }
            }
        };
        write!(out, "{}", report::buy(&purchase, &buying, notation))?;
    }
    Ok(())
}

/// Losses with commas or semicolons between; every fault is told.
fn losses(text: &str, unit: Option<Unit>, faults: &mut Vec<String>) -> Vec<f64> {
    let pieces = text
        .split([',', ';'])
        .filter(|piece| !piece.trim().is_empty());
    let mut found = Vec::new();
    for piece in pieces {
        match read(piece.trim(), unit, DecimalMark::Point) {
            Ok(written) if written.length.mm() >= 0.0 => found.push(written.length.mm()),
            Ok(_) => faults.push(format!(
                "--losses: \"{}\" is less than nothing; no board grows",
                piece.trim()
            )),
            Err(error) => faults.push(format!("--losses: {error}")),
        }
    }
    found
}

fn waste(text: &str) -> Result<f64, String> {
    let wrong = || "give percent from 0 to 90, such as 30".to_owned();
    let percent: f64 = text
        .trim()
        .trim_end_matches('%')
        .trim_end()
        .parse()
        .map_err(|_| wrong())?;
    if (0.0..=90.0).contains(&percent) {
        Ok(percent / 100.0)
    } else {
        Err(wrong())
    }
}

fn certainty(text: &str) -> Result<f64, String> {
    let wrong = || "give a chance between 0.5 and 0.99, such as 0.90".to_owned();
    let chance: f64 = text.trim().parse().map_err(|_| wrong())?;
    if (0.5..=0.99).contains(&chance) {
        Ok(chance)
    } else {
        Err(wrong())
    }
}
