//! Numbers as the machine reads them: a fixed count of decimals, never an exponent, never a negative zero.

/// A length in the program's unit, as a whole number of its last decimal: what the machine will read, exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Steps(i64);

/// How lengths in mm become numbers of the program.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    /// Steps of the last decimal in one mm.
    steps_per_mm: f64,
    decimals_n: u8,
}

impl Scale {
    pub(super) fn new(unit_in_mm: f64, decimals_n: u8) -> Scale {
        Scale {
            steps_per_mm: 10f64.powi(i32::from(decimals_n)) / unit_in_mm,
            decimals_n,
        }
    }

    pub(super) fn steps(self, mm: f64) -> Steps {
        // Within FARTHEST_MM and six decimals this stays far under 2^53.
        Steps((mm * self.steps_per_mm).round() as i64)
    }

    /// The length that the machine will read, mm.
    pub(super) fn mm(self, steps: Steps) -> f64 {
        steps.0 as f64 / self.steps_per_mm
    }

    /// One step of the last decimal, mm.
    pub(super) fn step_mm(self) -> f64 {
        1.0 / self.steps_per_mm
    }

    pub(super) fn word(self, letter: char, steps: Steps) -> String {
        let one = 10i64.pow(u32::from(self.decimals_n));
        let (whole, part) = (steps.0.abs() / one, steps.0.abs() % one);
        let sign = if steps.0 < 0 { "-" } else { "" };
        let width = usize::from(self.decimals_n);
        format!("{letter}{sign}{whole}.{part:0width$}")
    }

    pub(super) fn word_of_mm(self, letter: char, mm: f64) -> String {
        self.word(letter, self.steps(mm))
    }
}

/// A feed in units of the program per minute, or seconds: three decimals, and never rounded down to nothing.
pub(super) fn plain(letter: char, value: f64) -> String {
    const LEAST: f64 = 0.001;
    let value = if value > 0.0 { value.max(LEAST) } else { 0.0 };
    format!("{letter}{value:.3}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_all_their_decimals_and_no_negative_zero() {
        let scale = Scale::new(1.0, 4);
        assert_eq!(scale.word_of_mm('X', 12.5), "X12.5000");
        assert_eq!(scale.word_of_mm('X', -0.00004), "X0.0000");
        assert_eq!(scale.word_of_mm('Y', -0.5), "Y-0.5000");
        assert_eq!(scale.word_of_mm('I', 0.00006), "I0.0001");
        assert_eq!(Scale::new(25.4, 5).word_of_mm('X', 25.4), "X1.00000");
        assert_eq!(plain('F', 2000.0), "F2000.000");
        assert_eq!(plain('P', 0.0), "P0.000");
        assert_eq!(plain('F', 1e-9), "F0.001");
    }
}
