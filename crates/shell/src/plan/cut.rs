//! The web as plain triangles and chains, parted along cuts.

use super::quality::slivers;
use super::web::{NONE, Triangle, Web};
use super::{Chain, Filled, Plan};

/// The finished mesh.
pub(super) fn filled(plan: &Plan, mut web: Web) -> Filled {
    part_cuts(plan, &mut web);
    let triangles: Vec<[u32; 3]> = web.triangles.iter().map(|t| t.corners).collect();
    Filled {
        chains: chains(plan, &web),
        slivers: slivers(&web.nodes, &triangles),
        regions: web.triangles.iter().map(|t| t.region).collect(),
        triangles,
        nodes: web.nodes,
    }
}

/// Gives the triangles on either side of a cut nodes of their own.
fn part_cuts(plan: &Plan, web: &mut Web) {
    let is_cut = |line: u32| line != NONE && plan.lines[line as usize].is_cut;
    let mut on_cut = vec![false; web.nodes.len()];
    for triangle in &web.triangles {
        for i in (0..3).filter(|&i| is_cut(triangle.lines[i])) {
            on_cut[triangle.corners[i] as usize] = true;
            on_cut[triangle.corners[(i + 1) % 3] as usize] = true;
        }
    }
    if !on_cut.contains(&true) {
        return;
    }
    let mut at_node: Vec<Vec<u32>> = vec![Vec::new(); web.nodes.len()];
    for (t, triangle) in web.triangles.iter().enumerate() {
        for node in triangle.corners.into_iter().filter(|&node| on_cut[node as usize]) {
            at_node[node as usize].push(t as u32);
        }
    }
    for (node, about) in at_node.iter().enumerate() {
        let mut left = about.clone();
        let mut is_first = true;
        while let Some(start) = left.first().copied() {
            let fan = fan(&web.triangles, &left, start, node as u32, &is_cut);
            left.retain(|t| !fan.contains(t));
            if is_first {
                is_first = false;
                continue;
            }
            web.nodes.push(web.nodes[node]);
            web.on_line.push(web.on_line[node]);
            let other = (web.nodes.len() - 1) as u32;
            for &t in &fan {
                for corner in &mut web.triangles[t as usize].corners {
                    if *corner == node as u32 {
                        *corner = other;
                    }
                }
            }
        }
    }
}

/// The triangles at a node that hang together without crossing a cut.
fn fan(
    triangles: &[Triangle],
    about: &[u32],
    start: u32,
    node: u32,
    is_cut: &dyn Fn(u32) -> bool,
) -> Vec<u32> {
    let mut fan = vec![start];
    let mut next = 0;
    while let Some(&t) = fan.get(next) {
        next += 1;
        let triangle = &triangles[t as usize];
        let Some(i) = triangle.corners.iter().position(|&corner| corner == node) else {
            continue;
        };
        for edge in [i, (i + 2) % 3] {
            let over = triangle.beyond[edge];
            if over != NONE && !is_cut(triangle.lines[edge]) && about.contains(&over) && !fan.contains(&over)
            {
                fan.push(over);
            }
        }
    }
    fan
}

fn chains(plan: &Plan, web: &Web) -> Vec<Chain> {
    let mut chains = vec![Chain::default(); plan.lines.len()];
    let along = |line: usize| {
        let line = &plan.lines[line];
        plan.points[line.to as usize] - plan.points[line.from as usize]
    };
    for triangle in &web.triangles {
        for i in 0..3 {
            let line = triangle.lines[i];
            if line == NONE {
                continue;
            }
            let [a, b] = [triangle.corners[i], triangle.corners[(i + 1) % 3]];
            let runs = web.nodes[b as usize] - web.nodes[a as usize];
            let chain = &mut chains[line as usize];
            let side = if runs.dot(&along(line as usize)) > 0.0 {
                &mut chain.left
            } else {
                &mut chain.right
            };
            side.extend([a, b]);
        }
    }
    for (index, chain) in chains.iter_mut().enumerate() {
        let along = along(index);
        for side in [&mut chain.left, &mut chain.right] {
            let far = |node: u32| web.nodes[node as usize].coords.dot(&along);
            side.sort_by(|&a, &b| far(a).total_cmp(&far(b)).then(a.cmp(&b)));
            side.dedup();
        }
    }
    chains
}
