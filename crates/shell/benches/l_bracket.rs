//! Time from a mesh to movements and stresses, beside the bare factorisation of a matrix of the same pattern: what the rest
//! of the analysis adds. The goal is 1.3 times. Loads, ties and answer are those of the bracket in `docs/shell.md`.

#[path = "../tests/shapes/mod.rs"]
mod shapes;

use divan::Bencher;
use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::sparse::linalg::cholesky::SymmetricOrdering;
use faer::sparse::linalg::{amd, cholesky};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side};
use shapes::l_bracket::{LBracket, Spread};
use shell::{Mesh, Model, PER_NODE};

fn main() {
    divan::main();
}

/// Cells that make about 5,000, 20,000, 60,000 and 200,000 unknowns.
const CELLS_MM: [f64; 4] = [2.6, 1.27, 0.727, 0.397];

/// Mesh to movements and stresses.
#[divan::bench(args = CELLS_MM, sample_count = 5, sample_size = 1)]
fn whole_analysis(bencher: Bencher<'_, '_>, cell_mm: f64) {
    let bracket = LBracket::new(cell_mm);
    let load = bracket.load(Spread::Edge);
    bencher.bench(|| {
        let model = Model {
            mesh: bracket.mesh.clone(),
            ties: bracket.built_in(),
            ..Model::default()
        };
        let prepared = shell::prepare(&model).expect("the bracket is held");
        let solution = prepared.solve(&load).expect("the bracket carries its load");
        (
            shell::forces(&model.mesh, &solution.moves),
            solution.moves[bracket.tip() as usize],
        )
    });
}

/// One more load on what has been factored, with its stresses.
#[divan::bench(args = CELLS_MM, sample_count = 5, sample_size = 1)]
fn one_more_load(bencher: Bencher<'_, '_>, cell_mm: f64) {
    let bracket = LBracket::new(cell_mm);
    let load = bracket.load(Spread::Corner);
    let model = Model {
        mesh: bracket.mesh.clone(),
        ties: bracket.built_in(),
        ..Model::default()
    };
    let prepared = shell::prepare(&model).expect("the bracket is held");
    bencher.bench(|| {
        let solution = prepared.solve(&load).expect("the bracket carries its load");
        (
            shell::forces(&model.mesh, &solution.moves),
            solution.moves[bracket.corner() as usize],
        )
    });
}

/// The matrix given: order its nodes, work out the fill, factor, solve once. One thread, as ours.
#[divan::bench(args = CELLS_MM, sample_count = 5, sample_size = 1)]
fn bare_factorisation(bencher: Bencher<'_, '_>, cell_mm: f64) {
    let matrix = Matrix::like(&LBracket::new(cell_mm).mesh);
    bencher.bench(|| matrix.factored_and_solved());
}

/// A positive definite matrix with six unknowns at each node, coupled where nodes share a triangle.
struct Matrix {
    nodes: Graph,
    /// Lower half by columns.
    start: Vec<u32>,
    rows: Vec<u32>,
    values: Vec<f64>,
}

/// Later neighbours of each node.
struct Graph {
    start: Vec<u32>,
    neighbours: Vec<u32>,
}

impl Matrix {
    fn like(mesh: &Mesh) -> Self {
        let count = mesh.nodes.len();
        let mut pairs: Vec<(u32, u32)> = mesh
            .triangles
            .iter()
            .flat_map(|[a, b, c]| [(*a, *b), (*b, *c), (*c, *a)])
            .map(|(a, b)| (a.min(b), a.max(b)))
            .collect();
        pairs.sort_unstable();
        pairs.dedup();
        let mut start = vec![0_u32; count + 1];
        for (a, _) in &pairs {
            start[*a as usize + 1] += 1;
        }
        for node in 0..count {
            start[node + 1] += start[node];
        }
        let neighbours = pairs.iter().map(|(_, b)| *b).collect();
        let nodes = Graph { start, neighbours };
        let mut matrix = Self {
            start: vec![0],
            rows: Vec::new(),
            values: Vec::new(),
            nodes,
        };
        for node in 0..count {
            for column in 0..PER_NODE {
                matrix.column(node, column);
            }
        }
        matrix
    }

    /// Ones that fall off between unknowns, and a diagonal that outweighs its row.
    fn column(&mut self, node: usize, column: usize) {
        let own = (column..PER_NODE).map(|row| (node as u32, row));
        let ends = self.nodes.start[node] as usize..self.nodes.start[node + 1] as usize;
        let others = self.nodes.neighbours[ends]
            .iter()
            .flat_map(|n| (0..PER_NODE).map(move |row| (*n, row)));
        for (other, row) in own.chain(others) {
            let diagonal = other as usize == node && row == column;
            self.rows.push(other * PER_NODE as u32 + row as u32);
            let apart = 1.0 + row.abs_diff(column) as f64;
            self.values.push(if diagonal { 100.0 } else { -1.0 / apart });
        }
        self.start.push(self.rows.len() as u32);
    }

    fn factored_and_solved(&self) -> f64 {
        let size = self.start.len() - 1;
        let order = self.nodes.order();
        let mut forward = Vec::with_capacity(size);
        let mut inverse = vec![0_u32; size];
        for node in order {
            for row in 0..PER_NODE as u32 {
                inverse[(node * PER_NODE as u32 + row) as usize] = forward.len() as u32;
                forward.push(node * PER_NODE as u32 + row);
            }
        }
        let order = faer::perm::PermRef::new_checked(&forward, &inverse, size);
        let pattern = SymbolicSparseColMatRef::new_checked(size, size, &self.start, None, &self.rows);
        let symbolic = cholesky::factorize_symbolic_cholesky(
            pattern,
            Side::Lower,
            SymmetricOrdering::Custom(order),
            Default::default(),
        )
        .expect("memory for the pattern");
        let mut values = vec![0.0; symbolic.len_val()];
        let mut memory = MemBuffer::new(
            symbolic
                .factorize_numeric_llt_scratch::<f64>(Par::Seq, Default::default())
                .or(symbolic.solve_in_place_scratch::<f64>(1, Par::Seq)),
        );
        let factor = symbolic
            .factorize_numeric_llt(
                &mut values,
                SparseColMatRef::new(pattern, &self.values),
                Side::Lower,
                LltRegularization::default(),
                Par::Seq,
                MemStack::new(&mut memory),
                Default::default(),
            )
            .expect("the matrix is positive definite");
        let mut x = vec![1.0; size];
        factor.solve_in_place_with_conj(
            Conj::No,
            MatMut::from_column_major_slice_mut(&mut x, size, 1),
            Par::Seq,
            MemStack::new(&mut memory),
        );
        x[0]
    }
}

impl Graph {
    /// Nodes in the order of approximate minimum degree.
    fn order(&self) -> Vec<u32> {
        let count = self.start.len() - 1;
        let graph = SymbolicSparseColMatRef::new_checked(count, count, &self.start, None, &self.neighbours);
        let (mut forward, mut inverse) = (vec![0_u32; count], vec![0_u32; count]);
        let mut memory = MemBuffer::new(amd::order_scratch::<u32>(count, self.neighbours.len()));
        amd::order(
            &mut forward,
            &mut inverse,
            graph,
            amd::Control::default(),
            MemStack::new(&mut memory),
        )
        .expect("memory for the order");
        forward
    }
}
