//! The plate round the hole: bearing, tear-out, and holes too near an edge or each other.

use handbook::{Handbook, Limit};

/// The plate where the bolt bears on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateAtHole {
    /// Thickness, mm.
    pub t_mm: f64,
    /// Diameter of the hole, mm.
    pub hole_mm: f64,
    /// Least yield strength, MPa.
    pub yield_mpa: f64,
    /// Least ultimate strength, MPa.
    pub ultimate_mpa: f64,
}

impl PlateAtHole {
    /// How far the plate may shift on its bolt once the joint slips, mm either way: (hole - bolt)/2; never below 0.
    pub fn float_mm(&self, bolt_mm: f64) -> f64 {
        ((self.hole_mm - bolt_mm) / 2.0).max(0.0)
    }
}

/// Where the hole lies, seen along the force of the bolt on the plate. None where there is no edge, or no other hole.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HolePlace {
    /// Hole centre to the edge that the bolt presses toward, mm: e1.
    pub end_mm: Option<f64>,
    /// Hole centre to the nearer edge at the side, mm: e2.
    pub side_mm: Option<f64>,
    /// To the next hole along the force, mm: p1.
    pub pitch_mm: Option<f64>,
    /// To the next hole across the force, mm: p2.
    pub gauge_mm: Option<f64>,
}

/// Least distances as multiples of the hole's diameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastDistances {
    /// To an edge: 1.2 in EN 1993-1-8 Table 3.3.
    pub edge_x_d0: f64,
    /// To the next hole along the force: 2.2.
    pub pitch_x_d0: f64,
    /// To the next hole across the force: 2.4.
    pub gauge_x_d0: f64,
}

/// A distance of a hole.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhichDistance {
    /// To the edge that the bolt presses toward.
    End,
    /// To the edge at the side.
    Side,
    /// To the next hole along the force.
    Pitch,
    /// To the next hole across the force.
    Gauge,
}

/// A hole too near something: the bearing formulas do not reach so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TooNear {
    /// Which distance.
    pub which: WhichDistance,
    /// As it is, mm.
    pub is_mm: f64,
    /// As it must be, mm.
    pub least_mm: f64,
}

impl LeastDistances {
    /// As the handbook has them in force.
    pub fn of(handbook: &Handbook) -> Self {
        let limit = |limit| handbook.limit(limit).value;
        LeastDistances {
            edge_x_d0: limit(Limit::BoltEndDistance),
            pitch_x_d0: limit(Limit::BoltPitch),
            gauge_x_d0: limit(Limit::BoltGauge),
        }
    }
}

impl HolePlace {
    /// The factor k1 of EN 1993-1-8 Table 3.4: the least of 2.8 e2/d0 - 1.7, 1.4 p2/d0 - 1.7 and 2.5; never below 0.
    pub fn k1(&self, hole_mm: f64) -> f64 {
        let by_side = self.side_mm.map(|e2| 2.8 * e2 / hole_mm - 1.7);
        let by_gauge = self.gauge_mm.map(|p2| 1.4 * p2 / hole_mm - 1.7);
        least([by_side, by_gauge], 2.5)
    }

    /// The factor alpha_b of EN 1993-1-8 Table 3.4: the least of e1/3d0, p1/3d0 - 1/4, f_ub/f_u and 1; never below 0.
    pub fn alpha_b(&self, hole_mm: f64, bolt_ultimate_mpa: f64, plate_ultimate_mpa: f64) -> f64 {
        let by_end = self.end_mm.map(|e1| e1 / (3.0 * hole_mm));
        let by_pitch = self.pitch_mm.map(|p1| p1 / (3.0 * hole_mm) - 0.25);
        least(
            [by_end, by_pitch],
            (bolt_ultimate_mpa / plate_ultimate_mpa).min(1.0),
        )
    }

    /// Force of the bolt at which the hole's rim fails, N: k1 alpha_b f_u d t, EN 1993-1-8 Table 3.4.
    pub fn bearing_n(&self, plate: &PlateAtHole, bolt_mm: f64, bolt_ultimate_mpa: f64) -> f64 {
        self.k1(plate.hole_mm)
            * self.alpha_b(plate.hole_mm, bolt_ultimate_mpa, plate.ultimate_mpa)
            * plate.ultimate_mpa
            * bolt_mm
            * plate.t_mm
    }

    /// Most that is allowed in bearing where one plate lies on another and the bolts stand in one row across the force, N:
    /// 1.5 f_u d t, EN 1993-1-8 3.6.1(10), from memory. It wants a washer under the head and the nut. None with a second row.
    pub fn single_lap_n(&self, plate: &PlateAtHole, bolt_mm: f64) -> Option<f64> {
        self.pitch_mm
            .is_none()
            .then_some(1.5 * plate.ultimate_mpa * bolt_mm * plate.t_mm)
    }

    /// Force that shears the plate out to the edge on two planes, N: 2 (e1 - d0/2) t tau. `tau_mpa` is the shear
    /// strength to reckon with (0.6 f_u at breaking, f_y/sqrt 3 at yield). Elementary shear-out, Shigley 8-12. None without
    /// an edge.
    pub fn tear_out_n(&self, plate: &PlateAtHole, tau_mpa: f64) -> Option<f64> {
        self.end_mm
            .map(|e1| (2.0 * (e1 - plate.hole_mm / 2.0) * plate.t_mm * tau_mpa).max(0.0))
    }

    /// Distances that fall short.
    pub fn too_near(&self, hole_mm: f64, least: &LeastDistances) -> Vec<TooNear> {
        [
            (WhichDistance::End, self.end_mm, least.edge_x_d0),
            (WhichDistance::Side, self.side_mm, least.edge_x_d0),
            (WhichDistance::Pitch, self.pitch_mm, least.pitch_x_d0),
            (WhichDistance::Gauge, self.gauge_mm, least.gauge_x_d0),
        ]
        .into_iter()
        .filter_map(|(which, is_mm, x_d0)| {
            let (is_mm, least_mm) = (is_mm?, x_d0 * hole_mm);
            (is_mm < least_mm).then_some(TooNear {
                which,
                is_mm,
                least_mm,
            })
        })
        .collect()
    }
}

fn least(said: [Option<f64>; 2], at_most: f64) -> f64 {
    // What is no number counts as the least of all, so that it never passes.
    said.into_iter()
        .flatten()
        .fold(at_most, |least, next| if next >= least { least } else { next })
        .max(0.0)
}

/// Stress of a bolt on the rim of its hole, MPa: F / (d t).
pub fn bearing_mpa(force_n: f64, bolt_mm: f64, t_mm: f64) -> f64 {
    force_n / (bolt_mm * t_mm)
}
