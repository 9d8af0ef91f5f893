//! Layouts: beside every layout of small tasks.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod common;

use common::layouts::{best_of_all, check, small};
use common::random::Random;
use outwind::cutting::layout::exact;

/// 2,000 tasks of up to 12 stations by 4 strips, six parts and two boards: face made, margin, cuts and offcut.
#[test]
fn it_is_the_best_of_all_layouts() {
    let mut random = Random::new(11);
    let (mut whole, mut made) = (0, 0);
    for case in 0..2000 {
        let (task, mut drawn) = small(&mut random, 2);
        let layout = exact(&task, &mut drawn).unwrap();
        check(&task, &drawn, &layout);
        let best = best_of_all(&task, &drawn);
        assert!(
            layout.score.compare(&best).is_eq(),
            "case {case}: {:?} of {best:?}\n{task:?}",
            layout.score
        );
        let wanted: f64 = task.demands.iter().map(|d| d.made(d.units)).sum();
        whole += usize::from(best.area == wanted);
        made += usize::from(best.area > 0.0);
    }
    println!("{whole} of 2,000 lists made whole, {made} at least in part");
    assert!(whole > 200 && whole < 1800 && made > 1500);
}
