//! The rules of bending on parts made by hand: a strip of plate with bends across it, its openings and its edges.

mod parts;

use brake::rules::{Breach, Concern, Fix, LegEnd, Limits, NotChecked, Weight, check, not_checked};
use handbook::{Handbook, RadiusError, Sourced, Status};
use parts::{Strips, hole, slot, window};
use plane::{Point, Vector};

/// 3 mm 5052-H32, bent over the die this wide; none in a vice.
fn limits(die_mm: Option<f64>) -> Limits {
    let opening = die_mm.map(|value| Sourced {
        value,
        source: "the shop's die".to_owned(),
        status: Status::Shop,
        row: "shop".to_owned(),
    });
    Limits::of(&Handbook::builtin(), "5052-H32", 3.0, opening).expect("5052-H32 is in the handbook")
}

/// Two legs of 60 mm flat, one bend of 90 degrees to 4.5 mm.
fn angle() -> Strips {
    Strips::new(3.0, 80.0, &[60.0, 60.0], &[(90.0, 4.5)])
}

fn only(concerns: Vec<Concern>) -> Concern {
    assert_eq!(concerns.len(), 1, "{concerns:#?}");
    concerns.into_iter().next().expect("one")
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

#[test]
fn a_plain_angle_with_long_legs_and_an_easy_radius_has_nothing_against_it() {
    assert_eq!(check(&angle().part(), &limits(Some(24.0))), []);
    assert_eq!(check(&angle().part(), &limits(None)), []);
}

#[test]
fn a_radius_under_the_least_for_stock_and_temper_says_least_radius_softer_metal_and_thinner_plate() {
    let part = Strips::new(3.0, 80.0, &[60.0, 60.0], &[(90.0, 3.0)]).part();
    let concern = only(check(&part, &limits(Some(24.0))));
    assert_eq!(concern.what, Breach::TightRadius { bend: "b1".into() });
    assert_eq!(
        (concern.found, concern.limit, concern.weight),
        (3.0, 4.5, Weight::Stop)
    );
    assert_eq!(concern.rests_on.row, "least_radii: 5052-H32 1/8 in");
    assert_eq!(
        concern.fixes,
        [
            Fix::Radius { radius_mm: 4.5 },
            Fix::Metal {
                name: "3003-H14".into(),
                least_radius_mm: 3.0
            },
            Fix::Thinner { at_most_mm: 2.0 },
        ]
    );
    let softer = Limits::of(&Handbook::builtin(), "3003-H14", 3.0, None).expect("3003-H14");
    assert_eq!(check(&part, &softer), []);
}

#[test]
fn a_stock_outside_the_table_of_radii_is_not_checked_rather_than_passed() {
    let part = Strips::new(20.0, 300.0, &[200.0, 200.0], &[(90.0, 1.0)]).part();
    let limits = Limits::of(&Handbook::builtin(), "5052-H32", 20.0, None).expect("5052-H32");
    assert_eq!(check(&part, &limits), []);
    let not_checked = not_checked(&part, &limits);
    assert!(
        matches!(
            not_checked[..],
            [NotChecked::Radii(RadiusError::OutsideTable { .. })]
        ),
        "{not_checked:?}"
    );
}

#[test]
fn a_leg_of_14_mm_over_a_24_mm_die_is_2_8_mm_too_short() {
    // 0.7 x 24 = 16.8 mm to the outside; 14 outside is 6.5 flat and 4.5 + 3 set back.
    let part = Strips::new(3.0, 80.0, &[60.0, 6.5], &[(90.0, 4.5)]).part();
    let concern = only(check(&part, &limits(Some(24.0))));
    assert_eq!(
        concern.what,
        Breach::ShortLeg {
            bend: "b1".into(),
            panel: "p1".into(),
            ends_at: LegEnd::Edge,
            share_of_bend: 1.0
        }
    );
    assert!(
        near(concern.found, 14.0) && near(concern.limit, 16.8),
        "{concern:?}"
    );
    assert_eq!(concern.weight, Weight::Stop);
    assert_eq!(concern.rests_on.status, Status::CommonPractice);
    match &concern.fixes[..] {
        [
            Fix::Die { opening_mm },
            Fix::LengthenLeg { panel, by_mm },
            Fix::TrimAfter { by_mm: trim_mm, .. },
        ] => {
            assert!(near(*opening_mm, 20.0) && near(*by_mm, 2.8) && near(*trim_mm, 2.8));
            assert_eq!(panel, "p1");
        }
        other => panic!("{other:?}"),
    }
    assert!(
        near(concern.at.x, part.blank.region.bounds().1.x),
        "at the leg's edge: {:?}",
        concern.at
    );
}

#[test]
fn the_ways_out_of_a_short_leg_work() {
    let longer = Strips::new(3.0, 80.0, &[60.0, 6.5 + 2.8], &[(90.0, 4.5)]).part();
    assert_eq!(check(&longer, &limits(Some(24.0))), []);
    let as_it_was = Strips::new(3.0, 80.0, &[60.0, 6.5], &[(90.0, 4.5)]).part();
    assert_eq!(check(&as_it_was, &limits(Some(20.0))), []);
}

#[test]
fn no_narrower_die_is_proposed_than_plates_are_bent_over() {
    let part = Strips::new(3.0, 80.0, &[60.0, 2.0], &[(90.0, 4.5)]).part();
    let concern = only(check(&part, &limits(Some(24.0))));
    assert!(
        !concern.fixes.iter().any(|fix| matches!(fix, Fix::Die { .. })),
        "{:?}",
        concern.fixes
    );
    assert!(concern.fixes.len() >= 2);
}

#[test]
fn without_a_die_the_least_leg_is_three_thicknesses_and_the_radius() {
    // 3 x 3 + 4.5 = 13.5 mm to the outside: 6 flat and 7.5 set back.
    let enough = Strips::new(3.0, 80.0, &[60.0, 6.0], &[(90.0, 4.5)]).part();
    assert_eq!(check(&enough, &limits(None)), []);
    let short = Strips::new(3.0, 80.0, &[60.0, 5.0], &[(90.0, 4.5)]).part();
    let concern = only(check(&short, &limits(None)));
    assert!(near(concern.found, 12.5) && near(concern.limit, 13.5));
    assert_eq!(concern.weight, Weight::Care);
}

#[test]
fn a_panel_between_two_bends_is_a_leg_of_both_and_told_once() {
    let part = Strips::new(3.0, 80.0, &[60.0, 5.0, 60.0], &[(90.0, 4.5), (90.0, 4.5)]).part();
    let concern = only(check(&part, &limits(Some(24.0))));
    assert!(
        matches!(&concern.what, Breach::ShortLeg { bend, panel, ends_at: LegEnd::Bend(other), .. }
            if bend == "b1" && panel == "p1" && other == "b2"),
        "{concern:?}"
    );
    assert!(
        !concern
            .fixes
            .iter()
            .any(|fix| matches!(fix, Fix::TrimAfter { .. }))
    );
    assert!(concern.fixes.len() >= 2, "{:?}", concern.fixes);
}

#[test]
fn a_leg_that_tapers_short_over_less_than_half_the_bend_is_a_care() {
    // From 40 mm at one side to 0 at the other: flat reach under 9.3 mm over the last 23 % of the bend.
    let part = angle().tapered_to(0.0, 40.0).part();
    let concern = only(check(&part, &limits(Some(24.0))));
    let Breach::ShortLeg { share_of_bend, .. } = concern.what else {
        panic!("{concern:?}")
    };
    assert!((0.1..0.3).contains(&share_of_bend), "{share_of_bend}");
    assert_eq!(concern.weight, Weight::Care);
}

#[test]
fn a_rounded_corner_does_not_shorten_a_leg() {
    let part = angle().corners_rounded(3.0).part();
    assert_eq!(check(&part, &limits(Some(24.0))), []);
}

#[test]
fn a_hole_nearer_the_bend_than_2_5_t_and_the_radius_says_how_far_to_move_it_and_where() {
    // Least 2.5 x 3 + 4.5 = 12 mm; a hole of 8 mm whose centre is 11.5 mm from the tangent line is 7.5 mm off.
    let part = angle()
        .with(hole("h3", 0, Point::new(60.0 - 11.5, 40.0), 8.0))
        .part();
    let concern = only(check(&part, &limits(Some(24.0))));
    assert_eq!(
        concern.what,
        Breach::OpeningNearBend {
            opening: "h3".into(),
            bend: "b1".into()
        }
    );
    assert!(
        near(concern.found, 7.5) && near(concern.limit, 12.0),
        "{concern:?}"
    );
    assert_eq!(concern.at, Point::new(60.0 - 7.5, 40.0));
    assert_eq!(
        concern.fixes,
        [
            Fix::OpenAfterBending {
                opening: "h3".into(),
                dia_mm: Some(8.0)
            },
            Fix::MoveOpening {
                opening: "h3".into(),
                by_mm: 4.5,
                toward: Vector::new(-1.0, 0.0)
            },
        ]
    );
    let moved = angle()
        .with(hole("h3", 0, Point::new(60.0 - 11.5 - 4.5, 40.0), 8.0))
        .part();
    assert_eq!(check(&moved, &limits(Some(24.0))), []);
}

#[test]
fn slots_and_windows_are_measured_from_their_edges_too_and_on_either_side() {
    let strip_mm = angle().part().bends[0].allowance_mm;
    let past = 60.0 + strip_mm;
    let shapes = [
        slot(
            "s1",
            1,
            Point::new(past + 10.0, 20.0),
            Point::new(past + 10.0, 50.0),
            5.0,
        ),
        window(
            "w1",
            1,
            Point::new(past + 7.5, 20.0),
            Point::new(past + 30.0, 50.0),
        ),
    ];
    for shape in shapes {
        let part = angle().with(shape).part();
        let concern = only(check(&part, &limits(Some(24.0))));
        assert!((concern.found - 7.5).abs() < 1e-6, "{concern:?}");
        assert!(
            matches!(&concern.fixes[..], [Fix::OpenAfterBending { dia_mm: None, .. }, Fix::MoveOpening { by_mm, toward, .. }]
                if (by_mm - 4.5).abs() < 1e-6 && *toward == Vector::new(1.0, 0.0)),
            "{:?}",
            concern.fixes
        );
    }
}

#[test]
fn the_published_distances_are_the_ones_that_count() {
    let book = Handbook::builtin();
    let made = |row: &published::Row, die_mm: Option<f64>, legs: &[f64], opening: Option<parts::Cut>| {
        let (t_mm, r_mm) = if die_mm.is_some() {
            (3.0, 4.5)
        } else {
            (row.number("t"), row.number("r"))
        };
        let strips = Strips::new(t_mm, 80.0, legs, &[(90.0, r_mm)]);
        let strips = opening.into_iter().fold(strips, Strips::with);
        let die = limits(die_mm).die.map(|die| die.opening_mm);
        // Mild steel takes a radius of one thickness.
        let limits = Limits::of(&book, "A36", t_mm, die).expect("A36");
        only(check(&strips.part(), &limits)).limit
    };
    let row = published::row("A115");
    row.check(made(
        &row,
        None,
        &[60.0, 60.0],
        Some(hole("h1", 0, Point::new(50.0, 40.0), 8.0)),
    ));
    let row = published::row("A116");
    row.check(made(&row, None, &[60.0, 2.0], None));
    let row = published::row("A117");
    row.check(made(&row, Some(row.number("V")), &[60.0, 2.0], None));
}

#[test]
fn a_bend_that_ends_in_the_plate_wants_a_relief_and_is_content_with_one() {
    let tab = angle().moving_only_between(20.0, 60.0);
    let concerns = check(&tab.clone().part(), &limits(Some(24.0)));
    let ends: Vec<_> = concerns.iter().map(|concern| concern.what.clone()).collect();
    assert_eq!(
        ends,
        [
            Breach::NoRelief {
                bend: "b1".into(),
                end: 0
            },
            Breach::NoRelief {
                bend: "b1".into(),
                end: 1
            },
        ]
    );
    assert_eq!(concerns[0].fixes.len(), 2);
    assert!(
        matches!(concerns[0].fixes[1], Fix::CutRelief { width_mm, past_mm } if width_mm == 3.0 && past_mm == 4.5)
    );
    assert_eq!(check(&tab.relieved(3.0, 4.5).part(), &limits(Some(24.0))), []);
}

#[test]
fn a_bend_of_160_degrees_is_past_what_tools_close() {
    let part = Strips::new(3.0, 80.0, &[60.0, 60.0], &[(160.0, 4.5)]).part();
    let concern = only(check(&part, &limits(Some(24.0))));
    assert_eq!(concern.what, Breach::BentTooFar { bend: "b1".into() });
    assert!(near(concern.found, 160f64.to_radians()) && near(concern.limit, 150f64.to_radians()));
    assert_eq!(concern.fixes.len(), 2);
    assert_eq!(
        check(
            &Strips::new(3.0, 80.0, &[60.0, 60.0], &[(150.0, 4.5)]).part(),
            &limits(None)
        ),
        []
    );
}

#[test]
fn turning_and_moving_the_part_changes_no_number() {
    let part = angle()
        .with(hole("h3", 0, Point::new(48.5, 40.0), 8.0))
        .with(hole("h4", 1, Point::new(80.0, 8.0), 6.0));
    let straight = check(&part.clone().part(), &limits(Some(24.0)));
    assert_eq!(straight.len(), 2);
    for degrees in [30.0, 90.0, 201.0] {
        let turned = check(&part.clone().turned(degrees).part(), &limits(Some(24.0)));
        assert_eq!(turned.len(), straight.len());
        for (a, b) in straight.iter().zip(&turned) {
            assert_eq!(a.what, b.what);
            assert!(
                (a.found - b.found).abs() < 1e-6 && a.limit == b.limit,
                "{a:?} {b:?}"
            );
        }
    }
}
