//! Ways of any text: how it is encoded, cut off and spilt over.

use super::super::May::{self, Refused, TheSame};
use super::super::common::random::Random;
use super::{Make, Way, one_of};

pub(crate) const TEXT: [Way; 12] = [
    way("nothing", Refused, |_, _| Some(Vec::new())),
    way("comments only", Refused, |_, _| {
        Some(b"# nothing\n\n# more of it\n".to_vec())
    }),
    way("the lines of another system", TheSame, |good, random| {
        let end = one_of(&["\r\n", "\r"], random);
        Some(good.replace('\n', end).into_bytes())
    }),
    way("a byte-order mark", TheSame, |good, _| {
        Some(format!("\u{FEFF}{good}").into_bytes())
    }),
    way("UTF-16", TheSame, |good, random| Some(utf16(good, random))),
    way("UTF-16 cut off in a character", Refused, |good, random| {
        let mut bytes = utf16(good, random);
        bytes.pop();
        Some(bytes)
    }),
    way(
        "UTF-8 cut off in a character, at the end",
        TheSame,
        |good, _| {
            let mut bytes = format!("{good}# oak ½").into_bytes();
            bytes.pop();
            Some(bytes)
        },
    ),
    way("a control character", Refused, |good, random| {
        let sign = one_of(&["\0", "\u{1}", "\u{8}", "\u{1B}"], random);
        let at = random.count(0, good.len());
        let at = (at..=good.len()).find(|at| good.is_char_boundary(*at))?;
        let (before, after) = good.split_at(at);
        Some(format!("{before}{sign}{after}").into_bytes())
    }),
    way("blank lines", TheSame, |good, _| {
        Some(format!("\n\n{good}\n\n \n").into_bytes())
    }),
    way("a comment with quotes", TheSame, |good, _| {
        Some(format!("# 5\" rule, \"the long one\n{good}").into_bytes())
    }),
    way("another kind of file before it", Refused, |good, random| {
        let start = one_of(
            &[
                "PK\u{3}\u{4}",
                "%PDF-1.7\n",
                "<html>",
                "{\"a\": 1}\n",
                "{\\rtf1",
            ],
            random,
        );
        Some(format!("{start}{good}").into_bytes())
    }),
    way("bytes of chance", Refused, |_, random| {
        Some((0..400).map(|_| random.count(0, 255) as u8).collect())
    }),
];

const fn way(name: &'static str, may: May, make: fn(&str, &mut Random) -> Option<Vec<u8>>) -> Way {
    let make = Make::Text(make);
    Way { name, may, make }
}

fn utf16(text: &str, random: &mut Random) -> Vec<u8> {
    let little = random.count(0, 1) == 0;
    "\u{FEFF}"
        .encode_utf16()
        .chain(text.encode_utf16())
        .flat_map(|unit| {
            if little {
                unit.to_le_bytes()
            } else {
                unit.to_be_bytes()
            }
        })
        .collect()
}
