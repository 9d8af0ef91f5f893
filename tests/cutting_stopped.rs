//! Plans that are stopped on the way, and plans in each order of preference.

#![allow(clippy::unwrap_used)]

mod common;

use common::plans::{LENGTH, check, evidence, flat, part, question};
use outwind::cutting::{
    Plan, PlanQuestion, Prefer, Progress, Stage, Stocked, Watch, WhyShort, thickest,
};

/// Stops after it has heard so much.
struct Patience {
    left: usize,
    heard: Vec<Progress>,
}

impl Patience {
    fn new(left: usize) -> Self {
        Self {
            left,
            heard: Vec::new(),
        }
    }
}

impl Watch for Patience {
    fn hear(&mut self, progress: Progress) {
        self.heard.push(progress);
    }

    fn stopped(&mut self) -> bool {
        self.heard.len() > self.left
    }
}

/// A board that thins towards end B.
fn wedge(thick: f64) -> Stocked {
    Stocked {
        evidence: evidence(thick, 0.8, |x, _| -0.004 * x),
        ..flat(thick)
    }
}

/// More parts than the boards make, too many to try every count of them.
fn much() -> (Vec<Stocked>, PlanQuestion) {
    let boards = [30.0, 32.0, 34.0, 36.0].map(wedge).to_vec();
    let list = (0..9).map(|k| {
        let size = f64::from(k);
        part(
            &format!("part {k}"),
            5,
            [
                310.0 + 61.0 * size,
                45.0 + 17.0 * (size * 3.0 % 7.0),
                22.0 + size,
            ],
        )
    });
    let asked = question(list.collect());
    (
        boards,
        PlanQuestion {
            step: 20.0,
            ..asked
        },
    )
}

#[test]
fn a_stopped_plan_can_be_sawn_and_its_bound_holds() {
    let (boards, asked) = much();
    let mut patience = Patience::new(usize::MAX);
    let whole = Plan::watched(&boards, asked.clone(), &mut patience);
    assert!(!whole.stopped && whole.area > 0.0 && whole.may_fall_short() < 0.2);
    let heard = patience.heard;
    for stage in [
        Stage::Places,
        Stage::Bound,
        Stage::Layout,
        Stage::Order,
        Stage::Chances,
    ] {
        assert!(heard.iter().any(|p| p.stage == stage), "{stage:?} is told");
    }
    assert!(heard.iter().all(|p| p.done <= p.all));
    let places = heard.iter().filter(|p| p.stage == Stage::Places).count();
    for left in [
        0,
        1,
        places / 2,
        places,
        places + 5,
        heard.len() - whole.pieces.len() - 3,
    ] {
        let plan = Plan::watched(&boards, asked.clone(), &mut Patience::new(left));
        check(&plan);
        assert!(plan.stopped, "{left}");
        // Neither bound lies under what the other plan makes.
        assert!(plan.most >= whole.area * (1.0 - 1e-9), "{left}");
        assert!(whole.most >= plan.area * (1.0 - 1e-9), "{left}");
        assert!(plan.pieces.iter().all(|p| p.chance > 0.0));
        let unknown = |s: &outwind::cutting::Short| s.why == WhyShort::Stopped;
        assert!(plan.short.iter().all(unknown), "{left}: {:?}", plan.short);
        if left == 0 {
            assert_eq!((plan.area, plan.may_fall_short()), (0.0, 1.0));
        }
        if left > places {
            assert!(
                plan.area > 0.6 * whole.area,
                "{left}: {} of {}",
                plan.area,
                whole.area
            );
        }
    }
}

#[test]
fn the_thickest_so_far_is_told_where_it_is_stopped() {
    let asked = question(vec![part("panel", 4, [600.0, 100.0, 1.0])]);
    let sizes = [10.0, 15.0, 18.0, 20.0, 22.0, 25.0, 27.0];
    let boards = [flat(26.0)];
    let mut patience = Patience::new(usize::MAX);
    let (size, plan) = thickest(&boards, &asked, &sizes, &mut patience).unwrap();
    assert_eq!((size, plan.stopped), (25.0, false));
    assert!(thickest(&boards, &asked, &sizes, &mut Patience::new(0)).is_none());
    let all = patience.heard.len();
    let found: Vec<f64> = (0..all)
        .filter_map(|left| {
            let (size, plan) = thickest(&boards, &asked, &sizes, &mut Patience::new(left))?;
            check(&plan);
            assert!(plan.short.is_empty());
            assert!(plan.stopped || size == 25.0);
            Some(size)
        })
        .collect();
    assert!(found.contains(&20.0) && found.is_sorted(), "{found:?}");
}

#[test]
fn each_preference_is_best_at_what_it_prefers() {
    // Thickest in its middle: there a rail is surest, at an end it takes one crosscut and leaves more in one length.
    let boards = [Stocked {
        evidence: evidence(30.0, 0.8, |x, _| {
            let u = x / LENGTH * 2.0 - 1.0;
            3.0 * (1.0 - u * u)
        }),
        ..flat(30.0)
    }];
    let list = vec![part("rail", 1, [500.0, 200.0, 29.4])];
    let plan = |prefer: Prefer| {
        let asked = question(list.clone());
        let plan = Plan::new(&boards, PlanQuestion { prefer, ..asked });
        check(&plan);
        plan
    };
    let [margin, cuts, offcut] = [Prefer::Margin, Prefer::Cuts, Prefer::Offcut].map(plan);
    assert_eq!([margin.area, cuts.area], [offcut.area; 2]);
    let sure = |plan: &Plan| plan.least_sure().unwrap().chance;
    assert!(sure(&margin) > sure(&cuts) && sure(&margin) > sure(&offcut));
    assert!(cuts.cuts.len() < margin.cuts.len());
    assert!(offcut.offcut > margin.offcut);
}
