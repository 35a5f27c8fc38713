//! What holds of every body.

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use nalgebra::{Point3, Vector3};
use plane::Point;
use proptest::prelude::*;
use prove::body::{Body, BodyOptions, Patch, body, refined_body};
use sheet::{OpeningShape, Part};

use crate::parts::{any_ribbon, every_part, hole_beside_a_bend};

/// Sums of a mesh's thousand pieces agree to this share.
const SAME_SHARE: f64 = 1e-9;
const SAME_MM: f64 = 1e-9;

fn normal(at: [Point3<f64>; 3]) -> Vector3<f64> {
    (at[1] - at[0]).cross(&(at[2] - at[0]))
}

fn corners(body: &Body, t: usize) -> [Point3<f64>; 3] {
    body.mesh.triangles[t].map(|node| body.mesh.nodes[node as usize])
}

/// Every edge has one triangle or two that run along it in opposite ways, and those with one are what is called free.
pub fn check_joined(body: &Body) {
    let mut runs: BTreeMap<(u32, u32), usize> = BTreeMap::new();
    for (t, &[a, b, c]) in body.mesh.triangles.iter().enumerate() {
        for run in [(a, b), (b, c), (c, a)] {
            assert!(
                runs.insert(run, t).is_none(),
                "two triangles run one way along {run:?}"
            );
        }
    }
    let free = runs.keys().filter(|(a, b)| !runs.contains_key(&(*b, *a))).count();
    assert_eq!(free, body.edges.iter().map(Vec::len).sum::<usize>());
    for edge in &body.edges {
        for (i, &from) in edge.iter().enumerate() {
            let to = edge[(i + 1) % edge.len()];
            assert!(runs.contains_key(&(from, to)) && !runs.contains_key(&(to, from)));
        }
    }
    // Normals: neighbours look the same way, a row of a bend at most 22.5 degrees apart (and its facets a little more).
    for (&(a, b), &t) in &runs {
        if let Some(&u) = runs.get(&(b, a)) {
            let turned = normal(corners(body, t)).angle(&normal(corners(body, u)));
            assert!(turned < 0.6, "facets {t} and {u} are {turned} apart");
        }
    }
    for t in 0..body.mesh.triangles.len() {
        assert!(normal(corners(body, t)).norm() > 0.0);
    }
}

/// Panels keep their area, and nodes of bends lie on the cylinder of the middle radius.
pub fn check_folded(part: &Part, body: &Body) {
    let mut blank = vec![0.0; body.patches.len()];
    let mut folded = vec![0.0; body.patches.len()];
    for (t, &patch) in body.mesh.patches.iter().enumerate() {
        let [a, b, c] = body.mesh.triangles[t].map(|node| body.blank_at[node as usize]);
        blank[patch as usize] += (b - a).perp(&(c - a)) / 2.0;
        folded[patch as usize] += normal(corners(body, t)).norm() / 2.0;
        if let Patch::Bend(bend) = body.patches[patch as usize] {
            let bend = &part.bends[bend];
            let radius_mm = bend.radius_mm + part.thickness_mm / 2.0;
            for at in corners(body, t) {
                let off = (at - bend.axis_at).cross(&bend.axis).norm();
                assert!((off - radius_mm).abs() < SAME_MM, "{off} is not {radius_mm}");
            }
        }
    }
    for (index, &patch) in body.patches.iter().enumerate() {
        match patch {
            Patch::Panel(panel) => {
                assert!((folded[index] / blank[index] - 1.0).abs() < SAME_SHARE);
                let true_mm2 = part.panels[panel].flat.area_mm2();
                assert!((blank[index] / true_mm2 - 1.0).abs() < 0.01, "panel {panel}");
            }
            Patch::Bend(bend) => {
                let bend = &part.bends[bend];
                let strips: f64 = bend
                    .strips
                    .iter()
                    .map(|strip| {
                        let length = |line: [plane::Point; 2]| (line[1] - line[0]).norm();
                        bend.allowance_mm * (length(strip.fixed) + length(strip.moving)) / 2.0
                    })
                    .sum();
                assert!((blank[index] / strips - 1.0).abs() < SAME_SHARE);
                // Facets span chords of at most 22.5 degrees: 0.65 % less than the arc.
                let wanted = (bend.radius_mm + part.thickness_mm / 2.0) * bend.bent_rad / bend.allowance_mm;
                let share = folded[index] / blank[index] / wanted;
                assert!(
                    (0.99..1.0 + SAME_SHARE).contains(&share),
                    "bend {}: {share}",
                    bend.name
                );
            }
        }
    }
}

#[test]
fn every_part_is_one_whole_surface_of_its_area() {
    for (name, part) in every_part() {
        let options = BodyOptions::default();
        let body = body(&part, &options).unwrap_or_else(|told| panic!("{name}: {told}"));
        println!(
            "{name}: {} nodes, {} unknowns, {} triangles, {} slivers",
            body.mesh.nodes.len(),
            6 * body.mesh.nodes.len(),
            body.mesh.triangles.len(),
            body.slivers.len()
        );
        check_joined(&body);
        check_folded(&part, &body);
        assert!(body.slivers.len() <= 4, "{name}: {:?}", body.slivers.first());
    }
}

/// Between a hole and the bend beside it there may be next to nothing: no triangle there is turned over, and the round edge of
/// the hole is no sharp corner, however near it comes.
#[test]
fn a_hole_that_comes_near_a_bend_is_round_still_and_nothing_is_turned_over() {
    let chord_rad = TAU / BodyOptions::default().per_hole as f64;
    let gaps_mm = [1e-5, 1e-4, 1e-3, 0.01, 0.03, 0.1, 0.2, 0.5, 2.0];
    // Nearest at the end of a chord, in its middle, and between.
    let cases = [0.0, 0.5, 0.2]
        .iter()
        .flat_map(|share| gaps_mm.map(|gap_mm| (share * chord_rad, gap_mm)));
    for (off_square_rad, gap_mm) in cases {
        let part = hole_beside_a_bend(off_square_rad, gap_mm);
        let Some(Some(OpeningShape::Round { at: hole, dia_mm })) = part.blank.openings.first() else {
            panic!("it is cut round");
        };
        let nearest = hole + plane::Vector::new(-off_square_rad.sin(), off_square_rad.cos()) * (dia_mm / 2.0);
        for finer_mm in [f64::INFINITY, 0.2, 0.1, 0.05] {
            let told =
                format!("{gap_mm} mm from a bend {off_square_rad:.2} off square, edges of {finer_mm} mm");
            let about = |at: Point| {
                if (at - nearest).norm() < 2.5 {
                    finer_mm
                } else {
                    f64::INFINITY
                }
            };
            let body = refined_body(&part, &BodyOptions::default(), &about);
            let body = body.unwrap_or_else(|error| panic!("{told}: {error}"));
            check_joined(&body);
            let least = body.mesh.triangles.iter().map(|triangle| {
                let [a, b, c] = triangle.map(|node| body.blank_at[node as usize]);
                (b - a).perp(&(c - a))
            });
            let least = least.fold(f64::INFINITY, f64::min);
            assert!(least > 0.0, "{told}: {least}");
            let sharp = body.sharp_corners();
            let at = sharp.iter().map(|corner| body.blank_at[corner.nodes[0] as usize]);
            assert!(sharp.is_empty(), "{told}: {:?}", at.collect::<Vec<_>>());
            println!(
                "{told}: {} nodes, {} slivers",
                body.mesh.nodes.len(),
                body.slivers.len()
            );
        }
    }
}

fn config() -> ProptestConfig {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|cases| cases.parse().ok())
        .unwrap_or(16);
    ProptestConfig::with_cases(cases)
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn any_ribbon_of_bends_is_one_whole_surface(part in any_ribbon()) {
        let options = BodyOptions { target_unknowns: 6_000, ..BodyOptions::default() };
        let body = body(&part, &options).expect("a developed part has a mesh");
        check_joined(&body);
        check_folded(&part, &body);
    }
}
