//! How long a placement takes. The aim is under 1 ms for four mounts.

use fit::{Allowance, HoleShape, Mount, PartHole, Settle, place};
use nalgebra::{Point3, UnitQuaternion, Vector3};

fn main() {
    divan::main();
}

/// Holes on two panels square to one another, and mounts a little off them.
fn part(count: usize) -> (Vec<PartHole>, Vec<Mount>) {
    let turn = UnitQuaternion::from_euler_angles(0.4, -1.1, 2.0);
    let hole = |i: usize| {
        let (x, y) = ((i / 2) as f64 * 63.5, (i % 2) as f64 * 40.0);
        let upright = i % 3 == 2;
        let (at, axis) = if upright {
            (Point3::new(x, -30.0, y + 20.0), Vector3::y_axis())
        } else {
            (Point3::new(x, y, 0.0), Vector3::z_axis())
        };
        PartHole {
            name: format!("h{i}"),
            at,
            axis,
            thickness_mm: 4.8,
            shape: HoleShape::Round { dia_mm: 8.5 },
        }
    };
    let holes: Vec<_> = (0..count).map(hole).collect();
    let mounts = holes
        .iter()
        .enumerate()
        .map(|(i, hole)| {
            let off = Vector3::new((i as f64).sin(), (2.0 * i as f64).cos(), (3.0 * i as f64).sin()) * 0.3;
            Mount {
                name: format!("m{i}"),
                hole: i,
                at: turn * (hole.at - hole.axis.into_inner() * 2.4 + off) + Vector3::new(100.0, -20.0, 3.0),
                axis: turn * hole.axis,
                allowance: Allowance::round(0.28),
                gap_allowed_mm: 0.5,
                tilt_allowed_rad: 0.02,
            }
        })
        .collect();
    (holes, mounts)
}

#[divan::bench(args = [1, 2, 3, 4, 8])]
fn place_on_mounts(bencher: divan::Bencher<'_, '_>, count: usize) {
    let (holes, mounts) = part(count);
    bencher.bench_local(|| {
        place(
            divan::black_box(&holes),
            divan::black_box(&mounts),
            Settle::LeastTurn,
        )
    });
}
