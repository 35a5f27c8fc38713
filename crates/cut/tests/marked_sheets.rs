//! What the machine marks on a whole sheet before it cuts.

mod blanks;

use blanks::{blank, cases, cradle, p};
use cut::dxf::DxfOptions;
use cut::gcode::OnOff;
use cut::holes::{Hole, Purpose};
use cut::order::Search;
use cut::place::{Corner, Effort, Turns};
use cut::profile::{Clamp, Marker, Process, Profile, Stock};
use cut::tracks::{BendLine, Blank, BlankOpening, Mark, MarkFor, MarkedBy};
use cut::verify::{AskedMark, AskedMarks, MachineWords, MarkHeights, Step, Wrong, verify_marks};
use cut::whole::{Asked, CutPlan, Running, SheetPart, Zero, plan};
use handbook::{Family, Handbook};
use plane::{Outline, Place, Region};
use proptest::prelude::*;

/// A plasma table that marks, 3 mm steel, and a sheet a metre square.
struct Shop {
    book: Handbook,
    profile: Profile,
    stock: Stock,
}

impl Shop {
    fn new() -> Shop {
        let book = Handbook::builtin();
        let mut profile = Profile::of(&book, Process::Plasma).expect("a profile");
        profile.marker = Some(Marker {
            feed_mm_min: 5000.0,
            tick_mm: 6.0,
        });
        profile.dialect.marker = Some(OnOff::new("M64 P2", "M65 P2"));
        Shop {
            book,
            profile,
            stock: Stock {
                name: "plate".into(),
                family: Family::Steel,
                thickness_mm: 3.0,
            },
        }
    }

    fn planned(&self, blanks: &[(&Blank, usize)]) -> CutPlan {
        let line = self.profile.line_for(&self.stock).expect("a line of the chart");
        let running = Running::of(&self.profile, &line, &self.stock, &self.book).expect("a known cutter");
        let sheet = Region::solid(Outline::rectangle(p(50.0, 100.0), p(1050.0, 1100.0)).expect("a sheet"));
        let parts: Vec<SheetPart<'_>> = blanks
            .iter()
            .map(|(blank, copies)| SheetPart {
                blank,
                copies: *copies,
                turns: Turns::Listed(vec![0.0, 1.0]),
                avoid: &[],
            })
            .collect();
        plan(&Asked {
            title: "Sheet",
            parts: &parts,
            sheet: &sheet,
            zero: Zero::Corner(Corner::LowerLeft),
            profile: &self.profile,
            stock: &self.stock,
            book: &self.book,
            running: &running,
            rates: None,
            cautions: &[],
            dxf: DxfOptions::default(),
            effort: Effort {
                seed: 1,
                steps: 500_000,
            },
            search: Search {
                seed: 1,
                tries_each: 200,
            },
        })
        .unwrap_or_else(|why| panic!("{why}"))
    }
}

/// A plate with a bend across it and a hole so small that it is drilled.
fn bent() -> Blank {
    let pin = Outline::circle(p(30.0, 40.0), 3.0).expect("a hole");
    Blank {
        name: "plate".into(),
        region: Region::new(
            Outline::rectangle(p(0.0, 0.0), p(160.0, 120.0)).expect("a plate"),
            vec![pin],
        )
        .expect("a hole in it"),
        openings: vec![BlankOpening {
            name: "pin".into(),
            hole: Some(Hole {
                name: "pin".into(),
                dia_mm: 3.0,
                purpose: Purpose::Clearance,
                tolerance_mm: None,
            }),
        }],
        bends: vec![bend("b1", 100.0)],
    }
}

fn bend(name: &str, x: f64) -> BendLine {
    BendLine {
        name: name.into(),
        from: p(x, 0.0),
        to: p(x, 120.0),
        width_mm: 6.0,
    }
}

fn text(plan: &CutPlan) -> &str {
    let written = plan.marks_program.as_ref().expect("the machine marks");
    written.as_ref().unwrap_or_else(|wrong| panic!("{wrong:#?}"))
}

fn asked(mark: &Mark) -> AskedMark {
    match mark.what {
        MarkFor::BendEnd { .. } => AskedMark::Line {
            from: mark.from,
            to: mark.to,
        },
        MarkFor::Centre { .. } => AskedMark::Cross {
            at: mark.from,
            size_mm: mark.size_mm,
        },
    }
}

/// The marks of the plan, read once more from the text; the torch parks where the cutting begins.
fn hold_to(plan: &CutPlan, shop: &Shop) {
    let marks: Vec<AskedMark> = plan
        .placed
        .iter()
        .flat_map(|part| &part.marks)
        .map(asked)
        .collect();
    let clamps: Vec<Region> = shop
        .profile
        .table
        .clamps
        .iter()
        .map(|clamp| Region::solid(Outline::rectangle(clamp.low, clamp.high).expect("a clamp")))
        .collect();
    let line = shop.profile.line_for(&shop.stock).expect("a line of the chart");
    let [x, y] = shop.profile.table.size_mm;
    let wanted = AskedMarks {
        marks: &marks,
        feed_mm_min: 5000.0,
        table: [p(0.0, 0.0), p(x, y)],
        clamps: &clamps,
        zero: plan.zero,
        heights: Some(MarkHeights {
            mark_mm: line.cut_height_mm,
            travel_mm: shop.profile.travel.height_mm,
        }),
    };
    let words = MachineWords {
        marker: Some(["M64 P2".into(), "M65 P2".into()]),
        ..MachineWords::default()
    };
    let read = verify_marks(text(plan), &words, &wanted).unwrap_or_else(|wrong| panic!("{wrong:#?}"));
    assert!(
        read.steps
            .iter()
            .all(|step| !matches!(step, Step::TorchOn { .. }))
    );
    let last = read.moves().last().expect("a move");
    assert!((last.path.to() - plan.zero).norm() < 1e-3, "it parks at zero");
    assert_eq!(text(plan).matches("( Mark ").count(), marks.len());
}

#[test]
fn ends_of_bends_and_centres_are_marked_and_named() {
    let shop = Shop::new();
    let one = shop.planned(&[(&bent(), 1)]);
    hold_to(&one, &shop);
    for name in ["bend b1, end 1", "bend b1, end 2", "the centre of pin"] {
        assert!(text(&one).contains(&format!("( Mark {name} )")), "{}", text(&one));
    }
    let part = &one.placed[0];
    assert!(part.marks.iter().all(|mark| mark.by == MarkedBy::Machine));
    let centre = part
        .marks
        .iter()
        .find(|mark| matches!(mark.what, MarkFor::Centre { .. }))
        .expect("a centre");
    assert!(
        (centre.size_mm - 1.5).abs() < 1e-12,
        "the drill takes all of the cross away"
    );
    let three = shop.planned(&[(&bent(), 3)]);
    hold_to(&three, &shop);
    assert!(text(&three).contains("( Mark plate 2: bend b1, end 1 )"));
    assert_eq!(three, shop.planned(&[(&bent(), 3)]), "the same again");
}

#[test]
fn without_a_marker_or_words_for_it_marks_are_made_by_hand() {
    let by_hand = |change: fn(&mut Profile)| {
        let mut shop = Shop::new();
        change(&mut shop.profile);
        let plan = shop.planned(&[(&bent(), 1)]);
        assert_eq!(plan.marks_program, None);
        assert_eq!(plan.placed[0].marks.len(), 3);
        assert!(plan.placed[0].marks.iter().all(|mark| mark.by == MarkedBy::Hand));
        assert!(plan.program.is_ok());
    };
    by_hand(|profile| profile.marker = None);
    by_hand(|profile| profile.dialect.marker = None);
    // Nothing to mark is no program either.
    let mut bare = bent();
    bare.bends.clear();
    bare.openings.clear();
    bare.region.holes.clear();
    assert_eq!(Shop::new().planned(&[(&bare, 1)]).marks_program, None);
}

#[test]
fn a_bend_in_two_runs_has_four_ends() {
    let mut blank = bent();
    blank.bends = vec![
        BendLine {
            to: p(100.0, 50.0),
            ..bend("b1", 100.0)
        },
        BendLine {
            from: p(100.0, 70.0),
            ..bend("b1", 100.0)
        },
    ];
    let shop = Shop::new();
    let plan = shop.planned(&[(&blank, 1)]);
    hold_to(&plan, &shop);
    assert!(text(&plan).contains("bend b1, end 4"));
}

#[test]
fn the_marker_goes_round_the_clamps_as_the_torch_does() {
    let mut shop = Shop::new();
    let clamp = |x: f64, y: f64, w: f64, h: f64| Clamp {
        name: "clamp".into(),
        low: p(x, y),
        high: p(x + w, y + h),
    };
    shop.profile.table.clamps = vec![clamp(400.0, 80.0, 40.0, 400.0), clamp(90.0, 60.0, 60.0, 250.0)];
    let plan = shop.planned(&[(&bent(), 8)]);
    hold_to(&plan, &shop);
    // Some travel has corners: more rapid moves than strokes, the one to the parking place among them.
    let strokes = text(&plan).lines().filter(|line| *line == "M64 P2").count();
    let rapid = text(&plan)
        .lines()
        .filter(|line| line.starts_with("G0 X"))
        .count();
    assert!(rapid > strokes + 1, "{rapid} moves for {strokes} strokes");
}

#[test]
fn a_marker_at_no_feed_that_a_table_has_is_told_and_the_cutting_stands() {
    let mut shop = Shop::new();
    shop.profile.marker = Some(Marker {
        feed_mm_min: 1e9,
        tick_mm: 6.0,
    });
    let plan = shop.planned(&[(&bent(), 1)]);
    let wrong = plan.marks_program.expect("it marks").expect_err("no such feed");
    assert!(matches!(wrong[..], [Wrong::NotWritten(_)]), "{wrong:?}");
    assert!(plan.program.is_ok());
}

#[test]
fn the_ends_of_a_cradles_bends_are_marked_on_the_plate() {
    let shop = Shop::new();
    let blank = Blank::of_part(&cradle(), "cradle", &[]);
    let plan = shop.planned(&[(&blank, 1)]);
    hold_to(&plan, &shop);
    let part = &plan.placed[0];
    for mark in part
        .marks
        .iter()
        .filter(|mark| matches!(mark.what, MarkFor::BendEnd { .. }))
    {
        assert!(
            part.as_cut.place_of(mark.to) != Place::Outside,
            "{:?} ends in the plate",
            mark.what
        );
    }
}

#[test]
fn the_time_of_marking_is_counted_beside_that_of_cutting_and_in_the_whole() {
    let mut shop = Shop::new();
    let marked = shop.planned(&[(&bent(), 2)]);
    text(&marked);
    let marking = marked.work.marking.expect("the machine marks");
    // Of each plate two ends of a bend, and a cross of two strokes.
    assert_eq!(marking.lines, 2 * (2 + 2));
    let marks = marked.placed.iter().flat_map(|part| &part.marks);
    let long_mm = marks.map(|mark| match mark.what {
        MarkFor::BendEnd { .. } => (mark.to - mark.from).norm(),
        MarkFor::Centre { .. } => 2.0 * mark.size_mm,
    });
    assert!(
        (marking.marked_mm - long_mm.sum::<f64>()).abs() < 1e-9,
        "{marking:?}"
    );
    // Home, four marks of each plate and home again: farther than from one plate's far mark and back.
    assert!(marking.travel_mm > 200.0);
    assert!(0.0 < marking.marked_s.low && marking.marked_s.low < marking.marked_s.high);
    let parts_s = marking.marked_s.low + marking.up_and_down_s.low + marking.travel_s.low;
    assert!((marking.total_s.low - parts_s).abs() < 1e-9);
    // The same sheet by a machine that marks nothing takes so much less.
    shop.profile.marker = None;
    let bare = shop.planned(&[(&bent(), 2)]);
    assert_eq!(bare.work.marking, None);
    assert!((marked.work.total_s.low - bare.work.total_s.low - marking.total_s.low).abs() < 1e-6);
    assert!((marked.work.total_s.high - bare.work.total_s.high - marking.total_s.high).abs() < 1e-6);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(6), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_lies_on_the_sheet_its_marks_are_read_back(
        first in blank(),
        lines in prop::collection::vec((-60.0..60.0f64, -60.0..60.0f64, -60.0..60.0f64, -60.0..60.0f64), 1..5),
        copies in 1..4usize,
    ) {
        let mut first = first;
        first.bends = lines
            .iter()
            .enumerate()
            .map(|(i, (x, y, u, v))| BendLine {
                name: format!("b{i}"),
                from: p(*x, *y),
                to: p(*u, *v),
                width_mm: 6.0,
            })
            .collect();
        let shop = Shop::new();
        let plan = shop.planned(&[(&first, copies), (&bent(), 2)]);
        if let Some(Err(wrong)) = &plan.marks_program {
            // The marks are refused with the cutting alone: nothing to cut, or no way to write it.
            prop_assert!(matches!(wrong[..], [Wrong::NotWritten(_)]), "{wrong:#?}");
            prop_assert!(plan.program.is_err());
        } else {
            hold_to(&plan, &shop);
        }
    }
}
