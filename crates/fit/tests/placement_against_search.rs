//! The placement against a search that knows nothing but the definition: every pose is a candidate, and the largest
//! ratio is worked out from offset, gap and tilt as they are defined (the offset after the hole is brought to the seat
//! along the mean of the bolt's line and the plate's normal).
//!
//! `GUSSET_CASES` sets how many random cases are searched (24 without it).

use fit::{Allowance, HoleShape, Mount, PartHole, Settle, place};
use nalgebra::{Isometry3, Matrix6, Point3, Translation3, UnitQuaternion, Vector3, Vector6};

/// The arc cosine is blind to tilts below the root of rounding, 2e-8 rad; that is this much of the least tilt allowed.
const ARC_COSINE: f64 = 1e-5;

/// A generator small enough to read: splitmix64 (Steele, Lea and Flood 2014, constants from memory).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn pick(&mut self, count: u64) -> u64 {
        self.next() % count
    }

    fn bell(&mut self) -> f64 {
        let (u, v) = (self.between(1e-12, 1.0), self.between(0.0, std::f64::consts::TAU));
        (-2.0 * u.ln()).sqrt() * v.cos()
    }

    fn vector(&mut self, size: f64) -> Vector3<f64> {
        Vector3::new(self.bell(), self.bell(), self.bell()) * size
    }

    fn turn(&mut self) -> UnitQuaternion<f64> {
        let (a, b, c, d) = (self.bell(), self.bell(), self.bell(), self.bell());
        UnitQuaternion::from_quaternion(nalgebra::Quaternion::new(a, b, c, d))
    }
}

/// The largest of offset, gap and tilt over what is allowed, from their definitions; round holes and mount slots only.
fn worst(holes: &[PartHole], mounts: &[Mount], pose: &Isometry3<f64>) -> f64 {
    let mut worst = 0.0_f64;
    for mount in mounts {
        let hole = &holes[mount.hole];
        let axis = mount.axis.into_inner();
        let mut outward = pose * hole.axis.into_inner();
        if outward.dot(&axis) > 0.0 {
            outward = -outward;
        }
        let face = pose * hole.at + outward * (hole.thickness_mm / 2.0);
        let from_seat = face - mount.at;
        let gap = from_seat.dot(&axis);
        let mean = axis - outward;
        let offset = from_seat - mean * (gap / mean.dot(&axis));
        let tilt = (-outward.dot(&axis)).clamp(-1.0, 1.0).acos();
        let play = &mount.allowance;
        let offset_ratio = match play.mount_slot {
            None => offset.norm() / play.round_mm,
            Some(slot) => slot_ratio(&offset, &slot.along, slot.half_run_mm, play.round_mm),
        };
        worst = worst
            .max(offset_ratio)
            .max(gap.abs() / mount.gap_allowed_mm)
            .max(tilt / mount.tilt_allowed_rad);
    }
    worst
}

/// By halving: the least growth of the slot's patch that takes in the offset.
fn slot_ratio(offset: &Vector3<f64>, along: &Vector3<f64>, half: f64, round: f64) -> f64 {
    let (x, y2) = (
        offset.dot(along).abs(),
        (offset - along * offset.dot(along)).norm_squared(),
    );
    let inside = |grown: f64| ((x - grown * half).max(0.0).powi(2) + y2).sqrt() <= grown * round;
    let (mut low, mut high) = (0.0, offset.norm() / round + 1e-12);
    for _ in 0..45 {
        let middle = (low + high) / 2.0;
        if inside(middle) {
            high = middle
        } else {
            low = middle
        }
    }
    high
}

fn moved(pose: &Isometry3<f64>, pivot: &Point3<f64>, step: &Vector6<f64>, arm: f64) -> Isometry3<f64> {
    let turn = UnitQuaternion::from_scaled_axis(step.fixed_rows::<3>(3) / arm);
    let slide = step.fixed_rows::<3>(0).into_owned();
    let to = pivot + turn * (pose.translation.vector - pivot.coords) + slide;
    Isometry3::from_parts(Translation3::from(to), turn * pose.rotation)
}

/// Evolution of a cloud of poses: each round keeps the better half and takes its spread, drawn out along the way the
/// middle went (the covariance-matrix adaptation of Hansen 2016, arXiv 1604.00772, from memory).
fn evolve(
    cost: &dyn Fn(&Vector6<f64>) -> f64,
    start: Vector6<f64>,
    size: f64,
    rounds: usize,
    dice: &mut Dice,
) -> (Vector6<f64>, f64) {
    const CLOUD: usize = 14;
    const KEPT: usize = 7;
    let raw: [f64; KEPT] = std::array::from_fn(|k| (KEPT as f64 + 0.5).ln() - (k as f64 + 1.0).ln());
    let weights = raw.map(|w| w / raw.iter().sum::<f64>());
    let strength = 1.0 / weights.iter().map(|w| w * w).sum::<f64>();
    let n = 6.0;
    let (c_sigma, c_c) = (
        (strength + 2.0) / (n + strength + 5.0),
        (4.0 + strength / n) / (n + 4.0 + 2.0 * strength / n),
    );
    let c_one = 2.0 / ((n + 1.3_f64).powi(2) + strength);
    let c_mu =
        (2.0 * (strength - 2.0 + 1.0 / strength) / ((n + 2.0_f64).powi(2) + strength)).min(1.0 - c_one);
    let d_sigma = 1.0 + 2.0 * (((strength - 1.0) / (n + 1.0)).sqrt() - 1.0).max(0.0) + c_sigma;
    let chi = n.sqrt() * (1.0 - 1.0 / (4.0 * n) + 1.0 / (21.0 * n * n));
    let (mut mean, mut sigma) = (start, size);
    let mut spread = Matrix6::identity();
    let (mut p_sigma, mut p_c) = (Vector6::zeros(), Vector6::zeros());
    let mut best = (start, cost(&start));
    for _ in 0..rounds {
        let eigen = spread.symmetric_eigen();
        let roots = eigen.eigenvalues.map(|e: f64| e.max(1e-30).sqrt());
        let mut cloud: Vec<(f64, Vector6<f64>)> = (0..CLOUD)
            .map(|_| {
                let z = Vector6::from_fn(|_, _| dice.bell());
                let y = eigen.eigenvectors * z.component_mul(&roots);
                (cost(&(mean + y * sigma)), y)
            })
            .collect();
        cloud.sort_by(|a, b| a.0.total_cmp(&b.0));
        if cloud[0].0 < best.1 {
            best = (mean + cloud[0].1 * sigma, cloud[0].0);
        }
        let drift: Vector6<f64> = (0..KEPT).map(|k| cloud[k].1 * weights[k]).sum();
        mean += drift * sigma;
        let whitened = eigen.eigenvectors * (eigen.eigenvectors.transpose() * drift).component_div(&roots);
        p_sigma = p_sigma * (1.0 - c_sigma) + whitened * (c_sigma * (2.0 - c_sigma) * strength).sqrt();
        p_c = p_c * (1.0 - c_c) + drift * (c_c * (2.0 - c_c) * strength).sqrt();
        let ranked: Matrix6<f64> = (0..KEPT)
            .map(|k| cloud[k].1 * cloud[k].1.transpose() * weights[k])
            .sum();
        spread = spread * (1.0 - c_one - c_mu) + p_c * p_c.transpose() * c_one + ranked * c_mu;
        spread = (spread + spread.transpose()) * 0.5;
        sigma *= ((c_sigma / d_sigma) * (p_sigma.norm() / chi - 1.0)).exp();
        if sigma * roots.max() < 1e-6 {
            break;
        }
    }
    best
}

/// The least largest ratio that any pose has, looked for from turns all over.
fn search(holes: &[PartHole], mounts: &[Mount], dice: &mut Dice) -> f64 {
    let count = mounts.len() as f64;
    let pivot = Point3::from(mounts.iter().map(|m| m.at.coords).sum::<Vector3<f64>>() / count);
    let middle = mounts
        .iter()
        .map(|m| holes[m.hole].at.coords)
        .sum::<Vector3<f64>>()
        / count;
    let arm = mounts.iter().map(|m| (m.at - pivot).norm()).fold(5.0, f64::max);
    let mut looks: Vec<(f64, Isometry3<f64>)> = (0..400)
        .map(|_| {
            let turn = dice.turn();
            let pose = Isometry3::from_parts((pivot.coords - turn * middle).into(), turn);
            (worst(holes, mounts, &pose), pose)
        })
        .collect();
    looks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let from = |pose: Isometry3<f64>, size: f64, rounds: usize, dice: &mut Dice| {
        let cost = |step: &Vector6<f64>| worst(holes, mounts, &moved(&pose, &pivot, step, arm));
        let (step, ratio) = evolve(&cost, Vector6::zeros(), size, rounds, dice);
        (moved(&pose, &pivot, &step, arm), ratio)
    };
    let mut found: Vec<_> = looks
        .into_iter()
        .take(16)
        .map(|(_, pose)| from(pose, arm * 0.2, 120, dice))
        .collect();
    found.sort_by(|a, b| a.1.total_cmp(&b.1));
    found.truncate(4);
    let mut least = f64::INFINITY;
    for (pose, _) in found {
        let (pose, first) = from(pose, 1.0, 500, dice);
        let (_, again) = from(pose, 0.05, 400, dice);
        least = least.min(first).min(again);
    }
    least
}

/// A part of one to three panels, and mounts off it by a little or by a lot.
fn case(dice: &mut Dice) -> (Vec<PartHole>, Vec<Mount>) {
    let count = 1 + dice.pick(6) as usize;
    let panels: Vec<(Isometry3<f64>, bool)> = (0..1 + dice.pick(3))
        .map(|_| {
            (
                Isometry3::from_parts(dice.vector(40.0).into(), dice.turn()),
                dice.pick(2) == 0,
            )
        })
        .collect();
    let off = [0.05, 0.3, 1.0, 4.0][dice.pick(4) as usize];
    let true_pose = Isometry3::from_parts(dice.vector(100.0).into(), dice.turn());
    let mut holes = Vec::new();
    let mut mounts = Vec::new();
    for i in 0..count {
        let (panel, over) = panels[i % panels.len()];
        let at = panel * Point3::new(dice.between(-60.0, 60.0), dice.between(-60.0, 60.0), 0.0);
        let axis = panel.rotation * Vector3::z_axis();
        let hole = PartHole {
            name: format!("h{i}"),
            at,
            axis,
            thickness_mm: [3.0, 4.8][dice.pick(2) as usize],
            shape: HoleShape::Round { dia_mm: 8.5 },
        };
        let out = true_pose.rotation * if over { -axis } else { axis };
        let face = true_pose * at - out.into_inner() * (hole.thickness_mm / 2.0);
        let lean = UnitQuaternion::from_scaled_axis(dice.vector(0.01 * off));
        let mount_axis = lean * out;
        let round = dice.between(0.15, 0.8);
        let allowance = if dice.pick(4) == 0 {
            let along = nalgebra::Unit::new_normalize(mount_axis.cross(&dice.vector(1.0)));
            Allowance::slot(along, round + dice.between(1.0, 5.0), round)
        } else {
            Allowance::round(round)
        };
        mounts.push(Mount {
            name: format!("m{i}"),
            hole: i,
            at: face + dice.vector(off),
            axis: mount_axis,
            allowance,
            gap_allowed_mm: dice.between(0.2, 1.0),
            tilt_allowed_rad: dice.between(0.01, 0.06),
        });
        holes.push(hole);
    }
    (holes, mounts)
}

#[test]
fn no_pose_is_better_than_the_placement_by_more_than_a_thousandth_of_the_allowance() {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(24_u64);
    let (mut ours_worse, mut search_worse) = (0.0_f64, 0.0_f64);
    for seed in std::env::var("FROM")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(0)..cases
    {
        let mut dice = Dice(seed);
        let (holes, mounts) = case(&mut dice);
        let placed = place(&holes, &mounts, Settle::LeastTurn).expect("the case is sound");
        let by_definition = worst(&holes, &mounts, &placed.pose);
        assert!(
            (placed.ratio - by_definition).abs() <= ARC_COSINE * by_definition.max(1.0),
            "case {seed}: reported {} but by definition {by_definition}",
            placed.ratio
        );
        let found = search(&holes, &mounts, &mut dice);
        let over = (placed.ratio - found) / found.max(1.0);
        if over.abs() > 5e-4 {
            println!(
                "case {seed}: {} mounts, placed {:.6}, searched {found:.6}",
                mounts.len(),
                placed.ratio
            );
        }
        ours_worse = ours_worse.max(over);
        search_worse = search_worse.max(-over);
    }
    println!(
        "{cases} cases: placement worse by at most {ours_worse:.2e}, search worse by at most {search_worse:.2e}"
    );
    assert!(
        ours_worse <= 1e-3,
        "the search found a pose better by {ours_worse}"
    );
    assert!(
        search_worse <= 1e-3,
        "the search missed the placement by {search_worse}"
    );
}
