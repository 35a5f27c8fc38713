//! Plans drawn in few words, and what must hold of every filled one.

use nalgebra::Point2;
use shell::plan::{Beside, Filled, LEAST_ANGLE_RAD, Line, Plan};

pub type At = Point2<f64>;

/// Adds a closed run of lines with material of a region on its left.
pub fn run(plan: &mut Plan, corners: &[At], left: Beside, right: Beside) {
    let first = plan.points.len() as u32;
    let count = corners.len() as u32;
    plan.points.extend_from_slice(corners);
    plan.lines.extend((0..count).map(|i| Line {
        from: first + i,
        to: first + (i + 1) % count,
        left,
        right,
        is_cut: false,
    }));
}

pub fn rectangle(width: f64, height: f64) -> Vec<At> {
    [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
        .map(|(x, y)| At::new(x, y))
        .to_vec()
}

/// Corners on a circle, clockwise as a hole's are.
pub fn round(centre: At, radius: f64, corners: usize) -> Vec<At> {
    (0..corners)
        .map(|i| {
            let (sin, cos) = (-std::f64::consts::TAU * i as f64 / corners as f64).sin_cos();
            centre + nalgebra::Vector2::new(cos, sin) * radius
        })
        .collect()
}

/// A plate with a hole of 16 sides.
pub fn plate_with_hole() -> Plan {
    let mut plan = Plan::default();
    run(
        &mut plan,
        &rectangle(60.0, 40.0),
        Beside::Region(0),
        Beside::Nothing,
    );
    run(
        &mut plan,
        &round(At::new(20.0, 20.0), 4.0, 16),
        Beside::Region(0),
        Beside::Nothing,
    );
    plan
}

pub fn area(filled: &Filled) -> f64 {
    filled.triangles.iter().map(|&t| twice(filled, t) / 2.0).sum()
}

fn twice(filled: &Filled, t: [u32; 3]) -> f64 {
    let [a, b, c] = t.map(|node| filled.nodes[node as usize]);
    (b - a).perp(&(c - a))
}

pub fn least_angle(filled: &Filled, t: [u32; 3]) -> f64 {
    let [a, b, c] = t.map(|node| filled.nodes[node as usize]);
    [(a, b, c), (b, c, a), (c, a, b)]
        .map(|(at, p, q)| (p - at).angle(&(q - at)))
        .into_iter()
        .fold(f64::INFINITY, f64::min)
}

/// What must hold of every mesh: triangles run counter-clockwise, every edge lies between two that run along it in
/// opposite ways or is part of a line, chains run from end to end in steps that are edges, what is thin is said, points
/// are where they were.
pub fn check(plan: &Plan, filled: &Filled) {
    assert_eq!(filled.triangles.len(), filled.regions.len());
    for (index, at) in plan.points.iter().enumerate() {
        assert_eq!(at, &filled.nodes[index], "point {index} has moved");
    }
    let mut edges: Vec<(u32, u32)> = Vec::new();
    for (index, &t) in filled.triangles.iter().enumerate() {
        assert!(twice(filled, t) > 0.0, "triangle {index} is turned over");
        edges.extend([(t[0], t[1]), (t[1], t[2]), (t[2], t[0])]);
        let said = filled
            .slivers
            .iter()
            .any(|sliver| sliver.triangle == index as u32);
        assert_eq!(said, least_angle(filled, t) < LEAST_ANGLE_RAD, "triangle {index}");
    }
    edges.sort_unstable();
    assert!(
        edges.windows(2).all(|pair| pair[0] != pair[1]),
        "two triangles run along one edge the same way"
    );
    let mut single: Vec<(u32, u32)> = edges
        .iter()
        .copied()
        .filter(|&(a, b)| edges.binary_search(&(b, a)).is_err())
        .collect();
    for (line, chain) in plan.lines.iter().zip(&filled.chains) {
        for (side, is_left) in [(&chain.left, true), (&chain.right, false)] {
            let beside = if is_left { line.left } else { line.right };
            if let Beside::Region(_) = beside {
                let ends = [line.from, line.to].map(|end| plan.points[end as usize]);
                let [first, last] = [side[0], side[side.len() - 1]].map(|node| filled.nodes[node as usize]);
                assert_eq!([first, last], ends, "a chain runs from end to end");
            }
            for pair in side.windows(2) {
                let way = if is_left {
                    (pair[0], pair[1])
                } else {
                    (pair[1], pair[0])
                };
                assert!(edges.binary_search(&way).is_ok(), "a chain's step is an edge");
                single.retain(|&edge| edge != way);
            }
        }
    }
    assert!(single.is_empty(), "edges with one side on no line: {single:?}");
}
