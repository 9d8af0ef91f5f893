//! Where a survey reads, in which order, and with what: walks laid out by hand.

#![allow(clippy::unwrap_used)]

use outwind::board::Outline;
use outwind::flatten::Ask::{Gap, Height, Sliver, Thickness};
use outwind::flatten::{Ask, SurveyPlan, Tools};
use outwind::readings::{Aligned, EdgesAt, Face, Gauge, Rest};

const OUTLINE: Outline = Outline {
    x0: 0.0,
    y0: 20.0,
    length: 1000.0,
    width: 180.0,
};

/// An edge that comes in by 60 mm towards end B.
fn taper() -> Vec<EdgesAt> {
    [(0.0, 20.0, 200.0), (1000.0, 20.0, 140.0)]
        .map(|(station, near, far)| EdgesAt { station, near, far })
        .to_vec()
}

fn plan(edges: &[EdgesAt], tools: Tools, stations: &[f64]) -> SurveyPlan {
    SurveyPlan::at(OUTLINE, edges, tools, stations)
}

#[test]
fn both_ends_are_read_and_no_station_twice() {
    let plan = plan(
        &[],
        Tools::Heights(2),
        &[500.0, -5.0, 1000.0, 500.000_000_1, 1200.0],
    );
    assert_eq!(plan.stations, [0.0, 500.0, 1000.0]);
    assert_eq!(plan.edges_at(300.0), [20.0, 200.0]);
    // One position across is none: both edges are read.
    let one = SurveyPlan::at(OUTLINE, &[], Tools::Heights(1), &[500.0]);
    assert_eq!(one.asks, plan.asks);
}

#[test]
fn heights_are_read_out_along_the_near_edge_back_along_the_far_one_and_then_between() {
    let asks = plan(&[], Tools::Heights(4), &[400.0]).asks;
    let edge = |x: f64, y: f64| [Height([x, y]), Thickness([x, y])];
    let mut expected: Vec<Ask> = Vec::new();
    for (x, y) in [
        (0.0, 20.0),
        (400.0, 20.0),
        (1000.0, 20.0),
        (1000.0, 200.0),
        (400.0, 200.0),
        (0.0, 200.0),
    ] {
        expected.extend(edge(x, y));
    }
    for (x, y) in [
        (0.0, 80.0),
        (400.0, 80.0),
        (1000.0, 80.0),
        (1000.0, 140.0),
        (400.0, 140.0),
        (0.0, 140.0),
    ] {
        expected.push(Height([x, y]));
    }
    assert_eq!(asks, expected);
    // Within its own edges where the board is no rectangle.
    let tapered = plan(&taper(), Tools::Heights(3), &[500.0]).asks;
    assert_eq!(tapered[6], Height([1000.0, 140.0]));
    assert_eq!(
        tapered[12..],
        [
            Height([0.0, 110.0]),
            Height([500.0, 95.0]),
            Height([1000.0, 80.0])
        ]
    );
}

#[test]
fn sticks_and_straightedge_are_read_along_the_middle_across_and_over_the_first_stick() {
    let plan = plan(&taper(), Tools::Sticks, &[500.0]);
    let rim = [[0.0, 20.0], [500.0, 20.0], [1000.0, 20.0]];
    let back = [[1000.0, 140.0], [500.0, 170.0], [0.0, 200.0]];
    let mut expected: Vec<Ask> = rim.into_iter().chain(back).map(Thickness).collect();
    // The straightedge lies from the middle of end A to the middle of end B.
    expected.push(Gap {
        from: [0.0, 110.0],
        to: [1000.0, 80.0],
        at: [500.0, 95.0],
    });
    for (x, far, middle) in [
        (1000.0, 140.0, 80.0),
        (500.0, 170.0, 95.0),
        (0.0, 200.0, 110.0),
    ] {
        expected.push(Gap {
            from: [x, 20.0],
            to: [x, far],
            at: [x, middle],
        });
    }
    for (x, far) in [(500.0, 170.0), (1000.0, 140.0)] {
        expected.push(Sliver {
            stations: [0.0, x],
            across: [[20.0, 200.0], [20.0, far]],
        });
    }
    assert_eq!(plan.asks, expected);
    // Off the middle of the way the middle line is there where the straightedge is.
    let quarter = SurveyPlan::at(OUTLINE, &taper(), Tools::Sticks, &[250.0]).asks;
    assert_eq!(
        quarter[6],
        Gap {
            from: [0.0, 110.0],
            to: [1000.0, 80.0],
            at: [250.0, 102.5],
        }
    );
}

#[test]
fn a_gauge_is_held_as_it_is_asked_for() {
    assert_eq!(Height([0.0, 20.0]).gauge(), None);
    assert_eq!(Thickness([0.0, 20.0]).gauge(), None);
    let gap = Gap {
        from: [0.0, 110.0],
        to: [1000.0, 110.0],
        at: [500.0, 110.0],
    };
    let Some(Gauge::Straightedge(held)) = gap.gauge() else {
        unreachable!("a gap is read under a straightedge")
    };
    assert_eq!(
        (held.face, held.from, held.to, held.at),
        (Face::Up, [0.0, 110.0], [1000.0, 110.0], [500.0, 110.0])
    );
    assert_eq!((held.rest, held.gap), (Rest::Blocks(0.0), 0.0));
    let sliver = Sliver {
        stations: [0.0, 700.0],
        across: [[20.0, 200.0], [30.0, 180.0]],
    };
    let Some(Gauge::Sticks(sticks)) = sliver.gauge() else {
        unreachable!("a sliver is read over sticks")
    };
    // Twice as long as the board is wide at the second one (common practice).
    assert_eq!(sticks.length, 300.0);
    assert_eq!(sticks.stations, [0.0, 700.0]);
    assert_eq!(sticks.across, [[20.0, 200.0], [30.0, 180.0]]);
    assert_eq!((sticks.aligned, sticks.pads), (Aligned::Tips, false));
}

#[test]
fn chosen_stations_are_marks_of_the_tape_alike_from_either_end() {
    let outline = Outline {
        x0: 0.0,
        y0: 0.0,
        length: 1200.0,
        width: 150.0,
    };
    for (count, tools) in [
        (2, Tools::Heights(2)),
        (4, Tools::Heights(2)),
        (5, Tools::Sticks),
    ] {
        let chosen = SurveyPlan::chosen(outline, &[], tools, count, 20.0).unwrap();
        let stations = &chosen.stations;
        assert_eq!(stations.len(), count);
        assert_eq!([stations[0], stations[count - 1]], [0.0, 1200.0]);
        for (a, b) in stations.iter().zip(stations.iter().rev()) {
            assert_eq!(a + b, 1200.0, "{stations:?}");
            assert_eq!(a % 20.0, 0.0, "{stations:?}");
        }
        assert_eq!(stations.contains(&600.0), count % 2 == 1);
        assert_eq!(
            chosen,
            SurveyPlan::at(outline, &[], tools, &stations.clone())
        );
    }
}
