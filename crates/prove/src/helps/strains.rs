//! What is known of a part's strains from the solution in hand.

use plane::{Point, Vector};

use crate::bracket::Bracket;

/// A smooth piece of the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Patch {
    /// Index into the part's panels.
    Panel(usize),
    /// Index into the part's bends.
    Bend(usize),
}

/// A triangle of the mesh, as it lies on the blank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Element {
    /// Its middle, on the blank.
    pub at: Point,
    /// Its area, mm2.
    pub area_mm2: f64,
    /// What it is part of.
    pub patch: Patch,
    /// Whether stress is read here: not under washers or where a coupling presses.
    pub read: bool,
}

/// What a triangle carries, per length, in the axes of the blank: xx, yy, xy.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Resultants {
    /// Membrane forces, N/mm.
    pub force_n_mm: [f64; 3],
    /// Bending and twisting moments, N mm/mm.
    pub moment_n: [f64; 3],
}

/// One load's strains.
#[derive(Debug, Clone, PartialEq)]
pub struct Strained {
    /// For each element.
    pub resultants: Vec<Resultants>,
    /// Strain energy outside the plate (bolts, seats, springs), N mm.
    pub elsewhere_n_mm: f64,
    /// The stress over what is allowed: above 1 it is too much. 0 when nothing is known.
    pub stress_over: f64,
    /// The movement over what is allowed: above 1 it is too much. 0 when nothing is known.
    pub moves_over: f64,
}

/// The solution in hand.
#[derive(Debug, Clone, PartialEq)]
pub struct InHand {
    /// The mesh.
    pub elements: Vec<Element>,
    /// For each load.
    pub cases: Vec<Strained>,
}

/// The plate's elasticity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Elastic {
    pub thickness_mm: f64,
    pub elastic_mpa: f64,
    pub poisson: f64,
}

/// A tensor's parts along s, along n, and the shear between them, n a quarter turn from s counter-clockwise.
pub(super) fn along(tensor: [f64; 3], s: Vector) -> [f64; 3] {
    let [xx, yy, xy] = tensor;
    let (c2, s2, cs) = (s.x * s.x, s.y * s.y, s.x * s.y);
    [
        xx * c2 + yy * s2 + 2.0 * xy * cs,
        xx * s2 + yy * c2 - 2.0 * xy * cs,
        (yy - xx) * cs + xy * (c2 - s2),
    ]
}

impl Elastic {
    /// The plate of a bracket.
    pub fn of(bracket: &Bracket<'_>) -> Self {
        Self {
            thickness_mm: bracket.part.thickness_mm,
            elastic_mpa: bracket.metal.elastic_mpa,
            poisson: bracket.metal.poisson,
        }
    }

    /// All the strain energy per area, N/mm.
    pub fn stored_n_mm(&self, held: &Resultants) -> f64 {
        self.pulls_n_mm(held.force_n_mm).iter().sum::<f64>()
            + self.bends_n_mm(held.moment_n).iter().sum::<f64>()
    }

    /// Strain energy per area stored by forces along s, along n and in shear, N/mm, of a plate of this section: each of
    /// the three is half its force times its own strain. The sum is 1/2 N.e of plane stress.
    pub fn pulls_n_mm(&self, [ss, nn, sn]: [f64; 3]) -> [f64; 3] {
        let gives = 0.5 / (self.elastic_mpa * self.thickness_mm);
        self.parts(gives, ss, nn, sn)
    }

    /// The same for moments: bending about n, about s, and twist.
    pub fn bends_n_mm(&self, [ss, nn, sn]: [f64; 3]) -> [f64; 3] {
        let gives = 6.0 / (self.elastic_mpa * self.thickness_mm.powi(3));
        self.parts(gives, ss, nn, sn)
    }

    fn parts(&self, gives: f64, ss: f64, nn: f64, sn: f64) -> [f64; 3] {
        [
            gives * ss * (ss - self.poisson * nn),
            gives * nn * (nn - self.poisson * ss),
            gives * 2.0 * (1.0 + self.poisson) * sn * sn,
        ]
    }

    /// Von Mises stress at the worse face, MPa.
    pub fn mises_mpa(&self, force_n_mm: [f64; 3], moment_n: [f64; 3]) -> f64 {
        let t_mm = self.thickness_mm;
        let face = |sign: f64| {
            let stress =
                |index: usize| force_n_mm[index] / t_mm + sign * 6.0 * moment_n[index] / (t_mm * t_mm);
            let (x, y, xy) = (stress(0), stress(1), stress(2));
            x * x - x * y + y * y + 3.0 * xy * xy
        };
        face(1.0).max(face(-1.0)).sqrt()
    }
}

/// How a load's strain energy in the plate is stored, along a direction of the blank. The shares add up to 1.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Shares {
    /// By pull, push and shear in the plate.
    pub pull: f64,
    /// By bending along the direction.
    pub bending: f64,
    /// By bending across it.
    pub across: f64,
    /// By twist about it: what no lip cures.
    pub twist: f64,
}

impl InHand {
    /// How the energy of a load is stored in the pieces for which `counts` holds, in a strip that runs along `s`.
    pub(super) fn shares(
        &self,
        case: usize,
        elastic: Elastic,
        s: Vector,
        counts: impl Fn(Patch) -> bool,
    ) -> Shares {
        let mut stored = Shares::default();
        for (element, held) in self.elements.iter().zip(&self.cases[case].resultants) {
            if !counts(element.patch) {
                continue;
            }
            let pull: f64 = elastic.pulls_n_mm(along(held.force_n_mm, s)).iter().sum();
            let [bending, across, twist] = elastic.bends_n_mm(along(held.moment_n, s));
            stored.pull += pull * element.area_mm2;
            stored.bending += bending * element.area_mm2;
            stored.across += across * element.area_mm2;
            stored.twist += twist * element.area_mm2;
        }
        let all = stored.pull + stored.bending + stored.across + stored.twist;
        if all <= 0.0 {
            return Shares::default();
        }
        Shares {
            pull: stored.pull / all,
            bending: stored.bending / all,
            across: stored.across / all,
            twist: stored.twist / all,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_energy_of_a_plate_is_the_same_in_any_axes() {
        let elastic = Elastic {
            thickness_mm: 4.0,
            elastic_mpa: 70_000.0,
            poisson: 0.33,
        };
        let moment = [120.0, -35.0, 48.0];
        let sum = |deg: f64| {
            let (sin, cos) = deg.to_radians().sin_cos();
            elastic
                .bends_n_mm(along(moment, Vector::new(cos, sin)))
                .iter()
                .sum::<f64>()
        };
        for deg in [10.0, 45.0, 90.0, 137.0] {
            assert!((sum(deg) - sum(0.0)).abs() < 1e-12 * sum(0.0));
        }
    }

    #[test]
    fn a_strip_under_a_moment_stores_m_squared_over_2_e_i() {
        let elastic = Elastic {
            thickness_mm: 4.0,
            elastic_mpa: 70_000.0,
            poisson: 0.0,
        };
        let stored: f64 = elastic.bends_n_mm([250.0, 0.0, 0.0]).iter().sum();
        let second_mm3 = 4.0_f64.powi(3) / 12.0;
        assert!((stored - 250.0 * 250.0 / (2.0 * 70_000.0 * second_mm3)).abs() < 1e-12);
    }
}
