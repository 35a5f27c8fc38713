//! The order in which unknowns are eliminated, so that little fills in.
//!
//! Minimum degree: T. A. Davis, Direct Methods for Sparse Linear Systems (SIAM 2006), chapter 7; here on an explicit
//! elimination graph, since the systems of this crate have thousands of unknowns at most. Unknowns with the same
//! neighbours, such as the coordinates of one point, are eliminated together.

use std::collections::{BTreeMap, BTreeSet};

use crate::sparse::Symmetric;

/// The unknowns in the order of their elimination: always those with the fewest neighbours left, the first among
/// equals.
pub(crate) fn elimination_order(matrix: &Symmetric) -> Vec<usize> {
    let groups = alike(matrix);
    let mut group_of = vec![0; matrix.size()];
    for (g, members) in groups.iter().enumerate() {
        for &member in members {
            group_of[member] = g;
        }
    }
    let mut neighbours: Vec<Vec<usize>> = vec![Vec::new(); groups.len()];
    for j in 0..matrix.size() {
        for (i, _) in matrix.column(j) {
            let (a, b) = (group_of[i], group_of[j]);
            if a != b {
                neighbours[a].push(b);
                neighbours[b].push(a);
            }
        }
    }
    for list in &mut neighbours {
        list.sort_unstable();
        list.dedup();
    }
    let degree = |list: &[usize]| -> usize { list.iter().map(|&g| groups[g].len()).sum() };
    let mut degrees: Vec<usize> = neighbours.iter().map(|list| degree(list)).collect();
    let mut queue: BTreeSet<(usize, usize)> = degrees.iter().enumerate().map(|(g, &d)| (d, g)).collect();
    let mut order = Vec::with_capacity(matrix.size());
    while let Some((_, gone)) = queue.pop_first() {
        order.extend(&groups[gone]);
        let clique = std::mem::take(&mut neighbours[gone]);
        for &member in &clique {
            let merged = merge(&neighbours[member], &clique, gone, member);
            queue.remove(&(degrees[member], member));
            degrees[member] = degree(&merged);
            queue.insert((degrees[member], member));
            neighbours[member] = merged;
        }
    }
    order
}

/// Unknowns with the same neighbours and each other, together; groups in the order of their first.
fn alike(matrix: &Symmetric) -> Vec<Vec<usize>> {
    let mut closed: Vec<Vec<usize>> = vec![Vec::new(); matrix.size()];
    for j in 0..matrix.size() {
        for (i, _) in matrix.column(j) {
            closed[i].push(j);
            closed[j].push(i);
        }
    }
    let mut by_neighbours: BTreeMap<Vec<usize>, Vec<usize>> = BTreeMap::new();
    for (unknown, mut list) in closed.into_iter().enumerate() {
        list.sort_unstable();
        list.dedup();
        by_neighbours.entry(list).or_default().push(unknown);
    }
    let mut groups: Vec<Vec<usize>> = by_neighbours.into_values().collect();
    groups.sort_by_key(|members| members[0]);
    groups
}

/// Both sorted lists in one, sorted, without the two named.
fn merge(a: &[usize], b: &[usize], without: usize, nor: usize) -> Vec<usize> {
    let mut both = Vec::with_capacity(a.len() + b.len());
    let (mut i, mut j) = (0, 0);
    while i < a.len() || j < b.len() {
        let (next_a, next_b) = (
            a.get(i).copied().unwrap_or(usize::MAX),
            b.get(j).copied().unwrap_or(usize::MAX),
        );
        let next = next_a.min(next_b);
        i += usize::from(next_a == next);
        j += usize::from(next_b == next);
        if next != without && next != nor {
            both.push(next);
        }
    }
    both
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_star_gives_up_its_points_before_its_middle() {
        let rows: Vec<Vec<(usize, f64)>> = (1..8).map(|i| vec![(0, 1.0), (i, -1.0)]).collect();
        let matrix = Symmetric::of_rows(8, rows.iter().map(|r| (1.0, r.as_slice())));
        let order = elimination_order(&matrix);
        assert!(order.iter().position(|&u| u == 0) >= Some(6));
        let mut all = order;
        all.sort_unstable();
        assert_eq!(all, (0..8).collect::<Vec<_>>());
    }

    #[test]
    fn unknowns_that_move_alike_stay_together() {
        let rows = [vec![(0, 1.0), (1, 1.0), (3, 2.0)], vec![(1, 1.0), (2, 1.0)]];
        let matrix = Symmetric::of_rows(4, rows.iter().map(|r| (1.0, r.as_slice())));
        assert_eq!(alike(&matrix), [vec![0, 3], vec![1], vec![2]]);
    }
}
