//! Whole sheets from blanks to the program: what must hold of every plan, and what a shop would try first.

mod blanks;

use std::f64::consts::FRAC_PI_2;

use blanks::{blank, cases, cradle, p};
use cut::Of;
use cut::dxf::DxfOptions;
use cut::gcode::{Comments, Compensation};
use cut::holes::{Before, Hole, HoleWay, Purpose};
use cut::motion::{Between, Rates};
use cut::order::{Found, Plate, Search};
use cut::place::{Corner, Effort, Turns};
use cut::profile::{Clamp, Process, Profile, SquareSide, Stock};
use cut::tracks::{Answer, Blank, BlankOpening, Decides, MarkFor, TrackConcern};
use cut::verify::{MachineWords, ReadError, Step, Wrong, read_program};
use cut::whole::{Asked, CutPlan, Heat, NoPlan, Park, Running, SheetConcern, SheetPart, Zero, plan};
use handbook::{Family, Handbook};
use plane::{Outline, Place, Region};
use proptest::prelude::*;

/// A shop: a cutter, a stock and a sheet.
struct Shop {
    book: Handbook,
    profile: Profile,
    stock: Stock,
    sheet: Region,
    zero: Zero,
    rates: Rates,
    heat: Option<Heat>,
    park: Park,
}

impl Shop {
    fn new(process: Process, family: Family, t_mm: f64, sheet: Region) -> Shop {
        let book = Handbook::builtin();
        let one = |value: f64| Between::exactly(value).expect("a rate");
        Shop {
            profile: Profile::of(&book, process).expect("a profile"),
            book,
            stock: Stock {
                name: "plate".into(),
                family,
                thickness_mm: t_mm,
            },
            sheet,
            zero: Zero::Corner(Corner::LowerLeft),
            rates: Rates {
                shop_per_h: Between::new(40.0, 60.0).expect("a rate"),
                burning_per_min: one(0.2),
                set: one(8.0),
                set_pierces: one(500.0),
                set_burning_min: one(120.0),
                plate: one(12.0),
            },
            heat: None,
            park: Park::AtZero,
        }
    }

    fn plan(&self, parts: &[SheetPart<'_>]) -> Result<CutPlan, NoPlan> {
        let line = self.profile.line_for(&self.stock)?;
        let mut running = Running::of(&self.profile, &line, &self.stock, &self.book)
            .expect("the handbook knows the cutter");
        running.heat = self.heat;
        running.park = self.park;
        plan(&Asked {
            title: "Sheet",
            parts,
            sheet: &self.sheet,
            zero: self.zero,
            profile: &self.profile,
            stock: &self.stock,
            book: &self.book,
            running: &running,
            rates: Some(&self.rates),
            cautions: &["Mind the fumes.".to_owned()],
            dxf: DxfOptions::default(),
            effort: Effort {
                seed: 1,
                steps: 2_000_000,
            },
            search: Search {
                seed: 1,
                tries_each: 500,
            },
        })
    }

    fn planned(&self, parts: &[SheetPart<'_>]) -> CutPlan {
        self.plan(parts).unwrap_or_else(|why| panic!("{why}"))
    }
}

fn full_sheet() -> Region {
    Region::solid(Outline::rectangle(p(50.0, 100.0), p(1050.0, 1100.0)).expect("a sheet"))
}

fn copies(blank: &Blank, copies: usize) -> SheetPart<'_> {
    SheetPart {
        blank,
        copies,
        turns: Turns::Listed(vec![0.0, FRAC_PI_2]),
        avoid: &[],
    }
}

fn plain(name: &str, width_mm: f64, height_mm: f64, holes: &[(&str, f64, f64, f64)]) -> Blank {
    let outer = Outline::rectangle(p(0.0, 0.0), p(width_mm, height_mm)).expect("a plate");
    let round =
        |&(_, x, y, dia_mm): &(&str, f64, f64, f64)| Outline::circle(p(x, y), dia_mm).expect("a hole");
    Blank {
        name: name.into(),
        region: Region::new(outer, holes.iter().map(round).collect()).expect("holes apart"),
        openings: holes
            .iter()
            .map(|(name, _, _, dia_mm)| BlankOpening {
                name: (*name).into(),
                hole: Some(Hole {
                    name: (*name).into(),
                    dia_mm: *dia_mm,
                    purpose: Purpose::Clearance,
                    tolerance_mm: None,
                }),
            })
            .collect(),
        bends: Vec::new(),
    }
}

fn program(plan: &CutPlan) -> &str {
    plan.program.as_ref().unwrap_or_else(|wrong| panic!("{wrong:#?}"))
}

/// What must hold of a plan whatever is on the sheet; the program, where there is one, is read here once more.
fn hold_to(plan: &CutPlan) {
    let place = |contour: usize| plan.contours.iter().position(|c| *c == contour);
    let last = |contour: usize| plan.contours.iter().rposition(|c| *c == contour);
    for pair in &plan.before {
        assert!(
            last(pair.first) < place(pair.then),
            "{pair:?} in {:?}",
            plan.contours
        );
    }
    for planned in &plan.cuts {
        let pierce = planned.cut.track.start().expect("a pierce");
        assert!(
            plan.placed
                .iter()
                .all(|part| part.as_cut.place_of(pierce) == Place::Outside),
            "{} is lit in a part",
            planned.cut.name
        );
        assert!(
            (planned.travel.to - pierce).norm() < 1e-9,
            "the travel ends at the pierce"
        );
    }
    let Ok(text) = &plan.program else { return };
    dry_run_goes_the_same_way(plan, text);
    let words = MachineWords {
        torch_on: "M3".into(),
        torch_off: "M5".into(),
        ..MachineWords::default()
    };
    let read = read_program(text, &words).expect("it reads");
    let mut lit = Vec::new();
    for step in &read.steps {
        match step {
            Step::TorchOn { place, .. } => lit.push(place.at.expect("a place")),
            Step::Move(made) => assert!(
                !made.torch || made.feed_mm_min.is_some(),
                "no travel with the torch on"
            ),
            Step::Arrive { torch, .. } | Step::End { torch, .. } => assert!(!torch),
            _ => {}
        }
    }
    assert_eq!(lit.len(), plan.cuts.len());
    for (at, planned) in lit.iter().zip(&plan.cuts) {
        assert!((at + plan.zero.coords - planned.cut.track.start().expect("a pierce")).norm() < 1e-3);
    }
    assert!(plan.dry_run.is_ok() && plan.tracks_dxf.is_ok());
    assert_eq!(plan.work.pierces, plan.cuts.len());
}

/// The places that both files go to, in order, are the same, and the dry run lights nothing.
fn dry_run_goes_the_same_way(plan: &CutPlan, program: &str) {
    let places = |text: &str| -> Vec<String> {
        let moves = text.lines().filter(|line| line.contains('X'));
        let words = |line: &str| {
            let words = line.split_whitespace();
            words
                .filter(|word| !word.starts_with(['F', 'N']))
                .collect::<Vec<_>>()
                .join(" ")
        };
        moves.map(words).collect()
    };
    let dry = plan.dry_run.as_ref().expect("a dry run");
    // A machine that shifts the path is told the edge; the dry run goes along the middle of the kerf.
    if !program.contains("G41") && !program.contains("G42") {
        assert_eq!(places(program), places(dry));
    }
    assert!(!dry.contains("M3"));
    if let Some(park) = &plan.park {
        let last = dry.lines().rfind(|line| line.contains('X')).expect("a move");
        assert!(last.starts_with("G0"), "{last}");
        assert_eq!(
            park.from,
            plan.cuts
                .last()
                .and_then(|cut| cut.cut.track.end())
                .expect("an end")
        );
    }
}

fn clamp(x: f64, y: f64, w: f64, h: f64) -> Clamp {
    Clamp {
        name: "clamp".into(),
        low: p(x, y),
        high: p(x + w, y + h),
    }
}

#[test]
fn clamps_along_the_edges_are_gone_round_and_the_program_stands() {
    let plate = plain(
        "plate",
        200.0,
        150.0,
        &[("a", 50.0, 50.0, 20.0), ("b", 150.0, 90.0, 20.0)],
    );
    let mut shop = Shop::new(Process::Plasma, Family::Steel, 3.0, full_sheet());
    // One reaches far into the sheet, between zero and where parts find room; others hold the edges.
    shop.profile.table.clamps = vec![
        clamp(90.0, 60.0, 60.0, 400.0),
        clamp(400.0, 80.0, 40.0, 300.0),
        clamp(700.0, 80.0, 40.0, 500.0),
        clamp(30.0, 800.0, 200.0, 40.0),
    ];
    let plan = shop.planned(&[copies(&plate, 6)]);
    hold_to(&plan);
    program(&plan);
    let travels = || plan.cuts.iter().map(|cut| &cut.travel).chain(&plan.park);
    assert!(travels().any(|leg| !leg.via.is_empty()), "some way goes round");
    assert!(plan.park.is_some());
}

#[test]
fn the_torch_parks_at_zero_unless_a_clamp_stands_there_or_it_is_told_to_stay() {
    let plate = plain("plate", 200.0, 150.0, &[]);
    let mut shop = Shop::new(Process::Plasma, Family::Steel, 3.0, full_sheet());
    let parked = shop.planned(&[copies(&plate, 1)]);
    hold_to(&parked);
    assert_eq!(parked.park.as_ref().map(|leg| leg.to), Some(p(50.0, 100.0)));
    let last = program(&parked)
        .lines()
        .rfind(|line| line.contains('X'))
        .expect("a move");
    assert_eq!(last, "G0 X0.0000 Y0.0000");
    shop.park = Park::Stays;
    let stays = shop.planned(&[copies(&plate, 1)]);
    hold_to(&stays);
    assert!(stays.park.is_none() && stays.work.travel_mm < parked.work.travel_mm);
    shop.park = Park::AtZero;
    shop.profile.table.clamps = vec![clamp(30.0, 80.0, 40.0, 40.0)];
    let clamped = shop.planned(&[copies(&plate, 1)]);
    hold_to(&clamped);
    program(&clamped);
    assert!(clamped.park.is_none(), "a clamp stands over zero");
    shop.park = Park::At(p(40.0, 90.0));
    let into = shop.planned(&[copies(&plate, 1)]);
    let wrong = into.program.expect_err("the reader does not let it");
    assert!(
        wrong.iter().any(|wrong| matches!(wrong, Wrong::IntoClamp { .. })),
        "{wrong:?}"
    );
}

#[test]
fn a_cradle_on_a_full_sheet_is_planned_from_end_to_end() {
    let part = cradle();
    let blank = Blank::of_part(&part, "cradle", &[]);
    let avoid = blank.bend_ends(3.0, f64::INFINITY);
    let shop = Shop::new(Process::Laser, Family::Aluminium, 3.0, full_sheet());
    let wanted = SheetPart {
        avoid: &avoid,
        ..copies(&blank, 1)
    };
    let plan = shop.planned(&[wanted]);
    hold_to(&plan);
    let text = program(&plan);
    assert!(text.contains("Caution: Mind the fumes.") && text.contains("the lower left corner of the sheet"));
    assert_eq!(plan.zero_says, "the lower left corner of the sheet");
    assert_eq!((plan.cuts.len(), plan.found), (8, Found::Proven));
    assert!(
        matches!(plan.cuts[7].cut.of, Of::Outline { part: 0 }),
        "the outside comes last"
    );
    let answer = plan.answer.as_ref().expect("an answer");
    assert_eq!(
        (answer.answer, answer.decides),
        (Answer::Yes, Decides::LeastHole),
        "{answer:?}"
    );
    let bill = plan.bill.expect("a bill");
    assert!(0.0 < bill.total.low && bill.total.low < bill.total.high);
    assert!(plan.work.total_s.low < plan.work.total_s.high);
    assert!(plan.of_sheet > 0.0 && plan.of_sheet < 0.2);
    assert_eq!(
        shop.planned(&[SheetPart {
            avoid: &avoid,
            ..copies(&blank, 1)
        }]),
        plan,
        "the same again"
    );
}

#[test]
fn two_parts_with_openings_are_each_cut_from_the_inside_out() {
    let base = plain(
        "base",
        160.0,
        110.0,
        &[("a", 30.0, 30.0, 16.0), ("b", 120.0, 70.0, 20.0)],
    );
    let lid = plain("lid", 150.0, 150.0, &[("c", 60.0, 40.0, 30.0)]);
    let mut shop = Shop::new(Process::Plasma, Family::Steel, 3.0, full_sheet());
    shop.zero = Zero::Corner(Corner::UpperRight);
    shop.profile.dialect.comments = Comments::None;
    let plan = shop.planned(&[copies(&base, 2), copies(&lid, 1)]);
    hold_to(&plan);
    assert!(!program(&plan).contains('('), "this machine takes no comments");
    assert_eq!(plan.zero_says, "the upper right corner of the sheet");
    let names: Vec<&str> = plan.placed.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["base 1", "base 2", "lid"]);
    assert_eq!(plan.cuts.len(), 8);
    let when = |name: &str| {
        plan.cuts
            .iter()
            .position(|planned| planned.cut.name == name)
            .expect("a cut")
    };
    assert!(when("base 2 a") < when("base 2") && when("lid c") < when("lid"));
}

#[test]
fn a_part_that_would_tip_is_held_by_tabs_and_the_program_leaves_them() {
    // 60 by 24 mm over slats 50 mm apart: it drops between two or hangs on one.
    let strip = plain("strip", 60.0, 24.0, &[]);
    let shop = Shop::new(Process::Plasma, Family::Steel, 3.0, full_sheet());
    let plan = shop.planned(&[copies(&strip, 1)]);
    hold_to(&plan);
    program(&plan);
    let tabs = &plan.placed[0].tabs;
    assert!((1..=3).contains(&tabs.len()), "{tabs:?}");
    assert_eq!(plan.cuts.len(), tabs.len(), "a piece from tab to tab");
    for tab in tabs {
        let near_mm = plan
            .cuts
            .iter()
            .flat_map(|planned| planned.cut.track.segments())
            .map(|edge| edge.nearest(tab.at).0)
            .fold(f64::INFINITY, f64::min);
        // From the middle of the tab to the end of the kerf's middle: half of each wide, half a kerf beside the edge.
        assert!(near_mm > tab.width_mm / 2.0, "{near_mm}");
    }
    assert!(
        plan.concerns
            .iter()
            .all(|concern| !matches!(concern, SheetConcern::CanTip { .. }))
    );
}

#[test]
fn a_machine_that_shifts_the_path_leaves_the_same_tabs() {
    let strip = plain("strip", 60.0, 24.0, &[]);
    let disc = Blank {
        region: Region::solid(Outline::circle(p(0.0, 0.0), 46.0).expect("a disc")),
        ..plain("disc", 1.0, 1.0, &[])
    };
    for square in [SquareSide::Right, SquareSide::Left] {
        for compensation in [Compensation::MachineWidth, Compensation::MachineTable { slot: 3 }] {
            let mut shop = Shop::new(Process::Plasma, Family::Steel, 3.0, full_sheet());
            shop.profile.square_side = square;
            let here = shop.planned(&[copies(&strip, 2), copies(&disc, 1)]);
            shop.profile.dialect.compensation = compensation;
            let shifts = shop.planned(&[copies(&strip, 2), copies(&disc, 1)]);
            let tabs = |plan: &CutPlan| {
                plan.placed
                    .iter()
                    .map(|part| part.tabs.clone())
                    .collect::<Vec<_>>()
            };
            assert!(tabs(&here).iter().all(|tabs| !tabs.is_empty()));
            assert_eq!(tabs(&here), tabs(&shifts));
            // The reader has shifted it back and found the parts, and the tabs alone uncut.
            let text = program(&shifts);
            let word = if square == SquareSide::Right { "G41" } else { "G42" };
            assert_eq!(text.matches(word).count(), shifts.cuts.len(), "{text}");
        }
    }
}

#[test]
fn a_window_too_fine_for_the_machine_to_shift_is_shifted_here_and_told() {
    let mut plate = plain("plate", 200.0, 150.0, &[("a", 50.0, 50.0, 20.0)]);
    let corners = [
        (110.0, 60.0),
        (150.0, 60.0),
        (150.0, 99.4),
        (149.4, 100.0),
        (110.0, 100.0),
    ];
    let window = Outline::polygon(&corners.map(|(x, y)| p(x, y))).expect("a window");
    plate.region = Region::new(
        plate.region.outer.clone(),
        [plate.region.holes.clone(), vec![window.reversed()]].concat(),
    )
    .expect("holes apart");
    plate.openings.push(BlankOpening {
        name: "window".into(),
        hole: None,
    });
    let mut shop = Shop::new(Process::Plasma, Family::Steel, 3.0, full_sheet());
    shop.profile.dialect.compensation = Compensation::MachineWidth;
    let plan = shop.planned(&[copies(&plate, 1)]);
    hold_to(&plan);
    let text = program(&plan);
    let told: Vec<&str> = plan
        .concerns
        .iter()
        .filter_map(|concern| match concern {
            SheetConcern::ShiftedHere { cut, .. } => Some(plan.cuts[*cut].cut.name.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(told, ["window"]);
    assert_eq!(text.matches("G41").count(), plan.cuts.len() - 1, "{text}");
    // It stands against nothing: what the sheet is answered is what it is answered with the path shifted here.
    let answer = plan.answer.clone();
    shop.profile.dialect.compensation = Compensation::Here;
    let here = shop.planned(&[copies(&plate, 1)]);
    assert_eq!(answer, here.answer);
    assert!(
        here.concerns
            .iter()
            .all(|concern| !matches!(concern, SheetConcern::ShiftedHere { .. }))
    );
}

#[test]
fn a_hole_too_small_for_the_torch_is_drilled_and_the_program_leaves_it() {
    let plate = plain(
        "plate",
        200.0,
        150.0,
        &[("wide", 50.0, 50.0, 20.0), ("pin", 150.0, 100.0, 3.0)],
    );
    let shop = Shop::new(Process::Plasma, Family::Steel, 3.0, full_sheet());
    let plan = shop.planned(&[copies(&plate, 1)]);
    hold_to(&plan);
    assert!(!program(&plan).contains("pin"));
    let pin = plan.placed[0]
        .holes
        .iter()
        .find(|hole| hole.name == "pin")
        .expect("a plan");
    assert!(matches!(
        pin.way,
        HoleWay::Drill {
            before: Before::CentreMark,
            ..
        }
    ));
    let mark = &plan.placed[0].marks[0];
    assert_eq!(mark.what, MarkFor::Centre { hole: "pin".into() });
    assert!((mark.from - plan.placed[0].placed * p(150.0, 100.0)).norm() < 1e-9);
    assert_eq!(
        plan.placed[0].as_cut.holes.len(),
        1,
        "what comes off the table has the wide one alone"
    );
    let answer = plan.answer.expect("an answer");
    assert_eq!((answer.answer, answer.name.as_str()), (Answer::Care, "pin"));
}

#[test]
fn a_slot_that_no_lead_gets_into_gives_no_program() {
    let part = cradle();
    let blank = Blank::of_part(&part, "cradle", &[]);
    let shop = Shop::new(Process::Plasma, Family::Aluminium, 3.0, full_sheet());
    let plate = plain("plate", 120.0, 90.0, &[]);
    let plan = shop.planned(&[copies(&blank, 1), copies(&plate, 1)]);
    hold_to(&plan);
    // All the rest has its place, its cuts and its order; a sheet with a part short is no program to run.
    let names: Vec<&str> = plan
        .cuts
        .iter()
        .map(|planned| planned.cut.name.as_str())
        .collect();
    assert!(
        names.contains(&"plate") && names.contains(&"cradle") && names.contains(&"cradle door"),
        "{names:?}"
    );
    assert!(plan.dry_run.is_ok());
    let wrong = plan.program.expect_err("the slot is missing");
    assert!(
        matches!(
            wrong[..],
            [
                Wrong::NotCut {
                    part: 0,
                    opening: Some(_)
                },
                ..
            ]
        ),
        "{wrong:?}"
    );
    let said = |concern: &SheetConcern| matches!(concern, SheetConcern::Track { what: TrackConcern::NoLead { name, .. }, .. } if name == "lug");
    assert!(plan.concerns.iter().any(said));
    let answer = plan.answer.expect("an answer");
    assert_eq!((answer.answer, answer.name.as_str()), (Answer::No, "lug"));
}

#[test]
fn a_part_larger_than_the_remnant_is_said_to_have_no_room() {
    let plate = plain("plate", 300.0, 200.0, &[]);
    let small = Region::solid(Outline::rectangle(p(0.0, 0.0), p(250.0, 400.0)).expect("a remnant"));
    let mut shop = Shop::new(Process::Plasma, Family::Steel, 3.0, small);
    shop.zero = Zero::At(p(10.0, 0.0));
    let both = shop.planned(&[copies(&plate, 2)]);
    assert_eq!(
        both.concerns
            .iter()
            .filter(|c| matches!(c, SheetConcern::NoRoom { .. }))
            .count(),
        1
    );
    assert_eq!(both.answer.map(|answer| answer.decides), Some(Decides::Room));
    assert_eq!(
        both.zero_says,
        "10.0 mm to the right of and 0.0 mm above the lower left corner of the sheet"
    );
}

#[test]
fn a_hot_plate_is_waited_for_and_the_program_says_so() {
    let holes: Vec<(String, f64)> = (0..6)
        .map(|i| (format!("h{i}"), 20.0 + 14.0 * f64::from(i)))
        .collect();
    let holes: Vec<(&str, f64, f64, f64)> = holes
        .iter()
        .map(|(name, x)| (name.as_str(), *x, 30.0, 9.0))
        .collect();
    let plate = plain("plate", 130.0, 120.0, &holes);
    let mut shop = Shop::new(Process::Plasma, Family::Steel, 3.0, full_sheet());
    shop.heat = Some(Heat {
        plate: Plate {
            thickness_mm: 3.0,
            conductivity_w_mm_k: 0.045,
            diffusivity_mm2_s: 12.0,
            loss_per_s: 0.002,
            ambient_c: 20.0,
        },
        power_w: 4000.0,
        ceiling_c: 45.0,
        longest_wait_s: 120.0,
    });
    let plan = shop.planned(&[copies(&plate, 1)]);
    hold_to(&plan);
    let waits = plan.cuts.iter().filter(|planned| planned.waits_s > 0.0).count();
    assert!(waits > 0);
    assert_eq!(
        program(&plan).matches("Waits for the plate to cool").count(),
        waits
    );
    assert!(plan.cuts.iter().all(|planned| planned.start_c.is_some()));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(6), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_the_plates_order_pierces_and_travel_hold_and_the_program_is_read_back(
        first in blank(),
        second in blank(),
        process in prop::sample::select(vec![Process::Plasma, Process::Laser, Process::Waterjet]),
        t_mm in 3.0..6.0f64,
        small in (8.0..70.0f64, 20.0..60.0f64),
        clamps in prop::collection::vec((0..4u8, 0.0..1.0f64, 15.0..60.0f64, 15.0..150.0f64), 0..5),
        shifts in any::<bool>(),
    ) {
        let mut shop = Shop::new(process, Family::Steel, t_mm, full_sheet());
        // Clamps hold the sheet by its edges, half on it and half beside, and here and there reach far in.
        for (edge, along, wide_mm, deep_mm) in clamps {
            let at = 1000.0 * along;
            shop.profile.table.clamps.push(match edge {
                0 => clamp(50.0 + at, 100.0 - wide_mm / 2.0, wide_mm, deep_mm),
                1 => clamp(50.0 + at, 1100.0 + wide_mm / 2.0 - deep_mm, wide_mm, deep_mm),
                2 => clamp(50.0 - wide_mm / 2.0, 100.0 + at, deep_mm, wide_mm),
                _ => clamp(1050.0 + wide_mm / 2.0 - deep_mm, 100.0 + at, deep_mm, wide_mm),
            });
        }
        if shifts {
            shop.profile.dialect.compensation = Compensation::MachineWidth;
        }
        let strip = plain("strip", small.0, small.1, &[]);
        let plan = shop.planned(&[copies(&first, 1), copies(&second, 1), copies(&strip, 1)]);
        hold_to(&plan);
        // Every opening that is missing was told; with none missing and none cut otherwise, there is a program.
        let told = plan.concerns.iter().any(|concern| match concern {
            SheetConcern::Track { what: TrackConcern::ShorterLead { .. }, .. } => false,
            SheetConcern::Track { what: TrackConcern::Left { left, .. }, .. } =>
                !matches!(left, cut::kerf::Left::Corner { .. }),
            SheetConcern::CanTip { .. } | SheetConcern::ShiftedHere { .. } => false,
            _ => true,
        });
        // A cut that the machine cannot shift is shifted here: whatever stands against the program, it is not that.
        if let Err(wrong) = &plan.program {
            prop_assert!(
                wrong.iter().all(|wrong| !matches!(wrong, Wrong::NotWritten(_) | Wrong::Unreadable(ReadError::NoShift { .. }))),
                "{wrong:#?}"
            );
        }
        if plan.program.is_err() {
            prop_assert_eq!(plan.answer.as_ref().map(|answer| answer.answer), Some(Answer::No));
        }
        if !told {
            prop_assert!(plan.program.is_ok(), "{:#?}", plan.program);
        }
    }
}
