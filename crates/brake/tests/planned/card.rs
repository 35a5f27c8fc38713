//! Cards for tests: strips bent across, pans, and the work they become.

use brake::needs::Practice;
use brake::order::{Outcome, Weights, plan};
use brake::tooling::Tooling;
use brake::work::{Stock, Work};
use handbook::Handbook;
use plane::{Outline, Point};
use sheet::{Crease, Face, Mockup, Part, Relief, Way, develop};

pub const T_MM: f64 = 2.0;
pub const RADIUS_MM: f64 = 2.4;

pub fn crease(name: &str, from: (f64, f64), to: (f64, f64), bent_deg: f64, way: Way) -> Crease {
    Crease {
        name: name.to_owned(),
        from: Point::new(from.0, from.1),
        to: Point::new(to.0, to.1),
        bent_rad: bent_deg.to_radians(),
        way,
        radius_mm: RADIUS_MM,
        neutral_share: 0.42,
        relief: Relief::Auto { least_width_mm: 1.0 },
    }
}

pub fn card(corners: &[(f64, f64)], creases: Vec<Crease>, root: Option<(f64, f64)>) -> Mockup {
    let corners: Vec<Point> = corners.iter().map(|(x, y)| Point::new(*x, *y)).collect();
    Mockup {
        outline: Outline::polygon(&corners).expect("an outline of the test"),
        openings: Vec::new(),
        creases,
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: root.map(|(x, y)| Point::new(x, y)),
        lines_on: Face::Far,
        card_mm: 0.0,
    }
}

/// A strip `wide_mm` wide, legs along x as marked, bent between them: up for plus, down for minus degrees.
pub fn strip(wide_mm: f64, legs_mm: &[f64], bends_deg: &[f64]) -> Mockup {
    let long: f64 = legs_mm.iter().sum();
    let mut x = 0.0;
    let creases = bends_deg
        .iter()
        .zip(legs_mm)
        .enumerate()
        .map(|(i, (deg, leg))| {
            x += leg;
            let way = if *deg > 0.0 { Way::Up } else { Way::Down };
            crease(
                &format!("b{}", i + 1),
                (x, -1.0),
                (x, wide_mm + 1.0),
                deg.abs(),
                way,
            )
        })
        .collect();
    card(
        &[(0.0, 0.0), (long, 0.0), (long, wide_mm), (0.0, wide_mm)],
        creases,
        None,
    )
}

/// A pan: a floor `a` by `b` inside with four walls this high; corners cut out.
pub fn pan(a_mm: f64, b_mm: f64, wall_mm: f64) -> Mockup {
    let (a, b, w) = (a_mm, b_mm, wall_mm);
    let corners = [
        (0.0, -w),
        (a, -w),
        (a, 0.0),
        (a + w, 0.0),
        (a + w, b),
        (a, b),
        (a, b + w),
        (0.0, b + w),
        (0.0, b),
        (-w, b),
        (-w, 0.0),
        (0.0, 0.0),
    ];
    let creases = vec![
        crease("south", (0.0, 0.0), (a, 0.0), 90.0, Way::Up),
        crease("east", (a, 0.0), (a, b), 90.0, Way::Up),
        crease("north", (a, b), (0.0, b), 90.0, Way::Up),
        crease("west", (0.0, b), (0.0, 0.0), 90.0, Way::Up),
    ];
    // Drawn to the inside: walls drawn to the outside would stand in each other at the corners.
    Mockup {
        lines_on: Face::Marked,
        ..card(&corners, creases, Some((a / 2.0, b / 2.0)))
    }
}

pub fn part(mockup: &Mockup, t_mm: f64) -> Part {
    develop(mockup, t_mm).unwrap_or_else(|fault| panic!("the card of the test develops: {fault}"))
}

pub fn work(mockup: &Mockup) -> Work {
    let book = Handbook::builtin();
    let stock = Stock::of(&book, "5052-H32", T_MM).expect("a metal of the handbook");
    Work::of(
        &part(mockup, T_MM),
        Some(stock),
        Practice::of(&book).closed_past_rad.value,
    )
    .expect("work")
}

pub fn planned(work: &Work, tooling: &Tooling) -> Outcome {
    let practice = Practice::of(&Handbook::builtin());
    plan(work, tooling, &practice, &Weights::default()).expect("sound tools")
}

/// The names of the bends of each step, in order.
pub fn order(work: &Work, outcome: &Outcome) -> Option<Vec<String>> {
    let steps = &outcome.plan()?.steps;
    let names = |lines: &Vec<usize>| {
        lines
            .iter()
            .map(|&line| work.lines[line].name.clone())
            .collect::<Vec<_>>()
            .join("+")
    };
    Some(steps.iter().map(|step| names(&step.lines)).collect())
}
