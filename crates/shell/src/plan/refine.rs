//! Nodes put in until every triangle is small enough and none is too thin.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use nalgebra::Point2;

use super::Plan;
use super::error::PlanError;
use super::grade::{Sizes, sharp_corners};
use super::web::{NONE, Reached, Web, twice_area};

/// A triangle is too large when its circle is wider than this times the size wanted there. Even triangles of that size
/// have 0.577; with this the number of nodes comes out as for even triangles.
const WIDEST_CIRCLE: f64 = 0.76;

/// Circle over shortest edge beyond which a triangle is too thin: 26 degrees. Above the 20 that are promised, since what
/// smoothing moves is accepted there only, and under the 28 or so at which refinement runs on.
const THIN: f64 = 1.14;

/// A node nearer to a line than where it sees it under 120 degrees would make a thin triangle there; where the angles
/// matter, 90 degrees, as in Ruppert's proof. Their cosines.
const SEES_120: f64 = -0.5;
const SEES_90: f64 = 0.0;

/// A piece of a line is not halved for size alone while it is no longer than this times what is wanted.
const LONG_ENOUGH: f64 = 1.3;

/// No edge this much shorter than the shortest there was at the start is made thinner for the sake of angles.
const RUNS_ON: f64 = 1.0 / 32.0;

/// A triangle to be mended, worst first.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Bad {
    by: f64,
    thin: bool,
    corners: [u32; 3],
    t: u32,
}

impl Eq for Bad {}

impl Ord for Bad {
    fn cmp(&self, other: &Self) -> Ordering {
        // Thin ones last: what is too large is often cured on the way.
        (other.thin, self.by)
            .partial_cmp(&(self.thin, other.by))
            .unwrap_or(Ordering::Equal)
            .then(other.t.cmp(&self.t))
    }
}

impl PartialOrd for Bad {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

struct Refiner<'a> {
    plan: &'a Plan,
    web: &'a mut Web,
    sizes: &'a Sizes<'a>,
    /// Size wanted at each node.
    at_node: Vec<f64>,
    sharp: Vec<bool>,
    shortest_mm: f64,
    bad: BinaryHeap<Bad>,
}

/// Refines a web whose lines are cut.
pub(super) fn refine(plan: &Plan, web: &mut Web, sizes: &Sizes, most: usize) -> Result<(), PlanError> {
    let shortest = (0..web.triangles.len() as u32)
        .flat_map(|t| edges(web.corners(t)))
        .fold(f64::INFINITY, f64::min);
    let mut refiner = Refiner {
        plan,
        sizes,
        at_node: web.nodes.iter().map(|&at| sizes.at(at)).collect(),
        sharp: sharp_corners(plan),
        shortest_mm: shortest * RUNS_ON,
        bad: BinaryHeap::new(),
        web,
    };
    for t in 0..refiner.web.triangles.len() as u32 {
        refiner.judge(t);
    }
    while let Some(bad) = refiner.bad.pop() {
        if refiner.web.triangles[bad.t as usize].corners != bad.corners {
            continue;
        }
        if refiner.web.nodes.len() >= most {
            return Err(PlanError::OverBudget {
                estimated: refiner.web.nodes.len() + refiner.bad.len().div_ceil(2),
                most,
            });
        }
        refiner.mend(bad);
    }
    Ok(())
}

fn edges([a, b, c]: [Point2<f64>; 3]) -> [f64; 3] {
    [(b - a).norm(), (c - b).norm(), (a - c).norm()]
}

impl Refiner<'_> {
    /// Puts a triangle on the list if it needs mending.
    fn judge(&mut self, t: u32) {
        let corners = self.web.triangles[t as usize].corners;
        let places = self.web.corners(t);
        let lengths = edges(places);
        let [a, b, c] = places;
        let circle_mm = lengths[0] * lengths[1] * lengths[2] / (2.0 * twice_area(a, b, c));
        let mut size_mm = corners
            .iter()
            .map(|&node| self.at_node[node as usize])
            .sum::<f64>()
            / 3.0;
        if circle_mm <= WIDEST_CIRCLE * size_mm {
            let middle = Point2::from((a.coords + b.coords + c.coords) / 3.0);
            size_mm = size_mm.min(self.sizes.at(middle));
        }
        let by_size = circle_mm / (WIDEST_CIRCLE * size_mm);
        let shortest = (0..3).fold(0, |s, i| if lengths[i] < lengths[s] { i } else { s });
        let by_angle = circle_mm / (THIN * lengths[shortest]);
        if by_size > 1.0 {
            self.bad.push(Bad {
                by: by_size,
                thin: false,
                corners,
                t,
            });
        } else if by_angle > 1.0
            && lengths[shortest] > self.shortest_mm
            && !self.is_forced(corners[shortest], corners[(shortest + 1) % 3])
        {
            self.bad.push(Bad {
                by: by_angle,
                thin: true,
                corners,
                t,
            });
        }
    }

    /// Whether a short edge spans a sharp corner, at equal distances along both its lines.
    fn is_forced(&self, a: u32, b: u32) -> bool {
        let [on_a, on_b] = [a, b].map(|node| self.web.on_line[node as usize]);
        if on_a == NONE || on_b == NONE || on_a == on_b {
            return false;
        }
        let (first, second) = (&self.plan.lines[on_a as usize], &self.plan.lines[on_b as usize]);
        let shared = [first.from, first.to]
            .into_iter()
            .find(|&end| end == second.from || end == second.to);
        let Some(corner) = shared.filter(|&corner| self.sharp[corner as usize]) else {
            return false;
        };
        /// Distances on one circle agree to this.
        const SAME_CIRCLE: f64 = 1e-6;
        /// A wedge wider than this chord, 34 degrees, can be filled beyond it without coming back to its corner.
        const NARROW: f64 = 0.6;
        let [at_a, at_b] = [a, b].map(|node| self.web.nodes[node as usize]);
        let [da, db] = [at_a, at_b].map(|at| (at - self.plan.points[corner as usize]).norm());
        (da - db).abs() <= SAME_CIRCLE * da.max(db) && (at_a - at_b).norm() < NARROW * da
    }

    fn mend(&mut self, bad: Bad) {
        let [a, b, c] = self.web.corners(bad.t);
        let Some(at) = self.middle(bad, [a, b, c]) else {
            return;
        };
        let size_mm = self.sizes.at(at);
        match self.web.walk(bad.t, at) {
            Reached::Lost => {}
            Reached::Line(t, i) => {
                if bad.thin || self.length(t, i) > LONG_ENOUGH * size_mm {
                    self.halve_and_judge(t, i, bad);
                }
            }
            Reached::Inside(t) => {
                let sees = if bad.thin { SEES_90 } else { SEES_120 };
                let mut near = self.web.lines_about(t, at);
                near.retain(|&(t, i)| {
                    let [p, q] = self.web.edge(t, i).map(|node| self.web.nodes[node as usize] - at);
                    p.dot(&q) <= sees * p.norm() * q.norm()
                });
                if near.is_empty() {
                    if let Some(node) = self.web.split_triangle(t, at) {
                        self.noted(node);
                    }
                    return;
                }
                // One at a time: halving one may turn the others.
                let long = near
                    .into_iter()
                    .find(|&(t, i)| bad.thin || self.length(t, i) > LONG_ENOUGH * size_mm);
                if let Some((t, i)) = long {
                    self.halve_and_judge(t, i, bad);
                }
            }
        }
    }

    /// The middle of a triangle's circle; for a thin one no farther from its shortest edge than it takes to make a
    /// triangle there that is just not thin (off-centres, Uengor 2004).
    fn middle(&self, bad: Bad, places: [Point2<f64>; 3]) -> Option<Point2<f64>> {
        let [a, b, c] = places;
        let (ab, ac) = (b - a, c - a);
        let twice = 2.0 * ab.perp(&ac);
        let out = (ac * ab.norm_squared() - ab * ac.norm_squared()) / twice;
        // Turned a quarter: the middle lies square to the difference.
        let middle = a + nalgebra::Vector2::new(out.y, -out.x);
        if !middle.iter().all(|v| v.is_finite()) {
            return None;
        }
        if !bad.thin {
            return Some(middle);
        }
        let lengths = edges(places);
        let shortest = (0..3).fold(0, |s, i| if lengths[i] < lengths[s] { i } else { s });
        let start = nalgebra::center(&places[shortest], &places[(shortest + 1) % 3]);
        let off = middle - start;
        let far = lengths[shortest] * (THIN + (THIN * THIN - 0.25).sqrt());
        Some(if off.norm() > far {
            start + off * (far / off.norm())
        } else {
            middle
        })
    }

    fn length(&self, t: u32, i: usize) -> f64 {
        let [p, q] = self.web.edge(t, i).map(|node| self.web.nodes[node as usize]);
        (p - q).norm()
    }

    /// Halves a piece of a line; from a sharp corner, at the power of two nearest the half.
    /// Whether it could be.
    fn halve(&mut self, t: u32, i: usize) -> bool {
        let [from, to] = self.web.edge(t, i);
        let [p, q] = [from, to].map(|node| self.web.nodes[node as usize]);
        let length = (q - p).norm();
        if length <= 2.0 * self.shortest_mm {
            return false;
        }
        let is_sharp = |node: u32| self.sharp.get(node as usize).copied().unwrap_or(false);
        let circle = (length / 2.0).log2().round().exp2();
        let at = match (is_sharp(from), is_sharp(to)) {
            (true, false) => p + (q - p) * (circle / length),
            (false, true) => q + (p - q) * (circle / length),
            _ => nalgebra::center(&p, &q),
        };
        let node = self.web.split_edge(t, i, at);
        node.map(|node| self.noted(node)).is_some()
    }

    /// Halves a piece of a line that is in the way of mending a triangle, which is judged again if it is still there.
    fn halve_and_judge(&mut self, t: u32, i: usize, bad: Bad) {
        if self.halve(t, i) && self.web.triangles[bad.t as usize].corners == bad.corners {
            self.judge(bad.t);
        }
    }

    /// Judges what a new node has made.
    fn noted(&mut self, node: u32) {
        self.at_node.push(self.sizes.at(self.web.nodes[node as usize]));
        for t in self.web.round(node) {
            self.judge(t);
        }
    }
}
