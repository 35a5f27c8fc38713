//! Where a part moves mainly by twist, it is said how much of the twist the theory of thin plates leaves out.

use nalgebra::{Point3, Vector3};
use prove::{ByHand, strip as by_hand};

use crate::fixture::{SUPPORT_AT_MM, T_MM, WIDTH_MM, bracket, push, strip};

/// The strip by hand under a force at its end and a moment about its length.
fn told(force_n: [f64; 3], moment_n_mm: [f64; 3]) -> ByHand {
    let part = strip(Vec::new());
    let bracket = bracket(&part, vec![push("push", force_n)], None);
    let at = Point3::new(SUPPORT_AT_MM, WIDTH_MM / 2.0, 0.0);
    by_hand(&bracket, at, Vector3::from(force_n), Vector3::from(moment_n_mm)).expect("a strip")
}

#[test]
fn a_twisted_strip_8_times_as_wide_as_thick_moves_8_percent_further_than_thin_plates_say() {
    let short = told([0.0, 0.0, -10.0], [4_000.0, 0.0, 0.0])
        .twist_short
        .expect("it twists");
    println!("{short:?}");
    assert!(short.by_twist > 0.5 && short.by_twist < 1.0);
    // 0.63 t/b, and a little more where the cuts run through holes.
    let of_strip = 0.63 * T_MM / WIDTH_MM;
    assert!(
        short.left_out > of_strip && short.left_out < 1.25 * of_strip,
        "{short:?}"
    );
    assert!(short.breadth_mm < WIDTH_MM && short.breadth_mm > 0.8 * WIDTH_MM);
    // By a moment alone it is nothing but twist.
    let alone = told([0.0; 3], [4_000.0, 0.0, 0.0])
        .twist_short
        .expect("it twists");
    assert!((alone.by_twist - 1.0).abs() < 1e-12, "{alone:?}");
}

#[test]
fn a_strip_that_is_bent_has_nothing_left_out() {
    assert_eq!(told([0.0, 0.0, -10.0], [0.0; 3]).twist_short, None);
    assert_eq!(told([0.0, 0.0, -10.0], [400.0, 0.0, 0.0]).twist_short, None);
}
