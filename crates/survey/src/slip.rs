//! Human slips with a tape and a pencil, tried on a suspect reading.
//!
//! Which slips people make is common practice, no source: digits swapped, an inch or a ten dropped where the tape is
//! held or read, the hook counted or not, a plate's thickness counted or not, inches taken for millimetres.

/// Steps of a tape that are easily dropped or counted twice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Graduation {
    /// One inch: "burning an inch" at the tape's end and forgetting it.
    Inch,
    /// 10 mm.
    TenMm,
    /// 100 mm.
    HundredMm,
}

impl Graduation {
    const ALL: [Self; 3] = [Self::Inch, Self::TenMm, Self::HundredMm];

    /// Its length, mm.
    #[must_use]
    pub fn mm(self) -> f64 {
        match self {
            Self::Inch => MM_PER_INCH,
            Self::TenMm => 10.0,
            Self::HundredMm => 100.0,
        }
    }
}

/// mm in an inch, by definition.
const MM_PER_INCH: f64 = 25.4;

/// What may have gone wrong.
#[derive(Debug, Clone, PartialEq)]
pub enum Slip {
    /// Two digits of what was typed changed places.
    SwappedDigits {
        /// What was meant.
        text: String,
    },
    /// A step was left out: the true reading is longer by it.
    Dropped(Graduation),
    /// A step was counted twice: the true reading is shorter by it.
    Added(Graduation),
    /// The tape's hook was left out (`counted` false: the true reading is longer) or counted when it should not be.
    HookEnd {
        /// Was it counted?
        counted: bool,
    },
    /// The same with one thickness of the plate.
    Thickness {
        /// Was it counted?
        counted: bool,
    },
    /// Inches were read and written down as millimetres.
    InchForMm,
    /// Millimetres were read and written down as inches.
    MmForInch,
}

/// A slip that would explain a suspect reading.
#[derive(Debug, Clone, PartialEq)]
pub struct DidYouMean {
    /// What went wrong.
    pub slip: Slip,
    /// The reading without it, mm or radians.
    pub value: f64,
    /// How far that is from what the other readings say, in standard deviations of the difference. 0 is on the spot.
    pub misses_by_sd: f64,
}

/// How readings were written down, for the slips that depend on it.
#[derive(Clone, Copy)]
pub struct Writing<'a> {
    /// What was typed for a reading, by the caller's number for it.
    pub typed: &'a dyn Fn(usize) -> Option<String>,
    /// What a text would have meant for that reading, mm or radians; `None` when it means nothing.
    pub meaning: &'a dyn Fn(usize, &str) -> Option<f64>,
    /// Thickness of the tape's hook.
    pub hook_mm: Option<f64>,
    /// Thickness of the plate.
    pub thickness_mm: Option<f64>,
}

impl Writing<'_> {
    /// Nothing known of how the readings were written: digits are not swapped.
    #[must_use]
    pub fn unknown() -> Self {
        Self {
            typed: &|_| None,
            meaning: &|_, _| None,
            hook_mm: None,
            thickness_mm: None,
        }
    }

    /// Every slip tried on a reading and the value it leads to. Angles can only have their digits swapped.
    pub(crate) fn slips(&self, about: usize, read: f64, is_angle: bool) -> Vec<(Slip, f64)> {
        let mut out = Vec::new();
        if let Some(typed) = (self.typed)(about) {
            for text in swaps(&typed) {
                if let Some(value) = (self.meaning)(about, &text) {
                    out.push((Slip::SwappedDigits { text }, value));
                }
            }
        }
        if is_angle {
            return out;
        }
        for step in Graduation::ALL {
            out.push((Slip::Dropped(step), read + step.mm()));
            out.push((Slip::Added(step), read - step.mm()));
        }
        for (counted, by) in [(false, 1.0), (true, -1.0)] {
            if let Some(hook) = self.hook_mm {
                out.push((Slip::HookEnd { counted }, read + by * hook));
            }
            if let Some(thickness) = self.thickness_mm {
                out.push((Slip::Thickness { counted }, read + by * thickness));
            }
        }
        out.push((Slip::InchForMm, read * MM_PER_INCH));
        out.push((Slip::MmForInch, read / MM_PER_INCH));
        out
    }

    /// The slips that bring a reading within `allowed_sd` standard deviations of what the others say, nearest first.
    pub(crate) fn did_you_mean(
        &self,
        (about, read, is_angle): (usize, f64, bool),
        expected: f64,
        sd: f64,
        allowed_sd: f64,
    ) -> Vec<DidYouMean> {
        let mut out: Vec<DidYouMean> = self
            .slips(about, read, is_angle)
            .into_iter()
            .map(|(slip, value)| DidYouMean {
                slip,
                value,
                misses_by_sd: (value - expected).abs() / sd,
            })
            .filter(|d| d.misses_by_sd <= allowed_sd)
            .collect();
        // Stable: among equals the order above.
        out.sort_by(|a, b| a.misses_by_sd.total_cmp(&b.misses_by_sd));
        out
    }
}

/// The text with each two neighbouring digits swapped, whatever stands between them; equal ones once.
fn swaps(typed: &str) -> Vec<String> {
    let letters: Vec<char> = typed.chars().collect();
    let digits: Vec<usize> = (0..letters.len())
        .filter(|&i| letters[i].is_ascii_digit())
        .collect();
    let mut out: Vec<String> = Vec::new();
    for pair in digits.windows(2) {
        let mut swapped = letters.clone();
        swapped.swap(pair[0], pair[1]);
        let text: String = swapped.into_iter().collect();
        if text != typed && !out.contains(&text) {
            out.push(text);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_swapped_across_point_dash_and_stroke() {
        assert_eq!(swaps("145.2 mm"), ["415.2 mm", "154.2 mm", "142.5 mm"]);
        assert_eq!(swaps("2-13/32 in"), ["1-23/32 in", "2-31/32 in", "2-13/23 in"]);
        assert!(swaps("7 mm").is_empty());
        assert!(swaps("77 mm").is_empty());
    }

    #[test]
    fn an_angle_has_no_inch_to_drop() {
        assert!(Writing::unknown().slips(0, 1.0, true).is_empty());
    }
}
