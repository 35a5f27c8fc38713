use std::collections::BTreeMap;

use nalgebra::{Isometry3, Vector3};
use proptest::prelude::*;
use sheet::{Part, Way};

use super::*;
use crate::solid::developed::{any_ribbon, every_part};
use crate::solid::sample::{Leg, flat_plate, with_leg};

fn text(part: &Part) -> String {
    step_text(part, "bracket", &Isometry3::identity()).expect("the sample has a body")
}

/// Entities by number: their kind and all of their text.
fn entities(text: &str) -> BTreeMap<&str, (&str, &str)> {
    text.lines()
        .filter_map(|line| line.strip_suffix(';')?.split_once('='))
        .filter(|(id, _)| id.starts_with('#'))
        .map(|(id, says)| (id, (says.split('(').next().unwrap_or_default(), says)))
        .collect()
}

fn count(text: &str, kind: &str) -> usize {
    entities(text)
        .values()
        .filter(|(found, _)| *found == kind)
        .count()
}

/// Every edge is used once each way, and every entity that is spoken of is there.
fn check_shared(text: &str) {
    let all = entities(text);
    let mut uses: BTreeMap<&str, [usize; 2]> = BTreeMap::new();
    for (kind, says) in all.values() {
        for id in says
            .split(|ch: char| ch != '#' && !ch.is_ascii_digit())
            .filter(|word| word.starts_with('#'))
        {
            assert!(all.contains_key(id), "{says} speaks of {id}");
        }
        if *kind == "ORIENTED_EDGE" {
            let words: Vec<&str> = says.split([',', ')']).collect();
            uses.entry(words[3]).or_default()[usize::from(words[4] == ".T.")] += 1;
        }
    }
    let edges = all.iter().filter(|(_, (kind, _))| *kind == "EDGE_CURVE");
    for (id, (_, says)) in edges {
        assert_eq!(uses.get(id), Some(&[1, 1]), "{says}");
    }
}

/// Corners less edges plus faces less holes through faces: 2 for a ball, less 2 for every hole through the body.
fn check_euler(text: &str, holes_through: usize) {
    let inner_bounds = count(text, "FACE_BOUND");
    let sum = count(text, "VERTEX_POINT") + count(text, "ADVANCED_FACE");
    assert_eq!(
        sum + 2 * holes_through,
        2 + count(text, "EDGE_CURVE") + inner_bounds
    );
}

#[test]
fn a_flat_plate_has_planes_and_the_walls_of_its_round_openings() {
    let text = text(&flat_plate(3.0));
    check_shared(&text);
    check_euler(&text, 2);
    // Two faces, four sides, two flanks of the slot; two halves of the hole and the slot's two ends.
    assert_eq!(count(&text, "PLANE"), 8);
    assert_eq!(count(&text, "CYLINDRICAL_SURFACE"), 4);
    assert_eq!(count(&text, "MANIFOLD_SOLID_BREP"), 1);
}

#[test]
fn a_square_bend_adds_two_cylinders_and_plane_sides() {
    for way in [Way::Up, Way::Down] {
        let text = text(&with_leg(Leg {
            way,
            ..Leg::default()
        }));
        check_shared(&text);
        check_euler(&text, 3);
        // Beside the flat plate's four: the leg's hole, its rounded corner, the bend's inside and outside.
        assert_eq!(count(&text, "CYLINDRICAL_SURFACE"), 4 + 2 + 1 + 2);
        assert_eq!(count(&text, "B_SPLINE_SURFACE_WITH_KNOTS"), 0);
    }
}

#[test]
fn a_slanting_bend_has_ruled_sides() {
    let text = text(&with_leg(Leg {
        slides_mm: [-3.0, 2.0],
        ..Leg::default()
    }));
    check_shared(&text);
    check_euler(&text, 3);
    assert_eq!(count(&text, "B_SPLINE_SURFACE_WITH_KNOTS"), 2);
    assert_eq!(count(&text, "B_SPLINE_CURVE_WITH_KNOTS"), 4);
}

#[test]
fn a_sharp_bend_has_one_edge_inside() {
    for slides_mm in [[0.0, 0.0], [-3.0, 2.0], [3.0, 2.0], [0.0, -4.0]] {
        let text = text(&with_leg(Leg {
            radius_mm: 0.0,
            slides_mm,
            ..Leg::default()
        }));
        check_shared(&text);
        check_euler(&text, 3);
        assert_eq!(count(&text, "CYLINDRICAL_SURFACE"), 4 + 2 + 1 + 1);
    }
}

#[test]
fn the_same_part_gives_the_same_bytes_and_its_name_is_spelt_plainly() {
    let part = with_leg(Leg::default());
    let pose = Isometry3::new(Vector3::new(1.0, 2.0, 3.0), Vector3::new(0.1, 0.2, 0.3));
    let name = "Pat's 25\u{b0} leg";
    let first = step_text(&part, name, &pose).expect("the sample has a body");
    assert_eq!(
        first,
        step_text(&part, name, &pose).expect("the sample has a body")
    );
    assert!(first.is_ascii());
    assert!(first.contains("PRODUCT('Pat''s 25\\X2\\00B0\\X0\\ leg'"));
}

#[test]
fn developed_cards_share_every_edge() {
    for (name, part) in every_part() {
        let text =
            step_text(&part, name, &Isometry3::identity()).unwrap_or_else(|told| panic!("{name}: {told}"));
        check_shared(&text);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn any_ribbon_of_bends_shares_every_edge(part in any_ribbon()) {
        let text = text(&part);
        check_shared(&text);
        check_euler(&text, 0);
    }
}
