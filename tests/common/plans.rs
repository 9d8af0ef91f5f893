//! Boards and lists for plans, and what every plan must hold.

use outwind::board::Outline;
use outwind::cutting::{
    Allowances, CutKind, Draws, Evidence, Ground, Movement, Plan, PlanQuestion, Prefer, Stocked,
    Wanted, Window,
};
use outwind::surface::estimate;

pub(crate) const LENGTH: f64 = 2000.0;
pub(crate) const WIDTH: f64 = 240.0;

/// Draws of a board by what its up face adds to a flat one `thick` mm thick, different from draw to draw by `doubt` times
/// −1 to 1.
pub(crate) fn evidence(thick: f64, doubt: f64, up: impl Fn(f64, f64) -> f64) -> Evidence {
    let draws: Vec<estimate::Faces> = (0..40)
        .map(|k| {
            let more = doubt * (f64::from(k) - 19.5) / 19.5;
            let places = (0..41 * 9).map(|k| (f64::from(k / 9) * 50.0, f64::from(k % 9) * 30.0));
            let face = |height: &dyn Fn(f64, f64) -> f64| {
                places.clone().map(|(x, y)| [x, y, height(x, y)]).collect()
            };
            estimate::Faces {
                up: face(&|x, y| thick + more + up(x, y)),
                down: face(&|_, _| 0.0),
            }
        })
        .collect();
    let draws = Draws::of(draws, 9, Movement::NONE, 0);
    Evidence {
        whole: draws.clone(),
        choosing: draws.clone(),
        stating: draws,
    }
}

pub(crate) fn flat(thick: f64) -> Stocked {
    let outline = Outline {
        x0: 0.0,
        y0: 0.0,
        length: LENGTH,
        width: WIDTH,
    };
    Stocked {
        name: format!("flat {thick}"),
        ground: Ground::rectangle(outline),
        evidence: evidence(thick, 0.0, |_, _| 0.0),
    }
}

pub(crate) fn part(name: &str, count: u32, [length, width, thickness]: [f64; 3]) -> Wanted {
    Wanted {
        name: name.to_owned(),
        count,
        length,
        width,
        thickness,
        from_one_board: None,
        strips: 1,
        resaw: false,
        certainty: None,
    }
}

pub(crate) fn question(wanted: Vec<Wanted>) -> PlanQuestion {
    PlanQuestion {
        wanted,
        allowances: Allowances::default(),
        step: 5.0,
        certainty: 0.9,
        prefer: Prefer::Margin,
    }
}

/// Pieces lie on their board a kerf apart, finished parts inside them, and every side that is no edge of the board is cut.
pub(crate) fn check(plan: &Plan) {
    let Allowances {
        kerf_crosscut,
        kerf_rip,
        end_trim,
        ..
    } = plan.question.allowances;
    for (k, a) in plan.pieces.iter().enumerate() {
        let outline = plan.boards[a.board].1;
        let whole = Window {
            from: outline.x0 + end_trim,
            to: outline.x0 + outline.length - end_trim,
            near: outline.y0,
            far: outline.y0 + outline.width,
        };
        assert!(whole.holds(&a.rough), "{:?} leaves its board", a.rough);
        assert!(a.rough.holds(&a.finished));
        for b in plan.pieces[..k].iter().filter(|b| b.board == a.board) {
            let apart = |a: f64, b: f64, kerf: f64| b - a >= kerf - 1e-6;
            let (p, q) = (&a.rough, &b.rough);
            assert!(
                apart(p.to, q.from, kerf_crosscut)
                    || apart(q.to, p.from, kerf_crosscut)
                    || apart(p.far, q.near, kerf_rip)
                    || apart(q.far, p.near, kerf_rip),
                "{p:?} and {q:?} are not a kerf apart"
            );
        }
        let own: Vec<_> = plan
            .cuts
            .iter()
            .filter(|c| c.0 == a.board)
            .map(|c| c.1)
            .collect();
        let cut = |kind: CutKind, at: f64| {
            own.iter()
                .any(|c| c.kind == kind && (c.at - at).abs() < 1e-6)
        };
        let ends = a.rough.from <= whole.from + 1e-6
            || cut(CutKind::Crosscut, a.rough.from - kerf_crosscut);
        assert!(ends, "no cut where {:?} begins", a.rough);
    }
    for (wanted, made) in plan.question.wanted.iter().zip(&plan.made) {
        assert!(*made <= wanted.count);
    }
}
