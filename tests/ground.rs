//! Where parts may lie on a board: windows and edges drawn by hand.

#![allow(clippy::unwrap_used)]

use outwind::board::{Board, Down, Outline, Particulars};
use outwind::cutting::{Ground, Window};
use outwind::readings::{Avoid, EdgesAt};

fn window([from, to]: [f64; 2], [near, far]: [f64; 2]) -> Window {
    Window {
        from,
        to,
        near,
        far,
    }
}

#[test]
fn a_window_holds_what_lies_in_it_on_every_side() {
    let whole = window([100.0, 900.0], [20.0, 180.0]);
    assert!(whole.holds(&whole));
    assert!(whole.holds(&window([101.0, 899.0], [21.0, 179.0])));
    // To a millionth of a millimetre.
    let over = |mm: f64| {
        [
            window([100.0 - mm, 900.0], [20.0, 180.0]),
            window([100.0, 900.0 + mm], [20.0, 180.0]),
            window([100.0, 900.0], [20.0 - mm, 180.0]),
            window([100.0, 900.0], [20.0, 180.0 + mm]),
        ]
    };
    assert!(over(5e-7).iter().all(|w| whole.holds(w)));
    assert!(over(2e-6).iter().all(|w| !whole.holds(w)));
    // Beside it on one side alone.
    for beside in [
        window([0.0, 50.0], [50.0, 60.0]),
        window([950.0, 960.0], [50.0, 60.0]),
        window([200.0, 300.0], [0.0, 10.0]),
        window([200.0, 300.0], [190.0, 200.0]),
    ] {
        assert!(!whole.holds(&beside), "{beside:?}");
    }
}

fn ground(edges: &[[f64; 3]], avoid: Vec<Avoid>) -> Ground {
    let up = [[0.0, 0.0], [1000.0, 0.0], [0.0, 200.0], [1000.0, 200.0]];
    let board = Board::new(Particulars {
        up: up.map(|[x, y]| [x, y, 0.0]).to_vec(),
        down: Down {
            thickness: Some(30.0),
            ..Down::default()
        },
        edges: edges
            .iter()
            .map(|&[station, near, far]| EdgesAt { station, near, far })
            .collect(),
        avoid,
        ..Particulars::default()
    });
    Ground::new(&board.unwrap())
}

#[test]
fn an_edge_that_comes_in_between_the_ends_of_a_piece_is_seen() {
    // Near edge in by 30 mm at 500, far edge by 40 at 700; straight to the ends.
    let ground = ground(
        &[
            [0.0, 0.0, 200.0],
            [500.0, 30.0, 200.0],
            [700.0, 18.0, 160.0],
            [1000.0, 0.0, 200.0],
        ],
        Vec::new(),
    );
    let takes = |along: [f64; 2], across: [f64; 2]| {
        let window = window(along, across);
        ground.takes(&window, &window)
    };
    assert!(takes([200.0, 900.0], [30.0, 160.0]));
    assert!(!takes([200.0, 900.0], [29.0, 160.0]));
    assert!(!takes([200.0, 900.0], [30.0, 161.0]));
    // At the ends of the piece alone, and on one side of a station alone.
    assert!(takes([500.0, 600.0], [30.0, 180.0]));
    assert!(!takes([500.0, 600.0], [30.0, 181.0]));
    assert!(takes([100.0, 400.0], [24.0, 200.0]));
    assert!(!takes([100.0, 400.0], [23.0, 200.0]));
    assert!(takes([900.0, 1000.0], [6.0, 186.0]));
    assert!(!takes([900.0, 1000.0], [6.0, 187.0]));
    // Off the rectangle around it.
    assert!(!takes([900.0, 1001.0], [50.0, 100.0]));
    let outline = Outline {
        x0: 0.0,
        y0: 0.0,
        length: 1000.0,
        width: 200.0,
    };
    assert_eq!(ground.outline(), outline);
    let whole = window([0.0, 1000.0], [0.0, 200.0]);
    assert!(Ground::rectangle(outline).takes(&whole, &whole));
}

#[test]
fn only_finished_wood_keeps_clear_of_what_is_avoided() {
    let ground = ground(
        &[],
        vec![Avoid {
            what: "knot".to_owned(),
            from: 300.0,
            to: 340.0,
            near: 90.0,
            far: 110.0,
        }],
    );
    let rough = window([290.0, 800.0], [80.0, 200.0]);
    assert!(ground.takes(&rough, &window([340.0, 790.0], [80.0, 200.0])));
    assert!(!ground.takes(&rough, &window([339.0, 790.0], [80.0, 200.0])));
    assert!(ground.takes(&rough, &window([300.0, 790.0], [110.0, 200.0])));
    assert!(!ground.takes(&rough, &window([300.0, 790.0], [109.0, 200.0])));
}
