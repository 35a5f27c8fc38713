//! The plainest part, worked by hand.

use std::f64::consts::FRAC_PI_2;

use crate::card::{angle, hole, p};
use nalgebra::Point3;
use sheet::{Face, Way, deduction_mm, develop};

const T: f64 = 3.0;
const NEAR_MM: f64 = 1e-9;

#[track_caller]
fn assert_at(got: Point3<f64>, wanted: [f64; 3]) {
    assert!(
        (got - Point3::from(wanted)).norm() < NEAR_MM,
        "{got} is not at {wanted:?}"
    );
}

#[test]
fn a_leg_comes_up_square_from_the_sharp_corner_of_the_lines_face() {
    let mut mockup = angle();
    mockup.openings.push(hole("h", (30.0, 70.0), 8.0));
    for face in [Face::Marked, Face::Middle, Face::Far] {
        for (way, up) in [(Way::Up, 1.0), (Way::Down, -1.0)] {
            mockup.lines_on = face;
            mockup.creases[0].way = way;
            let part = develop(&mockup, T).expect("an angle develops");
            let leg = part.panel_at(p(30.0, 80.0)).expect("the leg is there");
            assert_at(
                part.folded_point(leg, p(60.0, 90.0), 0.0),
                [60.0, 50.0, up * 40.0],
            );
            let placed = part.opening_in_space(0).expect("the hole is in the leg");
            assert_at(placed.at, [30.0, 50.0, up * 20.0]);
            assert!(
                (placed.axis.y + up).abs() < NEAR_MM,
                "the marked face of a leg bent up looks back"
            );
        }
    }
}

#[test]
fn the_blank_is_the_outside_legs_less_the_deduction() {
    let cases = [
        (Face::Marked, Way::Up, 2.0 * T),
        (Face::Middle, Way::Up, T),
        (Face::Far, Way::Up, 0.0),
        (Face::Marked, Way::Down, 0.0),
        (Face::Middle, Way::Down, T),
        (Face::Far, Way::Down, 2.0 * T),
    ];
    for (face, way, legs_grow_mm) in cases {
        let mut mockup = angle();
        mockup.lines_on = face;
        mockup.creases[0].way = way;
        let part = develop(&mockup, T).expect("an angle develops");
        let (low, high) = part.blank.region.outer.bounds();
        // Drawn on the inside face, each outside leg is one thickness longer than the card's.
        let wanted = 90.0 + legs_grow_mm - deduction_mm(FRAC_PI_2, 3.0, 0.4, T);
        assert!((high.y - low.y - wanted).abs() < NEAR_MM, "{face:?} {way:?}");
        assert!((high.x - low.x - 60.0).abs() < NEAR_MM);
        assert_eq!(part.blank.region.outer.len(), 4);
    }
}

#[test]
fn a_bend_starts_and_ends_where_the_panels_do() {
    for way in [Way::Up, Way::Down] {
        let mut mockup = angle();
        mockup.lines_on = Face::Middle;
        mockup.creases[0].way = way;
        let part = develop(&mockup, T).expect("an angle develops");
        let bend = &part.bends[0];
        let s = bend.set_back_mm;
        for height in part.z_range() {
            for (u, x) in [(0.0, 0.0), (1.0, 60.0)] {
                let start = part.bend_surface_point(0, 0, u, 0.0, height);
                let end = part.bend_surface_point(0, 0, u, 1.0, height);
                let x = if bend.along.x > 0.0 { x } else { 60.0 - x };
                assert_at(
                    start,
                    part.folded_point(bend.fixed, p(x, 50.0 - s), height).into(),
                );
                assert_at(end, part.folded_point(bend.moving, p(x, 50.0 + s), height).into());
            }
        }
    }
}

#[test]
fn an_angle_of_aluminium_weighs_what_its_section_says() {
    let part = develop(&angle(), T).expect("an angle develops");
    // Flats 47 and 37 mm, and a quarter ring of 3 to 6 mm.
    let section_mm2 = (47.0 + 37.0) * T + FRAC_PI_2 / 2.0 * (36.0 - 9.0);
    assert!((part.volume_mm3() - section_mm2 * 60.0).abs() < 1e-6);
    assert!((part.mass_kg(2680.0) - section_mm2 * 60.0 * 2680e-9).abs() < 1e-12);

    // First moments by hand: the ring's centroid is 4/(3 pi) (R3 - r3)/(R2 - r2) from its axis, at (47, 3).
    let ring_mm2 = FRAC_PI_2 / 2.0 * 27.0;
    let out = 4.0 / (3.0 * std::f64::consts::PI) * (216.0 - 27.0) / 27.0;
    let y = (47.0 * T * 23.5 + 37.0 * T * 51.5 + ring_mm2 * (47.0 + out)) / section_mm2;
    let z = (47.0 * T * -1.5 + 37.0 * T * 21.5 + ring_mm2 * (3.0 - out)) / section_mm2;
    assert_at(part.centre_of_mass(), [30.0, y, z]);
}
