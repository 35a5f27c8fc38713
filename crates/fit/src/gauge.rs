//! The ratio of an offset to the play of a bolt, with what a search needs to know about it.

use nalgebra::{Matrix2, Vector2};

/// A run drawn out of the round patch: direction across the mount's axis (not longer than 1), and how far either way.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Run {
    pub(crate) along: Vector2<f64>,
    pub(crate) half_mm: f64,
}

/// How an offset stands against the patch of free offsets.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Gauge {
    /// The factor by which the patch must grow to touch the offset.
    pub(crate) ratio: f64,
    /// Its slope: change of the ratio per mm of offset.
    pub(crate) slope: Vector2<f64>,
    /// Its curvature times the ratio, which stays finite as the offset goes to nothing.
    pub(crate) ratio_times_bend: Matrix2<f64>,
    /// Which end of each run is nearest the offset: 1, -1, or 0 when the run's side is.
    pub(crate) end: [f64; 2],
}

/// The patch is a disc of `round_mm` swept along the runs: a disc, a stadium, or a parallelogram with rounded corners.
///
/// Its ratio is the largest over all directions n of (n . offset) / (round + sum |n . along| half), n a unit vector;
/// the largest lies square to a run (a side of the patch) or on the round of a corner V, where
/// |offset - ratio V| = ratio round. Convex, so the largest of these is the ratio.
pub(crate) fn gauge(offset: Vector2<f64>, round_mm: f64, runs: [Run; 2]) -> Gauge {
    let lone = Matrix2::identity() / (round_mm * round_mm);
    let mut best = Gauge {
        ratio: 0.0,
        slope: Vector2::zeros(),
        ratio_times_bend: lone,
        end: [0.0; 2],
    };
    if offset.norm_squared() <= f64::MIN_POSITIVE {
        return best;
    }
    for (k, run) in runs.iter().enumerate() {
        if run.half_mm > 0.0 && run.along.norm_squared() > f64::MIN_POSITIVE {
            let side = Vector2::new(-run.along.y, run.along.x).normalize();
            let normal = if side.dot(&offset) < 0.0 { -side } else { side };
            let other = &runs[1 - k];
            let reach = round_mm + normal.dot(&other.along).abs() * other.half_mm;
            let ratio = normal.dot(&offset) / reach;
            if ratio > best.ratio {
                let mut end = [0.0; 2];
                end[1 - k] = end_of(other, normal);
                best = Gauge {
                    ratio,
                    slope: normal / reach,
                    ratio_times_bend: Matrix2::zeros(),
                    end,
                };
            }
        }
    }
    for first in ends(&runs[0]) {
        for second in ends(&runs[1]) {
            let end = [*first, *second];
            if let Some(corner) = on_corner(offset, round_mm, &runs, end)
                && corner.ratio > best.ratio
            {
                best = corner;
            }
        }
    }
    best
}

fn ends(run: &Run) -> &'static [f64] {
    if run.half_mm > 0.0 { &[1.0, -1.0] } else { &[0.0] }
}

fn end_of(run: &Run, normal: Vector2<f64>) -> f64 {
    if run.half_mm > 0.0 {
        normal.dot(&run.along).signum()
    } else {
        0.0
    }
}

/// The ratio if the offset is nearest the round of this corner; none when it is nearest something else.
fn on_corner(offset: Vector2<f64>, round_mm: f64, runs: &[Run; 2], end: [f64; 2]) -> Option<Gauge> {
    let corner = runs[0].along * (end[0] * runs[0].half_mm) + runs[1].along * (end[1] * runs[1].half_mm);
    let spread = corner.norm_squared() - round_mm * round_mm;
    let lean = offset.dot(&corner);
    let under_root = lean * lean - spread * offset.norm_squared();
    if under_root <= 0.0 {
        return None;
    }
    let root = under_root.sqrt();
    if lean + root <= 0.0 {
        return None;
    }
    let ratio = offset.norm_squared() / (lean + root);
    let normal = (offset - corner * ratio) / (ratio * round_mm);
    let faces = |k: usize| end[k] * normal.dot(&runs[k].along) >= 0.0;
    if !(faces(0) && faces(1)) {
        return None;
    }
    let slope = (offset - corner * ratio) / root;
    let bend = (Matrix2::identity() - corner * slope.transpose() - slope * corner.transpose()
        + slope * slope.transpose() * spread)
        / root;
    Some(Gauge {
        ratio,
        slope,
        ratio_times_bend: bend * ratio,
        end,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const NO_RUN: Run = Run {
        along: Vector2::new(1.0, 0.0),
        half_mm: 0.0,
    };

    fn stadium(x: f64, y: f64) -> f64 {
        let run = Run {
            along: Vector2::new(1.0, 0.0),
            half_mm: 3.0,
        };
        gauge(Vector2::new(x, y), 0.5, [run, NO_RUN]).ratio
    }

    #[test]
    fn a_round_patch_is_measured_by_the_distance() {
        let g = gauge(Vector2::new(0.3, -0.4), 0.25, [NO_RUN; 2]);
        assert!((g.ratio - 2.0).abs() < 1e-14);
        assert!((g.slope - Vector2::new(2.4, -3.2)).norm() < 1e-13);
    }

    #[test]
    fn a_slot_is_long_one_way_and_round_at_its_ends() {
        assert!((stadium(3.5, 0.0) - 1.0).abs() < 1e-12);
        assert!((stadium(2.0, 0.5) - 1.0).abs() < 1e-12);
        assert!((stadium(3.3, 0.4) - 1.0).abs() < 1e-12);
        assert!((stadium(-6.6, 0.8) - 2.0).abs() < 1e-12);
        assert!(stadium(3.5, 0.5) > 1.05);
    }

    #[test]
    fn crossed_slots_reach_into_the_corner() {
        let runs = [
            Run {
                along: Vector2::new(1.0, 0.0),
                half_mm: 3.0,
            },
            Run {
                along: Vector2::new(0.6, 0.8),
                half_mm: 2.0,
            },
        ];
        let at = |x, y| gauge(Vector2::new(x, y), 0.5, runs).ratio;
        assert!(
            (at(4.2 + 0.5, 1.6) - 1.0).abs() < 1e-12,
            "past the corner, square to neither run"
        );
        assert!(
            (at(1.0, 2.1) - 1.0).abs() < 1e-12,
            "on the side along the first run"
        );
        assert!((at(-1.0, -2.1) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn slope_and_bend_are_those_of_the_ratio() {
        let runs = [
            Run {
                along: Vector2::new(1.0, 0.0),
                half_mm: 3.0,
            },
            Run {
                along: Vector2::new(-0.6, 0.75),
                half_mm: 2.0,
            },
        ];
        for k in 0..40 {
            let turn = f64::from(k) * 0.157 + 0.01;
            let at = Vector2::new(turn.cos(), turn.sin()) * 4.0;
            let g = gauge(at, 0.5, runs);
            let h = 1e-6;
            for i in 0..2 {
                let mut step = Vector2::zeros();
                step[i] = h;
                let (up, down) = (gauge(at + step, 0.5, runs), gauge(at - step, 0.5, runs));
                assert!(
                    ((up.ratio - down.ratio) / (2.0 * h) - g.slope[i]).abs() < 1e-7,
                    "slope at {turn}"
                );
                let bend = (up.slope - down.slope) / (2.0 * h) * g.ratio;
                assert!(
                    (bend - g.ratio_times_bend.column(i)).norm() < 1e-4,
                    "bend at {turn}"
                );
            }
        }
    }
}
