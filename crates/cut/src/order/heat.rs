//! How hot the plate is where a pierce starts.
//!
//! Every piece of a cut is a line source through the thickness that moves over a thin plate: it leaves at each place,
//! for each second that it burns there, the heat of an instantaneous line source, and these add up. With a steady source
//! that has come from far this is the thin-plate solution of D. Rosenthal (The theory of moving sources of heat, 1946)
//! and of Carslaw and Jaeger (Conduction of Heat in Solids); both from memory, and held to each other in the tests.
//!
//! Left out: edges and kerfs, which keep heat in (beside a long straight edge the rise can be twice as much), and the
//! change of properties with temperature. The loss from both faces is taken as proportional to the rise.

use std::collections::VecDeque;

use plane::Point;
use thiserror::Error;

use crate::Track;

/// The plate as heat sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Conductivity, W/(mm K).
    pub conductivity_w_mm_k: f64,
    /// Diffusivity, mm2/s.
    pub diffusivity_mm2_s: f64,
    /// Share of the rise that is lost from both faces, 1/s; 0 keeps it all. It is 2 h / (rho c t) of the surface
    /// coefficient h.
    pub loss_per_s: f64,
    /// Temperature of the plate before, C.
    pub ambient_c: f64,
}

/// Why a plate has no temperature.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("the plate's {which} is given as {value}")]
pub struct PlateError {
    /// Which property.
    pub which: &'static str,
    /// What was given.
    pub value: f64,
}

/// A straight piece of a cut that heats the plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Burn {
    /// Where the torch is when it begins.
    pub from: Point,
    /// Where it is when it ends.
    pub to: Point,
    /// When it begins, s.
    pub start_s: f64,
    /// When it ends, s.
    pub end_s: f64,
    /// How much of the torch's heat stays in the plate, W.
    pub power_w: f64,
}

/// A plate with what has been cut in it.
#[derive(Debug, Clone, PartialEq)]
pub struct HotPlate {
    plate: Plate,
    burns: VecDeque<Burn>,
    /// Burns of long ago, each as heat given off at one place at one time: place, time, energy in J.
    faded: VecDeque<(Point, f64, f64)>,
}

/// As many pieces are kept as they are; older ones are put together two by two, each pair as one heat at its middle.
const KEPT_BURNS: usize = 128;
/// And as many of these; what is older still is long spread over the sheet and is let go.
const KEPT_FADED: usize = 512;

impl HotPlate {
    /// A plate that nothing was cut in yet.
    pub fn new(plate: Plate) -> Result<HotPlate, PlateError> {
        let above = [
            ("thickness", plate.thickness_mm),
            ("conductivity", plate.conductivity_w_mm_k),
            ("diffusivity", plate.diffusivity_mm2_s),
        ];
        for (which, value) in above {
            if !(value.is_finite() && value > 0.0) {
                return Err(PlateError { which, value });
            }
        }
        if !(plate.loss_per_s.is_finite() && plate.loss_per_s >= 0.0) {
            return Err(PlateError {
                which: "loss",
                value: plate.loss_per_s,
            });
        }
        if !plate.ambient_c.is_finite() {
            return Err(PlateError {
                which: "temperature before",
                value: plate.ambient_c,
            });
        }
        Ok(HotPlate {
            plate,
            burns: VecDeque::new(),
            faded: VecDeque::new(),
        })
    }

    /// Adds one piece. Pieces come in the order in which they burn.
    pub fn burn(&mut self, burn: Burn) {
        self.burns.push_back(burn);
        if self.burns.len() > KEPT_BURNS {
            let pair: Vec<Burn> = self.burns.drain(..2).collect();
            let energy_j: f64 = pair.iter().map(Burn::energy_j).sum();
            if energy_j > 0.0 {
                let weighed = |value: &dyn Fn(&Burn) -> f64| {
                    pair.iter().map(|burn| burn.energy_j() * value(burn)).sum::<f64>() / energy_j
                };
                let at = Point::new(
                    weighed(&|burn| (burn.from.x + burn.to.x) / 2.0),
                    weighed(&|burn| (burn.from.y + burn.to.y) / 2.0),
                );
                self.faded
                    .push_back((at, weighed(&|burn| (burn.start_s + burn.end_s) / 2.0), energy_j));
            }
            if self.faded.len() > KEPT_FADED {
                self.faded.pop_front();
            }
        }
    }

    /// Adds a whole track that begins at a time and takes so long, at an even speed.
    pub fn burn_track(&mut self, track: &Track, start_s: f64, takes_s: f64, power_w: f64) {
        /// An arc is taken as straight pieces of this error: nothing beside how far heat spreads in a second.
        const FLAT_MM: f64 = 1.0;
        let length_mm = track.length_mm();
        if length_mm <= 0.0 {
            return;
        }
        let mut places: Vec<Point> = track
            .segments()
            .flat_map(|edge| edge.flattened(FLAT_MM))
            .collect();
        places.extend(track.end());
        let whole_mm: f64 = places.windows(2).map(|pair| (pair[1] - pair[0]).norm()).sum();
        let mut along_mm = 0.0;
        for pair in places.windows(2) {
            let next_mm = along_mm + (pair[1] - pair[0]).norm();
            self.burn(Burn {
                from: pair[0],
                to: pair[1],
                start_s: start_s + takes_s * along_mm / whole_mm,
                end_s: start_s + takes_s * next_mm / whole_mm,
                power_w,
            });
            along_mm = next_mm;
        }
    }

    /// The temperature of the plate at a place and time, C, from what has burned until then.
    #[must_use]
    pub fn temperature_c(&self, at: Point, time_s: f64) -> f64 {
        let rises: f64 = self.burns.iter().map(|burn| self.rise_k(burn, at, time_s)).sum();
        let faded: f64 = self
            .faded
            .iter()
            .map(|(place, when_s, energy_j)| self.faded_k(*place, *when_s, *energy_j, at, time_s))
            .sum();
        self.plate.ambient_c + rises + faded
    }

    /// The rise by one instantaneous line source: E / (4 pi k h tau) exp(-r^2 / (4 a tau) - b tau).
    fn faded_k(&self, place: Point, when_s: f64, energy_j: f64, at: Point, time_s: f64) -> f64 {
        let age_s = time_s - when_s;
        if age_s <= 0.0 {
            return 0.0;
        }
        let plate = &self.plate;
        let per = 4.0 * std::f64::consts::PI * plate.conductivity_w_mm_k * plate.thickness_mm;
        let far = (at - place).norm_squared() / (4.0 * plate.diffusivity_mm2_s * age_s);
        energy_j / (per * age_s) * (-far - plate.loss_per_s * age_s).exp()
    }

    /// The rise by one piece: the same, integrated over the time that it burned. In ln tau the 1 / tau is gone and what
    /// is left is smooth.
    fn rise_k(&self, burn: &Burn, at: Point, time_s: f64) -> f64 {
        /// Beyond this power of e nothing is left.
        const NOTHING: f64 = 40.0;
        let plate = &self.plate;
        let until_s = burn.end_s.min(time_s);
        if until_s <= burn.start_s {
            return 0.0;
        }
        let a4 = 4.0 * plate.diffusivity_mm2_s;
        let near_mm = plane::Segment::line(burn.from, burn.to).nearest(at).0;
        let (oldest_s, youngest_s) = (time_s - burn.start_s, time_s - until_s);
        // Heat that is younger than this has not come so far.
        let youngest_s = youngest_s
            .max(near_mm * near_mm / (a4 * NOTHING))
            .max(1e-9 * oldest_s);
        if youngest_s >= oldest_s || plate.loss_per_s * youngest_s > NOTHING {
            return 0.0;
        }
        let velocity = (burn.to - burn.from) / (burn.end_s - burn.start_s);
        let integrand = |ln_age: f64| {
            let age_s = ln_age.exp();
            let place = burn.from + velocity * (time_s - age_s - burn.start_s);
            (-(at - place).norm_squared() / (a4 * age_s) - plate.loss_per_s * age_s).exp()
        };
        // Parts over which the age grows by no more than a factor of two, nor the torch moves farther than heat of the
        // greatest age has spread for each such factor.
        let (low, high) = (youngest_s.ln(), oldest_s.ln());
        let per_spread = velocity.norm() * (oldest_s / a4).sqrt();
        let parts = ((high - low) * per_spread.clamp(1.4, 64.0)).ceil().max(1.0);
        let step = (high - low) / parts;
        let mut sum = 0.0;
        for k in 0..parts as u32 {
            let middle = low + (f64::from(k) + 0.5) * step;
            for (node, weight) in GAUSS {
                sum += weight * integrand(middle + node * step / 2.0);
            }
        }
        let per = 4.0 * std::f64::consts::PI * plate.conductivity_w_mm_k * plate.thickness_mm;
        burn.power_w / per * sum * step / 2.0
    }
}

impl Burn {
    fn energy_j(&self) -> f64 {
        self.power_w * (self.end_s - self.start_s)
    }
}

/// Gauss-Legendre nodes and weights on -1 to 1, five points (Abramowitz and Stegun, table 25.4; from memory, checked by
/// the moments in the tests).
const GAUSS: [(f64, f64); 5] = [
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
    (0.906_179_845_938_664, 0.236_926_885_056_189_08),
    (-0.906_179_845_938_664, 0.236_926_885_056_189_08),
];

#[cfg(test)]
mod tests {
    use super::GAUSS;

    #[test]
    fn the_rule_is_exact_to_degree_nine() {
        for degree in 0..10 {
            let sum: f64 = GAUSS
                .iter()
                .map(|(node, weight)| weight * node.powi(degree))
                .sum();
            let exact = if degree % 2 == 0 {
                2.0 / f64::from(degree + 1)
            } else {
                0.0
            };
            assert!((sum - exact).abs() < 1e-14, "degree {degree}: {sum}");
        }
    }
}
