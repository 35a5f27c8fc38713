//! The pose whose largest ratio is least, from a start near it.
//!
//! A log-barrier descent on the exact problem, over the six ways a body can move and the bound t:
//! minimise t / mu - sum log(t^2 - ratio^2) over all offsets, gaps and tilts, with mu taken down by tens. Each ratio
//! is a gauge of what moves almost in step with the pose, so the sum is all but convex, and Newton with the curvature
//! of turns included settles in a few steps for each mu. With N ratios the bound stands no more than 2 N mu above the
//! least there is (Boyd and Vandenberghe, Convex Optimization, 2004, section 11.6, from memory: a second-order cone has
//! degree 2).
//!
//! Where many poses share the least bound, the barrier leads to one of them: the middle, where the product of what
//! the other ratios have to spare is greatest. So the answer is the same whatever the start.

use nalgebra::{
    Isometry3, Matrix2, Matrix3, Point3, SMatrix, SVector, Translation3, UnitQuaternion, Vector2, Vector3,
};

use crate::seating::{Seating, Stance, largest};

type Vector6 = SVector<f64, 6>;
type Matrix6 = SMatrix<f64, 6, 6>;
type Vector7 = SVector<f64, 7>;
type Matrix7 = SMatrix<f64, 7, 7>;

/// The bound is found to this share of itself, as far as rounding lets it: in the flattest valleys 1e-7 has been seen.
const BOUND_SHARE: f64 = 1e-10;
/// A bound below this is as good as a perfect fit: a billionth of every allowance.
const PERFECT: f64 = 1e-9;
/// mu is taken down by this much once the steps have settled.
const COOLING: f64 = 0.1;
/// Settled: the Newton step promises to lower the sum by less than this.
const SETTLED: f64 = 1e-3;
/// Steps at one mu; more mean that rounding is all that moves.
const STEPS_AT_ONE_MU: usize = 30;
/// No single step turns the part further than this: the curvature of a turn is only known nearby.
const LARGEST_TURN_RAD: f64 = 0.3;
/// Added to the diagonal, as a share of its largest entry, so that a way to move that nothing resists is left alone.
const DAMPING: f64 = 1e-14;
/// How far the first bound stands over the start, as a share of it: enough for the start to be forgotten.
const ROOM: f64 = 0.5;
/// A curvature below minus this share of the largest is a ridge and not rounding.
const RIDGE: f64 = 1e-12;
/// The arm over which a turn counts like a slide, at least: a single mount has none of its own.
const LEAST_ARM_MM: f64 = 1.0;

/// A motion about a pivot: slide, and turn times the arm.
struct Motion {
    pivot: Point3<f64>,
    arm_mm: f64,
}

impl Motion {
    fn about(seatings: &[Seating]) -> Self {
        let count = seatings.len() as f64;
        let middle = seatings.iter().map(|s| s.at.coords).sum::<Vector3<f64>>() / count;
        let spread = seatings
            .iter()
            .map(|s| (s.at.coords - middle).norm_squared())
            .sum::<f64>()
            / count;
        Self {
            pivot: middle.into(),
            arm_mm: spread.sqrt().max(LEAST_ARM_MM),
        }
    }

    fn apply(&self, pose: &Isometry3<f64>, step: &Vector6) -> Isometry3<f64> {
        let slide: Vector3<f64> = step.fixed_rows::<3>(0).into();
        let turn: Vector3<f64> = step.fixed_rows::<3>(3) / self.arm_mm;
        let turn = UnitQuaternion::from_scaled_axis(turn);
        let moved = self.pivot + turn * (pose.translation.vector - self.pivot.coords) + slide;
        let mut rotation = turn * pose.rotation;
        rotation.renormalize_fast();
        Isometry3::from_parts(Translation3::from(moved), rotation)
    }

    /// How a point's coordinate along `way` changes.
    fn of_point(&self, point: Point3<f64>, way: Vector3<f64>) -> Vector6 {
        let turn = (point - self.pivot).cross(&way) / self.arm_mm;
        Vector6::new(way.x, way.y, way.z, turn.x, turn.y, turn.z)
    }

    /// How a direction's coordinate along `way` changes.
    fn of_direction(&self, direction: Vector3<f64>, way: Vector3<f64>) -> Vector6 {
        let turn = direction.cross(&way) / self.arm_mm;
        Vector6::new(0.0, 0.0, 0.0, turn.x, turn.y, turn.z)
    }

    /// Its second derivative under a turn, of a point (as a vector from the pivot) or a direction alike.
    fn bend(&self, lever: Vector3<f64>, way: Vector3<f64>) -> Matrix3<f64> {
        let outer = way * lever.transpose();
        ((outer + outer.transpose()) * 0.5 - Matrix3::identity() * way.dot(&lever))
            / (self.arm_mm * self.arm_mm)
    }
}

/// The square of a ratio near a pose: value, slope, the part of the curvature that is never negative, and the part
/// that comes from turning.
struct Square {
    value: f64,
    slope: Vector6,
    bowl: Matrix6,
    bend: Matrix6,
}

/// Searches from `start` and returns the pose with its largest ratio.
pub(crate) fn minimax(seatings: &[Seating], start: &Isometry3<f64>) -> (Isometry3<f64>, f64) {
    let motion = Motion::about(seatings);
    let cones = 3.0 * seatings.len() as f64;
    let mut pose = *start;
    let mut bound = largest(seatings, &pose) * (1.0 + ROOM) + PERFECT;
    let mut mu = bound * 2.0 * ROOM / (2.0 * cones);
    loop {
        for _ in 0..STEPS_AT_ONE_MU {
            if !step(seatings, &motion, mu, &mut pose, &mut bound) {
                break;
            }
        }
        if bound <= PERFECT || 2.0 * cones * mu <= BOUND_SHARE * bound {
            let found = largest(seatings, &pose);
            return (pose, found);
        }
        mu *= COOLING;
    }
}

/// One Newton step with halving. False when there is nothing more to gain at this mu.
fn step(seatings: &[Seating], motion: &Motion, mu: f64, pose: &mut Isometry3<f64>, bound: &mut f64) -> bool {
    let t = *bound;
    let mut slope = Vector7::zeros();
    let mut bowl = Matrix7::zeros();
    let mut bend = Matrix6::zeros();
    slope[6] = 1.0 / mu;
    for seating in seatings {
        for square in squares(seating, &seating.stance(pose), motion) {
            let spare = t * t - square.value;
            let mut wall = Vector7::zeros();
            wall.fixed_rows_mut::<6>(0).copy_from(&(square.slope / spare));
            wall[6] = -2.0 * t / spare;
            slope += wall;
            bowl.ger(1.0, &wall, &wall, 1.0);
            let mut corner = bowl.fixed_view_mut::<6, 6>(0, 0);
            corner += square.bowl / spare;
            bowl[(6, 6)] -= 2.0 / spare;
            bend += square.bend / spare;
        }
    }
    let Some((newton, settles)) = newton(&slope, &bowl, &bend) else {
        return false;
    };
    let promised = -slope.dot(&newton);
    if promised.is_nan() || promised <= 0.0 {
        return false;
    }
    let turn = newton.fixed_rows::<3>(3).norm() / motion.arm_mm;
    let mut share = if turn > LARGEST_TURN_RAD {
        LARGEST_TURN_RAD / turn
    } else {
        1.0
    };
    let before = barrier(seatings, pose, t).unwrap_or(f64::INFINITY);
    for _ in 0..40 {
        let moved = motion.apply(pose, &(newton.fixed_rows::<6>(0) * share));
        let raised = t + newton[6] * share;
        if raised > 0.0
            && let Some(after) = barrier(seatings, &moved, raised)
        {
            let gained = before - after - newton[6] * share / mu;
            if gained >= 0.1 * share * promised {
                *pose = moved;
                *bound = raised;
                return promised > SETTLED || !settles;
            }
        }
        share *= 0.5;
    }
    false
}

/// The Newton step, and whether the sum is a bowl here. On a ridge between two valleys the step goes the way the sum
/// falls off, as far as it would go up that slope if it were a bowl.
fn newton(slope: &Vector7, bowl: &Matrix7, bend: &Matrix6) -> Option<(Vector7, bool)> {
    let mut full = *bowl;
    let mut moves = full.fixed_view_mut::<6, 6>(0, 0);
    moves += bend;
    let damping = bowl.diagonal().amax() * DAMPING;
    let damped = full + Matrix7::identity() * damping;
    if let Some(factor) = damped.cholesky() {
        return Some((-factor.solve(slope), true));
    }
    let main = full.symmetric_eigen();
    let across = main.eigenvectors.transpose() * slope;
    let step = across.zip_map(&main.eigenvalues, |s, e| -s / (e.abs() + damping));
    let ridge = main.eigenvalues.min() < -main.eigenvalues.amax() * RIDGE;
    step.iter()
        .all(|s| s.is_finite())
        .then(|| (main.eigenvectors * step, !ridge))
}

/// minus the sum of log(t^2 - ratio^2); none where a ratio is at or over the bound.
fn barrier(seatings: &[Seating], pose: &Isometry3<f64>, t: f64) -> Option<f64> {
    let mut sum = 0.0;
    for seating in seatings {
        let mut product = 1.0;
        for ratio in seating.ratios(&seating.stance(pose)) {
            if ratio.is_nan() || ratio >= t {
                return None;
            }
            product *= (t - ratio) * (t + ratio);
        }
        sum -= product.ln();
    }
    sum.is_finite().then_some(sum)
}

/// Offset, gap and tilt of one mount.
fn squares(seating: &Seating, stance: &Stance, motion: &Motion) -> [Square; 3] {
    [
        offset(seating, stance, motion),
        gap(seating, stance, motion),
        tilt(seating, stance, motion),
    ]
}

fn offset(seating: &Seating, stance: &Stance, motion: &Motion) -> Square {
    let gauge = &stance.gauge;
    let lever = stance.face - motion.pivot;
    let slides = seating.slot_half_mm > 0.0 && gauge.end[1] != 0.0;
    let lean = seating.flat(stance.outward);
    let facing = 1.0 - seating.axis.dot(&stance.outward);
    let down = stance.gap_mm / facing;
    let sinks = motion.of_point(stance.face, seating.axis);
    let opens = motion.of_direction(stance.outward, seating.axis);
    let leans = seating.across.map(|way| motion.of_direction(stance.outward, way));
    let way = |k: usize| {
        let way = seating.across[k];
        let mut row =
            motion.of_point(stance.face, way) + leans[k] * down + (sinks + opens * down) * (lean[k] / facing);
        if slides {
            let carried = gauge.ratio * seating.slot_half_mm * gauge.end[1];
            row -= motion.of_direction(stance.slot, way) * carried;
        }
        row
    };
    let bend = |k: usize| {
        let way = seating.across[k];
        let cross = leans[k] * sinks.transpose() / facing;
        turning(
            &(motion.bend(lever, way)
                + motion.bend(stance.outward, way) * down
                + motion.bend(lever, seating.axis) * (lean[k] / facing)),
        ) + cross
            + cross.transpose()
    };
    let ways = [way(0), way(1)];
    let slope_2d = gauge.slope * (2.0 * gauge.ratio);
    let bowl_2d = (gauge.slope * gauge.slope.transpose() + gauge.ratio_times_bend) * 2.0;
    Square {
        value: gauge.ratio * gauge.ratio,
        slope: ways[0] * slope_2d.x + ways[1] * slope_2d.y,
        bowl: spread(&ways, &bowl_2d),
        bend: bend(0) * slope_2d.x + bend(1) * slope_2d.y,
    }
}

/// A curvature that is of turns alone.
fn turning(bend: &Matrix3<f64>) -> Matrix6 {
    let mut all = Matrix6::zeros();
    all.fixed_view_mut::<3, 3>(3, 3).copy_from(bend);
    all
}

fn gap(seating: &Seating, stance: &Stance, motion: &Motion) -> Square {
    let row = motion.of_point(stance.face, seating.axis) / seating.gap_allowed_mm;
    let ratio = stance.gap_mm / seating.gap_allowed_mm;
    let bend = motion.bend(stance.face - motion.pivot, seating.axis);
    Square {
        value: ratio * ratio,
        slope: row * (2.0 * ratio),
        bowl: row * row.transpose() * 2.0,
        bend: turning(&(bend * (2.0 * ratio / seating.gap_allowed_mm))),
    }
}

/// The tilt as a vector across the axis whose length is the angle.
fn tilt(seating: &Seating, stance: &Stance, motion: &Motion) -> Square {
    let lean = seating.flat(stance.outward);
    let sine = lean.norm();
    let angle = stance.tilt_rad;
    let stretch = if sine > 1e-9 { angle / sine } else { 1.0 };
    let to_ratio = 1.0 / seating.tilt_allowed_rad;
    let flat = lean * (stretch * to_ratio);
    let mut ways = seating
        .across
        .map(|way| motion.of_direction(stance.outward, way) * (stretch * to_ratio));
    if sine > 1e-6 {
        let toward = lean / sine;
        let (sin, cos) = (sine, -stance.outward.dot(&seating.axis));
        let rises = motion.of_direction(
            stance.outward,
            (seating.across[0] * toward.x + seating.across[1] * toward.y) * cos + seating.axis * sin,
        );
        let stretches = rises * ((sin - angle * cos) / (sin * sin) * sine * to_ratio);
        ways[0] += stretches * toward.x;
        ways[1] += stretches * toward.y;
    }
    let weight: Vector2<f64> = flat * (2.0 * stretch * to_ratio);
    Square {
        value: flat.norm_squared(),
        slope: (ways[0] * flat.x + ways[1] * flat.y) * 2.0,
        bowl: spread(&ways, &(Matrix2::identity() * 2.0)),
        bend: turning(
            &(motion.bend(stance.outward, seating.across[0]) * weight.x
                + motion.bend(stance.outward, seating.across[1]) * weight.y),
        ),
    }
}

/// A curvature across the axis, carried to the six ways to move.
fn spread(ways: &[Vector6; 2], across: &Matrix2<f64>) -> Matrix6 {
    let first = ways[0] * across[(0, 0)] + ways[1] * across[(1, 0)];
    let second = ways[0] * across[(0, 1)] + ways[1] * across[(1, 1)];
    first * ways[0].transpose() + second * ways[1].transpose()
}
