//! What is refused before it is read to its end.

#![allow(clippy::unwrap_used)]

use outwind::length::Unit;
use outwind::readings::{Faults, Settings, is_hopeless, read_heights, read_parts};

const MM: Settings = Settings {
    unit: Some(Unit::Millimetre),
    depth: false,
};

fn refused(text: &str) -> Faults {
    read_heights(text.as_bytes(), "slab.csv", MM).unwrap_err()
}

/// So many rows of a probe, each at its own place.
fn rows(count: usize) -> String {
    let row = |k: usize| format!("{},{},0.5\n", k % 100, k / 100);
    "x,y,z\n".to_owned() + &(0..count).map(row).collect::<String>()
}

#[test]
fn after_a_thousand_faults_the_rest_is_not_looked_at() {
    let few = refused(&(rows(9) + &"oak,1,2\n".repeat(999)));
    assert_eq!((few.faults.len(), few.more), (20, 979));
    assert!(!few.rest_unread);
    assert!(few.to_string().ends_with("\n  and 979 more"), "{few}");
    let many = refused(&(rows(9) + &"oak,1,2\n".repeat(5000)));
    assert_eq!((many.faults.len(), many.more), (20, 980));
    let last = "\n  and 980 more; what follows them was not looked at";
    assert!(
        many.rest_unread && many.to_string().ends_with(last),
        "{many}"
    );
    let grid = "mm,0,500\n".to_owned() + &"a,b,c\n".repeat(5000);
    assert!((1000..1010).contains(&(refused(&grid).more + 20)));
    let points = "1 2 3\n".to_owned() + &"1 2 oak\n".repeat(5000);
    assert_eq!(refused(&points).more, 980);
    let parts = "part,count,length,width,thickness\n".to_owned() + &"leg,a,b,c,d\n".repeat(5000);
    let parts = read_parts(parts.as_bytes(), "parts.csv", MM.unit).unwrap_err();
    assert!((1000..1010).contains(&(parts.more + 20)), "{parts}");
}

#[test]
fn a_grid_without_end_is_no_board() {
    let grid = |positions: usize| {
        let row = |k: usize| format!("{k},1,2\n");
        "mm,0,500\n".to_owned() + &(0..positions).map(row).collect::<String>()
    };
    let widest = read_heights(grid(100_000).as_bytes(), "slab.csv", MM).unwrap();
    assert_eq!(widest.up.len(), 200_000);
    let told = refused(&grid(100_001)).to_string();
    assert!(
        told.contains("line 100002: the grid has more than 100000 positions"),
        "{told}"
    );
}

#[test]
fn heights_of_one_place_are_no_face() {
    let ply = "ply\nformat ascii 1.0\nelement vertex 9\nproperty int x\nproperty int y\nproperty int z\nend_header\n";
    for file in [
        "x,y,z\n".to_owned() + &"1,2,3\n".repeat(9),
        "x,y,z\n# a comment\n".to_owned() + &"1,2,3\n".repeat(9),
        "1 2 3\n".repeat(9),
        ply.to_owned() + &"1 2 3\n".repeat(9),
    ] {
        let told = refused(&file).to_string();
        assert!(
            told.contains("all 9 heights that were read lie at one place"),
            "{told}"
        );
    }
    assert!(read_heights(rows(9).as_bytes(), "slab.csv", MM).is_ok());
}

/// What begins so is refused whatever follows, and reading the beginning alone tells why.
#[test]
fn a_hopeless_start_is_known() {
    let noise: Vec<u8> = (0..5000_u32)
        .map(|k| (k.wrapping_mul(2_654_435_761) >> 24) as u8)
        .collect();
    for start in [
        noise,
        vec![0; 5000],
        b"%PDF-1.7\n".to_vec(),
        b"ply\nformat ascii 1.0\nelement vertex 9\n".to_vec(),
        ("x,y,z\n".to_owned() + &"oak,1,2\n".repeat(1000)).into_bytes(),
        ("x,y,z\n".to_owned() + &"1,2,3\n".repeat(1000)).into_bytes(),
        // Of a grid the same position over and over.
        ("mm,0,500\n".to_owned() + &"1,2,3\n".repeat(1001)).into_bytes(),
    ] {
        let shown = String::from_utf8_lossy(&start[..start.len().min(40)]);
        assert!(is_hopeless(&start), "{shown}");
        assert!(read_heights(&start, "slab.csv", MM).is_err(), "{shown}");
    }
}

/// What may yet be put right by what follows is read on.
#[test]
fn a_start_that_may_yet_become_a_board_is_read_on() {
    let utf16 = |text: &str| -> Vec<u8> {
        let units = text.encode_utf16().flat_map(u16::to_le_bytes);
        // Cut behind the byte of the last line end.
        let mut bytes: Vec<u8> = [0xFF, 0xFE].into_iter().chain(units).collect();
        bytes.pop();
        bytes
    };
    let ply = "ply\nformat ascii 1.0\nelement vertex 9\nproperty int x\nproperty int y\nproperty int z\nend_header\n";
    for start in [
        rows(5000).into_bytes(),
        ("x,y,z\n".to_owned() + &"1,2,3\n".repeat(8)).into_bytes(),
        (rows(9) + "oak,1,2\n").into_bytes(),
        "# nothing but comments yet\n".repeat(1000).into_bytes(),
        b"mm,0,500\n".to_vec(),
        utf16(&rows(50)),
        ply.as_bytes().to_vec(),
        ply.replace('\n', "\r\n").into_bytes(),
        b"\xEF\xBB\xBFx,y,z\n".to_vec(),
    ] {
        let shown = String::from_utf8_lossy(&start[..start.len().min(40)]);
        assert!(!is_hopeless(&start), "{shown}");
    }
}
