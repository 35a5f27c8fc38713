//! The line of stress range against cycles.

use handbook::FatigueCategory;

/// Cycles at which a category is named by its stress range.
const NAMED_AT_CYCLES: f64 = 2e6;

/// From one category to the next: the standard ones stand a twentieth of a decade apart, 10^(1/20) = 1.122 (80, 90, 100,
/// 112, 125 ... rounded).
pub fn class_step() -> f64 {
    10f64.powf(0.05)
}

/// A category, ready to be asked: N = 2e6 (category/range)^m down to the knee (the constant amplitude limit), the flatter
/// slope down to the cut-off, and nothing below; EN 1993-1-9 7.1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curve {
    category: FatigueCategory,
}

impl From<FatigueCategory> for Curve {
    fn from(category: FatigueCategory) -> Self {
        Curve { category }
    }
}

impl Curve {
    /// The same line, this many categories higher (or lower, below 0).
    #[must_use]
    pub fn classes_up(self, classes: f64) -> Self {
        self.over(class_step().powf(-classes))
    }

    /// The same line with its stresses divided by a partial factor.
    #[must_use]
    pub fn over(self, factor: f64) -> Self {
        Curve {
            category: FatigueCategory {
                category_mpa: self.category.category_mpa / factor,
                ..self.category
            },
        }
    }

    /// Stress range that a constant load may have without end, MPa: at the knee.
    pub fn knee_mpa(&self) -> f64 {
        let c = &self.category;
        c.category_mpa * (NAMED_AT_CYCLES / c.knee_cycles).powf(1.0 / c.slope)
    }

    /// Stress range below which no cycle does harm, MPa.
    pub fn cut_off_mpa(&self) -> f64 {
        let c = &self.category;
        self.knee_mpa() * (c.knee_cycles / c.cut_off_cycles).powf(1.0 / c.slope_beyond)
    }

    /// Cycles to a crack at this range; infinite below the cut-off and without stress.
    pub fn cycles(&self, range_mpa: f64) -> f64 {
        let c = &self.category;
        let knee_mpa = self.knee_mpa();
        // In this order a range that is no number has no life either, rather than one without end.
        if range_mpa < self.cut_off_mpa() {
            f64::INFINITY
        } else if range_mpa < knee_mpa {
            c.knee_cycles * (knee_mpa / range_mpa).powf(c.slope_beyond)
        } else {
            NAMED_AT_CYCLES * (c.category_mpa / range_mpa).powf(c.slope)
        }
    }
}
