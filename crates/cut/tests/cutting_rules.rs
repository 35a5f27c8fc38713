//! The rules of cutting on blanks made by hand.

use cut::rules::{
    Breach, Concern, CutEdge, Fix, Limits, NotChecked, SheetAtHand, Weight, check, not_checked,
};
use handbook::{Handbook, Sourced, Status};
use nalgebra::{Isometry3, Rotation2};
use plane::{Outline, Point, Region, Vector, Vertex};
use proptest::prelude::*;
use sheet::{Blank, Face, Opening, OpeningShape, Panel, Part};

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn limits(process: &str) -> Limits {
    Limits::of(&Handbook::builtin(), process).expect("a process of the handbook")
}

/// A sheet that any blank here fits on.
fn sheets() -> Vec<SheetAtHand> {
    vec![SheetAtHand {
        name: "full sheet".into(),
        size_mm: [1200.0, 2400.0],
    }]
}

fn round(at: Point, dia_mm: f64) -> OpeningShape {
    OpeningShape::Round { at, dia_mm }
}

fn window(corners: &[(f64, f64)]) -> OpeningShape {
    let corners: Vec<Point> = corners.iter().map(|(x, y)| p(*x, *y)).collect();
    OpeningShape::Window(Outline::polygon(&corners).expect("a window of the test"))
}

fn outline_of(shape: &OpeningShape) -> Outline {
    match shape {
        OpeningShape::Round { at, dia_mm } => Outline::circle(*at, *dia_mm).expect("a hole of the test"),
        OpeningShape::Slot { from, to, width_mm } => {
            Outline::slot(*from, *to, *width_mm).expect("a slot of the test")
        }
        OpeningShape::Window(outline) => outline.clone(),
    }
}

/// A flat plate of this outline with these openings, named h1, h2 and so on.
fn plate(t_mm: f64, outer: Outline, shapes: &[OpeningShape]) -> Part {
    let holes: Vec<Outline> = shapes.iter().map(outline_of).collect();
    let region = Region::new(outer.clone(), holes).expect("a region of the test");
    Part {
        thickness_mm: t_mm,
        lines_on: Face::Marked,
        panels: vec![panel(&outer, Vector::zeros(), (0..shapes.len()).collect())],
        bends: Vec::new(),
        openings: shapes
            .iter()
            .enumerate()
            .map(|(i, shape)| Opening {
                name: format!("h{}", i + 1),
                shape: shape.clone(),
            })
            .collect(),
        marks: Vec::new(),
        seams: Vec::new(),
        reliefs: Vec::new(),
        blank: Blank {
            region,
            openings: shapes.iter().cloned().map(Some).collect(),
            marks: Vec::new(),
        },
    }
}

fn panel(flat: &Outline, to_blank: Vector, openings: Vec<usize>) -> Panel {
    Panel {
        name: "plate".into(),
        hangs_on: None,
        flat: Region::solid(flat.clone()),
        as_marked: flat.clone(),
        to_blank,
        to_folded: Isometry3::identity(),
        openings,
        marks: Vec::new(),
    }
}

fn rectangle(w: f64, h: f64) -> Outline {
    Outline::rectangle(p(0.0, 0.0), p(w, h)).expect("a plate of the test")
}

/// 200 x 100 mm of plate 6 mm thick, with these openings.
fn six_mm(shapes: &[OpeningShape]) -> Part {
    plate(6.0, rectangle(200.0, 100.0), shapes)
}

/// Without what is only worth knowing.
fn graver(part: &Part, limits: &Limits) -> Vec<Concern> {
    let mut concerns = check(part, limits, &sheets());
    concerns.retain(|concern| concern.weight > Weight::Note);
    concerns
}

fn only(concerns: Vec<Concern>) -> Concern {
    assert_eq!(concerns.len(), 1, "{concerns:#?}");
    concerns.into_iter().next().expect("one")
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

fn opening(name: &str) -> CutEdge {
    CutEdge::Opening(name.into())
}

#[test]
fn a_plate_with_a_hole_of_one_and_a_half_thicknesses_has_nothing_against_plasma() {
    let part = six_mm(&[round(p(100.0, 50.0), 9.0)]);
    assert_eq!(check(&part, &limits("plasma"), &sheets()), []);
    assert_eq!(not_checked(&part, &limits("plasma"), &sheets()), []);
}

#[test]
fn the_published_least_hole_for_plasma_is_the_one_that_counts() {
    let row = published::row("B042");
    let t_mm = row.number("t");
    let part = plate(t_mm, rectangle(200.0, 100.0), &[round(p(100.0, 50.0), 4.0)]);
    row.check(only(check(&part, &limits("plasma"), &sheets())).limit_mm);
}

#[test]
fn a_hole_too_small_for_plasma_is_drilled_or_cut_by_a_finer_process() {
    let part = six_mm(&[round(p(100.0, 50.0), 8.4)]);
    let concern = only(check(&part, &limits("plasma"), &sheets()));
    assert_eq!(concern.what, Breach::SmallHole { hole: opening("h1") });
    assert_eq!((concern.at, concern.weight), (p(100.0, 50.0), Weight::Care));
    assert!(near(concern.found_mm, 8.4) && near(concern.limit_mm, 9.0));
    assert_eq!(concern.rests_on.status, Status::Confirmed);
    assert_eq!(concern.rests_on.row, "process_properties: plasma least_hole");
    assert!(
        matches!(&concern.fixes[..], [Fix::Drill { dia_mm }, Fix::OtherProcess { name, limit_mm }, Fix::Widen { to_mm }]
            if near(*dia_mm, 8.4) && name == "laser" && near(*limit_mm, 6.0) && near(*to_mm, 9.0)),
        "{:?}",
        concern.fixes
    );
    assert_eq!(check(&part, &limits("laser"), &sheets()), []);
}

#[test]
fn thicker_plate_brings_up_the_hole_that_thinner_plate_let_pass() {
    let part = |t_mm| plate(t_mm, rectangle(200.0, 100.0), &[round(p(100.0, 50.0), 8.4)]);
    assert_eq!(check(&part(4.7625), &limits("plasma"), &sheets()), []);
    let concern = only(check(&part(9.525), &limits("plasma"), &sheets()));
    assert!(near(concern.limit_mm, 1.5 * 9.525));
}

#[test]
fn a_hole_narrower_than_the_cut_cannot_be_cut_at_all() {
    let part = plate(1.0, rectangle(200.0, 100.0), &[round(p(100.0, 50.0), 1.5)]);
    let concern = only(check(&part, &limits("plasma"), &sheets()));
    assert_eq!(concern.weight, Weight::Stop);
    assert_eq!(concern.rests_on.row, "process_properties: plasma kerf");
    assert!(near(concern.limit_mm, 1.8));
}

#[test]
fn a_shop_that_drills_is_not_told_to_drill() {
    let part = plate(12.0, rectangle(200.0, 100.0), &[round(p(100.0, 50.0), 5.0)]);
    let concern = only(check(&part, &limits("saw and drill"), &sheets()));
    assert!(
        !concern.fixes.iter().any(|fix| matches!(fix, Fix::Drill { .. })),
        "{:?}",
        concern.fixes
    );
    assert!(concern.fixes.len() >= 2);
}

#[test]
fn the_shops_own_least_hole_is_the_one_that_counts() {
    let mut own = limits("plasma");
    own.least_hole_x_t = Sourced {
        value: 1.25,
        source: "cut and measured".into(),
        status: Status::Shop,
        row: "shop.toml: cutter".into(),
    };
    let part = six_mm(&[round(p(100.0, 50.0), 7.5)]);
    assert_eq!(check(&part, &own, &sheets()), []);
    assert_eq!(check(&part, &limits("plasma"), &sheets()).len(), 1);
}

#[test]
fn a_slot_is_measured_across() {
    let slot = OpeningShape::Slot {
        from: p(80.0, 50.0),
        to: p(120.0, 50.0),
        width_mm: 6.0,
    };
    let concern = only(check(&six_mm(&[slot]), &limits("plasma"), &sheets()));
    assert_eq!(
        concern.what,
        Breach::NarrowOpening {
            opening: opening("h1")
        }
    );
    assert!(near(concern.found_mm, 6.0) && near(concern.limit_mm, 9.0));
    assert_eq!(concern.fixes[0], Fix::DrillEnds { dia_mm: 6.0 });
    assert_eq!(concern.at, p(100.0, 50.0));
}

#[test]
fn a_window_is_measured_at_its_neck() {
    // Two squares of 30 mm joined by a passage 5 mm wide.
    let waisted = window(&[
        (40.0, 20.0),
        (70.0, 20.0),
        (70.0, 40.0),
        (90.0, 40.0),
        (90.0, 20.0),
        (120.0, 20.0),
        (120.0, 50.0),
        (90.0, 50.0),
        (90.0, 45.0),
        (70.0, 45.0),
        (70.0, 50.0),
        (40.0, 50.0),
    ]);
    let part = six_mm(&[waisted]);
    let concern = only(graver(&part, &limits("plasma")));
    assert_eq!(
        concern.what,
        Breach::NarrowOpening {
            opening: opening("h1")
        }
    );
    assert!((concern.found_mm - 5.0).abs() < 0.01, "{concern:?}");
    assert!(
        (70.0..90.0).contains(&concern.at.x) && (concern.at.y - 42.5).abs() < 3.0,
        "{:?}",
        concern.at
    );
    let wide = window(&[(40.0, 20.0), (120.0, 20.0), (120.0, 50.0), (40.0, 50.0)]);
    assert_eq!(graver(&six_mm(&[wide]), &limits("plasma")), []);
    let narrow = window(&[(40.0, 20.0), (120.0, 20.0), (120.0, 27.0), (40.0, 27.0)]);
    let concern = only(graver(&six_mm(&[narrow]), &limits("plasma")));
    assert!((concern.found_mm - 7.0).abs() < 0.01, "{concern:?}");
}

#[test]
fn a_hole_near_the_edge_is_moved_away_from_it() {
    // Centre 10 from the lower edge, 10 across: 5 mm of plate where plasma in 6 mm wants 9.
    let part = six_mm(&[round(p(100.0, 10.0), 10.0)]);
    let concern = only(check(&part, &limits("plasma"), &sheets()));
    assert_eq!(
        concern.what,
        Breach::NearEdge {
            opening: opening("h1")
        }
    );
    assert!(near(concern.found_mm, 5.0) && near(concern.limit_mm, 9.0));
    match &concern.fixes[..] {
        [
            Fix::Move { by_mm, toward, .. },
            Fix::MoveEdge {
                by_mm: out_mm,
                toward: out,
            },
            ..,
        ] => {
            assert!(near(*by_mm, 4.0) && near(*out_mm, 4.0));
            assert!((toward - Vector::y()).norm() < 1e-6 && (out + Vector::y()).norm() < 1e-6);
        }
        other => panic!("{other:?}"),
    }
    assert_eq!(
        check(
            &six_mm(&[round(p(100.0, 14.0), 10.0)]),
            &limits("plasma"),
            &sheets()
        ),
        []
    );
}

#[test]
fn a_thin_web_between_two_holes_names_both_and_either_may_move() {
    let part = six_mm(&[
        round(p(80.0, 50.0), 10.0),
        round(p(96.0, 50.0), 10.0),
        round(p(150.0, 50.0), 10.0),
    ]);
    let concern = only(check(&part, &limits("plasma"), &sheets()));
    assert_eq!(
        concern.what,
        Breach::ThinWeb {
            first: opening("h1"),
            second: opening("h2")
        }
    );
    assert!(near(concern.found_mm, 6.0) && near(concern.limit_mm, 9.0));
    assert!((concern.at - p(88.0, 50.0)).norm() < 1e-6);
    assert!(
        matches!(&concern.fixes[..], [Fix::Move { by_mm: a, toward: left, .. }, Fix::Move { by_mm: b, toward: right, .. }, ..]
            if near(*a, 3.0) && near(*b, 3.0) && left.x < 0.0 && right.x > 0.0)
    );
    assert_eq!(concern.rests_on.status, Status::CommonPractice);
}

#[test]
fn a_web_narrower_than_the_cut_is_a_stop() {
    let part = six_mm(&[round(p(80.0, 50.0), 10.0), round(p(91.0, 50.0), 10.0)]);
    assert_eq!(
        only(check(&part, &limits("plasma"), &sheets())).weight,
        Weight::Stop
    );
}

#[test]
fn sharp_inside_corners_are_worth_knowing_once_for_each_edge() {
    let notched = Outline::polygon(&[
        p(0.0, 0.0),
        p(200.0, 0.0),
        p(200.0, 60.0),
        p(120.0, 60.0),
        p(120.0, 100.0),
        p(0.0, 100.0),
    ])
    .expect("a plate of the test");
    let square = window(&[(30.0, 30.0), (60.0, 30.0), (60.0, 60.0), (30.0, 60.0)]);
    let concerns = check(&plate(6.0, notched, &[square]), &limits("plasma"), &sheets());
    let told: Vec<_> = concerns
        .iter()
        .map(|concern| (concern.what.clone(), concern.weight))
        .collect();
    assert_eq!(
        told,
        [
            (
                Breach::SharpCorners {
                    of: CutEdge::Outside,
                    corners: 1
                },
                Weight::Note
            ),
            (
                Breach::SharpCorners {
                    of: opening("h1"),
                    corners: 4
                },
                Weight::Note
            ),
        ]
    );
    assert!(near(concerns[0].limit_mm, 0.9) && concerns[0].at == p(120.0, 60.0));
    assert!(concerns[0].fixes.contains(&Fix::RoundCorners { radius_mm: 0.9 }));
}

#[test]
fn a_corner_rounded_by_more_than_half_the_kerf_is_not_sharp() {
    let quarter = std::f64::consts::FRAC_PI_8.tan();
    let rounded = |r: f64| {
        let corner = |x: f64, y: f64, bulge: f64| Vertex { at: p(x, y), bulge };
        let (low, high) = (30.0, 60.0);
        OpeningShape::Window(
            Outline::new(vec![
                corner(low + r, low, 0.0),
                corner(high - r, low, quarter),
                corner(high, low + r, 0.0),
                corner(high, high - r, quarter),
                corner(high - r, high, 0.0),
                corner(low + r, high, quarter),
                corner(low, high - r, 0.0),
                corner(low, low + r, quarter),
            ])
            .expect("a window of the test"),
        )
    };
    assert_eq!(check(&six_mm(&[rounded(1.0)]), &limits("plasma"), &sheets()), []);
    let concern = only(check(&six_mm(&[rounded(0.5)]), &limits("plasma"), &sheets()));
    assert_eq!(
        concern.what,
        Breach::SharpCorners {
            of: opening("h1"),
            corners: 4
        }
    );
    assert!(near(concern.found_mm, 0.5), "{concern:?}");
}

#[test]
fn a_blank_larger_than_every_sheet_says_the_sheet_it_needs_and_how_much_to_take_off() {
    let part = plate(3.0, rectangle(700.0, 300.0), &[]);
    let at_hand = [
        SheetAtHand {
            name: "remnant".into(),
            size_mm: [250.0, 900.0],
        },
        SheetAtHand {
            name: "short end".into(),
            size_mm: [500.0, 400.0],
        },
    ];
    let concern = only(check(&part, &limits("plasma"), &at_hand));
    // Square on the remnant it is 300 + 20 across where there are 250.
    assert_eq!(concern.weight, Weight::Stop);
    let Breach::LargerThanEverySheet { nearest, blank_mm } = &concern.what else {
        panic!("{concern:?}")
    };
    assert_eq!(nearest, "remnant");
    assert!(
        near(blank_mm[0], 300.0) && near(blank_mm[1], 700.0),
        "{blank_mm:?}"
    );
    assert!(
        near(concern.found_mm, 320.0) && near(concern.limit_mm, 250.0),
        "{concern:?}"
    );
    match &concern.fixes[..] {
        [Fix::LargerSheet { size_mm }, Fix::Shorten { by_mm, along }] => {
            assert!(near(size_mm[0], 720.0) && near(size_mm[1], 320.0));
            assert!(near(*by_mm, 70.0) && along.y.abs() > 0.999);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_blank_fits_a_sheet_turned_by_a_right_angle_or_slantwise() {
    let part = plate(3.0, rectangle(700.0, 200.0), &[]);
    let tall = [SheetAtHand {
        name: "strip".into(),
        size_mm: [220.0, 720.0],
    }];
    assert_eq!(check(&part, &limits("plasma"), &tall), []);
    let slantwise = [SheetAtHand {
        name: "square".into(),
        size_mm: [680.0, 680.0],
    }];
    assert_eq!(check(&part, &limits("plasma"), &slantwise), []);
    let too_small = [SheetAtHand {
        name: "square".into(),
        size_mm: [640.0, 640.0],
    }];
    assert_eq!(check(&part, &limits("plasma"), &too_small).len(), 1);
}

#[test]
fn with_no_sheet_said_the_size_is_not_checked_rather_than_passed() {
    let part = plate(3.0, rectangle(5000.0, 3000.0), &[]);
    assert_eq!(check(&part, &limits("plasma"), &[]), []);
    assert_eq!(
        not_checked(&part, &limits("plasma"), &[]),
        [NotChecked::NoSheetSaid]
    );
}

#[test]
fn a_window_cut_across_a_bend_keeps_its_name() {
    // On the card the window is 40 long; the bend between the panels takes 3 mm out of it on the blank.
    let (low, high) = (p(80.0, 8.0), p(120.0, 40.0));
    let mut part = six_mm(&[]);
    part.openings = vec![Opening {
        name: "w1".into(),
        shape: OpeningShape::Window(Outline::rectangle(low, high).expect("a window of the test")),
    }];
    let on_blank = Outline::rectangle(low, high - Vector::new(3.0, 0.0)).expect("a window of the test");
    part.blank.openings = vec![None];
    part.blank.region = Region::new(rectangle(200.0, 100.0), vec![on_blank]).expect("a region of the test");
    part.panels = vec![
        panel(&rectangle(100.0, 100.0), Vector::zeros(), Vec::new()),
        panel(&rectangle(100.0, 100.0), Vector::new(-3.0, 0.0), Vec::new()),
    ];
    let concern = only(graver(&part, &limits("plasma")));
    assert_eq!(
        concern.what,
        Breach::NearEdge {
            opening: opening("w1")
        }
    );
}

#[test]
fn a_hole_that_no_opening_accounts_for_is_told_by_its_place() {
    let mut part = six_mm(&[round(p(100.0, 50.0), 5.0)]);
    part.blank.openings = vec![None];
    part.openings[0].shape = round(p(20.0, 20.0), 12.0);
    let concern = only(check(&part, &limits("plasma"), &sheets()));
    assert_eq!(
        concern.what,
        Breach::SmallHole {
            hole: CutEdge::Hole(0)
        }
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    /// Turning the whole blank changes no number; and an opening moved as the fix says meets the limit.
    #[test]
    fn turning_changes_nothing_and_a_moved_hole_is_far_enough(
        x in 20.0..180.0f64, y in 6.0..94.0f64, dia_mm in 9.0..11.5f64, turned_deg in 0.0..360.0f64,
    ) {
        let turn = Rotation2::new(turned_deg.to_radians());
        let corners = [p(0.0, 0.0), p(200.0, 0.0), p(200.0, 100.0), p(0.0, 100.0)];
        let turned = Outline::polygon(&corners.map(|c| turn * c)).expect("a plate of the test");
        let plasma = limits("plasma");
        let on_turned = |at: Point| check(&plate(6.0, turned.clone(), &[round(turn * at, dia_mm)]), &plasma, &sheets());
        let straight = check(&six_mm(&[round(p(x, y), dia_mm)]), &plasma, &sheets());
        let leaning = on_turned(p(x, y));
        prop_assert_eq!(straight.len(), leaning.len());
        for (a, b) in straight.iter().zip(&leaning) {
            prop_assert_eq!(&a.what, &b.what);
            prop_assert!((a.found_mm - b.found_mm).abs() < 1e-6);
        }
        for concern in &straight {
            if let (Breach::NearEdge { .. }, Some(Fix::Move { by_mm, toward, .. })) = (&concern.what, concern.fixes.first()) {
                prop_assert_eq!(on_turned(p(x, y) + toward * *by_mm), []);
            }
        }
    }
}

/// How many random blanks: a few in a normal run, more where the environment asks.
fn cases() -> u32 {
    std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(64)
}
