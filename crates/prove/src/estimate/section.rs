//! A cross section of thin straight walls: a strip with lips, an angle, a channel.

use nalgebra::{Matrix2, Point2, Vector2};

/// A straight wall of a section, along its middle line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wall {
    /// From here, mm.
    pub from: Point2<f64>,
    /// To here, mm.
    pub to: Point2<f64>,
    /// Thickness, mm.
    pub t_mm: f64,
}

/// Walls that are no section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the walls of the section have no area")]
pub struct NotASection;

/// An open section of thin walls with its properties.
#[derive(Debug, Clone, PartialEq)]
pub struct ThinSection {
    walls: Vec<Wall>,
    /// Area, mm2.
    pub area_mm2: f64,
    /// Middle, mm.
    pub middle: Point2<f64>,
    /// Second moments about axes through the middle, mm4: [int y^2, int x^2, int x y].
    pub second_moments_mm4: [f64; 3],
    /// Torsion constant, mm4: sum of b t^3/3. A lip adds hardly any: that is why it cures bending and not twist.
    pub torsion_mm4: f64,
}

impl ThinSection {
    /// The properties of these walls. Every wall counts with its own second moment about its middle line and across it.
    pub fn new(walls: Vec<Wall>) -> Result<Self, NotASection> {
        let area = |wall: &Wall| (wall.to - wall.from).norm() * wall.t_mm;
        let area_mm2: f64 = walls.iter().map(area).sum();
        if !(area_mm2 > 0.0 && area_mm2.is_finite()) {
            return Err(NotASection);
        }
        let first: Vector2<f64> = walls
            .iter()
            .map(|wall| nalgebra::center(&wall.from, &wall.to).coords * area(wall))
            .sum();
        let middle = Point2::from(first / area_mm2);
        let (mut second, mut torsion_mm4) = (Matrix2::zeros(), 0.0);
        for wall in &walls {
            let along = wall.to - wall.from;
            let length = along.norm();
            if length <= 0.0 {
                continue;
            }
            let arm = nalgebra::center(&wall.from, &wall.to) - middle;
            let across = Vector2::new(-along.y, along.x) * (wall.t_mm / length);
            let own = (along * along.transpose() + across * across.transpose()) / 12.0;
            second += (arm * arm.transpose() + own) * area(wall);
            torsion_mm4 += length * wall.t_mm.powi(3) / 3.0;
        }
        Ok(ThinSection {
            walls,
            area_mm2,
            middle,
            second_moments_mm4: [second[(1, 1)], second[(0, 0)], second[(0, 1)]],
            torsion_mm4,
        })
    }

    /// Largest bending stress at the walls' corners, MPa, under moments about x and y through the middle, N mm; skew bending
    /// included, by the general flexure formula: s = p x + q y with M_x = int y s and M_y = -int x s.
    pub fn bending_mpa(&self, about_x_n_mm: f64, about_y_n_mm: f64) -> f64 {
        let [xx, yy, xy] = self.second_moments_mm4;
        let determinant = xx * yy - xy * xy;
        let p = (-about_y_n_mm * xx - about_x_n_mm * xy) / determinant;
        let q = (about_x_n_mm * yy + about_y_n_mm * xy) / determinant;
        self.corners()
            .map(|corner| {
                let arm = corner - self.middle;
                (p * arm.x + q * arm.y).abs()
            })
            .fold(0.0, f64::max)
    }

    fn corners(&self) -> impl Iterator<Item = Point2<f64>> {
        self.walls.iter().flat_map(|wall| {
            let along = wall.to - wall.from;
            let half = Vector2::new(-along.y, along.x)
                .try_normalize(0.0)
                .unwrap_or_else(Vector2::zeros)
                * (wall.t_mm / 2.0);
            [wall.from + half, wall.from - half, wall.to + half, wall.to - half]
        })
    }
}
