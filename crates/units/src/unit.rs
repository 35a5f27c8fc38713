//! Units and the exact factors that define them.

use crate::dim::Dim;
use crate::nearest::nearest;

/// One inch in mm, exact (international yard and pound agreement, 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// One pound in kg, exact (international yard and pound agreement, 1959).
pub const KG_PER_POUND: f64 = 0.453_592_37;
/// One kgf in N, exact: standard gravity, 3rd CGPM, 1901.
pub const NEWTON_PER_KGF: f64 = 9.806_65;
/// One lbf in N, exact: the pound times standard gravity.
pub const NEWTON_PER_LBF: f64 = 4.448_221_615_260_5;
/// One psi in MPa: one lbf on one square inch.
pub const MPA_PER_PSI: f64 = NEWTON_PER_LBF / (MM_PER_INCH * MM_PER_INCH);

/// A unit of length that a file may declare for its bare numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LengthUnit {
    /// Millimetre.
    Mm,
    /// Centimetre.
    Cm,
    /// Metre.
    M,
    /// Inch, 25.4 mm.
    In,
    /// Foot, 12 in.
    Ft,
}

impl LengthUnit {
    /// All of them, smallest metric first.
    pub const ALL: [Self; 5] = [Self::Mm, Self::Cm, Self::M, Self::In, Self::Ft];

    /// How many mm so many of it are, rounded once: 3/16 in is 4.7625 mm to the last bit.
    pub fn to_mm(self, value: f64) -> f64 {
        self.factor().apply(value)
    }

    fn factor(self) -> Factor {
        match self {
            Self::Mm => Factor::times(1.0),
            Self::Cm => Factor::times(10.0),
            Self::M => Factor::times(1000.0),
            Self::In => INCH,
            Self::Ft => FOOT,
        }
    }

    /// As it is written: "mm", "cm", "m", "in", "ft".
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::M => "m",
            Self::In => "in",
            Self::Ft => "ft",
        }
    }

    /// The unit of this symbol, spelled as a file declares it.
    pub fn from_symbol(symbol: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|unit| unit.symbol() == symbol)
    }
}

/// Base units in one unit, as a quotient: an inch is 254/10 mm, since 25.4 has no exact f64 and 254 and 10 have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Factor {
    over: f64,
    under: f64,
}

impl Factor {
    const fn times(over: f64) -> Self {
        Self { over, under: 1.0 }
    }

    /// So many of the unit, in base units.
    pub fn apply(self, value: f64) -> f64 {
        value * self.over / self.under
    }

    /// The factor of a unit times another.
    fn by(self, other: Self) -> Self {
        Self {
            over: self.over * other.over,
            under: self.under * other.under,
        }
    }

    /// The factor of a unit divided by another.
    pub fn per(self, other: Self) -> Self {
        Self {
            over: self.over * other.under,
            under: self.under * other.over,
        }
    }
}

/// A unit as found after a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Unit {
    /// Base units in one of it.
    pub factor: Factor,
    /// What it measures.
    pub dim: Dim,
    /// A foot, pound or degree may be followed by its smaller unit.
    pub smaller: Smaller,
}

/// Which smaller unit may follow without an operator.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Smaller {
    None,
    InchesOfFoot,
    OuncesOfPound,
    MinutesOfDegree,
}

const INCH: Factor = Factor {
    over: 254.0,
    under: 10.0,
};
const FOOT: Factor = Factor {
    over: 3048.0,
    under: 10.0,
};
const INCHES: Unit = plain(INCH, Dim::LENGTH);
const FEET: Unit = Unit {
    factor: FOOT,
    dim: Dim::LENGTH,
    smaller: Smaller::InchesOfFoot,
};
const DEGREE: Unit = Unit {
    factor: Factor::times(std::f64::consts::PI / 180.0),
    dim: Dim::ANGLE,
    smaller: Smaller::MinutesOfDegree,
};
const POUND: Unit = Unit {
    factor: Factor::times(KG_PER_POUND),
    dim: Dim::MASS,
    smaller: Smaller::OuncesOfPound,
};
const POUND_FORCE: Unit = whole(NEWTON_PER_LBF, Dim::FORCE);

const fn plain(factor: Factor, dim: Dim) -> Unit {
    Unit {
        factor,
        dim,
        smaller: Smaller::None,
    }
}

const fn whole(over: f64, dim: Dim) -> Unit {
    plain(Factor::times(over), dim)
}

const fn share(over: f64, under: f64, dim: Dim) -> Unit {
    plain(Factor { over, under }, dim)
}

/// The moment of a force and a length that stand together, in either order: `N m`, `lbf in`. The pound beside a length is
/// the pound-force, as torque wrenches are marked: `ft-lb`.
pub(crate) fn moment_of(one: Unit, two: Unit) -> Option<Unit> {
    let force = |unit: Unit| if unit == POUND { POUND_FORCE } else { unit };
    let (one, two) = (force(one), force(two));
    let kinds = (one.dim, two.dim);
    (kinds == (Dim::FORCE, Dim::LENGTH) || kinds == (Dim::LENGTH, Dim::FORCE))
        .then(|| plain(one.factor.by(two.factor), Dim::MOMENT))
}

/// Every unit word, as it is written.
const WORDS: &[(&str, Unit)] = &[
    ("mm", whole(1.0, Dim::LENGTH)),
    ("cm", whole(10.0, Dim::LENGTH)),
    ("m", whole(1000.0, Dim::LENGTH)),
    ("millimetre", whole(1.0, Dim::LENGTH)),
    ("millimetres", whole(1.0, Dim::LENGTH)),
    ("millimeter", whole(1.0, Dim::LENGTH)),
    ("millimeters", whole(1.0, Dim::LENGTH)),
    ("in", INCHES),
    ("inch", INCHES),
    ("inches", INCHES),
    ("thou", share(254.0, 10_000.0, Dim::LENGTH)),
    ("ft", FEET),
    ("foot", FEET),
    ("feet", FEET),
    ("deg", DEGREE),
    ("degree", DEGREE),
    ("degrees", DEGREE),
    ("rad", whole(1.0, Dim::ANGLE)),
    ("N", whole(1.0, Dim::FORCE)),
    ("kN", whole(1000.0, Dim::FORCE)),
    ("lbf", POUND_FORCE),
    ("kgf", whole(NEWTON_PER_KGF, Dim::FORCE)),
    ("Nm", whole(1000.0, Dim::MOMENT)),
    ("Nmm", whole(1.0, Dim::MOMENT)),
    ("kg", whole(1.0, Dim::MASS)),
    ("g", share(1.0, 1000.0, Dim::MASS)),
    ("lb", POUND),
    ("oz", share(KG_PER_POUND, 16.0, Dim::MASS)),
    ("MPa", whole(1.0, Dim::STRESS)),
    ("GPa", whole(1000.0, Dim::STRESS)),
    ("psi", whole(MPA_PER_PSI, Dim::STRESS)),
    ("ksi", whole(1000.0 * MPA_PER_PSI, Dim::STRESS)),
    ("times", whole(1.0, Dim::NUMBER)),
];

/// Unit signs that are not words. Longer ones first.
const SIGNS: &[(&str, Unit)] = &[
    ("''", INCHES),
    ("\u{2032}\u{2032}", INCHES),
    ("\u{2019}\u{2019}", INCHES),
    ("\"", INCHES),
    ("\u{2033}", INCHES),
    ("\u{201d}", INCHES),
    ("'", FEET),
    ("\u{2032}", FEET),
    ("\u{2019}", FEET),
    ("\u{b0}", DEGREE),
    // The ordinal sign, which some keyboards give for degrees.
    ("\u{ba}", DEGREE),
    ("%", share(1.0, 100.0, Dim::NUMBER)),
];

/// The unit of a word, which may end in a power (`mm2`, `in^2` is not a word, `m²` is).
pub(crate) fn unit_of_word(word: &str) -> Option<Unit> {
    if let Some((_, unit)) = WORDS.iter().find(|(name, _)| *name == word) {
        return Some(*unit);
    }
    let (base, power) = split_power(word)?;
    let Factor { over, under } = LengthUnit::from_symbol(base)?.factor();
    let dim = Dim {
        length: i8::try_from(power).ok()?,
        ..Dim::NUMBER
    };
    Some(plain(
        Factor {
            over: over.powi(power),
            under: under.powi(power),
        },
        dim,
    ))
}

fn split_power(word: &str) -> Option<(&str, i32)> {
    let last = word.chars().next_back()?;
    let power = match last {
        '2' | '\u{b2}' => 2,
        '3' | '\u{b3}' => 3,
        '4' | '\u{2074}' => 4,
        _ => return None,
    };
    Some((&word[..word.len() - last.len_utf8()], power))
}

/// The unit sign at the start of `rest` and its length in bytes.
pub(crate) fn unit_of_sign(rest: &str) -> Option<(Unit, usize)> {
    SIGNS
        .iter()
        .find(|(sign, _)| rest.starts_with(sign))
        .map(|(sign, unit)| (*unit, sign.len()))
}

/// Is this word a unit? Then it cannot be the name of a measure. (`m2` is one only after a number: it may be a name.)
pub fn is_unit_word(word: &str) -> bool {
    WORDS.iter().any(|(name, _)| *name == word)
}

/// The units in which a quantity of this kind is usually written, the likeliest first.
pub(crate) fn usual_units(dim: Dim) -> &'static [&'static str] {
    match dim {
        Dim::LENGTH => &["mm", "in"],
        Dim::ANGLE => &["deg"],
        Dim::FORCE => &["N", "lbf"],
        Dim::MASS => &["kg", "lb"],
        Dim::MOMENT => &["N m", "lbf ft"],
        Dim::STIFFNESS => &["N/mm", "lbf/in"],
        Dim::TURN_STIFFNESS => &["N m/deg"],
        Dim::STRESS => &["MPa", "ksi"],
        _ => &[],
    }
}

/// The unit word most like `word`: the same but for capitals, or the nearest by letters.
pub(crate) fn nearest_unit(word: &str) -> Option<&'static str> {
    let names = || WORDS.iter().map(|(name, _)| *name);
    let same = names().find(|name| name.eq_ignore_ascii_case(word));
    // One letter is too little to be like another.
    same.or_else(|| nearest(word, names().filter(|name| name.len() > 1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_psi_is_6894_757_pa() {
        // NIST SP 811, appendix B: 1 psi = 6.894 757 E+03 Pa.
        assert!((MPA_PER_PSI - 6.894_757e-3).abs() < 5e-10);
    }

    #[test]
    fn a_square_inch_is_645_16_mm2() {
        let unit = unit_of_word("in2").expect("in2 is a unit");
        assert_eq!(unit.dim, Dim::AREA);
        assert!((unit.factor.apply(1.0) - 645.16).abs() < 1e-12);
    }

    #[test]
    fn capitals_and_one_letter_slips_find_their_unit() {
        assert_eq!(nearest_unit("MM"), Some("mm"));
        assert_eq!(nearest_unit("mpa"), Some("MPa"));
        assert_eq!(nearest_unit("innch"), Some("inch"));
        assert_eq!(nearest_unit("wrist"), None);
    }
}
