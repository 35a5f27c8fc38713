//! Parts on full sheets and on remnants: distances are kept, the corner is where the shop expects it.

mod sheets;

use std::f64::consts::{FRAC_PI_2, PI};

use cut::place::{
    Breach, Corner, Effort, Gaps, Grain, Layout, Part, PlaceError, Sheet, Turns, breaches, place,
};
use plane::{Outline, Point, Region, Vector, Vertex};
use sheets::Lots;

const GAPS: Gaps = Gaps {
    edge_mm: 6.0,
    parts_mm: 5.0,
    clamps_mm: 15.0,
};

/// Little, for the many random sheets.
const LITTLE: Effort = Effort {
    seed: 3,
    steps: 3_000_000,
};

fn quarters() -> Turns {
    Turns::Listed(vec![0.0, FRAC_PI_2, PI, 3.0 * FRAC_PI_2])
}

fn rectangle(w: f64, h: f64) -> Region {
    Region::solid(Outline::rectangle(Point::origin(), Point::new(w, h)).expect("a rectangle"))
}

fn full(w: f64, h: f64) -> Sheet {
    Sheet {
        region: rectangle(w, h),
        clamps: Vec::new(),
        zero: Corner::LowerLeft,
    }
}

fn part(region: Region) -> Part {
    Part {
        region,
        turns: quarters(),
    }
}

fn angle(w: f64, h: f64, leg: f64) -> Region {
    let corners = [(0.0, 0.0), (w, 0.0), (w, leg), (leg, leg), (leg, h), (0.0, h)];
    let corners: Vec<Point> = corners.iter().map(|(x, y)| Point::new(*x, *y)).collect();
    Region::solid(Outline::polygon(&corners).expect("an angle"))
}

fn laid(parts: &[Part], sheet: &Sheet, effort: Effort) -> Layout {
    let layout = place(parts, sheet, &GAPS, effort).expect("distances and turns are sound");
    assert_eq!(breaches(&layout.placed, sheet, &GAPS), []);
    assert_eq!(layout.placed.len() + layout.left_out.len(), parts.len());
    layout
}

#[test]
fn a_single_part_goes_to_the_corner_nearest_zero() {
    let corners = [
        (Corner::LowerLeft, Point::new(6.0, 6.0)),
        (Corner::LowerRight, Point::new(1250.0 - 6.0, 6.0)),
        (Corner::UpperLeft, Point::new(6.0, 2500.0 - 6.0)),
        (Corner::UpperRight, Point::new(1250.0 - 6.0, 2500.0 - 6.0)),
    ];
    for (zero, corner) in corners {
        let sheet = Sheet {
            zero,
            ..full(1250.0, 2500.0)
        };
        let layout = laid(&[part(angle(180.0, 120.0, 40.0))], &sheet, Effort::default());
        let (low, high) = layout.placed[0].region.bounds();
        let near = |a: f64, b: f64, c: f64| (a - c).abs().min((b - c).abs());
        assert!(near(low.x, high.x, corner.x) < 2e-3, "{zero:?}: {low} {high}");
        assert!(near(low.y, high.y, corner.y) < 2e-3, "{zero:?}: {low} {high}");
    }
}

#[test]
fn where_grain_counts_the_part_is_turned_with_it_though_it_fits_better_otherwise() {
    let sheet = full(1000.0, 300.0);
    let long = |grain| Part {
        region: rectangle(250.0, 60.0),
        turns: Turns::Grain(grain),
    };
    let along = laid(&[long(Grain::Along)], &sheet, LITTLE);
    assert!(along.placed[0].turn_rad == 0.0 || along.placed[0].turn_rad == PI);
    let across = laid(&[long(Grain::Across)], &sheet, LITTLE);
    let (low, high) = across.placed[0].region.bounds();
    assert!((high.y - low.y - 250.0).abs() < 1e-9);
    // Longer than the sheet is high: it does not go on, and is not turned against the grain.
    let too_long = Part {
        region: rectangle(300.0, 60.0),
        ..long(Grain::Across)
    };
    assert_eq!(laid(&[too_long], &sheet, LITTLE).left_out, [0]);
}

#[test]
fn clamps_are_kept_clear_and_holes_of_a_remnant_too() {
    let clamp = Outline::rectangle(Point::new(-20.0, -20.0), Point::new(60.0, 40.0)).expect("a clamp");
    let hole = Outline::circle(Point::new(150.0, 60.0), 50.0).expect("a hole");
    let outer = Outline::rectangle(Point::origin(), Point::new(400.0, 300.0)).expect("a remnant");
    let sheet = Sheet {
        region: Region::new(outer, vec![hole]).expect("a remnant with a hole"),
        clamps: vec![clamp],
        zero: Corner::LowerLeft,
    };
    let layout = laid(
        &[part(rectangle(80.0, 60.0)), part(rectangle(120.0, 100.0))],
        &sheet,
        LITTLE,
    );
    assert_eq!(layout.left_out, [0usize; 0]);
}

#[test]
fn a_small_part_goes_into_the_window_of_a_large_one_when_nothing_else_is_left() {
    let outer = Outline::rectangle(Point::origin(), Point::new(188.0, 138.0)).expect("a frame");
    let window = Outline::rectangle(Point::new(30.0, 30.0), Point::new(158.0, 108.0)).expect("its window");
    let frame = Region::new(outer, vec![window]).expect("a frame");
    let layout = laid(
        &[part(frame), part(rectangle(100.0, 60.0))],
        &full(200.0, 150.0),
        LITTLE,
    );
    assert_eq!(layout.left_out, [0usize; 0]);
    assert!((layout.of_sheet - (188.0 * 138.0 - 128.0 * 78.0 + 6000.0) / 30_000.0).abs() < 1e-9);
}

#[test]
fn two_angles_go_into_each_other() {
    // Side by side by their boxes they would need 205 mm of the narrow sheet each way; nested they do with less.
    let parts = [part(angle(100.0, 100.0, 30.0)), part(angle(100.0, 100.0, 30.0))];
    let layout = laid(
        &parts,
        &full(160.0, 500.0),
        Effort {
            seed: 1,
            steps: 30_000_000,
        },
    );
    assert_eq!(layout.left_out, [0usize; 0]);
    let reach = layout
        .placed
        .iter()
        .map(|placed| placed.region.bounds().1.y)
        .fold(0.0, f64::max);
    assert!(reach < 6.0 + 100.0 + 45.0, "they reach {reach:.1} mm");
}

#[test]
fn what_is_left_is_free_and_large() {
    let sheet = full(1000.0, 500.0);
    let layout = laid(&[part(rectangle(200.0, 300.0))], &sheet, LITTLE);
    let (low, high) = layout.remnant.rectangle.expect("most of the sheet");
    let left = Outline::rectangle(low, high).expect("a rectangle");
    assert!(layout.placed[0].region.outer.distance_between(&left).0 >= GAPS.parts_mm);
    let best = (1000.0 - 6.0 - 200.0 - 5.0 - 6.0) * (500.0 - 12.0);
    let best: f64 = f64::max(best, (1000.0 - 6.0 - 300.0 - 5.0 - 6.0) * (500.0 - 12.0));
    assert!(left.area_mm2() > 0.97 * best, "{} of {best}", left.area_mm2());
    let piece = layout.remnant.piece.expect("the sheet less the part");
    let grown = 60_000.0 + 5.0 * 1000.0 + PI * 25.0;
    // The part keeps 6 mm from the edge, more than it is grown by, so that the piece is the sheet with a hole.
    assert!((piece.area_mm2() - (500_000.0 - grown)).abs() < 1.0);
}

#[test]
fn a_distance_below_0_and_a_part_without_a_turn_are_refused() {
    let wrong = Gaps {
        edge_mm: -1.0,
        ..GAPS
    };
    let one = [part(rectangle(10.0, 10.0))];
    assert!(matches!(
        place(&one, &full(100.0, 100.0), &wrong, LITTLE),
        Err(PlaceError::NoGap { from: "the edge", .. })
    ));
    let fixed = [Part {
        region: rectangle(10.0, 10.0),
        turns: Turns::Listed(Vec::new()),
    }];
    assert_eq!(
        place(&fixed, &full(100.0, 100.0), &GAPS, LITTLE),
        Err(PlaceError::NoTurn { part: 0 })
    );
    let none = place(&[], &full(100.0, 100.0), &GAPS, LITTLE).expect("nothing to place");
    assert!(none.placed.is_empty() && none.of_box == 0.0);
}

#[test]
fn the_check_finds_parts_moved_too_near() {
    let sheet = full(400.0, 300.0);
    let mut layout = laid(
        &[part(rectangle(80.0, 60.0)), part(rectangle(80.0, 60.0))],
        &sheet,
        LITTLE,
    );
    let way = layout.placed[0].region.centroid() - layout.placed[1].region.centroid();
    layout.placed[1].region = layout.placed[1].region.translated(way.normalize());
    let found = breaches(&layout.placed, &sheet, &GAPS);
    assert!(matches!(found.as_slice(), [Breach::Parts { .. }]), "{found:?}");
    layout.placed[1].region = layout.placed[0].region.clone();
    assert!(matches!(
        breaches(&layout.placed, &sheet, &GAPS).as_slice(),
        [Breach::Parts { apart_mm: 0.0, .. }]
    ));
    layout.placed[1].region = layout.placed[0].region.translated(Vector::new(1000.0, 0.0));
    assert!(matches!(
        breaches(&layout.placed, &sheet, &GAPS).as_slice(),
        [Breach::Edge {
            part: 1,
            apart_mm: 0.0
        }]
    ));
}

/// A remnant with a bitten corner, a rounded end and sometimes a hole.
fn remnant(lots: &mut Lots) -> Sheet {
    let (w, h) = (lots.between(300.0, 800.0), lots.between(250.0, 600.0));
    let (bite_x, bite_y) = (lots.between(40.0, w / 2.0), lots.between(40.0, h / 2.0));
    let vertices = vec![
        Vertex::line(Point::new(0.0, 0.0)),
        Vertex::arc(Point::new(w, 0.0), lots.between(-0.3, 0.3)),
        Vertex::line(Point::new(w, h - bite_y)),
        Vertex::line(Point::new(w - bite_x, h - bite_y)),
        Vertex::line(Point::new(w - bite_x, h)),
        Vertex::line(Point::new(lots.between(0.0, 60.0), h)),
    ];
    let outer = Outline::new(vertices).expect("a remnant");
    let hole = Outline::circle(Point::new(w * 0.35, h * 0.4), lots.between(20.0, 80.0)).expect("a hole");
    let holes = if lots.below(2) == 0 {
        vec![hole]
    } else {
        Vec::new()
    };
    let clamp =
        Outline::rectangle(Point::new(-10.0, h / 2.0), Point::new(35.0, h / 2.0 + 40.0)).expect("a clamp");
    Sheet {
        region: Region::new(outer, holes).expect("a remnant"),
        clamps: if lots.below(2) == 0 {
            vec![clamp]
        } else {
            Vec::new()
        },
        zero: [
            Corner::LowerLeft,
            Corner::LowerRight,
            Corner::UpperLeft,
            Corner::UpperRight,
        ][lots.below(4)],
    }
}

fn random_part(lots: &mut Lots) -> Part {
    let (w, h) = (lots.between(30.0, 180.0), lots.between(30.0, 140.0));
    let region = match lots.below(4) {
        0 => rectangle(w, h),
        1 => angle(w, h, lots.between(10.0, 25.0)),
        2 => Region::solid(Outline::circle(Point::origin(), h).expect("a disc")),
        _ => Region::new(
            Outline::slot(Point::origin(), Point::new(w, 0.0), h / 2.0).expect("a strap"),
            vec![Outline::circle(Point::origin(), h / 4.0).expect("its eye")],
        )
        .expect("a strap with an eye"),
    };
    let turns = match lots.below(3) {
        0 => quarters(),
        1 => Turns::Grain(Grain::Across),
        _ => Turns::Listed((0..12).map(|k| f64::from(k) * PI / 6.0).collect()),
    };
    Part { region, turns }
}

#[test]
fn no_layout_of_random_parts_on_random_remnants_breaks_a_distance() {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(12);
    for seed in 0..cases {
        let mut lots = Lots(1000 + seed);
        let sheet = remnant(&mut lots);
        let parts: Vec<Part> = (0..1 + lots.below(10)).map(|_| random_part(&mut lots)).collect();
        let layout = laid(&parts, &sheet, LITTLE);
        for placed in &layout.placed {
            let given = parts[placed.part]
                .region
                .transformed(&nalgebra::Isometry2::new(placed.by, placed.turn_rad));
            assert!(
                (given.centroid() - placed.region.centroid()).norm() < 1e-6,
                "seed {seed}"
            );
        }
        assert_eq!(layout, laid(&parts, &sheet, LITTLE), "seed {seed}");
    }
}
