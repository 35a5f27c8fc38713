//! One change of speed, and one piece of path passed between two speeds.
//!
//! Without a jerk limit the acceleration is constant. With one, every change of speed begins and ends without
//! acceleration and is symmetric in time (three phases, or two when the change is too small to reach the full
//! acceleration), so its mean speed is the mean of its ends. Derived from the definitions.

/// The limits of a change of speed, both above 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ramp {
    pub accel_mm_s2: f64,
    pub jerk_mm_s3: Option<f64>,
}

/// One piece of path: up to a peak, along at it, down again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pass {
    pub peak_mm_s: f64,
    pub time_s: f64,
}

impl Ramp {
    /// How long a change of speed takes, s.
    pub fn change_s(&self, by_mm_s: f64) -> f64 {
        let by = by_mm_s.abs();
        let a = self.accel_mm_s2;
        match self.jerk_mm_s3 {
            None => by / a,
            Some(jerk) if by >= a * a / jerk => by / a + a / jerk,
            Some(jerk) => 2.0 * (by / jerk).sqrt(),
        }
    }

    /// How far it goes meanwhile, mm.
    pub fn change_mm(&self, from_mm_s: f64, to_mm_s: f64) -> f64 {
        (from_mm_s + to_mm_s) / 2.0 * self.change_s(to_mm_s - from_mm_s)
    }

    /// The greatest speed that can be reached from a speed within a length, mm/s.
    pub fn reach_mm_s(&self, from_mm_s: f64, length_mm: f64) -> f64 {
        let (v, a) = (from_mm_s, self.accel_mm_s2);
        let Some(jerk) = self.jerk_mm_s3 else {
            return (v * v + 2.0 * a * length_mm).sqrt();
        };
        let full = a * a / jerk;
        if (2.0 * v + full) * a / jerk <= length_mm {
            // (2 v + d) / 2 (d / a + a / j) = L, solved for d.
            let b = 2.0 * v + full;
            let c = 2.0 * v * full - 2.0 * a * length_mm;
            return v + (-b + (b * b - 4.0 * c).max(0.0).sqrt()) / 2.0;
        }
        // (2 v + d) sqrt(d / j) = L. In u = sqrt(d) it is u^3 + 2 v u = L sqrt(j), which rises and bends upward, so that
        // Newton's steps from above come down to the root and never pass it.
        let q = length_mm * jerk.sqrt();
        let mut u = q.cbrt();
        if v > 0.0 {
            u = u.min(q / (2.0 * v));
        }
        for _ in 0..60 {
            let next = u - (u * u * u + 2.0 * v * u - q) / (3.0 * u * u + 2.0 * v);
            if !next.is_finite() || next >= u {
                break;
            }
            u = next.max(0.0);
        }
        v + u * u
    }

    /// A piece of path passed from one speed to another without going over `most_mm_s`. The two speeds must be within
    /// each other's reach over the length, and not over the most.
    pub fn pass(&self, length_mm: f64, from_mm_s: f64, to_mm_s: f64, most_mm_s: f64) -> Pass {
        if length_mm <= 0.0 {
            return Pass {
                peak_mm_s: from_mm_s.max(to_mm_s),
                time_s: 0.0,
            };
        }
        let taken = |peak: f64| self.change_mm(from_mm_s, peak) + self.change_mm(peak, to_mm_s);
        let peak_mm_s = if taken(most_mm_s) <= length_mm {
            most_mm_s
        } else if self.jerk_mm_s3.is_none() {
            let square = self.accel_mm_s2 * length_mm + (from_mm_s * from_mm_s + to_mm_s * to_mm_s) / 2.0;
            square.sqrt().clamp(from_mm_s.max(to_mm_s), most_mm_s)
        } else {
            let (mut low, mut high) = (from_mm_s.max(to_mm_s), most_mm_s);
            // Sixty halvings leave nothing of a double's digits.
            for _ in 0..60 {
                let middle = (low + high) / 2.0;
                if taken(middle) <= length_mm {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            low
        };
        let along_mm = (length_mm - taken(peak_mm_s)).max(0.0);
        let along_s = if peak_mm_s > 0.0 {
            along_mm / peak_mm_s
        } else {
            0.0
        };
        Pass {
            peak_mm_s,
            time_s: self.change_s(peak_mm_s - from_mm_s) + along_s + self.change_s(peak_mm_s - to_mm_s),
        }
    }
}
