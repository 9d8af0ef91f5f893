//! Shop files: what is read, what is usual where nothing is said, and what is told.

#![allow(clippy::unwrap_used)]

mod messages;

use outwind::cutting::Allowances;
use outwind::length::Unit;
use outwind::readings::{SawnRecord, ShopRecord, read_shop};
use outwind::shop::{Limit, Machine, Shop, Size};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const SAMPLE: &str = include_str!("../sample-scans/shop.toml");
const MANUAL: &str = include_str!("../docs/shop-file.md");

fn read(text: &str) -> ShopRecord {
    read_shop(text.as_bytes(), "shop.toml", None).unwrap_or_else(|faults| panic!("{faults}"))
}

fn shop(text: &str) -> Shop {
    Shop::new(&read(text))
}

/// Equal to a millionth of a millimetre.
fn is(found: f64, inches: f64) {
    assert!(
        (found - inches * 25.4).abs() < 1e-6,
        "{found} mm, {inches} in"
    );
}

#[test]
fn every_key_is_read() {
    let text = r#"
unit = "in"
currency = "€"
saw = { crosscut-kerf = 1, rip-kerf = "7/8", resaw-kerf = "3/4", min-length = 20 }
[allowances]
end-trim = 2
over-length = 3
over-width = 4
jointing = 5
glue-line = "1/16"
resaw-clean-up = 7
useful-offcut = "8'"
[jointer]
width = 9
min-length = 10
min-thickness = 11
[planer]
width = 12
min_length = 13
min-thickness = 1
max-thickness = 5
snipe = 3
[sled]
width = 14
max-length = 15
min-thickness = 0
max-thickness = 6
[movement]
bow = "0.1 mm"
cup = 0
[[price]]
species = "ash"
thickness = 2
per-board-foot = "8,50"
"#;
    let shop = shop(text);
    assert_eq!(
        (shop.unit, shop.currency.as_deref()),
        (Some(Unit::Inch), Some("€"))
    );
    is(shop.saw.crosscut_kerf, 1.0);
    is(shop.saw.rip_kerf, 0.875);
    is(shop.saw.resaw_kerf, 0.75);
    is(shop.saw.min_length, 20.0);
    let allowances = shop.allowances;
    is(allowances.end_trim, 2.0);
    is(allowances.over_length, 3.0);
    is(allowances.over_width, 4.0);
    is(allowances.jointing, 5.0);
    is(allowances.glue_line, 1.0 / 16.0);
    is(allowances.resaw_clean_up, 7.0);
    is(allowances.useful_offcut, 96.0);
    // Between two strips that are glued both edges are jointed.
    is(Allowances::of(&shop).jointing, 2.0 * 5.0 + 1.0 / 16.0);
    let jointer = shop.jointer.unwrap();
    is(jointer.width, 9.0);
    is(jointer.min_length, 10.0);
    is(jointer.min_thickness, 11.0);
    let planer = shop.planer.unwrap();
    is(planer.width, 12.0);
    is(planer.min_length, 13.0);
    is(planer.min_thickness, 1.0);
    is(planer.max_thickness, 5.0);
    is(planer.snipe, 3.0);
    is(shop.shortest_piece(), 13.0);
    let sled = shop.sled.unwrap();
    is(sled.width.unwrap(), 14.0);
    is(sled.max_length.unwrap(), 15.0);
    is(sled.min_thickness.unwrap(), 0.0);
    is(sled.max_thickness.unwrap(), 6.0);
    assert_eq!((shop.movement.bow, shop.movement.cup), (0.1, 0.0));
    assert_eq!(shop.per_board_foot(Some("Ash"), 50.8), Some(8.5));
}

/// The limits of machines, the kerfs and the ranges of the allowances are common practice.
#[test]
fn a_shop_that_says_nothing_is_a_usual_one() {
    let usual = Shop::default();
    is(usual.saw.crosscut_kerf, 1.0 / 8.0);
    is(usual.saw.rip_kerf, 1.0 / 8.0);
    is(usual.saw.resaw_kerf, 1.0 / 16.0);
    let within = |found: f64, [low, high]: [f64; 2]| {
        assert!((low..=high).contains(&(found / 25.4)), "{found} mm");
    };
    within(usual.allowances.over_length, [0.5, 2.0]);
    within(usual.allowances.over_width, [0.25, 0.5]);
    within(2.0 * usual.allowances.jointing, [0.125, 0.25]);
    within(usual.allowances.resaw_clean_up, [0.125, 0.25]);
    is(usual.allowances.end_trim, 1.0 / 8.0);
    let (jointer, planer) = (usual.jointer.unwrap(), usual.planer.unwrap());
    is(jointer.min_length, 12.0);
    is(jointer.min_thickness, 0.5);
    is(planer.min_length, 12.0);
    is(planer.min_thickness, 3.0 / 16.0);
    assert_eq!(
        (usual.sled, usual.prices.len(), usual.unit),
        (None, 0, None)
    );
    assert_eq!(usual.per_board_foot(Some("ash"), 25.4), None);
}

/// Depths of passes and the rough allowance are common practice.
#[test]
fn what_milling_wants_is_read() {
    let said = shop(
        "unit = \"in\"\n[jointer]\npass = \"1/16\"\n[planer]\npass = \"1/20\"\nsled-height = 1\n[sled]\npass = \"1/8\"\n\
         [milling]\nrough-allowance = \"3/16\"\nsmoothing = \"1/32\"\ntolerate = \"1/16\"\n\
         [air]\nshop-humidity = 45\nshop-temperature = \"68 F\"\nhouse-humidity = \"40 %\"\n",
    );
    is(said.jointer.unwrap().pass, 1.0 / 16.0);
    is(said.planer.unwrap().pass(1000.0), 1.0 / 20.0);
    is(said.planer.unwrap().sled_height, 1.0);
    is(said.sled.unwrap().pass, 1.0 / 8.0);
    is(said.milling.rough_allowance, 3.0 / 16.0);
    is(said.milling.smoothing, 1.0 / 32.0);
    is(said.milling.tolerate, 1.0 / 16.0);
    assert_eq!(said.shop_air, Some([20.0, 0.45]));
    assert_eq!(said.house_air, Some([20.0, 0.40]));
    let usual = Shop::default();
    is(usual.jointer.unwrap().pass, 1.0 / 32.0);
    let planer = usual.planer.unwrap();
    is(planer.pass(6.0 * 25.4), 1.0 / 32.0);
    is(planer.pass(12.0 * 25.4), 1.0 / 64.0);
    is(usual.milling.rough_allowance, 1.0 / 8.0);
    assert_eq!((usual.milling.smoothing, usual.shop_air), (0.0, None));
}

/// A wood's own entry counts first, then the one for any wood, then the whole shop.
#[test]
fn woods_have_their_own_habits() {
    let said = shop(
        "unit = \"mm\"\n[movement]\nbow = 0.4\ncup = 0.2\n[milling]\nrough-allowance = 3\n\
         [[wood]]\nspecies = \"White Oak\"\nmoisture = 9\nsawn = \"quarter\"\nbow = 0.1\nrough-allowance = 5\n\
         [[wood]]\nmoisture = \"12 %\"\ncup = 0.5\n",
    );
    let oak = said.wood(Some("white oak")).unwrap();
    assert_eq!(
        (oak.moisture, oak.sawn),
        (Some(9.0), Some(SawnRecord::Quarter))
    );
    let moves = |species| {
        let movement = said.movement_of(species);
        [movement.bow, movement.cup]
    };
    assert_eq!(moves(Some("white oak ")), [0.1, 0.2]);
    assert_eq!([moves(Some("ash")), moves(None)], [[0.4, 0.5]; 2]);
    let allowance = |species| said.clone().working(species).milling.rough_allowance;
    assert_eq!([allowance(Some("white oak")), allowance(None)], [5.0, 3.0]);
    assert_eq!(said.wood(None).unwrap().moisture, Some(12.0));
    assert_eq!(Shop::default().wood(Some("ash")), None);
}

#[test]
fn a_planer_takes_two_inches_more_than_its_rollers_are_apart() {
    let rollers = "[planer]\nroller-gap = \"9 in\"\n";
    is(shop(rollers).planer.unwrap().min_length, 11.0);
    let both = format!("{rollers}min-length = \"15 in\"\n");
    is(shop(&both).planer.unwrap().min_length, 15.0);
}

#[test]
fn a_shop_may_lack_machines() {
    let hand = shop("jointer = false\nplaner = false\nsled = false\n");
    assert_eq!((hand.jointer, hand.planer, hand.sled), (None, None, None));
    assert_eq!(hand.shortest_piece(), 0.0);
    // A short piece is not ripped all the same.
    is(Allowances::of(&hand).min_length, 12.0);
}

/// Which way a shop goes is common practice: jointer and planer, the planer with the piece on a sled, or a router sled on rails.
#[test]
fn what_no_machine_takes_is_told_with_its_limits() {
    let inches = |length: f64, width: f64| Size {
        length: length * 25.4,
        width: width * 25.4,
        before: 30.0,
        after: 25.0,
    };
    let told = |shop: &Shop, size: Size| -> Vec<(Machine, Limit, f64)> {
        let refused = shop.beyond_machines(size).into_iter();
        refused
            .map(|r| (r.machine, r.limit, (r.allowed / 25.4).round()))
            .collect()
    };
    let usual = Shop::default();
    // On a sled a planer makes the first face of what is too wide for the jointer.
    for fits in [inches(40.0, 7.0), inches(40.0, 12.9)] {
        assert!(told(&usual, fits).is_empty());
    }
    assert_eq!(
        told(&usual, inches(40.0, 14.0)),
        [
            (Machine::Jointer, Limit::Width, 8.0),
            (Machine::Planer, Limit::Width, 13.0)
        ]
    );
    assert_eq!(
        told(&usual, inches(10.0, 5.0)),
        [
            (Machine::Jointer, Limit::MinLength, 12.0),
            (Machine::Planer, Limit::MinLength, 12.0)
        ]
    );
    let railed = shop("unit = \"in\"\n[sled]\nwidth = 36\nmax-length = \"9'\"");
    assert!(told(&railed, inches(100.0, 30.0)).is_empty());
    let long = told(&railed, inches(110.0, 30.0));
    assert_eq!(long[2..], [(Machine::RouterSled, Limit::MaxLength, 108.0)]);
    // Without a jointer the planer still works alone; hand tools take anything.
    let planer_only = shop("jointer = false\n");
    assert!(told(&planer_only, inches(40.0, 12.0)).is_empty());
    assert_eq!(
        told(&planer_only, inches(40.0, 14.0)),
        [(Machine::Planer, Limit::Width, 13.0)]
    );
    // The planer's sled takes up height: 3/4 in of 6, and of the 3/16 that a piece has to stand.
    let thick = |before: f64, after: f64| Size {
        before: before * 25.4,
        after: after * 25.4,
        ..inches(40.0, 12.0)
    };
    assert!(told(&planer_only, thick(5.2, 0.5)).is_empty());
    assert_eq!(
        told(&planer_only, thick(5.3, 5.0)),
        [(Machine::PlanerSled, Limit::MaxThickness, 5.0)]
    );
    let by_hand = shop("jointer = false\nplaner = false\n");
    assert!(told(&by_hand, inches(8.0, 40.0)).is_empty());
}

#[test]
fn the_price_that_says_most_counts() {
    let shop = shop(SAMPLE);
    let price = |species, inches: f64| shop.per_board_foot(species, inches * 25.4);
    assert_eq!(price(Some("White oak"), 1.3), Some(9.8));
    assert_eq!(price(Some("white oak"), 1.0), Some(8.6));
    assert_eq!(price(Some("ash"), 1.25), Some(7.0));
    assert_eq!(price(None, 1.25), Some(7.0));
}

#[test]
fn messages_are_what_they_were() {
    messages::hold("tests/shop-files", 26, |bytes, file| {
        let faults = read_shop(bytes, file, None).err()?;
        for line in faults.to_string().lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        Some(faults)
    });
}

/// Every shop file that the manual shows is read; the first is the sample.
#[test]
fn the_manual_shows_the_sample() {
    let shown = MANUAL.split("```toml\n").nth(1).unwrap();
    let shown = shown.split("```").next().unwrap();
    assert_eq!(SAMPLE.split_once('\n').unwrap().1, shown);
    is(shop(shown).shortest_piece(), 12.0);
}

/// Each key of the manual's tables is one that a file may hold: alone in its table, it is no unknown key.
#[test]
fn the_manual_names_keys_that_are_known() {
    let mut keys = 0;
    for section in MANUAL.split("\n### ").skip(1) {
        let heads: Vec<&str> = section
            .lines()
            .next()
            .unwrap()
            .split('`')
            .skip(1)
            .step_by(2)
            .collect();
        let rows = section.lines().filter_map(|line| line.strip_prefix("| `"));
        for row in rows {
            let key = row.split('`').next().unwrap();
            let known = |head: &&str| {
                let text = format!("{head}\n{key} = \"?\"\n");
                let told = read_shop(text.as_bytes(), "shop.toml", None)
                    .map_or_else(|f| f.to_string(), |_| String::new());
                !told.contains("no such key")
            };
            let known = if heads.is_empty() {
                known(&"")
            } else {
                heads.iter().any(known)
            };
            assert!(known, "{key} in {heads:?}");
            keys += 1;
        }
    }
    assert_eq!(keys, 40);
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1000,
        rng_seed: RngSeed::Fixed(5),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// The sample with a piece torn out or put in is read or told, and never breaks the reader.
    #[test]
    fn a_torn_file_is_read_or_told(at in 0usize..600, length in 0usize..40, piece in "[ -~\n]{0,8}") {
        let mut text = SAMPLE.to_owned();
        let at = at.min(text.len());
        let end = (at + length).min(text.len());
        text.replace_range(at..end, &piece);
        if let Err(faults) = read_shop(text.as_bytes(), "shop.toml", None) {
            prop_assert!(!faults.faults.is_empty());
        }
    }
}
