//! How bends, holes, rings and seams come out.

use std::time::Instant;

use prove::body::{BodyOptions, Patch, Ring, body, refined_body};
use sheet::{OpeningShape, Relief};

use crate::parts::{channel, one_bend, p, push_hoe, tab, tray};

#[test]
fn a_quarter_bend_has_four_rows_and_a_hole_sixteen_sides() {
    let part = one_bend();
    let body = body(&part, &BodyOptions::default()).expect("a mesh");
    let bend = &part.bends[0];
    let mut rows: Vec<i64> = Vec::new();
    for (triangle, &patch) in body.mesh.triangles.iter().zip(&body.mesh.patches) {
        if body.patches[patch as usize] == Patch::Bend(0) {
            for &node in triangle {
                let across = bend
                    .along
                    .perp(&(body.blank_at[node as usize] - bend.strips[0].fixed[0]));
                rows.push((across / bend.allowance_mm * 1e6).round() as i64);
            }
        }
    }
    rows.sort_unstable();
    rows.dedup();
    assert!(rows.len() >= 5, "{rows:?}");
    for rim in &body.rims {
        assert!(rim.nodes.len() >= 16, "{rim:?}");
        let (centre, radius_mm) = rim.round.expect("the holes are round");
        for &node in &rim.nodes {
            assert!(((body.blank_at[node as usize] - centre).norm() - radius_mm).abs() < 1e-9);
        }
    }
}

#[test]
fn a_washer_ring_is_a_circle_of_nodes_where_it_fits() {
    let part = one_bend();
    let Some(OpeningShape::Round { at, .. }) = part.blank.openings[0] else {
        panic!("the hole lies in a panel")
    };
    let rings = vec![
        Ring {
            centre: at,
            radius_mm: 9.0,
        },
        // Past the edge of the 40 mm strip.
        Ring {
            centre: at,
            radius_mm: 25.0,
        },
    ];
    let options = BodyOptions {
        rings,
        ..BodyOptions::default()
    };
    let body = body(&part, &options).expect("a mesh");
    assert_eq!(body.rings_left_out, vec![1]);
    let annulus = about_hole(&body, 9.0);
    let on_edge = annulus
        .iter()
        .filter(|&&node| ((body.blank_at[node as usize] - at).norm() - 9.0).abs() < 1e-9)
        .count();
    assert!(on_edge >= 16, "{on_edge}");
    let rim = &body.rims[0].nodes;
    assert!(rim.iter().all(|node| annulus.contains(node)));
    // The nodes' shares make up the annulus but for half of what lies beyond its edge.
    assert!(annulus.len() > on_edge + rim.len() - 1);
    let beyond = about_hole(&body, 25.0);
    assert!(
        beyond.len() > annulus.len(),
        "a ring that does not fit takes the nodes there are"
    );
}

#[test]
fn openings_across_a_bend_have_no_rim_of_their_own() {
    let part = channel();
    let body = body(&part, &BodyOptions::default()).expect("a mesh");
    let openings: Vec<usize> = body.rims.iter().map(|rim| rim.opening).collect();
    assert_eq!(
        openings,
        vec![2, 3],
        "the window and the large hole interrupt bends"
    );
    // The outer edge, and one run for each opening.
    assert_eq!(body.edges.len(), 5);
}

#[test]
fn a_torn_end_does_not_hold() {
    let part = tab(Relief::None);
    let body = body(&part, &BodyOptions::default()).expect("a mesh");
    // Beside the bend two nodes lie at one place of the blank and apart in space.
    let mut apart = 0;
    for a in 0..body.blank_at.len() {
        for b in a + 1..body.blank_at.len() {
            if (body.blank_at[a] - body.blank_at[b]).norm() < 1e-9 {
                assert!((body.mesh.nodes[a] - body.mesh.nodes[b]).norm() > 1e-3);
                apart += 1;
            }
        }
    }
    assert!(apart >= 2, "{apart}");
}

#[test]
fn a_seam_has_nodes_along_both_its_edges() {
    let part = tray();
    let body = body(&part, &BodyOptions::default()).expect("a mesh");
    let seam = &body.seams[0];
    assert!(seam.first.len() >= 3 && seam.second.len() >= 3, "{seam:?}");
    assert!(seam.first.iter().all(|node| !seam.second.contains(node)));
    let heights = |nodes: &[u32]| {
        nodes
            .iter()
            .map(|&node| body.mesh.nodes[node as usize].z)
            .collect::<Vec<_>>()
    };
    assert!(heights(&seam.first).is_sorted() && heights(&seam.second).is_sorted());
}

#[test]
fn finer_where_asked() {
    let part = one_bend();
    let options = BodyOptions {
        target_unknowns: 3_000,
        ..BodyOptions::default()
    };
    let coarse = body(&part, &options).expect("a mesh");
    let spot = p(5.0, 30.0);
    let fine = refined_body(&part, &options, &|at| 0.3 + 0.3 * (at - spot).norm()).expect("a mesh");
    let near = |body: &prove::body::Body| body.within(0, spot, 3.0).len();
    assert!(
        near(&fine) > 20 && near(&coarse) < 10,
        "{} {}",
        near(&fine),
        near(&coarse)
    );
}

#[test]
fn the_forearm_plate_comes_near_its_target_quickly() {
    let part = push_hoe();
    let options = BodyOptions::default();
    let body = body(&part, &options).expect("a mesh");
    let unknowns = 6 * body.mesh.nodes.len();
    let start = Instant::now();
    const TURNS: u32 = 10;
    for _ in 0..TURNS {
        let again = prove::body::body(&part, &options).expect("a mesh");
        assert_eq!(again, body);
    }
    println!("{unknowns} unknowns in {:?}", start.elapsed() / TURNS);
    assert!((9_000..17_000).contains(&unknowns), "{unknowns}");
    assert!(body.slivers.is_empty(), "{:?}", body.slivers);
}

/// Nodes of the first opening's panel within a radius of its centre.
fn about_hole(body: &prove::body::Body, radius_mm: f64) -> Vec<u32> {
    let rim = &body.rims[0];
    let (centre, _) = rim.round.expect("a round hole");
    body.within(rim.panel, centre, radius_mm)
}
