//! From the matrices of triangles, springs and seats to one sparse matrix over the free unknowns.
//!
//! Unknowns of a node that take part are numbered one after the other, so the matrix consists of small full blocks, and
//! a block is looked up once for each pair of nodes of an element. Everything is added in the order of the elements, by
//! one thread, so that the same model gives the same bytes.

use crate::{PER_NODE, factor::Lower, order::order, reduce::LOOSE, reduce::Reduction};

/// Marks a node that takes no part.
const NO_BLOCK: u32 = u32::MAX;

/// Where the matrix over the free unknowns has values: the lower half by columns, in blocks of nodes.
#[derive(Debug)]
pub(crate) struct Pattern {
    /// For each column where it starts; one more at the end.
    start: Vec<u32>,
    /// Rows, rising in each column.
    rows: Vec<u32>,
    /// For each free unknown its block.
    block_of: Vec<u32>,
    /// First unknown of each block; one more at the end.
    first: Vec<u32>,
    /// For each block where its neighbours start; one more at the end.
    neighbours_start: Vec<u32>,
    /// Blocks with a higher number that a block has values with, rising.
    neighbours: Vec<u32>,
    /// For each neighbour, how many rows lie between the block and it in each column.
    skip: Vec<u32>,
    /// For each free unknown its place in the nodes.
    place_of: Vec<u32>,
}

/// Neighbouring unknowns of one block in a list.
#[derive(Debug, Clone, Copy)]
struct Run {
    block: u32,
    begin: usize,
    end: usize,
}

/// Calls back with each node of an item.
type NodesOf<'a> = dyn Fn(usize, &mut dyn FnMut(u32)) + 'a;

/// What can be assembled: for each item, the places in the nodes of its unknowns.
pub(crate) struct Items<'a> {
    /// Number of items.
    pub(crate) count: usize,
    /// Calls back with each node of an item.
    pub(crate) nodes_of: &'a NodesOf<'a>,
}

/// The nodes of each item that its unknowns hang on.
struct Cliques {
    start: Vec<u32>,
    nodes: Vec<u32>,
}

impl Cliques {
    fn new(items: &Items<'_>, reduction: &Reduction, takes_part: &mut [bool]) -> Self {
        let mut start = vec![0];
        let mut nodes: Vec<u32> = Vec::new();
        for item in 0..items.count {
            let first = nodes.len();
            (items.nodes_of)(item, &mut |node| {
                for axis in 0..PER_NODE {
                    for &(place, _) in reduction.terms(node as usize * PER_NODE + axis) {
                        takes_part[place as usize] = true;
                        let followed = place / PER_NODE as u32;
                        if nodes.len() == first || nodes.last() != Some(&followed) {
                            nodes.push(followed);
                        }
                    }
                }
            });
            nodes[first..].sort_unstable();
            let mut kept = first;
            for at in first..nodes.len() {
                if at == first || nodes[at] != nodes[kept - 1] {
                    nodes[kept] = nodes[at];
                    kept += 1;
                }
            }
            nodes.truncate(kept);
            start.push(nodes.len() as u32);
        }
        Self { start, nodes }
    }

    fn of(&self, item: usize) -> &[u32] {
        &self.nodes[self.start[item] as usize..self.start[item + 1] as usize]
    }

    /// For each node, the higher ones it shares an item with, rising.
    fn graph(&self, nodes: usize) -> (Vec<u32>, Vec<u32>) {
        let mut touching_start = vec![0_u32; nodes + 1];
        for &node in &self.nodes {
            touching_start[node as usize + 1] += 1;
        }
        for node in 0..nodes {
            touching_start[node + 1] += touching_start[node];
        }
        let mut next = touching_start.clone();
        let mut touching = vec![0_u32; self.nodes.len()];
        for item in 0..self.start.len() - 1 {
            for &node in self.of(item) {
                touching[next[node as usize] as usize] = item as u32;
                next[node as usize] += 1;
            }
        }
        let mut seen = vec![NO_BLOCK; nodes];
        let mut start = vec![0_u32];
        let mut neighbours: Vec<u32> = Vec::new();
        for node in 0..nodes as u32 {
            let first = neighbours.len();
            let ends = touching_start[node as usize] as usize..touching_start[node as usize + 1] as usize;
            for &item in &touching[ends] {
                for &other in self.of(item as usize) {
                    if other > node && seen[other as usize] != node {
                        seen[other as usize] = node;
                        neighbours.push(other);
                    }
                }
            }
            neighbours[first..].sort_unstable();
            start.push(neighbours.len() as u32);
        }
        (start, neighbours)
    }
}

impl Pattern {
    /// Numbers the free unknowns of a reduction in an order that keeps the factor small, and lays out the matrix. The
    /// terms of the reduction are by place before, and by number of the unknown after. `None` when memory runs out.
    pub(crate) fn new(items: &Items<'_>, reduction: &mut Reduction) -> Option<Self> {
        let places = reduction.offset.len();
        let nodes = places / PER_NODE;
        let mut takes_part = vec![false; places];
        let cliques = Cliques::new(items, reduction, &mut takes_part);
        let (start, neighbours) = cliques.graph(nodes);
        let order = order(&start, &neighbours)?;

        let mut number_of = vec![LOOSE; places];
        let mut block_of_node = vec![NO_BLOCK; nodes];
        let (mut first, mut block_of, mut place_of) = (vec![0_u32], Vec::new(), Vec::new());
        for &node in &order {
            let block = first.len() as u32 - 1;
            for place in node as usize * PER_NODE..(node as usize + 1) * PER_NODE {
                if takes_part[place] {
                    number_of[place] = place_of.len() as u32;
                    place_of.push(place as u32);
                    block_of.push(block);
                }
            }
            if place_of.len() as u32 > first[block as usize] {
                block_of_node[node as usize] = block;
                first.push(place_of.len() as u32);
            }
        }
        reduction.number(&number_of);

        let (neighbours_start, neighbours) = renumbered(&start, &neighbours, &block_of_node, first.len() - 1);
        let mut pattern = Self {
            start: vec![0],
            rows: Vec::new(),
            block_of,
            first,
            neighbours_start,
            neighbours,
            skip: Vec::new(),
            place_of,
        };
        pattern.lay_out();
        Some(pattern)
    }

    /// Fills in rows and skips.
    fn lay_out(&mut self) {
        for block in 0..self.first.len() - 1 {
            let own = self.first[block]..self.first[block + 1];
            let neighbours = self.neighbours_start[block] as usize..self.neighbours_start[block + 1] as usize;
            let mut skip = 0;
            for &neighbour in &self.neighbours[neighbours.clone()] {
                self.skip.push(skip);
                skip += self.first[neighbour as usize + 1] - self.first[neighbour as usize];
            }
            for column in own.clone() {
                self.rows.extend(column..own.end);
                for &neighbour in &self.neighbours[neighbours.clone()] {
                    self.rows
                        .extend(self.first[neighbour as usize]..self.first[neighbour as usize + 1]);
                }
                self.start.push(self.rows.len() as u32);
            }
        }
    }

    /// Number of free unknowns.
    pub(crate) fn unknowns(&self) -> usize {
        self.place_of.len()
    }

    /// Values of the matrix, all zero.
    pub(crate) fn zeros(&self) -> Vec<f64> {
        vec![0.0; self.rows.len()]
    }

    /// The place in the nodes of a free unknown.
    pub(crate) fn place(&self, unknown: usize) -> usize {
        self.place_of[unknown] as usize
    }

    /// The matrix with given values.
    pub(crate) fn with<'a>(&'a self, values: &'a [f64]) -> Lower<'a> {
        Lower {
            start: &self.start,
            rows: &self.rows,
            values,
        }
    }

    /// Where the diagonal value of an unknown stands.
    pub(crate) fn diagonal(&self, unknown: usize) -> usize {
        self.start[unknown] as usize
    }

    /// How many rows lie between a block and one with a higher number in each of its columns.
    fn skip_to(&self, block: u32, other: u32) -> u32 {
        let ends = self.neighbours_start[block as usize] as usize
            ..self.neighbours_start[block as usize + 1] as usize;
        let at = self.neighbours[ends.clone()]
            .binary_search(&other)
            .expect("two nodes of one element are neighbours in the pattern made of all elements");
        self.skip[ends.start + at]
    }

    /// Adds a symmetric matrix over free unknowns, given by columns. [`LOOSE`] among them takes no part; no other may
    /// stand twice.
    fn add(&self, values: &mut [f64], unknowns: &[u32], matrix: &[f64]) {
        let size = unknowns.len();
        let mut runs = [Run {
            block: NO_BLOCK,
            begin: 0,
            end: 0,
        }; 16];
        let mut count = 0;
        // Runs of unknowns of one block, for as long as they fit; else all are looked up one by one.
        for (at, &unknown) in unknowns.iter().enumerate() {
            let block = if unknown == LOOSE {
                NO_BLOCK
            } else {
                self.block_of[unknown as usize]
            };
            if count > 0 && runs[count - 1].block == block {
                runs[count - 1].end = at + 1;
            } else if count < runs.len() {
                runs[count] = Run {
                    block,
                    begin: at,
                    end: at + 1,
                };
                count += 1;
            } else {
                return self.add_singly(values, unknowns, matrix);
            }
        }
        let runs = &runs[..count];
        for own in runs.iter().filter(|run| run.block != NO_BLOCK) {
            let end = self.first[own.block as usize + 1];
            for other in runs
                .iter()
                .filter(|run| run.block != NO_BLOCK && run.block >= own.block)
            {
                let other_first = self.first[other.block as usize];
                // How far the rows of the other block lie below the block's own, the same in each of its columns.
                let skip = if other.block == own.block {
                    0
                } else {
                    self.skip_to(own.block, other.block)
                };
                for column_at in own.begin..own.end {
                    let column = unknowns[column_at];
                    let start = self.start[column as usize] as usize;
                    for row_at in other.begin..other.end {
                        let row = unknowns[row_at];
                        let at = if other.block != own.block {
                            start + (end - column + skip + row - other_first) as usize
                        } else if row >= column {
                            start + (row - column) as usize
                        } else {
                            continue;
                        };
                        values[at] += matrix[size * column_at + row_at];
                    }
                }
            }
        }
    }

    /// As [`Self::add`], for many unknowns.
    fn add_singly(&self, values: &mut [f64], unknowns: &[u32], matrix: &[f64]) {
        let size = unknowns.len();
        for (column_at, &column) in unknowns.iter().enumerate() {
            for (row_at, &row) in unknowns.iter().enumerate() {
                if column == LOOSE || row == LOOSE || row < column {
                    continue;
                }
                let (block, other) = (self.block_of[column as usize], self.block_of[row as usize]);
                let start = self.start[column as usize] as usize;
                let below = if block == other {
                    row - column
                } else {
                    self.first[block as usize + 1] - column + self.skip_to(block, other) + row
                        - self.first[other as usize]
                };
                let at = start + below as usize;
                values[at] += matrix[size * column_at + row_at];
            }
        }
    }

    /// Adds the symmetric matrix, by columns, of an item whose unknowns are all six of some nodes, through a reduction:
    /// `T^T K T`.
    pub(crate) fn add_reduced(
        &self,
        values: &mut [f64],
        reduction: &Reduction,
        nodes: &[u32],
        matrix: &[f64],
    ) {
        let mut unknowns = [LOOSE; 3 * PER_NODE];
        let plain = nodes.len() <= 3
            && nodes.iter().enumerate().all(|(at, &node)| {
                (0..PER_NODE).all(|axis| match reduction.terms(node as usize * PER_NODE + axis) {
                    [] => true,
                    [(unknown, share)]
                        if *share == 1.0 && !reduction.is_tied(node as usize * PER_NODE + axis) =>
                    {
                        unknowns[at * PER_NODE + axis] = *unknown;
                        true
                    }
                    _ => false,
                })
            });
        if plain {
            return self.add(values, &unknowns[..nodes.len() * PER_NODE], matrix);
        }
        let places = || {
            nodes
                .iter()
                .flat_map(|&node| (0..PER_NODE).map(move |axis| node as usize * PER_NODE + axis))
        };
        let mut unknowns: Vec<u32> = places()
            .flat_map(|place| reduction.terms(place).iter().map(|&(unknown, _)| unknown))
            .filter(|&unknown| unknown != LOOSE)
            .collect();
        unknowns.sort_unstable();
        unknowns.dedup();
        let shares: Vec<Vec<(usize, f64)>> = places()
            .map(|place| {
                reduction
                    .terms(place)
                    .iter()
                    .filter_map(|&(unknown, share)| {
                        unknowns.binary_search(&unknown).ok().map(|at| (at, share))
                    })
                    .collect()
            })
            .collect();
        let size = unknowns.len();
        let mut reduced = vec![0.0; size * size];
        for (j, of_column) in shares.iter().enumerate() {
            for (i, of_row) in shares.iter().enumerate() {
                let value = matrix[shares.len() * j + i];
                if value != 0.0 {
                    for &(column, column_share) in of_column {
                        for &(row, row_share) in of_row {
                            reduced[size * column + row] += row_share * value * column_share;
                        }
                    }
                }
            }
        }
        self.add(values, &unknowns, &reduced);
    }
}

/// A graph by higher neighbours with its nodes numbered anew; those without a new number fall away.
fn renumbered(start: &[u32], neighbours: &[u32], new_of: &[u32], count: usize) -> (Vec<u32>, Vec<u32>) {
    let pairs = || {
        (0..start.len() - 1).flat_map(move |node| {
            neighbours[start[node] as usize..start[node + 1] as usize]
                .iter()
                .filter_map(move |&other| {
                    let (one, other) = (new_of[node], new_of[other as usize]);
                    (one != NO_BLOCK && other != NO_BLOCK).then(|| (one.min(other), one.max(other)))
                })
        })
    };
    let mut new_start = vec![0_u32; count + 1];
    for (low, _) in pairs() {
        new_start[low as usize + 1] += 1;
    }
    for node in 0..count {
        new_start[node + 1] += new_start[node];
    }
    let mut next = new_start.clone();
    let mut new_neighbours = vec![0_u32; new_start[count] as usize];
    for (low, high) in pairs() {
        new_neighbours[next[low as usize] as usize] = high;
        next[low as usize] += 1;
    }
    for node in 0..count {
        new_neighbours[new_start[node] as usize..new_start[node + 1] as usize].sort_unstable();
    }
    (new_start, new_neighbours)
}
