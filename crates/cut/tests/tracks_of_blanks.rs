//! The tracks of whole blanks: a cradle as a job makes it, and plates with random holes, slots and windows. Judged by
//! what the kerf does to the part, not by how the tracks were found.

mod blanks;

use std::f64::consts::TAU;

use blanks::{blank, cases, cradle, p, tray_corner};
use cut::gcode::{Compensation, Dialect};
use cut::holes::{Because, Before, Hole, HoleWay, Purpose};
use cut::lead::{Avoid, Fits, Why};
use cut::profile::{Process, Profile, SquareSide, Stock};
use cut::tracks::{
    Answer, Blank, BlankOpening, Decides, LeaveAlone, MarkFor, OnTable, TrackConcern, Tracks, tracks,
};
use cut::{Cut, Of};
use handbook::{Family, Handbook};
use nalgebra::{Isometry2, Vector2};
use plane::{Outline, Place, Region, Segment, Vertex};
use proptest::prelude::*;

/// The kerf may take this much of a part's edge: what moving an edge out and back leaves, and no cutter can tell.
const TAKES_MM: f64 = 2e-3;

fn stock(family: Family, thickness_mm: f64) -> Stock {
    Stock {
        name: "plate".into(),
        family,
        thickness_mm,
    }
}

fn cut_by(on_table: &OnTable<'_>, profile: &Profile, stock: &Stock) -> Tracks {
    tracks(on_table, profile, stock, &Handbook::builtin()).unwrap_or_else(|error| panic!("{error}"))
}

fn profile(process: Process) -> Profile {
    Profile::of(&Handbook::builtin(), process).unwrap_or_else(|error| panic!("{error}"))
}

/// The contour of a cut, without its leads, as the closed outline it goes round.
fn contour(cut: &Cut) -> Outline {
    let [first, last] = cut.around;
    let vertices: Vec<Vertex> = cut.track.vertices[first..last].to_vec();
    let closes = cut.track.vertices[first].at - cut.track.vertices[last].at;
    assert!(closes.norm() < 1e-6, "{} is once around", cut.name);
    Outline::new(vertices).unwrap_or_else(|error| panic!("{}: {error}", cut.name))
}

/// The region as it lies on the table after the hole plan: what is drilled is not there, what is cut small is smaller.
fn as_cut(blank: &Blank, tracks: &Tracks, placed: &Isometry2<f64>) -> Region {
    let mut holes = Vec::new();
    for (opening, edge) in blank.openings.iter().zip(&blank.region.holes) {
        let plan = tracks.holes.iter().find(|plan| plan.name == opening.name);
        match plan.map(|plan| &plan.way) {
            Some(HoleWay::Drill {
                before: Before::CentreMark,
                ..
            }) => {}
            Some(HoleWay::Drill {
                before: Before::CutTo { dia_mm },
                ..
            }) => {
                let (centre, _) = edge.as_circle().expect("a drilled hole is round");
                holes.push(Outline::circle(centre, *dia_mm).expect("a smaller hole"));
            }
            Some(HoleWay::CutToSize) | None => holes.push(edge.clone()),
        }
    }
    let region = Region::new(blank.region.outer.clone(), holes).expect("a region still");
    region.transformed(placed)
}

/// The best candidate of every contour, openings first, makes a program that reads back right.
fn make_a_program(region: &Region, tracks: &Tracks, dialect: &Dialect) {
    use cut::gcode::{Surroundings, TorchSetting, Work, checked_program};
    let mut cuts: Vec<Cut> = tracks
        .contours
        .iter()
        .map(|candidates| candidates.cuts[0].clone())
        .collect();
    cuts.sort_by_key(|cut| matches!(cut.of, Of::Outline { .. }));
    // An opening that no lead fits into is a concern of the tracks, and has no cut.
    if cuts.len() != region.outlines().count() {
        return;
    }
    let table = [p(-3000.0, -3000.0), p(3000.0, 3000.0)];
    let work = Work {
        title: "Blank",
        stock: "plate",
        sheet: table,
        zero: p(0.0, 0.0),
        cuts: &cuts,
        travels: &[],
        park: None,
        torch: TorchSetting {
            pierce_delay_s: 0.5,
            pierce_height_mm: 4.0,
            cut_height_mm: 1.5,
            travel_height_mm: 20.0,
            dry_feed_mm_min: 6000.0,
        },
        cautions: &[],
    };
    let on = Surroundings {
        parts: std::slice::from_ref(region),
        table,
        clamps: &[],
        tabs: &[],
    };
    checked_program(&work, dialect, &on).unwrap_or_else(|wrong| panic!("{wrong:#?}"));
}

/// Everything that must hold of every candidate, whatever the part.
fn hold_to(blank: &Blank, tracks: &Tracks, placed: &Isometry2<f64>, profile: &Profile, stock: &Stock) {
    let region = as_cut(blank, tracks, placed);
    make_a_program(&region, tracks, &profile.dialect);
    assert_eq!(region, tracks.as_cut, "what is said to come off the table");
    let puddle_mm = profile.leads.puddle.in_plate_mm(stock.thickness_mm);
    for candidates in &tracks.contours {
        assert!((1..=profile.leads.most_starts).contains(&candidates.cuts.len()));
        assert!(candidates.costs.windows(2).all(|pair| pair[0] <= pair[1]));
        for cut in &candidates.cuts {
            let half_mm = cut.kerf_mm / 2.0;
            let pierce = cut.track.start().expect("a pierce");
            assert_eq!(
                region.place_of(pierce),
                Place::Outside,
                "{} is lit in scrap",
                cut.name
            );
            let clear_mm = region.distance_to(pierce).0;
            assert!(
                clear_mm >= puddle_mm.max(half_mm) - 1e-9,
                "{}: the puddle reaches the part: {clear_mm}",
                cut.name
            );
            for edge in cut.track.segments() {
                let steps = (edge.length_mm() / 0.5).ceil().clamp(2.0, 200.0);
                for step in 0..=steps as u32 {
                    let at = edge.point_at(f64::from(step) / steps);
                    assert_ne!(
                        region.place_of(at),
                        Place::Inside,
                        "{} runs in the part",
                        cut.name
                    );
                    let off_mm = region.distance_to(at).0;
                    assert!(off_mm >= half_mm - TAKES_MM, "{}: {off_mm} mm at {at}", cut.name);
                }
            }
            let round = contour(cut);
            let outside = matches!(cut.of, Of::Outline { .. });
            let clockwise = outside == (profile.square_side == SquareSide::Right);
            assert_eq!(round.is_counter_clockwise(), !clockwise, "{}", cut.name);
            if round.as_circle().is_some() {
                let [first, last] = cut.around;
                assert_eq!(last - first, 2, "two half circles");
                let arcs = |edge: Segment| matches!(edge, Segment::Arc { .. });
                assert!(
                    cut.track.segments().skip(first).all(arcs),
                    "arcs from the first to the last"
                );
            }
        }
    }
}

/// Area of the part after the kerf has gone along the best track of every contour, mm2.
fn area_after(tracks: &Tracks) -> f64 {
    let mut area_mm2 = 0.0;
    for candidates in &tracks.contours {
        let cut = &candidates.cuts[0];
        let round = contour(cut).oriented(true);
        let half_mm = cut.kerf_mm / 2.0;
        match cut.of {
            Of::Outline { .. } => {
                let inside = round.offset(-half_mm).expect("the edge that stays");
                area_mm2 += inside.iter().map(Outline::area_mm2).sum::<f64>();
            }
            Of::Opening { .. } => {
                let gone = round.offset_to_one(half_mm).expect("what the kerf takes");
                area_mm2 -= gone.area_mm2();
            }
        }
    }
    area_mm2
}

#[test]
fn a_cradle_is_cut_by_laser_with_every_hole_to_size_and_no_start_where_it_bends() {
    let blank = Blank::of_part(&cradle(), "cradle", &[]);
    let avoid = blank.bend_ends(3.0, f64::INFINITY);
    let placed = Isometry2::new(Vector2::new(260.0, 310.0), 0.4);
    let on_table = OnTable {
        blank: &blank,
        part: 0,
        placed,
        avoid: &avoid,
        others: &[],
    };
    let (laser, plate) = (profile(Process::Laser), stock(Family::Aluminium, 3.0));
    let found = cut_by(&on_table, &laser, &plate);
    hold_to(&blank, &found, &placed, &laser, &plate);
    let names: Vec<&str> = found
        .contours
        .iter()
        .map(|contour| contour.name.as_str())
        .collect();
    assert_eq!(names.len(), 8, "{names:?}");
    assert_eq!(names.last(), Some(&"cradle"), "the outside comes last");
    assert!(found.holes.iter().all(|plan| plan.way == HoleWay::CutToSize));
    let outside = found.contours.last().expect("the outside");
    for cut in &outside.cuts {
        let at = placed.inverse() * cut.track.vertices[cut.around[0]].at;
        assert!(
            avoid
                .iter()
                .all(|avoid| (avoid.from - at).norm() > avoid.within_mm - 0.2)
        );
    }
    let (after_mm2, drawn_mm2) = (area_after(&found), blank.region.area_mm2());
    assert!(
        (after_mm2 / drawn_mm2 - 1.0).abs() < 1e-3,
        "{after_mm2} for {drawn_mm2}"
    );
    let answer = found.can_be_cut().expect("an answer");
    assert_eq!(
        (answer.answer, answer.decides, answer.name.as_str()),
        (Answer::Yes, Decides::LeastHole, "grip1"),
        "{answer:?}"
    );
    assert!(answer.margin.is_some_and(|margin| (0.0..1.0).contains(&margin)));
    let ends = found
        .marks
        .iter()
        .filter(|mark| matches!(mark.what, MarkFor::BendEnd { .. }));
    assert_eq!(ends.count(), 8, "both ends of four bends");
}

#[test]
fn a_machine_that_shifts_the_path_is_led_in_by_straight_lines_and_cuts_the_same_cradle() {
    let blank = Blank::of_part(&cradle(), "cradle", &[]);
    let on_table = OnTable {
        blank: &blank,
        part: 0,
        placed: Isometry2::identity(),
        avoid: &[],
        others: &[],
    };
    let mut laser = profile(Process::Laser);
    laser.dialect.compensation = Compensation::MachineWidth;
    let plate = stock(Family::Aluminium, 3.0);
    let found = cut_by(&on_table, &laser, &plate);
    assert_eq!(found.contours.len(), 8);
    for cut in found.contours.iter().flat_map(|contour| &contour.cuts) {
        let lead = cut.track.segments().next().expect("a lead");
        assert!(
            matches!(lead, Segment::Line { .. }),
            "{} is led in by {lead:?}",
            cut.name
        );
    }
    // Written with G41 or G42 along the edge of the part, and read back.
    hold_to(&blank, &found, &Isometry2::identity(), &laser, &plate);
}

#[test]
fn by_plasma_the_small_holes_of_the_cradle_are_marked_and_drilled() {
    let tapped = Hole {
        name: "base".into(),
        dia_mm: 6.35,
        purpose: Purpose::Tapped {
            thread: "1/4-20".into(),
        },
        tolerance_mm: None,
    };
    let blank = Blank::of_part(&cradle(), "cradle", &[tapped]);
    let on_table = OnTable {
        blank: &blank,
        part: 2,
        placed: Isometry2::identity(),
        avoid: &[],
        others: &[],
    };
    let (plasma, plate) = (profile(Process::Plasma), stock(Family::Aluminium, 3.0));
    let found = cut_by(&on_table, &plasma, &plate);
    hold_to(&blank, &found, &Isometry2::identity(), &plasma, &plate);
    let marked: Vec<&str> = found
        .marks
        .iter()
        .filter_map(|mark| match &mark.what {
            MarkFor::Centre { hole } => Some(hole.as_str()),
            MarkFor::BendEnd { .. } => None,
        })
        .collect();
    assert_eq!(
        marked,
        ["base", "grip1", "grip2"],
        "6.6 mm is wide enough for this torch"
    );
    // A slot of 3 mm has no room for a pierce: it is said so, with what would do.
    let no_lead: Vec<&str> = found
        .concerns
        .iter()
        .filter_map(|concern| match concern {
            TrackConcern::NoLead { name, .. } => Some(name.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(no_lead, ["lug"]);
    assert!(found.contours.iter().all(|contour| contour.name != "lug"));
    let answer = found.can_be_cut().expect("an answer");
    assert_eq!(
        (answer.answer, answer.decides, answer.name.as_str()),
        (Answer::No, Decides::Lead, "lug")
    );
}

#[test]
fn two_parts_close_by_leave_each_other_alone() {
    let plate = Region::solid(Outline::rectangle(p(0.0, 0.0), p(60.0, 40.0)).expect("a plate"));
    let blank = Blank {
        name: "tab".into(),
        region: plate.clone(),
        openings: Vec::new(),
        bends: Vec::new(),
    };
    let next = plate.translated(Vector2::new(65.0, 0.0));
    let found = cut_by(
        &OnTable {
            blank: &blank,
            part: 0,
            placed: Isometry2::identity(),
            avoid: &[Avoid {
                from: p(0.0, 0.0),
                to: p(60.0, 0.0),
                within_mm: 0.1,
                why: Why::Seam,
                weight: 1.0,
            }],
            others: std::slice::from_ref(&next),
        },
        &profile(Process::Plasma),
        &stock(Family::Steel, 3.0),
    );
    for cut in &found.contours[0].cuts {
        let pierce = cut.track.start().expect("a pierce");
        assert!(next.distance_to(pierce).0 >= 2.1 - 1e-9 && !next.contains(pierce));
    }
}

#[test]
fn starts_keep_off_where_bends_run_out_and_seams_close() {
    let part = tray_corner();
    let avoid = LeaveAlone::default().on(&part);
    let blank = Blank::of_part(&part, "tray", &[]);
    assert_eq!(
        avoid[..4],
        blank.bend_ends(3.0, f64::INFINITY)[..],
        "two bends, two ends each"
    );
    assert_eq!(avoid.len(), 6, "and both edges of the seam");
    for (seam, long_mm) in avoid[4..].iter().zip([40.0, 40.0]) {
        assert_eq!((seam.why, seam.within_mm, seam.weight), (Why::Seam, 1.0, 1.0));
        assert!(((seam.to - seam.from).norm() - long_mm).abs() < 1e-9);
        // All but what the bend takes of it is an edge of the blank.
        let far = seam.from + (seam.to - seam.from) * 0.8;
        assert!(blank.region.distance_to(far).0 < 1e-6, "{seam:?}");
    }
    let stock = stock(Family::Steel, 3.0);
    let on_table = OnTable {
        blank: &blank,
        part: 0,
        placed: Isometry2::new(Vector2::new(300.0, 200.0), 0.7),
        avoid: &avoid,
        others: &[],
    };
    let found = cut_by(&on_table, &profile(Process::Plasma), &stock);
    let outside = &found.contours[0];
    let on_blank = |at| on_table.placed.inverse() * found.as_cut.distance_to(at).1;
    let starts = outside
        .cuts
        .iter()
        .map(|cut| on_blank(cut.track.vertices[cut.around[0]].at));
    assert!(
        starts
            .clone()
            .all(|at| avoid[..4].iter().all(|avoid| !avoid.holds(at)))
    );
    let best = starts.clone().next().expect("a start");
    assert!(
        avoid.iter().all(|avoid| !avoid.holds(best)),
        "the best is on no seam either"
    );
}

/// A plate with an opening that a long lead does not get into.
fn plate_with(edge: Outline, hole: Option<Hole>) -> Blank {
    let outer = Outline::rectangle(p(0.0, 0.0), p(120.0, 100.0)).expect("a plate");
    let wide = Outline::circle(p(80.0, 50.0), 50.0).expect("a wide hole");
    let clearance = |name: &str, dia_mm: f64| Hole {
        name: name.into(),
        dia_mm,
        purpose: Purpose::Clearance,
        tolerance_mm: None,
    };
    let opening = |name: &str, hole: Option<Hole>| BlankOpening {
        name: name.into(),
        hole,
    };
    Blank {
        name: "plate".into(),
        region: Region::new(outer, vec![edge, wide]).expect("openings apart"),
        openings: vec![
            opening("narrow", hole),
            opening("wide", Some(clearance("wide", 50.0))),
        ],
        bends: Vec::new(),
    }
}

fn with_long_leads() -> Profile {
    let mut profile = profile(Process::Plasma);
    profile.leads.opening.in_mm = 28.0;
    profile.leads.opening.least_mm = 27.0;
    profile
}

fn narrow(dia_mm: f64, tolerance_mm: Option<f64>) -> Hole {
    Hole {
        name: "narrow".into(),
        dia_mm,
        purpose: Purpose::Clearance,
        tolerance_mm,
    }
}

fn tracks_of(blank: &Blank) -> Tracks {
    let on_table = OnTable {
        blank,
        part: 0,
        placed: Isometry2::identity(),
        avoid: &[],
        others: &[],
    };
    cut_by(&on_table, &with_long_leads(), &stock(Family::Steel, 3.0))
}

#[test]
fn a_round_hole_that_no_lead_gets_into_is_drilled_instead() {
    let blank = plate_with(
        Outline::circle(p(20.0, 50.0), 12.0).expect("a hole"),
        Some(narrow(12.0, None)),
    );
    let found = tracks_of(&blank);
    let plan = &found.holes[0];
    assert!(
        matches!(plan.because, Because::NoLead { least_mm, longest_mm: Some(longest_mm) } if least_mm == 27.0 && longest_mm < 27.0),
        "{plan:?}"
    );
    let HoleWay::Drill {
        before: Before::CentreMark,
        drills,
        ream_to_mm: None,
        ..
    } = &plan.way
    else {
        panic!("{plan:?}");
    };
    assert_eq!(
        drills.metric.as_ref().map(|drill| drill.name.as_str()),
        Some("12.0 mm")
    );
    assert!(found.concerns.is_empty(), "{:?}", found.concerns);
    assert_eq!(found.as_cut.holes.len(), 1, "it is not cut");
    let mark = &found.marks[0];
    assert_eq!(
        (&mark.what, mark.from),
        (
            &MarkFor::Centre {
                hole: "narrow".into()
            },
            p(20.0, 50.0)
        )
    );
    let answer = found.can_be_cut().expect("an answer");
    assert_eq!(
        (answer.answer, answer.decides, answer.name.as_str()),
        (Answer::Care, Decides::Lead, "narrow")
    );
    make_a_program(&found.as_cut, &found, &with_long_leads().dialect);
}

#[test]
fn a_hole_too_large_to_drill_and_a_slot_stay_uncut_and_their_ways_out_are_told() {
    let large = plate_with(
        Outline::circle(p(22.0, 50.0), 16.0).expect("a hole"),
        Some(narrow(16.0, None)),
    );
    let slot = plate_with(
        Outline::slot(p(20.0, 40.0), p(20.0, 60.0), 9.0).expect("a slot"),
        None,
    );
    for (blank, round) in [(large, true), (slot, false)] {
        let found = tracks_of(&blank);
        let [TrackConcern::NoLead { name, why, .. }] = &found.concerns[..] else {
            panic!("{:?}", found.concerns);
        };
        assert_eq!(name, "narrow");
        assert!(
            why.fits
                .iter()
                .any(|fits| matches!(fits, Fits::ShorterLead { length_mm, .. } if *length_mm < 27.0))
        );
        assert!(why.fits.iter().any(|fits| match *fits {
            Fits::DrillHole { dia_mm, .. } => round && dia_mm == 16.0,
            Fits::DrillStart { at, dia_mm } => !round && dia_mm > 0.0 && (at - p(20.0, 50.0)).norm() < 15.0,
            _ => false,
        }));
        let names: Vec<&str> = found
            .contours
            .iter()
            .map(|contour| contour.name.as_str())
            .collect();
        assert_eq!(names, ["wide", "plate"], "the rest is planned");
        assert_eq!(found.can_be_cut().map(|answer| answer.answer), Some(Answer::No));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(24), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_the_plate_no_pierce_and_no_kerf_touch_it(
        blank in blank(),
        process in prop::sample::select(Process::ALL.to_vec()),
        left in any::<bool>(),
        t_mm in 3.0..6.0f64,
        (x, y, turn) in (0.0..800.0f64, 0.0..800.0f64, 0.0..TAU),
    ) {
        let mut cutter = profile(process);
        if left {
            cutter.square_side = SquareSide::Left;
        }
        let family = if process == Process::Router { Family::Aluminium } else { Family::Steel };
        let plate = stock(family, t_mm);
        let placed = Isometry2::new(Vector2::new(x, y), turn);
        let on_table = OnTable { blank: &blank, part: 0, placed, avoid: &[], others: &[] };
        let found = cut_by(&on_table, &cutter, &plate);
        hold_to(&blank, &found, &placed, &cutter, &plate);

        let begun = |name: &str| found.contours.iter().any(|contour| contour.name.starts_with(name));
        prop_assert!(begun("plate"));
        // A hole with room for a pierce and a lead as long as wanted is begun.
        let leads = &cutter.leads;
        let room_mm = 2.0 * (leads.puddle.in_plate_mm(t_mm) + leads.opening.length_mm(t_mm));
        for plan in &found.holes {
            prop_assert!(plan.way != HoleWay::CutToSize || plan.dia_mm < room_mm || begun(&plan.name));
        }
        // What is not begun is told.
        let told = found.concerns.iter().filter(|concern| matches!(concern, TrackConcern::NoLead { .. }
            | TrackConcern::Left { left: cut::kerf::Left::Opening { .. }, .. })).count();
        let drilled = found.holes.iter().filter(|plan| matches!(plan.way,
            HoleWay::Drill { before: Before::CentreMark, .. })).count();
        let missing = blank.openings.iter().filter(|opening| !begun(&opening.name)).count();
        prop_assert!(missing <= told + drilled);
        // Where nothing stays in for want of room, the area is that of the drawing.
        let whole = found.concerns.iter().all(|concern| matches!(concern, TrackConcern::ShorterLead { .. }
            | TrackConcern::Left { left: cut::kerf::Left::Corner { .. }, .. }));
        if whole && cutter.kerf.width_mm < 3.0 {
            let drawn_mm2 = as_cut(&blank, &found, &placed).area_mm2();
            let after_mm2 = area_after(&found);
            prop_assert!((after_mm2 / drawn_mm2 - 1.0).abs() < 1e-3, "{} for {}", after_mm2, drawn_mm2);
        }
    }
}
