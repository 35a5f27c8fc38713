//! Which facet lies before which: the mesh as the eye sees it, in layers to be painted from the back.

use nalgebra::Point3;
use plane::Point;

use crate::folded::views::Picture;

/// A facet whose picture is smaller than this is seen end on, mm2 on paper.
const END_ON_MM2: f64 = 1e-4;
/// Two pictures that share less than this only touch, mm2 on paper.
const TOUCH_MM2: f64 = 1e-4;
/// Depths nearer to each other than this are alike, mm on paper.
const ALIKE_MM: f64 = 0.02;
/// No shell that can be bent from plate stands this many deep; facets that seem to hide each other in a ring stop here.
const MOST_DEEP: usize = 64;

/// A triangle in the picture.
#[derive(Debug, Clone)]
pub(super) struct Facet {
    /// Which triangle of the mesh.
    pub triangle: usize,
    /// Its corners as the mesh has them, and where they fall on paper; clockwise on paper seen with y downward.
    pub corners: [(usize, Point); 3],
    /// Which corner of the triangle each is.
    pub which: [usize; 3],
    /// Nearness to the eye at each corner, mm on paper.
    near: [f64; 3],
    /// Whether the triangle's own normal looks at the eye.
    pub faces_eye: bool,
    /// How many facets deep behind others; 0 is in front.
    pub layer: usize,
}

impl Facet {
    fn points(&self) -> [Point; 3] {
        self.corners.map(|(_, at)| at)
    }

    fn near_at(&self, at: Point) -> f64 {
        let [a, b, c] = self.points();
        let whole = (b - a).perp(&(c - a));
        let of_b = (at - a).perp(&(c - a)) / whole;
        let of_c = (b - a).perp(&(at - a)) / whole;
        self.near[0] + of_b * (self.near[1] - self.near[0]) + of_c * (self.near[2] - self.near[0])
    }

    fn holds(&self, at: Point) -> bool {
        let [a, b, c] = self.points();
        [(a, b), (b, c), (c, a)]
            .into_iter()
            .all(|(from, to)| (to - from).perp(&(at - from)) >= 0.0)
    }
}

/// The mesh in one picture.
pub(super) struct Layers {
    pub facets: Vec<Facet>,
    grid: Grid,
}

impl Layers {
    /// Puts every triangle that is not seen end on into its layer.
    pub fn of(picture: &Picture, points_mm: &[Point3<f64>], triangles: &[[u32; 3]]) -> Self {
        let mut facets: Vec<Facet> = triangles
            .iter()
            .enumerate()
            .filter_map(|(triangle, corners)| facet(picture, points_mm, triangle, *corners))
            .collect();
        let grid = Grid::of(&facets);
        let mut hides: Vec<(usize, usize)> = Vec::new();
        for (one, other) in grid.pairs() {
            if let Some(near) = nearer(&facets[one], &facets[other]) {
                hides.push(if near { (one, other) } else { (other, one) });
            }
        }
        for _ in 0..MOST_DEEP {
            let mut settled = true;
            for &(before, behind) in &hides {
                let deep = facets[before].layer + 1;
                if facets[behind].layer < deep && deep <= MOST_DEEP {
                    facets[behind].layer = deep;
                    settled = false;
                }
            }
            if settled {
                break;
            }
        }
        Self { facets, grid }
    }

    /// How many layers there are.
    pub fn count(&self) -> usize {
        self.facets.iter().map(|facet| facet.layer + 1).max().unwrap_or(0)
    }

    /// Whether nothing lies more than `clear_mm` (on paper) nearer to the eye.
    pub fn in_sight(&self, at: Point, near_mm: f64, clear_mm: f64) -> bool {
        !self.grid.at(at).iter().any(|&index| {
            let facet = &self.facets[index];
            facet.holds(at) && facet.near_at(at) > near_mm + clear_mm
        })
    }

    /// Whether any facet lies at this place of the paper.
    pub fn covers(&self, at: Point) -> bool {
        self.grid.at(at).iter().any(|&index| self.facets[index].holds(at))
    }

    /// Whether a point on this layer, or what lies at it, is the front one.
    pub fn front_at(&self, at: Point, layer: usize) -> bool {
        !self.grid.at(at).iter().any(|&index| {
            let facet = &self.facets[index];
            facet.layer < layer && facet.holds(at)
        })
    }
}

/// Nearness to the eye, mm on paper.
pub(super) fn near_mm(picture: &Picture, at: &Point3<f64>) -> f64 {
    picture.eye.near(at) * picture.factor
}

fn facet(picture: &Picture, points_mm: &[Point3<f64>], triangle: usize, corners: [u32; 3]) -> Option<Facet> {
    let nodes = corners.map(|corner| corner as usize);
    let at = nodes.map(|node| picture.on_paper(&points_mm[node]));
    let twice = (at[1] - at[0]).perp(&(at[2] - at[0]));
    if twice.abs() < 2.0 * END_ON_MM2 {
        return None;
    }
    // y is downward on paper: a triangle that runs counter-clockwise seen from its own side turns clockwise there.
    let faces_eye = twice < 0.0;
    let which = if faces_eye { [0, 2, 1] } else { [0, 1, 2] };
    Some(Facet {
        triangle,
        corners: which.map(|corner| (nodes[corner], at[corner])),
        which,
        near: which.map(|corner| near_mm(picture, &points_mm[nodes[corner]])),
        faces_eye,
        layer: 0,
    })
}

/// Whether the first is nearer where both are seen; `None` when they do not overlap or lie at one depth.
fn nearer(one: &Facet, other: &Facet) -> Option<bool> {
    let (ring, clip) = (one.points(), other.points());
    if apart(&ring, &clip) || apart(&clip, &ring) {
        return None;
    }
    let mut shared: Vec<Point> = ring.to_vec();
    for side in 0..3 {
        let (from, to) = (clip[side], clip[(side + 1) % 3]);
        shared = left_of(&shared, from, to);
        if shared.len() < 3 {
            return None;
        }
    }
    let twice: f64 = (1..shared.len() - 1)
        .map(|index| (shared[index] - shared[0]).perp(&(shared[index + 1] - shared[0])))
        .sum();
    if twice < 2.0 * TOUCH_MM2 {
        return None;
    }
    let sum = shared
        .iter()
        .fold(plane::Vector::zeros(), |sum, at| sum + at.coords);
    let middle = Point::from(sum / shared.len() as f64);
    let ahead = one.near_at(middle) - other.near_at(middle);
    (ahead.abs() > ALIKE_MM).then_some(ahead > 0.0)
}

/// Whether a side of the first has all of the second beyond it or on it: so it is with neighbours, and with most pairs.
fn apart(one: &[Point; 3], other: &[Point; 3]) -> bool {
    (0..3).any(|side| {
        let (from, to) = (one[side], one[(side + 1) % 3]);
        other.iter().all(|at| (to - from).perp(&(at - from)) <= 0.0)
    })
}

/// What of a convex ring lies to the left of a line (Sutherland and Hodgman's clip of one side).
fn left_of(ring: &[Point], from: Point, to: Point) -> Vec<Point> {
    let side = |at: Point| (to - from).perp(&(at - from));
    let mut kept = Vec::with_capacity(ring.len() + 1);
    for (index, &here) in ring.iter().enumerate() {
        let next = ring[(index + 1) % ring.len()];
        let (now, then) = (side(here), side(next));
        if now >= 0.0 {
            kept.push(here);
        }
        if (now > 0.0 && then < 0.0) || (now < 0.0 && then > 0.0) {
            kept.push(here + (next - here) * (now / (now - then)));
        }
    }
    kept
}

/// Facets by square of paper.
struct Grid {
    low: Point,
    cell_mm: f64,
    columns: usize,
    rows: usize,
    cells: Vec<Vec<usize>>,
    lows: Vec<(usize, usize)>,
}

impl Grid {
    fn of(facets: &[Facet]) -> Self {
        let bounds = crate::frame::around(facets.iter().flat_map(Facet::points))
            .unwrap_or(crate::frame::Frame::new(0.0, 0.0, 1.0, 1.0));
        // About as many squares as facets.
        let cell_mm = (bounds.width * bounds.height / facets.len().max(1) as f64)
            .sqrt()
            .max(0.5);
        let columns = (bounds.width / cell_mm).floor() as usize + 1;
        let rows = (bounds.height / cell_mm).floor() as usize + 1;
        let mut grid = Self {
            low: Point::new(bounds.left, bounds.top),
            cell_mm,
            columns,
            rows,
            cells: vec![Vec::new(); columns * rows],
            lows: Vec::with_capacity(facets.len()),
        };
        for (index, facet) in facets.iter().enumerate() {
            let [a, b, c] = facet.points();
            let (low_column, low_row) = grid.cell(Point::new(a.x.min(b.x).min(c.x), a.y.min(b.y).min(c.y)));
            let (high_column, high_row) = grid.cell(Point::new(a.x.max(b.x).max(c.x), a.y.max(b.y).max(c.y)));
            for row in low_row..=high_row {
                for column in low_column..=high_column {
                    grid.cells[row * columns + column].push(index);
                }
            }
            grid.lows.push((low_column, low_row));
        }
        grid
    }

    fn cell(&self, at: Point) -> (usize, usize) {
        let step = |length: f64, count: usize| ((length / self.cell_mm).max(0.0) as usize).min(count - 1);
        (
            step(at.x - self.low.x, self.columns),
            step(at.y - self.low.y, self.rows),
        )
    }

    fn at(&self, at: Point) -> &[usize] {
        let (column, row) = self.cell(at);
        &self.cells[row * self.columns + column]
    }

    /// Every pair that may overlap, once: in the square where both have begun.
    fn pairs(&self) -> impl Iterator<Item = (usize, usize)> {
        self.cells.iter().enumerate().flat_map(move |(index, cell)| {
            let here = (index % self.columns, index / self.columns);
            cell.iter().enumerate().flat_map(move |(rank, &one)| {
                cell[rank + 1..].iter().filter_map(move |&other| {
                    let (a, b) = (self.lows[one], self.lows[other]);
                    ((a.0.max(b.0), a.1.max(b.1)) == here).then_some((one, other))
                })
            })
        })
    }
}
