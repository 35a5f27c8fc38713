//! Any outline with holes.

use std::f64::consts::TAU;

use proptest::prelude::*;
use shell::plan::{Beside, Plan};

use crate::drawn::{At, area, check, round, run};

pub fn config() -> ProptestConfig {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|cases| cases.parse().ok())
        .unwrap_or(40);
    ProptestConfig::with_cases(cases)
}

/// A star about the origin, whose corners turn back now and then, with round holes and square windows in the disc that
/// it surely holds; and its area.
fn any_plate() -> impl Strategy<Value = (Plan, f64)> {
    let rays = prop::collection::vec(50.0..110.0_f64, 5..14);
    let holes = prop::collection::vec((0.0..1.0_f64, 0.2..0.7_f64, 3..30_usize), 0..5);
    (rays, holes, 0.0..TAU, -500.0..500.0_f64).prop_map(|(rays, holes, turn, away)| {
        let centre = At::new(away, -away);
        let polar = |angle: f64, out: f64| centre + nalgebra::Vector2::new(angle.cos(), angle.sin()) * out;
        let step = TAU / rays.len() as f64;
        let outer: Vec<At> = rays
            .iter()
            .enumerate()
            .map(|(i, &out)| polar(turn + step * i as f64, out))
            .collect();
        let mut plan = Plan::default();
        run(&mut plan, &outer, Beside::Region(1), Beside::Nothing);
        let twice: f64 = (0..outer.len())
            .map(|i| (outer[i] - centre).perp(&(outer[(i + 1) % outer.len()] - centre)))
            .sum();
        let mut area = twice / 2.0;
        let slots = holes.len() as f64;
        for (i, (share, size, corners)) in holes.into_iter().enumerate() {
            // Each in its own sixth of a ring of 12 to 28 mm, within what the chords of the star leave.
            let radius = 1.0 + 5.0 * size;
            let at = polar(
                TAU * (i as f64 + 0.2 * share) / slots.max(3.0),
                14.0 + 4.0 * share,
            );
            run(
                &mut plan,
                &round(at, radius, corners),
                Beside::Region(1),
                Beside::Nothing,
            );
            area -= corners as f64 / 2.0 * radius * radius * (TAU / corners as f64).sin();
        }
        (plan, area)
    })
}

/// The smallest angle between two lines of the plan that meet.
fn least_corner_rad(plan: &Plan) -> f64 {
    let mut least = TAU;
    for a in &plan.lines {
        for b in &plan.lines {
            if a.to == b.from {
                let place = |point: u32| plan.points[point as usize];
                let (back, on) = (place(a.from) - place(a.to), place(b.to) - place(b.from));
                least = least.min(back.angle(&on));
            }
        }
    }
    least
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn any_plate_is_filled_whole_and_round((plan, wanted) in any_plate(), size in 3.0..20.0_f64, growth in 0.0..0.3_f64) {
        let fine = plan.points[0];
        let sizes = |at: At| size * 0.3 + growth * (at - fine).norm();
        let filled = plan.fill(&sizes, 60_000).expect("a star with holes fills");
        check(&plan, &filled);
        prop_assert!((area(&filled) / wanted - 1.0).abs() < 1e-9);
        // Two lines of a sharp corner force one thin triangle between them and nothing else.
        if least_corner_rad(&plan) > 0.7 {
            prop_assert!(filled.slivers.is_empty(), "{:?}", filled.slivers.first());
        }
    }
}
