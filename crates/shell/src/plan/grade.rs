//! How large triangles are wanted, how many that makes, and the lines cut accordingly.

use std::cell::Cell;

use nalgebra::Point2;

use super::Plan;
use super::error::PlanError;
use super::web::{Web, twice_area};

/// A last piece of a line that is shorter than this share of what is wanted is given to the others.
const SPARE_PIECE: f64 = 0.2;

/// Lines that meet at less than this are cut on common circles about their corner: under 60 degrees, a node on one would
/// otherwise lead to one on the other and back for ever.
const SHARP_RAD: f64 = 1.06;

/// At a sharp corner a line is cut as far out as the shortest there is long, if it is longer than this times that. Above
/// 2, so that a line between two such corners has room for both cuts.
const MUCH_LONGER: f64 = 2.1;

/// Into how many pieces the material is cut at most, to sum up how many nodes it takes.
const QUADRATURE_PIECES: f64 = 4096.0;

/// The sizes wanted, and the first that made no sense.
pub(super) struct Sizes<'a> {
    wanted: &'a dyn Fn(Point2<f64>) -> f64,
    wrong: Cell<Option<(Point2<f64>, f64)>>,
}

impl<'a> Sizes<'a> {
    pub fn new(wanted: &'a dyn Fn(Point2<f64>) -> f64) -> Self {
        Sizes {
            wanted,
            wrong: Cell::new(None),
        }
    }

    /// Length of edges wanted at a place. A size that makes no sense limits nothing, and is told by [`Sizes::check`].
    pub fn at(&self, at: Point2<f64>) -> f64 {
        let size_mm = (self.wanted)(at);
        if size_mm > 0.0 {
            return size_mm;
        }
        if self.wrong.get().is_none() {
            self.wrong.set(Some((at, size_mm)));
        }
        f64::INFINITY
    }

    pub fn check(&self) -> Result<(), PlanError> {
        match self.wrong.get() {
            Some((at, size_mm)) => Err(PlanError::Size { at, size_mm }),
            None => Ok(()),
        }
    }
}

/// Refuses a plan that would take too many nodes.
pub(super) fn check_budget(plan: &Plan, web: &Web, sizes: &Sizes, most: usize) -> Result<(), PlanError> {
    let nodes = nodes_about(plan, web, sizes)?;
    if nodes > most as f64 {
        return Err(PlanError::OverBudget {
            estimated: nodes as usize,
            most,
        });
    }
    Ok(())
}

/// About how many nodes a plan takes: the integral of 2/sqrt(3) / size^2 over the material, as in even triangles, and
/// half a node for each piece of a line.
pub(super) fn nodes_about(plan: &Plan, web: &Web, sizes: &Sizes) -> Result<f64, PlanError> {
    let area = |[a, b, c]: [Point2<f64>; 3]| twice_area(a, b, c) / 2.0;
    let whole: f64 = (0..web.triangles.len() as u32)
        .map(|t| area(web.corners(t)))
        .sum();
    let mut nodes = 0.0;
    let mut open: Vec<[Point2<f64>; 3]> = (0..web.triangles.len() as u32).map(|t| web.corners(t)).collect();
    while let Some(piece) = open.pop() {
        let [a, b, c] = piece;
        let middle = Point2::from((a.coords + b.coords + c.coords) / 3.0);
        let size_mm = sizes.at(middle);
        let longest = (b - a).norm().max((c - b).norm()).max((a - c).norm());
        if longest > 2.0 * size_mm && area(piece) > whole / QUADRATURE_PIECES {
            // Over the longest edge, so that pieces become round.
            let [a, b, c] = [[a, b, c], [b, c, a], [c, a, b]]
                .into_iter()
                .max_by(|p, q| (p[1] - p[0]).norm().total_cmp(&(q[1] - q[0]).norm()))
                .unwrap_or(piece);
            let m = nalgebra::center(&a, &b);
            open.extend([[a, m, c], [m, b, c]]);
        } else {
            nodes += area(piece) * 2.0 / 3.0_f64.sqrt() / (size_mm * size_mm);
        }
    }
    for line in &plan.lines {
        let ends = [line.from, line.to].map(|end| plan.points[end as usize]);
        nodes += Measure::along(ends, sizes).total() / 2.0;
    }
    sizes.check()?;
    Ok(nodes)
}

/// A stretch measured in wanted edge lengths.
struct Measure {
    /// At even steps, wanted lengths from the start.
    counts: Vec<f64>,
}

impl Measure {
    fn along([from, to]: [Point2<f64>; 2], sizes: &Sizes) -> Measure {
        const FEWEST_STEPS: f64 = 8.0;
        const MOST_STEPS: f64 = 512.0;
        let length = (to - from).norm();
        let smallest = [0.0, 0.25, 0.5, 0.75, 1.0]
            .map(|share| sizes.at(from + (to - from) * share))
            .into_iter()
            .fold(f64::INFINITY, f64::min);
        let steps = (2.0 * length / smallest).ceil().clamp(FEWEST_STEPS, MOST_STEPS) as usize;
        let step = length / steps as f64;
        let mut counts = vec![0.0];
        let mut count = 0.0;
        for i in 0..steps {
            let middle = from + (to - from) * ((i as f64 + 0.5) / steps as f64);
            count += step / sizes.at(middle);
            counts.push(count);
        }
        Measure { counts }
    }

    fn total(&self) -> f64 {
        self.counts[self.counts.len() - 1]
    }

    /// Where to cut, as shares of the stretch.
    fn cuts(&self) -> Vec<f64> {
        let total = self.total();
        let pieces = (total - SPARE_PIECE).ceil().max(1.0) as usize;
        let steps = self.counts.len() - 1;
        (1..pieces)
            .map(|k| {
                let count = total * k as f64 / pieces as f64;
                let i = self.counts.partition_point(|&c| c < count).clamp(1, steps);
                let (low, high) = (self.counts[i - 1], self.counts[i]);
                let within = if high > low {
                    (count - low) / (high - low)
                } else {
                    0.5
                };
                (i as f64 - 1.0 + within) / steps as f64
            })
            .collect()
    }
}

/// For each point, whether two lines meet there at a sharp angle.
pub(super) fn sharp_corners(plan: &Plan) -> Vec<bool> {
    let mut out: Vec<Vec<f64>> = vec![Vec::new(); plan.points.len()];
    for line in &plan.lines {
        let along = plan.points[line.to as usize] - plan.points[line.from as usize];
        out[line.from as usize].push(along.y.atan2(along.x));
        out[line.to as usize].push((-along.y).atan2(-along.x));
    }
    out.iter_mut()
        .map(|angles| {
            angles.sort_by(f64::total_cmp);
            let first = angles.first().map(|angle| angle + std::f64::consts::TAU);
            let next = angles.iter().skip(1).copied().chain(first);
            angles.len() > 1 && angles.iter().zip(next).any(|(a, b)| b - a < SHARP_RAD)
        })
        .collect()
}

/// Cuts every line into pieces of about the size wanted along it.
pub(super) fn cut_lines(plan: &Plan, web: &mut Web, sizes: &Sizes, most: usize) -> Result<(), PlanError> {
    let sharp = sharp_corners(plan);
    let place = |point: u32| plan.points[point as usize];
    let mut first_cut_mm: Vec<f64> = plan.points.iter().map(|&at| sizes.at(at)).collect();
    for line in &plan.lines {
        let length = (place(line.to) - place(line.from)).norm();
        for end in [line.from, line.to] {
            first_cut_mm[end as usize] = first_cut_mm[end as usize].min(length);
        }
    }
    for line in &plan.lines {
        let (from, to) = (place(line.from), place(line.to));
        let length = (to - from).norm();
        let near = |end: u32| {
            let cut_mm = first_cut_mm[end as usize];
            if sharp[end as usize] && length > MUCH_LONGER * cut_mm {
                cut_mm / length
            } else {
                0.0
            }
        };
        let (start, end) = (near(line.from), 1.0 - near(line.to));
        let at = |share: f64| from + (to - from) * share;
        let mut cuts = Vec::new();
        if start > 0.0 {
            cuts.push(start);
        }
        let between = Measure::along([at(start), at(end)], sizes).cuts();
        cuts.extend(between.iter().map(|share| start + (end - start) * share));
        if end < 1.0 {
            cuts.push(end);
        }
        if web.nodes.len() + cuts.len() > most {
            return Err(PlanError::OverBudget {
                estimated: web.nodes.len() + cuts.len(),
                most,
            });
        }
        let mut last = line.from;
        for share in cuts {
            // A line with nothing beside it, or a cut lost to rounding, stays as it is.
            if let Some((t, i)) = web.find_edge(last, line.to)
                && let Some(node) = web.split_edge(t, i, at(share))
            {
                last = node;
            }
        }
    }
    sizes.check()
}
