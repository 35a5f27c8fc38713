//! What the bolts and feet of the strip carry.

use nalgebra::Vector3;
use prove::{GRAVITY_MM_S2, Options, analyse};

use crate::fixture::{BOLTS_AT_MM, SUPPORT_AT_MM, bracket, once, push, strip, support_at};

#[test]
fn bolts_and_feet_hold_the_load_and_its_moment() {
    let part = strip(Vec::new());
    let force_n = Vector3::new(35.0, -60.0, 25.0);
    let bracket = bracket(&part, vec![push("push", force_n.into())], None);
    let answer = analyse(&bracket, &once()).expect("it is solved");
    let case = &answer.cases[0];
    let weight_n = part.mass_n();
    let mut held = Vector3::zeros();
    for bolt in &case.bolts {
        held += bolt.shear_n + Vector3::z() * (bolt.foot_n - bolt.tension_n);
    }
    let left = held + force_n - Vector3::z() * weight_n;
    assert!(left.norm() < 1e-6 * force_n.norm(), "{left}");
    // Sideways, the two bolts make the couple: about the first bolt, the second holds 60 N on the support's arm.
    let arm = (SUPPORT_AT_MM - BOLTS_AT_MM[0]) / (BOLTS_AT_MM[1] - BOLTS_AT_MM[0]);
    let second_n = case.bolts[1].shear_n.y;
    assert!(
        (second_n / (60.0 * arm) - 1.0).abs() < 0.1,
        "{second_n} of {}",
        60.0 * arm
    );
    assert!((support_at().x - SUPPORT_AT_MM).abs() < 1e-12);
}

#[test]
fn a_strip_pushed_up_lifts_off_where_it_is_not_held_down() {
    let part = strip(Vec::new());
    let bracket = bracket(&part, vec![push("up", [0.0, 0.0, 40.0])], None);
    let answer = analyse(&bracket, &once()).expect("it is solved");
    let bolts = &answer.cases[0].bolts;
    // The last bolt pulls, the heel behind the first presses.
    assert!(bolts[1].tension_n > 40.0);
    assert!(bolts[1].lifted > 0.0 && bolts[0].foot_n > 0.0);
}

#[test]
fn tightening_keeps_the_foot_down_and_makes_it_stiffer() {
    let part = strip(Vec::new());
    let up = || vec![push("up", [0.0, 0.0, 40.0])];
    let moved = |preload_n| {
        let bracket = bracket(&part, up(), preload_n);
        let answer = analyse(&bracket, &once()).expect("it is solved");
        let case = answer.cases[0].clone();
        (case.moves.expect("a support").moves_mm.z, case.bolts)
    };
    let (loose_mm, _) = moved(None);
    let (tight_mm, bolts) = moved(Some(12_000.0));
    assert!(tight_mm < 0.95 * loose_mm, "{tight_mm} and {loose_mm}");
    // The bolt holds about what it was tightened to: the load goes through the closed joint.
    assert!(
        (bolts[1].tension_n / 12_000.0 - 1.0).abs() < 0.15,
        "{}",
        bolts[1].tension_n
    );
}

trait Weighs {
    fn mass_n(&self) -> f64;
}

impl Weighs for sheet::Part {
    /// Its weight as the mesh has it: the holes are cut with straight pieces, so within a thousandth of the drawing's.
    fn mass_n(&self) -> f64 {
        let body = prove::body::body(
            self,
            &prove::body::BodyOptions {
                target_unknowns: 4_000,
                ..prove::body::BodyOptions::default()
            },
        )
        .expect("it has a mesh");
        let area_mm2: f64 = body.node_areas_mm2().iter().sum();
        area_mm2 * self.thickness_mm * 2680.0e-12 * GRAVITY_MM_S2
    }
}

#[test]
fn what_tightening_does_under_the_washers_asks_for_no_finer_mesh() {
    let part = strip(Vec::new());
    // A light push on a part that is held hard: nearly all of its strain is about the bolts.
    let push = vec![push("push", [0.0, 0.0, -2.0])];
    let bracket = bracket(&part, push, Some(20_000.0));
    let options = Options { meshes: 4, ..once() };
    let trust = analyse(&bracket, &options).expect("it is solved").trust;
    assert!(trust.reached, "{trust:?}");
    assert!(trust.unknowns < 12_000, "{trust:?}");
}
