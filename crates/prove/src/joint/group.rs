//! How a group of bolts shares a load: the elastic method.

use nalgebra::{Matrix3, Matrix6, Point3, Unit, Vector3, Vector6};

/// A bolt of a group.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GroupBolt {
    /// Where, mm.
    pub at: Point3<f64>,
    /// Along the bolt, out of the seat: a load this way pulls it.
    pub axis: Unit<Vector3<f64>>,
    /// How stiff it is along, as a share; any unit, the same for all.
    pub axial: f64,
    /// How stiff it is across, in the same unit.
    pub shear: f64,
}

/// A force and a moment, and the point the force acts at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Push {
    /// Where the force acts, mm.
    pub at: Point3<f64>,
    /// Force on the part, N.
    pub force_n: Vector3<f64>,
    /// Moment on the part beside it, N mm.
    pub moment_n_mm: Vector3<f64>,
}

impl Push {
    /// Moment about a point, N mm.
    pub fn about(&self, point: &Point3<f64>) -> Vector3<f64> {
        self.moment_n_mm + (self.at - point).cross(&self.force_n)
    }
}

/// What one bolt takes of the load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnBolt {
    /// Across the bolt, N.
    pub shear_n: Vector3<f64>,
    /// Along it, N: above 0 pulls.
    pub tension_n: f64,
}

impl OnBolt {
    /// Size of the shear, N.
    pub fn sheared_n(&self) -> f64 {
        self.shear_n.norm()
    }
}

/// A group that cannot be reckoned.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum GroupError {
    /// No bolts.
    #[error("there is no bolt to take the load")]
    NoBolts,
    /// A number that is none, or a stiffness below 0.
    #[error("a place, a stiffness or a load of the bolt group is not a number it can be")]
    NotANumber,
    /// Bolts in a line, or one alone, cannot hold this load.
    #[error("the bolts leave {:.0} N and {:.0} N mm of the load unheld", .force_n.norm(), .moment_n_mm.norm())]
    CannotHold {
        /// Force left over, N.
        force_n: Vector3<f64>,
        /// Moment left over about the middle of the group, N mm.
        moment_n_mm: Vector3<f64>,
    },
    /// The foot's method wants all bolts along one direction.
    #[error("the bolts of a foot must all point one way")]
    AxesDiffer,
}

/// Singular values below this share of the largest mean that the group does not resist that movement at all: bolts lie far
/// further apart than rounding.
const FREE_SHARE: f64 = 1e-9;

/// A load left unheld below this share of the whole is rounding.
const UNHELD_SHARE: f64 = 1e-6;

/// Axes of a foot's bolts closer than this cosine to 1 are one direction: 0.5 degree.
const SAME_AXIS_COS: f64 = 0.999_96;

/// Forces on the bolts of a rigid part: each bolt a spring along and across its axis, the part moved as one piece. With
/// parallel bolts of one kind in a plane this is the elastic method of the handbooks: V/n and M r / sum r^2 (Shigley 8-12),
/// and tension about the group's middle. It is general in places, axes and stiffness.
pub fn group_by_stiffness(bolts: &[GroupBolt], push: &Push) -> Result<Vec<OnBolt>, GroupError> {
    let middle = sound(bolts, push)?;
    let arms: Vec<Vector3<f64>> = bolts.iter().map(|bolt| bolt.at - middle).collect();
    let mean_square = arms.iter().map(Vector3::norm_squared).sum::<f64>() / bolts.len() as f64;
    // Lengths in units of the group's own size, so that turning and moving weigh alike.
    let size_mm = if mean_square > 0.0 {
        mean_square.sqrt()
    } else {
        1.0
    };
    let mut stiffness = Matrix6::zeros();
    let springs: Vec<Matrix3<f64>> = bolts.iter().map(spring).collect();
    for (arm, spring) in arms.iter().zip(&springs) {
        let lever = (arm / size_mm).cross_matrix();
        let mut block = |row: usize, column: usize, part: Matrix3<f64>| {
            let mut view = stiffness.fixed_view_mut::<3, 3>(row, column);
            view += part;
        };
        block(0, 0, *spring);
        block(0, 3, -(spring * lever));
        block(3, 0, lever * spring);
        block(3, 3, -(lever * spring * lever));
    }
    let moment = push.about(&middle);
    let mut load = Vector6::zeros();
    load.fixed_rows_mut::<3>(0).copy_from(&push.force_n);
    load.fixed_rows_mut::<3>(3).copy_from(&(moment / size_mm));
    let parts = stiffness.svd(true, true);
    let floor = FREE_SHARE * parts.singular_values.max();
    let Ok(moved) = parts.solve(&load, floor) else {
        return Err(GroupError::NotANumber);
    };
    let (shift, turn) = (
        Vector3::new(moved[0], moved[1], moved[2]),
        Vector3::new(moved[3], moved[4], moved[5]),
    );
    let forces: Vec<Vector3<f64>> = arms
        .iter()
        .zip(&springs)
        .map(|(arm, spring)| spring * (shift + turn.cross(&(arm / size_mm))))
        .collect();
    let held: Vector3<f64> = forces.iter().sum();
    let held_moment: Vector3<f64> = arms.iter().zip(&forces).map(|(arm, f)| arm.cross(f)).sum();
    let (force_n, moment_n_mm) = (push.force_n - held, moment - held_moment);
    let whole = push.force_n.norm() + moment.norm() / size_mm;
    if force_n.norm() + moment_n_mm.norm() / size_mm > UNHELD_SHARE * whole {
        return Err(GroupError::CannotHold { force_n, moment_n_mm });
    }
    Ok(bolts.iter().zip(forces).map(|(bolt, f)| split(bolt, f)).collect())
}

/// Forces on the bolts of a flat foot that bears on its seat: shear as in [`group_by_stiffness`]; the overturning moment
/// about the edge of the foot it tips on, T_i = M d_i / sum d^2 with d from that edge (elementary; Shigley 8-12 for the
/// wall bracket). `foot` is the outline of the foot, mm; without it the
/// foot tips on the outermost bolt. Two bolts, or one, can so hold a moment that bolts alone cannot.
///
/// The load may press: then the bolts take only what tips. Where a pull leaves the edge without pressure, the foot has
/// lifted off, and the bolts share alone, or, where they cannot, with the pull shared evenly on top of the tipping. A
/// moment across the tipping direction, which an uneven group leaves, is not followed.
pub fn group_on_foot(
    bolts: &[GroupBolt],
    foot: &[Point3<f64>],
    push: &Push,
) -> Result<Vec<OnBolt>, GroupError> {
    let middle = sound(bolts, push)?;
    let axis = bolts[0].axis;
    if bolts.iter().any(|bolt| bolt.axis.dot(&axis) < SAME_AXIS_COS) {
        return Err(GroupError::AxesDiffer);
    }
    let moment = push.about(&middle);
    let pull_n = push.force_n.dot(&axis);
    let along = axis.into_inner();
    let in_plane = Push {
        at: middle,
        force_n: push.force_n - along * pull_n,
        moment_n_mm: along * moment.dot(&axis),
    };
    // A foot is flat: bolts are taken in the plane through their middle.
    let flat: Vec<GroupBolt> = bolts
        .iter()
        .map(|bolt| GroupBolt {
            at: bolt.at - along * (bolt.at - middle).dot(&along),
            axis,
            ..*bolt
        })
        .collect();
    let mut shared = group_by_stiffness(&flat, &in_plane)?;
    let tips = moment - along * moment.dot(&axis);
    let tensions = tipping(&flat, &middle, foot, pull_n, tips, &axis);
    for (on, tension_n) in shared.iter_mut().zip(tensions) {
        on.tension_n = tension_n;
    }
    Ok(shared)
}

fn tipping(
    bolts: &[GroupBolt],
    middle: &Point3<f64>,
    foot: &[Point3<f64>],
    pull_n: f64,
    tips: Vector3<f64>,
    axis: &Unit<Vector3<f64>>,
) -> Vec<f64> {
    let count = bolts.len() as f64;
    let size = tips.norm();
    let evenly = || vec![pull_n.max(0.0) / count; bolts.len()];
    if size <= f64::MIN_POSITIVE {
        return evenly();
    }
    let lifted = axis.cross(&(tips / size));
    let edge_mm = foot
        .iter()
        .map(|corner| (corner - middle).dot(&lifted))
        .chain(bolts.iter().map(|bolt| (bolt.at - middle).dot(&lifted)))
        .fold(f64::INFINITY, f64::min);
    let from_edge: Vec<f64> = bolts
        .iter()
        .map(|bolt| (bolt.at - middle).dot(&lifted) - edge_mm)
        .collect();
    let squares: f64 = from_edge.iter().map(|d| d * d).sum();
    if squares <= f64::MIN_POSITIVE {
        return evenly();
    }
    let about_edge = |moment: f64| -> Vec<f64> {
        from_edge
            .iter()
            .map(|d| (moment * d / squares).max(0.0))
            .collect()
    };
    let tensions = about_edge(size - pull_n * edge_mm);
    if tensions.iter().sum::<f64>() >= pull_n {
        return tensions;
    }
    let alone = Push {
        at: *middle,
        force_n: axis.into_inner() * pull_n,
        moment_n_mm: tips,
    };
    match group_by_stiffness(bolts, &alone) {
        Ok(shared) => shared.iter().map(|on| on.tension_n).collect(),
        Err(_) => about_edge(size)
            .iter()
            .map(|tension| tension + pull_n / count)
            .collect(),
    }
}

/// Middle of the group, once every number is one.
fn sound(bolts: &[GroupBolt], push: &Push) -> Result<Point3<f64>, GroupError> {
    if bolts.is_empty() {
        return Err(GroupError::NoBolts);
    }
    let finite = |v: &Vector3<f64>| v.iter().all(|x| x.is_finite());
    let good = bolts.iter().all(|bolt| {
        finite(&bolt.at.coords)
            && bolt.axial >= 0.0
            && bolt.shear >= 0.0
            && bolt.axial.is_finite()
            && bolt.shear.is_finite()
    }) && finite(&push.at.coords)
        && finite(&push.force_n)
        && finite(&push.moment_n_mm);
    if !good {
        return Err(GroupError::NotANumber);
    }
    let sum: Vector3<f64> = bolts.iter().map(|bolt| bolt.at.coords).sum();
    Ok(Point3::from(sum / bolts.len() as f64))
}

fn spring(bolt: &GroupBolt) -> Matrix3<f64> {
    let along = bolt.axis.into_inner() * bolt.axis.transpose();
    along * bolt.axial + (Matrix3::identity() - along) * bolt.shear
}

fn split(bolt: &GroupBolt, force: Vector3<f64>) -> OnBolt {
    let tension_n = force.dot(&bolt.axis);
    OnBolt {
        shear_n: force - bolt.axis.into_inner() * tension_n,
        tension_n,
    }
}
