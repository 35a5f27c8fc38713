//! In which unit a drawing is.

/// A unit of drawings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DrawingUnit {
    /// Millimetres.
    Millimetre,
    /// Centimetres.
    Centimetre,
    /// Metres.
    Metre,
    /// Inches.
    Inch,
    /// Feet.
    Foot,
}

impl DrawingUnit {
    /// How many mm one is.
    #[must_use]
    pub fn in_mm(self) -> f64 {
        match self {
            DrawingUnit::Millimetre => 1.0,
            DrawingUnit::Centimetre => 10.0,
            DrawingUnit::Metre => 1000.0,
            DrawingUnit::Inch => 25.4,
            DrawingUnit::Foot => 304.8,
        }
    }

    /// The unit of this code of `$INSUNITS`; none for 0 and for units nobody draws plates in.
    pub(super) fn of_code(code: i64) -> Option<DrawingUnit> {
        match code {
            1 => Some(DrawingUnit::Inch),
            2 => Some(DrawingUnit::Foot),
            4 => Some(DrawingUnit::Millimetre),
            5 => Some(DrawingUnit::Centimetre),
            6 => Some(DrawingUnit::Metre),
            _ => None,
        }
    }
}

/// Why the unit must be asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyAsk {
    /// The file does not say it.
    Silent,
    /// What the file says makes a plate that nobody cuts.
    Implausible {
        /// What it says.
        unit: DrawingUnit,
    },
}

/// A plate is not smaller than this. Common practice, no source.
pub const LEAST_PLAUSIBLE_MM: f64 = 5.0;
/// Nor larger than the longest sheet that shops buy. Common practice, no source.
pub const LARGEST_PLAUSIBLE_MM: f64 = 6000.0;

pub(super) fn implausible(largest_mm: f64) -> bool {
    !(LEAST_PLAUSIBLE_MM..=LARGEST_PLAUSIBLE_MM).contains(&largest_mm)
}
