//! Placements that can be worked out on paper, and what must hold for any.

use std::f64::consts::PI;

use fit::{
    Allowance, Deciding, Freedom, HoleShape, Mount, MountError, PartHole, Placement, Seat, Settle, Slide,
    SupportWant, facing_frame, judge, place, sit,
};
use nalgebra::{Isometry3, Point3, Unit, UnitQuaternion, Vector3};
use proptest::prelude::*;

const THICK_MM: f64 = 4.8;
/// The same problem put another way may differ by this share of an allowance (seen: 1e-7), for the flattest of valleys.
const SAME_RATIO: f64 = 1e-6;
/// And its pose by this, along the flattest way (seen: 2e-4).
const SAME_TURN_RAD: f64 = 2e-3;
/// And by this (seen: 0.01): a tenth of what is ever printed.
const SAME_SLIDE_MM: f64 = 0.05;

fn hole(name: &str, x: f64, y: f64) -> PartHole {
    PartHole {
        name: name.into(),
        at: Point3::new(x, y, -THICK_MM / 2.0),
        axis: Vector3::z_axis(),
        thickness_mm: THICK_MM,
        shape: HoleShape::Round { dia_mm: 8.5 },
    }
}

/// A tapped hole whose plate lies on it with the face that looks down, seat at z = -4.8.
fn mount(name: &str, hole: usize, x: f64, y: f64) -> Mount {
    Mount {
        name: name.into(),
        hole,
        at: Point3::new(x, y, -THICK_MM),
        axis: Vector3::z_axis(),
        allowance: Allowance::round(0.28),
        gap_allowed_mm: 0.5,
        tilt_allowed_rad: 1_f64.to_radians(),
    }
}

fn placed(holes: &[PartHole], mounts: &[Mount]) -> Placement {
    place(holes, mounts, Settle::LeastTurn).expect("the mounts are sound")
}

#[test]
fn two_holes_too_far_apart_are_off_by_half_each() {
    let holes = [hole("h1", 0.0, 0.0), hole("h2", 63.9, 0.0)];
    let mounts = [mount("m1", 0, 0.0, 0.0), mount("m2", 1, 63.5, 0.0)];
    let placed = placed(&holes, &mounts);
    for state in &placed.mounts {
        assert!((state.offset_mm - 0.2).abs() < 1e-9, "{state:?}");
        assert!((state.allowed_mm - 0.28).abs() < 1e-9);
        assert!(state.gap_mm.abs() < 1e-9 && state.tilt_rad < 1e-9);
        assert_eq!(state.deciding(), Deciding::Offset);
    }
    assert!((placed.margin() - (1.0 - 0.2 / 0.28)).abs() < 1e-9);
    assert!(placed.free.is_empty());
}

#[test]
fn the_looser_of_two_holes_takes_more_of_the_error() {
    let holes = [hole("h1", 0.0, 0.0), hole("h2", 63.9, 0.0)];
    let mut mounts = [mount("m1", 0, 0.0, 0.0), mount("m2", 1, 63.5, 0.0)];
    mounts[1].allowance = Allowance::round(0.84);
    let placed = placed(&holes, &mounts);
    assert!(
        (placed.mounts[0].offset_mm - 0.1).abs() < 1e-9,
        "a quarter of 0.4: {:?}",
        placed.mounts[0]
    );
    assert!(
        (placed.mounts[1].offset_mm - 0.3).abs() < 1e-9,
        "three quarters: {:?}",
        placed.mounts[1]
    );
}

#[test]
fn one_mount_out_among_four_is_shared_not_averaged() {
    // Three in place and one 0.6 out along the diagonal: the best worst case shares it between the two ends of the
    // diagonal, 0.3 each; a mean would leave more at the one.
    let corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 60.0), (0.0, 60.0)];
    let holes: Vec<_> = corners.iter().map(|&(x, y)| hole("h", x, y)).collect();
    let mut mounts: Vec<_> = corners
        .iter()
        .enumerate()
        .map(|(i, &(x, y))| mount("m", i, x, y))
        .collect();
    let out = 0.6 * 0.5_f64.sqrt();
    mounts[2].at += Vector3::new(out, out, 0.0);
    let placed = placed(&holes, &mounts);
    assert!((placed.ratio - 0.3 / 0.28).abs() < 1e-8, "{placed:?}");
    assert!(
        (placed.mounts[0].offset_mm - 0.3).abs() < 1e-8 && (placed.mounts[2].offset_mm - 0.3).abs() < 1e-8
    );
}

#[test]
fn a_low_seat_among_four_is_shared_between_the_diagonals() {
    // Seats at 0, 0, 0 and -0.8: a flat plate can halve it over the two diagonals and halve it again, 0.2 at each.
    let corners = [(0.0, 0.0), (400.0, 0.0), (400.0, 400.0), (0.0, 400.0)];
    let holes: Vec<_> = corners.iter().map(|&(x, y)| hole("h", x, y)).collect();
    let mut mounts: Vec<_> = corners
        .iter()
        .enumerate()
        .map(|(i, &(x, y))| mount("m", i, x, y))
        .collect();
    mounts[2].at.z -= 0.8;
    let placed = placed(&holes, &mounts);
    let gaps: Vec<f64> = placed.mounts.iter().map(|m| m.gap_mm).collect();
    let wanted = [0.2, -0.2, 0.2, -0.2];
    assert!(
        gaps.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-6),
        "{gaps:?}"
    );
    assert_eq!(placed.mounts[placed.deciding].deciding(), Deciding::Gap);
}

#[test]
fn a_single_seat_that_leans_is_followed_and_the_turn_about_its_bolt_is_named() {
    let mut only = mount("m1", 0, 10.0, 20.0);
    only.axis = Unit::new_normalize(Vector3::new(0.3, -0.2, 0.9));
    let placed = placed(&[hole("h1", 5.0, 5.0)], &[only]);
    assert!(placed.ratio < 1e-8, "{placed:?}");
    let [free] = placed.free.as_slice() else {
        panic!("{:?}", placed.free)
    };
    assert_eq!(free.to_string(), "turn about the bolt of m1");
    let lean: f64 = Vector3::new(0.3, -0.2, 0.9).angle(&Vector3::z());
    assert!(
        (placed.pose.rotation.angle() - lean).abs() < 1e-7,
        "no more turn than the seat asks for"
    );
}

#[test]
fn the_support_settles_the_turn_about_a_single_bolt() {
    let holes = [
        hole("h1", 0.0, 0.0),
        hole("s1", 80.0, -20.0),
        hole("s2", 80.0, 20.0),
    ];
    let seat = Seat::of(&[&holes[1], &holes[2]]).expect("two holes");
    let turn = UnitQuaternion::from_axis_angle(&Vector3::z_axis(), 0.7);
    let want = SupportWant {
        at: turn * Point3::new(80.0, 0.0, 0.0),
        facing: Vector3::z_axis(),
        along: turn * Vector3::y_axis(),
        allowed_mm: 3.0,
        allowed_turn_rad: 0.05,
        apart: None,
    };
    let settle = Settle::Support {
        seat: &seat,
        want: &want,
    };
    let placed = place(&holes, &[mount("m1", 0, 0.0, 0.0)], settle).expect("sound");
    let sits = sit(&seat, &want, &placed.pose).expect("sound");
    assert!(sits.offset_mm < 1e-5 && sits.turn_rad < 1e-7, "{sits:?}");
    assert_eq!(placed.free.len(), 1, "it still turns when the bolt is loose");
}

#[test]
fn two_mounts_on_one_line_leave_the_turn_about_it() {
    // A lug of two parallel panels on one long bolt.
    let holes = [
        hole("h1", 0.0, 0.0),
        PartHole {
            at: Point3::new(0.0, 0.0, 40.0),
            ..hole("h2", 0.0, 0.0)
        },
    ];
    let mut mounts = [mount("m1", 0, 0.0, 0.0), mount("m2", 1, 0.0, 0.0)];
    mounts[1].at.z = 40.0 - THICK_MM / 2.0;
    let placed = placed(&holes, &mounts);
    assert!(placed.ratio < 1e-8, "{placed:?}");
    assert_eq!(
        placed.free[0].to_string(),
        "turn about the common line of m1 and m2"
    );
    assert!(matches!(&placed.free[0], Freedom::TurnAboutLine { mounts, .. } if mounts.len() == 2));
}

#[test]
fn a_flat_plate_on_two_mounts_lies_the_way_up_that_the_support_asks_for() {
    let holes = [
        hole("h1", 0.0, 0.0),
        hole("h2", 60.0, 0.0),
        hole("s1", 10.0, 50.0),
        hole("s2", 50.0, 50.0),
    ];
    let mounts = [mount("m1", 0, 0.0, 0.0), mount("m2", 1, 60.0, 0.0)];
    let seat = Seat::of(&[&holes[2], &holes[3]]).expect("two holes");
    for side in [1.0, -1.0] {
        let (facing, along) = facing_frame(0.0, 0.0, 0.0);
        let at = Point3::new(30.0, 50.0 * side, 0.0);
        let want = SupportWant {
            at,
            facing,
            along,
            allowed_mm: 1.0,
            allowed_turn_rad: 0.05,
            apart: None,
        };
        let settle = Settle::Support {
            seat: &seat,
            want: &want,
        };
        let placed = place(&holes, &mounts, settle).expect("sound");
        assert!(placed.ratio < 1e-8);
        let sits = sit(&seat, &want, &placed.pose).expect("sound");
        assert!(
            sits.offset_mm < 1e-6 && sits.turn_rad < 1e-6,
            "side {side}: {sits:?}"
        );
    }
    let turned = placed(&holes, &mounts).pose.rotation.angle();
    assert!(
        turned < 1e-6,
        "without a support it is not turned over for nothing: {turned}"
    );
}

#[test]
fn a_slot_in_the_plate_takes_up_what_a_round_hole_cannot() {
    let slotted = |along: Unit<Vector3<f64>>| {
        let shape = HoleShape::Slot {
            along,
            length_mm: 14.5,
            width_mm: 8.5,
        };
        let holes = [
            hole("h1", 0.0, 0.0),
            PartHole {
                shape,
                ..hole("h2", 66.0, 0.0)
            },
        ];
        let mut mounts = [mount("m1", 0, 0.0, 0.0), mount("m2", 1, 63.5, 0.0)];
        mounts[1].allowance = Allowance {
            hole_half_run_mm: 3.0,
            ..Allowance::round(0.28)
        };
        placed(&holes, &mounts).ratio
    };
    // Growing all patches alike: 2.5 = ratio (0.28 + 0.28 + 3).
    assert!((slotted(Vector3::x_axis()) - 2.5 / 3.56).abs() < 1e-8);
    // Across, it helps only by turning: without it 2.5 / 0.56 = 4.46.
    let across = slotted(Vector3::y_axis());
    assert!(across > 4.0 && across <= 2.5 / 0.56 + 1e-9, "{across}");
}

#[test]
fn crossed_slots_move_both_ways() {
    let shape = HoleShape::Slot {
        along: Vector3::y_axis(),
        length_mm: 14.5,
        width_mm: 8.5,
    };
    let holes = [
        hole("h1", 0.0, 0.0),
        hole("h2", 60.0, 0.0),
        PartHole {
            shape,
            ..hole("h3", 30.0, 40.0)
        },
    ];
    let mut mounts = [
        mount("m1", 0, 0.0, 0.0),
        mount("m2", 1, 60.0, 0.0),
        mount("m3", 2, 32.0, 42.0),
    ];
    mounts[2].allowance = Allowance {
        round_mm: 0.5,
        mount_slot: Some(Slide {
            along: Vector3::x_axis(),
            half_run_mm: 2.0,
        }),
        hole_half_run_mm: 3.0,
    };
    let placed = placed(&holes, &mounts);
    assert!(
        placed.ratio < 0.8,
        "2 off both ways, with 2.5 and 3.5 to spare: {placed:?}"
    );
}

#[test]
fn mounts_that_make_no_sense_are_named() {
    let holes = [hole("h1", 0.0, 0.0), hole("h2", 60.0, 0.0)];
    let refused = |mounts: &[Mount]| judge(&holes, mounts, &Isometry3::identity()).expect_err("unsound");
    assert_eq!(refused(&[]), MountError::NoMounts);
    let beyond = MountError::NoSuchHole {
        mount: "m1".into(),
        hole: 5,
        holes: 2,
    };
    assert_eq!(refused(&[mount("m1", 5, 0.0, 0.0)]), beyond);
    let twice = [mount("m1", 0, 0.0, 0.0), mount("m2", 1, 0.0, 0.0)];
    let same = MountError::SamePlace {
        first: "m1".into(),
        second: "m2".into(),
    };
    assert_eq!(refused(&twice), same);
    let shared = [mount("m1", 0, 0.0, 0.0), mount("m2", 0, 9.0, 0.0)];
    assert!(matches!(refused(&shared), MountError::OneHoleForTwo { .. }));
    let none = Mount {
        axis: Unit::new_unchecked(Vector3::zeros()),
        ..mount("m1", 0, 0.0, 0.0)
    };
    assert!(matches!(
        refused(&[none]),
        MountError::NotADirection { length: 0.0, .. }
    ));
    let lost = Mount {
        at: Point3::new(f64::NAN, 0.0, 0.0),
        ..mount("m1", 0, 0.0, 0.0)
    };
    assert_eq!(refused(&[lost]), MountError::NotFinite { about: "m1".into() });
    let tight = Mount {
        allowance: Allowance::round(0.0),
        ..mount("m1", 0, 0.0, 0.0)
    };
    assert!(matches!(refused(&[tight]), MountError::NothingAllowed { .. }));
    let slotted = Allowance {
        hole_half_run_mm: 2.0,
        ..Allowance::round(0.3)
    };
    let round = Mount {
        allowance: slotted,
        ..mount("m1", 0, 0.0, 0.0)
    };
    assert!(matches!(refused(&[round]), MountError::HoleIsRound { .. }));
    let leaning = Allowance::slot(Unit::new_normalize(Vector3::new(1.0, 0.0, 0.2)), 3.0, 0.3);
    let out = Mount {
        allowance: leaning,
        ..mount("m1", 0, 0.0, 0.0)
    };
    assert!(matches!(refused(&[out]), MountError::SlotNotAcross { .. }));
}

fn some_turn() -> impl Strategy<Value = UnitQuaternion<f64>> {
    ([-1.0..1.0, -1.0..1.0, -1.0..1.0_f64], 0.0..PI).prop_filter_map("an axis", |(axis, angle)| {
        let axis = Unit::try_new(Vector3::from(axis), 0.1)?;
        Some(UnitQuaternion::from_axis_angle(&axis, angle))
    })
}

/// Three to five mounts on two panels, off by up to an allowance.
fn some_job() -> impl Strategy<Value = (Vec<PartHole>, Vec<Mount>)> {
    let one = (
        [-60.0..60.0, -60.0..60.0_f64],
        [-0.3..0.3, -0.3..0.3, -0.3..0.3_f64],
        0.2..0.6,
    );
    prop::collection::vec(one, 3..6).prop_filter_map("apart", |many| {
        let mut holes: Vec<PartHole> = Vec::new();
        let mut mounts: Vec<Mount> = Vec::new();
        for (i, ([x, y], off, play)) in many.into_iter().enumerate() {
            let (at, axis) = if i % 2 == 0 {
                (Point3::new(x, y, 0.0), Vector3::z_axis())
            } else {
                (Point3::new(x, 70.0, y), Vector3::y_axis())
            };
            if holes.iter().any(|h| (h.at - at).norm() < 15.0) {
                return None;
            }
            holes.push(PartHole {
                at,
                axis,
                ..hole(&format!("h{i}"), 0.0, 0.0)
            });
            mounts.push(Mount {
                at: at - axis.into_inner() * (THICK_MM / 2.0) + Vector3::from(off),
                axis,
                allowance: Allowance::round(play),
                ..mount(&format!("m{i}"), i, 0.0, 0.0)
            });
        }
        Some((holes, mounts))
    })
}

fn carried(mounts: &[Mount], by: &Isometry3<f64>) -> Vec<Mount> {
    mounts
        .iter()
        .map(|m| Mount {
            at: by * m.at,
            axis: by.rotation * m.axis,
            ..m.clone()
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: std::env::var("GUSSET_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(48),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn turning_the_equipment_turns_the_part_with_it((holes, mounts) in some_job(), turn in some_turn()) {
        let by = Isometry3::from_parts(Vector3::new(120.0, -40.0, 900.0).into(), turn);
        let here = placed(&holes, &mounts);
        let there = placed(&holes, &carried(&mounts, &by));
        prop_assert!((here.ratio - there.ratio).abs() < SAME_RATIO * here.ratio.max(1.0));
        let apart = (by * here.pose).inverse() * there.pose;
        prop_assert!(apart.rotation.angle() < SAME_TURN_RAD && apart.translation.vector.norm() < SAME_SLIDE_MM, "{apart}");
    }

    #[test]
    fn which_axes_the_part_is_drawn_in_does_not_matter((holes, mounts) in some_job(), turn in some_turn()) {
        let by = Isometry3::from_parts(Vector3::new(-33.0, 250.0, 7.0).into(), turn);
        let redrawn: Vec<_> = holes
            .iter()
            .map(|h| PartHole { at: by * h.at, axis: -(by.rotation * h.axis), ..h.clone() })
            .collect();
        let (here, there) = (placed(&holes, &mounts), placed(&redrawn, &mounts));
        prop_assert!((here.ratio - there.ratio).abs() < SAME_RATIO * here.ratio.max(1.0));
        let apart = here.pose.inverse() * there.pose * by;
        prop_assert!(apart.rotation.angle() < SAME_TURN_RAD && apart.translation.vector.norm() < SAME_SLIDE_MM, "{apart}");
    }

    #[test]
    fn scaling_all_that_is_allowed_scales_the_ratio((holes, mounts) in some_job(), share in 0.7..1.4_f64) {
        let looser: Vec<_> = mounts
            .iter()
            .map(|m| Mount {
                allowance: Allowance::round(m.allowance.round_mm * share),
                gap_allowed_mm: m.gap_allowed_mm * share,
                tilt_allowed_rad: m.tilt_allowed_rad * share,
                ..m.clone()
            })
            .collect();
        let (here, there) = (placed(&holes, &mounts), placed(&holes, &looser));
        prop_assert!((here.ratio - there.ratio * share).abs() < SAME_RATIO * here.ratio.max(1.0));
    }

    #[test]
    fn a_part_made_to_its_mounts_fits_to_nothing((holes, _) in some_job(), turn in some_turn()) {
        let by = Isometry3::from_parts(Vector3::new(20.0, 30.0, -500.0).into(), turn);
        let mounts: Vec<_> = holes
            .iter()
            .enumerate()
            .map(|(i, h)| Mount {
                at: by * (h.at - h.axis.into_inner() * (THICK_MM / 2.0)),
                axis: by.rotation * h.axis,
                ..mount(&format!("m{i}"), i, 0.0, 0.0)
            })
            .collect();
        let placed = placed(&holes, &mounts);
        prop_assert!(placed.ratio < 1e-8, "{placed:?}");
    }
}
