use nalgebra::{Isometry3, Point3, Vector3};
use proptest::prelude::*;
use sheet::{Face, Part, Way};

use super::*;
use crate::solid::SolidError;
use crate::solid::developed::{any_ribbon, every_part};
use crate::solid::sample::{Leg, flat_plate, volume_mm3, with_leg};

const FINE_MM: f64 = 1e-3;

fn closed(part: &Part, chord_error_mm: f64) -> Mesh {
    let made = mesh(part, chord_error_mm).expect("the sample has a body");
    made.check_closed().expect("the body is closed");
    made
}

/// Facets stand inside an arc of radius r by at most e, so a body of this size is off by at most the area of its round
/// faces times e; the samples' round faces are under 2,500 mm2 for 12,000 mm3.
fn share_off(part: &Part, chord_error_mm: f64) -> f64 {
    (closed(part, chord_error_mm).volume_mm3() / volume_mm3(part) - 1.0).abs()
}

#[test]
fn a_flat_plate_holds_its_area_times_its_thickness() {
    let part = flat_plate(3.0);
    assert!(share_off(&part, FINE_MM) < 1e-4);
    let made = closed(&part, FINE_MM);
    let marked = made.area_mm2(|skin| skin == Skin::PanelMarked(0));
    let far = made.area_mm2(|skin| skin == Skin::PanelFar(0));
    assert!((marked - far).abs() < 1e-9);
    assert!(
        marked > part.panels[0].flat.area_mm2() - 1e-9,
        "facets cut into holes, not into the plate"
    );
}

#[test]
fn a_leg_bent_either_way_holds_its_bookkeeping_on_every_face() {
    for way in [Way::Up, Way::Down] {
        for lines_on in [Face::Marked, Face::Middle, Face::Far] {
            for bent_deg in [5.0, 90.0, 150.0] {
                let part = with_leg(Leg {
                    way,
                    lines_on,
                    bent_deg,
                    ..Leg::default()
                });
                let off = share_off(&part, FINE_MM);
                assert!(off < 2e-4, "{way:?} {lines_on:?} {bent_deg}: {off}");
            }
        }
    }
}

#[test]
fn slanting_sides_make_a_body_of_the_mean_length() {
    for way in [Way::Up, Way::Down] {
        let part = with_leg(Leg {
            way,
            slides_mm: [-3.0, 2.0],
            ..Leg::default()
        });
        let off = share_off(&part, FINE_MM);
        assert!(off < 2e-4, "{way:?}: {off}");
    }
}

#[test]
fn a_sharp_inside_is_closed_square_and_slanting() {
    let sharp = Leg {
        radius_mm: 0.0,
        ..Leg::default()
    };
    assert!(share_off(&with_leg(sharp), FINE_MM) < 2e-4);
    let square = closed(&with_leg(sharp), FINE_MM);
    assert!(
        square
            .triangles
            .iter()
            .all(|&triangle| square.normal(triangle).norm() > 0.5)
    );
    assert!(
        share_off(
            &with_leg(Leg {
                slides_mm: [1.0, 4.0],
                ..sharp
            }),
            FINE_MM
        ) < 2e-4
    );
}

#[test]
fn a_smaller_chord_error_comes_nearer() {
    let part = with_leg(Leg::default());
    let coarse = share_off(&part, 0.5);
    let fine = share_off(&part, 0.005);
    assert!(fine < coarse / 10.0, "{coarse} then {fine}");
}

#[test]
fn the_leg_stands_up_or_hangs_down() {
    let reach = |way: Way| {
        let made = closed(
            &with_leg(Leg {
                way,
                ..Leg::default()
            }),
            0.01,
        );
        let heights = made.points.iter().map(|point| point.z);
        (
            heights.clone().fold(f64::INFINITY, f64::min),
            heights.fold(f64::NEG_INFINITY, f64::max),
        )
    };
    // Lines on the marked face: the plate fills -3 to 0. Up, the leg ends 40 mm beyond the bend's axis at z = 4.
    let (low, high) = reach(Way::Up);
    assert!(
        (low + 3.0).abs() < 1e-9 && (high - 44.0).abs() < 1e-9,
        "{low} {high}"
    );
    let (low, high) = reach(Way::Down);
    assert!((low + 47.0).abs() < 1e-9 && high.abs() < 1e-9, "{low} {high}");
}

#[test]
fn inside_and_outside_of_the_bend_lie_on_their_cylinders() {
    let part = with_leg(Leg {
        slides_mm: [-2.0, 1.0],
        ..Leg::default()
    });
    let made = closed(&part, 0.01);
    let bend = &part.bends[0];
    for (&triangle, &skin) in made.triangles.iter().zip(&made.skins) {
        let radius_mm = match skin {
            Skin::BendInside(_) => bend.radius_mm,
            Skin::BendOutside(_) => bend.radius_mm + part.thickness_mm,
            _ => continue,
        };
        for corner in made.corners(triangle) {
            let from_axis = (corner - bend.axis_at).cross(&bend.axis).norm();
            assert!((from_axis - radius_mm).abs() < 1e-9, "{skin:?}: {from_axis}");
        }
        let middle = made
            .corners(triangle)
            .iter()
            .fold(Vector3::zeros(), |sum, at| sum + at.coords)
            / 3.0;
        let outward = (Point3::from(middle) - bend.axis_at) - bend.axis.into_inner() * middle.x;
        let away = made.normal(triangle).dot(&outward);
        assert_eq!(away > 0.0, matches!(skin, Skin::BendOutside(_)), "{skin:?}");
    }
}

#[test]
fn developed_cards_are_closed_bodies_of_their_bookkeeping() {
    for (name, part) in every_part() {
        let made = mesh(&part, FINE_MM).unwrap_or_else(|told| panic!("{name}: {told}"));
        made.check_closed()
            .unwrap_or_else(|told| panic!("{name}: {told}"));
        let off = (made.volume_mm3() / part.volume_mm3() - 1.0).abs();
        assert!(off < 5e-4, "{name}: {off}");
    }
}

#[test]
fn even_pieces_stay_closed_and_keep_the_volume() {
    let part = with_leg(Leg {
        slides_mm: [-3.0, 2.0],
        ..Leg::default()
    });
    let made = mesh_with(
        &part,
        MeshOptions {
            chord_error_mm: 0.01,
            piece_mm: Some(4.0),
        },
    )
    .expect("a body");
    made.check_closed().expect("closed");
    assert!((made.volume_mm3() / volume_mm3(&part) - 1.0).abs() < 1e-3);
    let longest = made
        .triangles
        .iter()
        .map(|&triangle| made.corners(triangle))
        .flat_map(|[a, b, c]| [(b - a).norm(), (c - b).norm(), (a - c).norm()])
        .fold(0.0, f64::max);
    assert!(longest < 12.0, "{longest}");
}

#[test]
fn a_part_moved_keeps_its_volume_far_from_the_origin() {
    let made = closed(&with_leg(Leg::default()), 0.01);
    let volume = made.volume_mm3();
    let far = made.moved(&Isometry3::new(
        Vector3::new(5e3, -2e3, 8e2),
        Vector3::new(0.3, 1.0, -0.4),
    ));
    assert!((far.volume_mm3() / volume - 1.0).abs() < 1e-9);
}

#[test]
fn a_hole_in_the_mesh_is_told_by_its_edge() {
    let mut made = closed(&flat_plate(3.0), 0.1);
    made.triangles.pop();
    made.skins.pop();
    let told = made.check_closed().expect_err("a triangle is missing");
    assert_eq!(told.along + told.against, 1);
}

#[test]
fn what_does_not_fit_together_is_told() {
    let mut part = with_leg(Leg::default());
    part.panels[1].to_folded = Isometry3::translation(0.0, 0.0, 0.01) * part.panels[1].to_folded;
    let told = mesh(&part, 0.1);
    assert!(
        matches!(told, Err(SolidError::BendOffPose { off_mm, .. }) if (off_mm - 0.01).abs() < 1e-9),
        "{told:?}"
    );

    let mut part = with_leg(Leg::default());
    part.bends[0].strips[0].fixed[0].y = -1.0;
    let told = mesh(&part, 0.1);
    assert!(
        matches!(told, Err(SolidError::BendOffPanel { ref panel, .. }) if panel == "base"),
        "{told:?}"
    );

    let mut part = with_leg(Leg::default());
    part.bends[0].moving = 7;
    assert!(matches!(mesh(&part, 0.1), Err(SolidError::NoPanel { .. })));
    assert!(matches!(mesh(&part, 0.0), Err(SolidError::ChordError { .. })));
    assert!(matches!(
        mesh(&part, f64::NAN),
        Err(SolidError::ChordError { .. })
    ));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn any_leg_is_a_closed_body_of_its_bookkeeping(
        bent_deg in 1.0..175.0_f64, radius_mm in 0.2..12.0_f64, thickness_mm in 0.5..8.0_f64,
        up in any::<bool>(), face in 0..3_usize, first in -9.0..9.0_f64, last in -9.0..9.0_f64,
    ) {
        let part = with_leg(Leg {
            bent_deg, radius_mm, thickness_mm,
            way: if up { Way::Up } else { Way::Down },
            lines_on: [Face::Marked, Face::Middle, Face::Far][face],
            slides_mm: [first, last],
        });
        let off = share_off(&part, FINE_MM);
        prop_assert!(off < 1e-3, "{}", off);
    }

    #[test]
    fn any_ribbon_of_bends_is_a_closed_body_of_its_bookkeeping(part in any_ribbon()) {
        let made = mesh(&part, FINE_MM).expect("a developed part has a body");
        made.check_closed().expect("the body is closed");
        let off = (made.volume_mm3() / part.volume_mm3() - 1.0).abs();
        prop_assert!(off < 1e-3, "{}", off);
    }
}
