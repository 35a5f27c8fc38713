//! A corner of two flanges on a base plate, welded where they meet: what is read at the toes of the weld.

use std::f64::consts::FRAC_PI_2;

use handbook::{FatigueDetail, FatigueGroup, Handbook};
use plane::{Outline, Point};
use prove::{Answer, Bracket, Detail, Options, PeakRule, Support, Weld, analyse};
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Part, Relief, Seam, Way, develop};

use crate::fixture::{bracket, mount, once, push};

const T_MM: f64 = 3.0;

fn corner() -> Part {
    let p = Point::new;
    let crease = |name: &str, from, to| Crease {
        name: name.to_owned(),
        from,
        to,
        bent_rad: FRAC_PI_2,
        way: Way::Up,
        radius_mm: 4.0,
        neutral_share: 0.42,
        relief: Relief::Auto { least_width_mm: 1.5 },
    };
    let hole = |name: &str, x, y, dia_mm| Opening {
        name: name.to_owned(),
        shape: OpeningShape::Round { at: p(x, y), dia_mm },
    };
    let outline = [
        p(0.0, 0.0),
        p(140.0, 0.0),
        p(140.0, 60.0),
        p(100.0, 60.0),
        p(100.0, 100.0),
        p(0.0, 100.0),
    ];
    let card = Mockup {
        outline: Outline::polygon(&outline).expect("an outline"),
        openings: vec![
            hole("m1", 25.0, 30.0, 9.0),
            hole("m2", 60.0, 30.0, 9.0),
            hole("p1", 128.0, 20.0, 6.6),
            hole("p2", 128.0, 40.0, 6.6),
        ],
        creases: vec![
            crease("side", p(100.0, 60.0), p(0.0, 60.0)),
            crease("end", p(100.0, 0.0), p(100.0, 60.0)),
        ],
        seams: vec![Seam {
            name: "corner".to_owned(),
            first: [p(100.0, 60.0), p(140.0, 60.0)],
            second: [p(100.0, 60.0), p(100.0, 100.0)],
        }],
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: Some(p(50.0, 30.0)),
        lines_on: Face::Marked,
        card_mm: 0.0,
    };
    develop(&card, T_MM).expect("the corner develops")
}

/// Pushed outward at the end flange, again and again.
fn pushed(part: &Part, force_n: f64) -> Bracket<'_> {
    let mut load = push("push", [force_n, 0.0, 0.0]);
    load.per_day = Some(100.0);
    let mut bracket = bracket(part, vec![load], None);
    bracket.mounts = vec![mount("m1", 0, None), mount("m2", 1, None)];
    bracket.support = Some(Support {
        openings: vec![2, 3],
        washer_mm: 12.0,
        gives: None,
        mass_kg: 0.0,
    });
    bracket.welds = vec![Weld {
        seam: 0,
        fillet: None,
        strength: None,
    }];
    let toe = Handbook::builtin().fatigue_category(FatigueGroup::Aluminium, FatigueDetail::StructuralToe);
    bracket.fatigue.toe = Some(toe.expect("the table has it").value.into());
    bracket
}

fn answered(unknowns: usize, force_n: f64) -> Answer {
    let part = corner();
    let options = Options {
        first_unknowns: unknowns,
        ..once()
    };
    analyse(&pushed(&part, force_n), &options).expect("it is solved")
}

fn toe_range_mpa(answer: &Answer) -> f64 {
    let toe = answer.lasts.iter().find(|lasts| lasts.detail == Detail::Toe);
    toe.expect("the toes are looked at").range_mpa
}

#[test]
fn the_stress_at_the_toes_is_extrapolated_and_goes_with_the_load() {
    let (once, twice) = (answered(6_000, 40.0), answered(6_000, 80.0));
    let (one_mpa, two_mpa) = (toe_range_mpa(&once), toe_range_mpa(&twice));
    assert!((two_mpa / one_mpa - 2.0).abs() < 0.02, "{one_mpa} {two_mpa}");
    // The end of the weld is where the plates would part: the highest stress of the part is that of its toe.
    let peak = once.cases[0].peak.expect("a peak");
    assert_eq!(peak.rule, PeakRule::HotSpot, "{peak:?}");
    assert!(
        (one_mpa / peak.mises_mpa - 1.0).abs() < 0.2,
        "{one_mpa} {}",
        peak.mises_mpa
    );
}

#[test]
fn a_finer_mesh_reads_nearly_the_same_at_the_toes() {
    let ranges: Vec<f64> = [6_000, 12_000, 24_000]
        .map(|unknowns| {
            let answer = answered(unknowns, 40.0);
            println!("{} {}", answer.trust.unknowns, toe_range_mpa(&answer));
            toe_range_mpa(&answer)
        })
        .to_vec();
    for range in &ranges {
        assert!((range / ranges[2] - 1.0).abs() < 0.15, "{ranges:?}");
    }
}
