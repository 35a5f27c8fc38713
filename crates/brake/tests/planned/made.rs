//! What comes after the plan: one hand, the test strip, the real part measured.

use brake::hand::{Aid, for_one_hand};
use brake::measured::{Freedom, Landing, Left, MeasuredBend, resolve};
use brake::needs::{Grain, Practice, TrueBend, needs, redevelop};
use brake::strip::{StripError, StripFor, StripReadings, TestStrip};
use brake::tooling::{Means, Tooling};
use handbook::Handbook;
use plane::{Point, Vector};

use sheet::{Mockup, Way};

use crate::card::{card, crease, part, planned, strip, work};

#[test]
fn every_step_on_a_brake_keeps_its_two_hand_control_and_a_short_leg_keeps_the_hand_off() {
    let work = work(&strip(100.0, &[30.0, 60.0], &[90.0]));
    let outcome = planned(&work, &Tooling::starter_brake());
    let steps = for_one_hand(
        &work,
        outcome.plan().expect("an angle"),
        &Practice::of(&Handbook::builtin()),
    );
    assert!(steps[0].aids.contains(&Aid::TwoHandControl));
    assert!(steps[0].aids.iter().any(|aid| matches!(aid, Aid::KeepOff { .. })));
    assert!(
        steps[0].mass_kg.is_some_and(|kg| (kg - 0.048).abs() < 0.005),
        "{:?}",
        steps[0].mass_kg
    );
}

#[test]
fn a_bend_along_the_grain_asks_for_half_as_much_radius_again() {
    let (work, practice) = (
        work(&strip(100.0, &[40.0, 40.0], &[90.0])),
        Practice::of(&Handbook::builtin()),
    );
    let means = Means::Press {
        press: 0,
        punch: 0,
        die: 2,
    };
    let of = |grain| needs(&work, &Tooling::starter_brake(), &practice, 0, means, grain);
    let (along, across) = (of(Some(Vector::y())), of(Some(Vector::x())));
    assert_eq!(
        (along.crack.grain, across.crack.grain),
        (Grain::Along, Grain::Across)
    );
    let least = |needs: &brake::needs::BendNeeds| needs.crack.least_mm.clone().expect("a row").value;
    assert!((least(&along) - 1.5 * least(&across)).abs() < 1e-12);
    // 2 mm 5052-H32 over 16 mm: 0.15 V, and C Rm t2 / V with Rm 33 ksi.
    assert!(
        across
            .comes
            .is_some_and(|comes| (comes.radius_mm - 2.4).abs() < 1e-9)
    );
    let force = across.force.expect("a strength");
    assert!((force.n_per_mm[1] - 1.42 * 33.0 * 6.894757 * 4.0 / 16.0).abs() < 0.01);
    assert!(
        across
            .spring
            .is_some_and(|spring| spring.opens_rad > 0.0 && spring.opens_rad < 0.06)
    );
}

#[test]
fn a_larger_radius_that_comes_shortens_the_blank() {
    let card = strip(100.0, &[40.0, 40.0], &[90.0]);
    let drawn = part(&card, 2.0);
    let come = TrueBend {
        bend: 0,
        radius_mm: 3.6,
        neutral_share: 0.42,
    };
    let again = redevelop(&card, &drawn, &[come]).expect("develops");
    let change = &again.bends[0];
    // 2 (r + t) tan 45 less the arc: 2 - pi/2 of each mm of radius.
    let expected_mm = (2.0 - std::f64::consts::FRAC_PI_2) * 1.2;
    assert!(
        (change.deduction_mm[1] - change.deduction_mm[0] - expected_mm).abs() < 1e-9,
        "{change:?}"
    );
    assert!((again.most_mm - expected_mm).abs() < 1e-9);
}

#[test]
fn a_leg_is_measured_on_its_own_side_of_the_bend_though_the_panel_reaches_farther_past_its_end() {
    // A floor 30 deep with a wing of 70 beside the flange, on the flange's side of the bend.
    let corners = [
        (0.0, -30.0),
        (160.0, -30.0),
        (160.0, 70.0),
        (110.0, 70.0),
        (110.0, 0.0),
        (100.0, 0.0),
        (100.0, 20.0),
        (0.0, 20.0),
    ];
    let creases = vec![crease("flange", (0.0, 0.0), (100.0, 0.0), 90.0, Way::Up)];
    let card = card(&corners, creases, Some((50.0, -15.0)));
    let drawn = part(&card, 2.0);
    let again = redevelop(&card, &drawn, &[]).expect("develops");
    let reach_mm = |panel: usize| again.legs[panel].reaches[0].mm[0];
    let floor = drawn.bends[0].fixed;
    // The middle of the strip lies within a few millimetres of the drawn line.
    assert!((reach_mm(floor) - 30.0).abs() < 4.0, "{}", reach_mm(floor));
    assert!((reach_mm(drawn.bends[0].moving) - 20.0).abs() < 4.0);
}

#[test]
fn a_strip_read_exactly_gives_back_its_k_radius_and_springback() {
    let (t, r, k, bent) = (3.0, 3.6, 0.38, 90f64.to_radians());
    let strip = TestStrip::of(&StripFor {
        thickness_mm: t,
        radius_mm: r,
        least_leg_mm: 16.8,
        loaded_rad: 91.5f64.to_radians(),
    })
    .expect("a strip");
    assert_eq!(
        (strip.wide_mm, strip.flat_mm, strip.line_at_mm),
        (40.0, 100.0, 50.0)
    );
    let legs = strip.flat_mm + sheet::deduction_mm(bent, r, k, t);
    let read = StripReadings {
        flat_mm: [strip.flat_mm, 0.02],
        legs_mm: [legs, 0.03],
        thickness_mm: [t, 0.01],
        bent_rad: [bent, 0.1f64.to_radians()],
        radius_mm: Some([r, 0.1]),
    };
    let says = read.say(r, strip.loaded_rad).expect("sound readings");
    assert!((says.radius_mm[0] - r).abs() < says.radius_mm[1], "{says:?}");
    assert!(
        (says.neutral_share[0] - k).abs() < 2.0 * says.neutral_share[1] && says.neutral_share[1] < 0.05,
        "{says:?}"
    );
    assert!((says.opens_rad[0].to_degrees() - 1.5).abs() < 1e-9);
    // What the blank rests on is known to a few hundredths.
    let deduction = sheet::deduction_mm(bent, r, k, t);
    assert!(
        (says.deduction_mm[0] - deduction).abs() < 0.03 && says.deduction_mm[1] < 0.06,
        "{says:?}"
    );
}

#[test]
fn readings_that_no_bend_gives_are_refused() {
    let read = StripReadings {
        flat_mm: [100.0, 0.02],
        legs_mm: [90.0, 0.03],
        thickness_mm: [3.0, 0.01],
        bent_rad: [1.57, 0.002],
        radius_mm: None,
    };
    assert!(matches!(read.say(3.6, 1.6), Err(StripError::Impossible { .. })));
    assert!(matches!(
        StripReadings {
            legs_mm: [105.0, 0.0],
            ..read
        }
        .say(3.6, 1.6),
        Err(StripError::Reading(..))
    ));
}

/// Two holes in each of the end panels.
fn holes(work: &brake::work::Work) -> Vec<Landing> {
    let lines = [0, work.lines.len() - 1];
    let holes = lines.iter().flat_map(|&line| {
        let ends = |panel: &usize| work.lines_at(*panel) == [line];
        let panel = (0..work.panels.len()).find(ends).expect("an end panel");
        let (out, middle) = (work.out_of(line, panel), work.lines[line].middle);
        [-20.0, 20.0].map(|aside| (panel, middle + out * 25.0 + Vector::new(-out.y, out.x) * aside))
    });
    holes
        .enumerate()
        .map(|(i, (panel, at))| Landing {
            name: format!("h{i}"),
            panel,
            at,
            allowed_mm: 0.3,
        })
        .collect()
}

#[test]
fn a_first_bend_of_86_degrees_is_made_up_for_by_the_next_two() {
    let work = work(&strip(100.0, &[40.0, 50.0, 50.0, 40.0], &[90.0, -90.0, 90.0]));
    let measured = MeasuredBend {
        line: 0,
        bent_rad: Some(86f64.to_radians()),
        leg_over_mm: 0.0,
    };
    let solved = resolve(
        &work,
        &[measured],
        &holes(&work),
        &Freedom::default(),
        &Left::default(),
    )
    .expect("solved");
    assert_eq!(solved.bends.len(), 2);
    assert!(
        solved.lands.iter().any(|hole| hole.before_mm > 0.3),
        "{:?}",
        solved.lands
    );
    assert!(solved.all_land(), "{solved:?}");
}

#[test]
fn nothing_measured_out_changes_nothing_and_the_last_bend_out_cannot_be_made_up_for() {
    let work = work(&strip(100.0, &[40.0, 60.0, 40.0], &[90.0, 90.0]));
    let as_drawn = resolve(&work, &[], &holes(&work), &Freedom::default(), &Left::default()).expect("solved");
    assert!(
        as_drawn
            .bends
            .iter()
            .all(|bend| (bend.bent_rad.to_degrees() - 90.0).abs() < 1e-3 && bend.place_mm.abs() < 1e-3)
    );
    let out = [0, 1].map(|line| MeasuredBend {
        line,
        bent_rad: Some(86f64.to_radians()),
        leg_over_mm: 0.0,
    });
    let solved = resolve(&work, &out, &holes(&work), &Freedom::default(), &Left::default()).expect("solved");
    assert!(solved.bends.is_empty() && !solved.all_land(), "{solved:?}");
}

#[test]
fn lines_of_one_stroke_are_altered_by_one_angle_and_one_place() {
    let work = work(&strip(100.0, &[40.0, 50.0, 50.0, 40.0], &[90.0, -90.0, 90.0]));
    let measured = MeasuredBend {
        line: 0,
        bent_rad: Some(86f64.to_radians()),
        leg_over_mm: 0.4,
    };
    let of = |together: &[Vec<usize>]| {
        let left = Left {
            together: together.to_vec(),
            ..Left::default()
        };
        let solved = resolve(&work, &[measured], &holes(&work), &Freedom::default(), &left).expect("solved");
        assert_eq!(
            solved.bends.iter().map(|bend| bend.line).collect::<Vec<_>>(),
            [1, 2]
        );
        let over = |index: usize| solved.bends[index].bent_rad - work.lines[index + 1].bent_rad;
        (
            over(0) - over(1),
            solved.bends[0].place_mm - solved.bends[1].place_mm,
        )
    };
    let apart = of(&[]);
    assert!(apart.0.abs() > 1e-3, "{apart:?}");
    let (angle_rad, place_mm) = of(&[vec![1, 2]]);
    assert!(
        angle_rad.abs() < 1e-12 && place_mm.abs() < 1e-12,
        "{angle_rad} {place_mm}"
    );
}

#[test]
fn where_not_all_land_the_worst_hole_is_brought_as_near_as_it_goes() {
    let work = work(&strip(100.0, &[40.0, 60.0, 40.0], &[90.0, 90.0]));
    let out = [0, 1].map(|line| MeasuredBend {
        line,
        bent_rad: Some(86f64.to_radians()),
        leg_over_mm: 0.0,
    });
    // Nothing is left to bend: only how the part lies. One pair of holes has little play.
    let mut holes = holes(&work);
    holes[0].allowed_mm = 0.1;
    holes[1].allowed_mm = 0.1;
    let solved = resolve(&work, &out, &holes, &Freedom::default(), &Left::default()).expect("solved");
    let shares: Vec<f64> = solved
        .lands
        .iter()
        .map(|hole| hole.off_mm / hole.allowed_mm)
        .collect();
    let (least, most) = shares
        .iter()
        .fold((f64::INFINITY, 0.0), |(low, high): (f64, f64), share| {
            (low.min(*share), high.max(*share))
        });
    // The worst is no longer the worst by itself.
    assert!(most > 1.0 && most < 1.02 * least, "{shares:?}");
}

#[test]
fn a_part_taken_by_its_other_end_lands_as_well_however_far_its_bends_must_go() {
    let (legs, bends) = ([40.0, 50.0, 60.0, 45.0], [90.0, -90.0, 70.0]);
    let long: f64 = legs.iter().sum();
    // From its other end each line's moving side is the other one: what is at one end of its freedom is at the other.
    let [one, other] = [1.0, long - 1.0].map(|x| {
        work(&Mockup {
            root: Some(Point::new(x, 50.0)),
            ..strip(100.0, &legs, &bends)
        })
    });
    assert!((0..3).all(|line| one.lines[line].across.dot(&other.lines[line].across) < -0.99));
    let worst = |work: &brake::work::Work, bent_deg: f64, leg_over_mm: f64| {
        let measured = MeasuredBend {
            line: 0,
            bent_rad: Some(bent_deg.to_radians()),
            leg_over_mm,
        };
        let solved = resolve(
            work,
            &[measured],
            &holes(work),
            &Freedom::default(),
            &Left::default(),
        );
        let lands = solved.expect("solved").lands;
        lands
            .iter()
            .map(|hole| hole.off_mm / hole.allowed_mm)
            .fold(0.0, f64::max)
    };
    for bent_deg in [82.0, 86.0, 94.0, 98.0] {
        for over_mm in [-3.0, -1.0, 0.0, 1.0, 3.0] {
            let (first, second) = (worst(&one, bent_deg, over_mm), worst(&other, bent_deg, -over_mm));
            assert!(
                (first - second).abs() < 0.01 * first.max(1.0),
                "{bent_deg} deg, {over_mm} mm: {first} and {second}"
            );
        }
    }
}

#[test]
fn a_bend_that_is_begun_stays_where_it_is_and_a_hem_is_as_flat_as_it_is() {
    let work = work(&strip(100.0, &[40.0, 50.0, 50.0, 40.0], &[90.0, -90.0, 90.0]));
    let measured = MeasuredBend {
        line: 0,
        bent_rad: Some(86f64.to_radians()),
        leg_over_mm: 0.4,
    };
    let left = Left {
        begun: vec![1],
        ..Left::default()
    };
    let solved = resolve(&work, &[measured], &holes(&work), &Freedom::default(), &left).expect("solved");
    let places: Vec<f64> = solved.bends.iter().map(|bend| bend.place_mm).collect();
    assert!(places[0] == 0.0 && places[1] != 0.0, "{places:?}");
    let angles = solved
        .bends
        .iter()
        .map(|bend| bend.bent_rad - work.lines[bend.line].bent_rad);
    assert!(angles.into_iter().all(|by| by.abs() > 1e-4), "{solved:?}");
    let mut hemmed = work.clone();
    hemmed.lines[1].bent_rad = std::f64::consts::PI;
    let solved = resolve(&hemmed, &[measured], &holes(&work), &Freedom::default(), &left).expect("solved");
    assert_eq!(solved.bends[0].bent_rad, std::f64::consts::PI);
}
