//! How much metal the plate is, and where it hangs.

use nalgebra::{Point3, Vector3};

use crate::part::{Bend, Part, Strip};
use crate::place::strip_reach_mm;

/// Gauss-Legendre nodes on 0 to 1 with their weights, six points: exact far beyond a reading for the sine times a
/// straight line over at most half a turn. Abramowitz and Stegun, table 25.4 (from memory; the weights sum to 1).
const GAUSS: [(f64, f64); 6] = [
    (0.033_765_242_898_423_99, 0.085_662_246_189_585_17),
    (0.169_395_306_766_867_74, 0.180_380_786_524_069_3),
    (0.380_690_406_958_401_55, 0.233_956_967_286_345_52),
    (0.619_309_593_041_598_5, 0.233_956_967_286_345_52),
    (0.830_604_693_233_132_2, 0.180_380_786_524_069_3),
    (0.966_234_757_101_576, 0.085_662_246_189_585_17),
];

impl Part {
    /// Metal in the folded plate, mm3: the flat panels and the bends as sectors of a tube, A ((r + t)^2 - r^2) / 2 times
    /// their length. A bend's sector differs a little from its strip on the blank unless K is 1/2.
    pub fn volume_mm3(&self) -> f64 {
        self.pieces().iter().map(|(volume_mm3, _)| volume_mm3).sum()
    }

    /// Mass for a density in kg/m3.
    pub fn mass_kg(&self, density_kg_m3: f64) -> f64 {
        const MM3_PER_M3: f64 = 1e9;
        self.volume_mm3() * density_kg_m3 / MM3_PER_M3
    }

    /// The centre of mass in the folded part.
    pub fn centre_of_mass(&self) -> Point3<f64> {
        let pieces = self.pieces();
        let moment: Vector3<f64> = pieces
            .iter()
            .map(|(volume_mm3, centre)| centre.coords * *volume_mm3)
            .sum();
        Point3::from(moment / pieces.iter().map(|(volume_mm3, _)| volume_mm3).sum::<f64>())
    }

    /// Volume and centre of every panel and strip.
    fn pieces(&self) -> Vec<(f64, Point3<f64>)> {
        let [far_mm, near_mm] = self.z_range();
        let panels = self.panels.iter().map(|panel| {
            let outer = panel.flat.outer.moments();
            let mut area_mm2 = outer.area_mm2;
            let mut moment = outer.centroid.coords * outer.area_mm2;
            for hole in panel.flat.holes.iter().map(plane::Outline::moments) {
                area_mm2 -= hole.area_mm2;
                moment -= hole.centroid.coords * hole.area_mm2;
            }
            let centre = moment / area_mm2;
            let centre = panel.to_folded * Point3::from(centre.push((far_mm + near_mm) / 2.0));
            (area_mm2 * self.thickness_mm, centre)
        });
        let strips = self.bends.iter().flat_map(|bend| {
            bend.strips
                .iter()
                .map(move |strip| self.strip_volume_and_centre(bend, strip))
        });
        panels.chain(strips).collect()
    }

    fn strip_volume_and_centre(&self, bend: &Bend, strip: &Strip) -> (f64, Point3<f64>) {
        let (inner, outer) = (bend.radius_mm, bend.radius_mm + self.thickness_mm);
        // Radial integrals of rho and rho^2, each times the angle.
        let area = bend.bent_rad * (outer * outer - inner * inner) / 2.0;
        let lever = bend.bent_rad * (outer.powi(3) - inner.powi(3)) / 3.0;
        let (mut volume, mut moment) = (0.0, Vector3::zeros());
        for (across, weight) in GAUSS {
            let [from, to] = strip_reach_mm(bend, strip, across);
            volume += weight * area * (to - from);
            moment += bend.axis.into_inner() * (weight * area * (to * to - from * from) / 2.0);
            moment += self.out_of_bend(bend, across) * (weight * lever * (to - from));
        }
        (volume, bend.axis_at + moment / volume)
    }
}
