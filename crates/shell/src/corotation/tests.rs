//! One triangle that moves far.

use nalgebra::{UnitQuaternion, Vector3};

use super::triangle::{Carried, Moved, Tangent};
use crate::{
    Point, Section,
    element::{Matrix18, Vector18},
};

const SECTION: Section = Section {
    thickness_mm: 2.0,
    elastic_mpa: 70_000.0,
    poisson: 0.33,
    density_t_mm3: 2.7e-9,
};

fn corners() -> [Point; 3] {
    [
        Point::new(1.0, 2.0, -1.0),
        Point::new(11.0, 3.0, 0.5),
        Point::new(4.0, 9.0, 2.0),
    ]
}

/// The triangle turned far and moved a little more.
fn moved(further: &Vector18) -> Carried {
    let turn = UnitQuaternion::from_scaled_axis(Vector3::new(1.2, -0.8, 1.9));
    let part = |first: usize| further.fixed_rows::<3>(first).into_owned();
    Carried::new(&Moved {
        corners: corners(),
        section: &SECTION,
        places: std::array::from_fn(|node| {
            turn * corners()[node] + Vector3::new(50.0, -20.0, 7.0) + part(6 * node)
        }),
        turns: std::array::from_fn(|node| UnitQuaternion::from_scaled_axis(part(6 * node + 3)) * turn),
    })
}

/// What nodes of a bent plate do, against one that is carried along.
fn bent(size: f64) -> Vector18 {
    Vector18::from_fn(|row, _| {
        let wave = (1.7 * row as f64 + 0.3).sin();
        size * wave * if row % 6 < 3 { 0.3 } else { 1.0 }
    })
}

#[test]
fn a_rigid_motion_of_any_size_strains_nothing() {
    let carried = moved(&Vector18::zeros());
    assert!(carried.bent().amax() < 1e-13, "{}", carried.bent());
    let strained = moved(&bent(1e-2)).forces().amax();
    assert!(carried.forces().amax() < 1e-9 * strained);
}

#[test]
fn forces_of_a_moved_triangle_balance() {
    let further = bent(0.1);
    let carried = moved(&further);
    let forces = carried.forces();
    let turn = UnitQuaternion::from_scaled_axis(Vector3::new(1.2, -0.8, 1.9));
    let (mut force, mut moment) = (Vector3::zeros(), Vector3::zeros());
    for (node, corner) in corners().iter().enumerate() {
        let own = forces.fixed_rows::<3>(6 * node);
        let place = turn * corner.coords + further.fixed_rows::<3>(6 * node);
        force += own;
        moment += place.cross(&own) + forces.fixed_rows::<3>(6 * node + 3);
    }
    assert!(force.amax() < 1e-10 * forces.amax(), "{force}");
    assert!(moment.amax() < 1e-9 * forces.amax(), "{moment}");
}

/// The slope of the forces by central differences, made symmetric as the tangent is.
#[test]
fn the_tangent_is_the_slope_of_the_forces() {
    let start = bent(0.02);
    let mut slope = Matrix18::zeros();
    let by = 1e-6;
    let turned = |column: usize, by: f64| {
        // A further small turn comes after the ones before: it is put on as one, not added to their vectors.
        let mut further = start;
        if column % 6 < 3 {
            further[column] += by;
        } else {
            let first = column / 6 * 6 + 3;
            let vector: Vector3<f64> = further.fixed_rows::<3>(first).into_owned();
            let unit = Vector3::ith(column % 3, by);
            let total = UnitQuaternion::from_scaled_axis(unit) * UnitQuaternion::from_scaled_axis(vector);
            further.fixed_rows_mut::<3>(first).copy_from(&total.scaled_axis());
        }
        moved(&further).forces()
    };
    for column in 0..18 {
        let change = (turned(column, by) - turned(column, -by)) / (2.0 * by);
        slope.set_column(column, &change);
    }
    let slope = (slope + slope.transpose()) * 0.5;
    let carried = moved(&start);
    let (full, plain) = (
        carried.tangent(Tangent::Full, carried.bent()),
        carried.tangent(Tangent::OfMaterial, carried.bent()),
    );
    let (off, without) = ((full - slope).norm(), (plain - slope).norm());
    // What is left is the asymmetry that forces out of balance leave, and the slope of eta.
    assert!(
        off < 0.02 * without && off < 1e-4 * slope.norm(),
        "{off} {without} {}",
        slope.norm()
    );
}
