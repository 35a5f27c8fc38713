//! The functions that a sum may use.

use std::fmt;
use std::ops::RangeInclusive;

use crate::dim::Dim;
use crate::quantity::{KindsDiffer, Quantity, WrongKind};

/// A function on quantities, by the name it is written with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Function {
    /// `min(a, b, ..)`: the least.
    Min,
    /// `max(a, b, ..)`: the greatest.
    Max,
    /// `abs(a)`: without its sign.
    Abs,
    /// `sqrt(a)`: square root of a number or of an area.
    Sqrt,
    /// `hypot(a, b, ..)`: root of the sum of squares.
    Hypot,
    /// `sin(angle)`
    Sin,
    /// `cos(angle)`
    Cos,
    /// `tan(angle)`
    Tan,
    /// `asin(number)`: an angle.
    Asin,
    /// `acos(number)`: an angle.
    Acos,
    /// `atan(number)`: an angle.
    Atan,
    /// `atan2(rise, run)`: an angle, from two of one kind.
    Atan2,
    /// `arc(radius, angle)`: the length of an arc.
    Arc,
    /// `round_up(a, step)`: up to a whole number of steps.
    RoundUp,
    /// `round_down(a, step)`: down to a whole number of steps.
    RoundDown,
    /// `round_near(a, step)`: to the nearest whole number of steps; half a step goes away from zero.
    RoundNear,
}

/// Why a function has no value for these arguments.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum NoResult {
    /// An argument, counted from 0, is of the wrong kind.
    Kind { argument: usize, wrong: WrongKind },
    /// Two arguments that must be of one kind are not.
    Differ(KindsDiffer),
    /// The root of something that has none, as of a length.
    NoRoot(Dim),
    /// A value outside what the function takes.
    Outside(f64),
}

/// A value this close to a step, as a share of the step, is on it: far under a 64th, and far above what rounding in the
/// conversion of units leaves.
const ON_STEP: f64 = 1e-9;
/// A cosine below this is a right angle, whose tangent has no value: ten times the spacing of f64 near one.
const RIGHT_ANGLE_COS: f64 = 2e-15;

impl Function {
    /// All of them.
    pub const ALL: [Self; 16] = [
        Self::Min,
        Self::Max,
        Self::Abs,
        Self::Sqrt,
        Self::Hypot,
        Self::Sin,
        Self::Cos,
        Self::Tan,
        Self::Asin,
        Self::Acos,
        Self::Atan,
        Self::Atan2,
        Self::Arc,
        Self::RoundUp,
        Self::RoundDown,
        Self::RoundNear,
    ];

    /// The name it is written with.
    pub fn name(self) -> &'static str {
        match self {
            Self::Min => "min",
            Self::Max => "max",
            Self::Abs => "abs",
            Self::Sqrt => "sqrt",
            Self::Hypot => "hypot",
            Self::Sin => "sin",
            Self::Cos => "cos",
            Self::Tan => "tan",
            Self::Asin => "asin",
            Self::Acos => "acos",
            Self::Atan => "atan",
            Self::Atan2 => "atan2",
            Self::Arc => "arc",
            Self::RoundUp => "round_up",
            Self::RoundDown => "round_down",
            Self::RoundNear => "round_near",
        }
    }

    /// The function of this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|function| function.name() == name)
    }

    /// The function whose name is nearest, if any is near.
    pub(crate) fn nearest(name: &str) -> Option<Self> {
        crate::nearest::nearest(name, Self::ALL.into_iter().map(Self::name)).and_then(Self::from_name)
    }

    /// How many values it takes.
    pub(crate) fn arity(self) -> RangeInclusive<usize> {
        match self {
            Self::Min | Self::Max | Self::Hypot => 2..=usize::MAX,
            Self::Atan2 | Self::Arc | Self::RoundUp | Self::RoundDown | Self::RoundNear => 2..=2,
            _ => 1..=1,
        }
    }

    /// What it takes, in words.
    pub(crate) fn takes(self) -> &'static str {
        match self {
            Self::Min | Self::Max | Self::Hypot => "two or more values",
            Self::Atan2 => "two values (rise, run)",
            Self::Arc => "two values (radius, angle)",
            Self::RoundUp | Self::RoundDown | Self::RoundNear => "two values (the value, the step)",
            _ => "one value",
        }
    }

    /// The value for these arguments, whose number is as [`arity`](Self::arity) says.
    pub(crate) fn apply(self, arguments: &[Quantity]) -> Result<Quantity, NoResult> {
        let [first, rest @ ..] = arguments else {
            return Err(NoResult::Outside(f64::NAN));
        };
        match self {
            Self::Min => fold(*first, rest, f64::min),
            Self::Max => fold(*first, rest, f64::max),
            Self::Hypot => fold(*first, rest, f64::hypot),
            Self::Abs => Ok(first.with_value(first.value.abs())),
            Self::Sqrt => root(*first),
            Self::Sin => Ok(Quantity::from_number(angle(*first)?.sin())),
            Self::Cos => Ok(Quantity::from_number(angle(*first)?.cos())),
            Self::Tan => tangent(angle(*first)?),
            Self::Asin => Ok(Quantity::from_rad(within_one(*first)?.asin())),
            Self::Acos => Ok(Quantity::from_rad(within_one(*first)?.acos())),
            Self::Atan => Ok(Quantity::from_rad(kind(*first, Dim::NUMBER)?.atan())),
            Self::Atan2 => with_second(*first, rest, |rise, run, _| {
                if rise == 0.0 && run == 0.0 {
                    None
                } else {
                    Some(Quantity::from_rad(rise.atan2(run)))
                }
            }),
            Self::Arc => arc(*first, rest),
            Self::RoundUp => stepped(*first, rest, |steps| (steps - ON_STEP).ceil()),
            Self::RoundDown => stepped(*first, rest, |steps| (steps + ON_STEP).floor()),
            Self::RoundNear => stepped(*first, rest, f64::round),
        }
    }
}

impl fmt::Display for Function {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

fn kind(quantity: Quantity, wanted: Dim) -> Result<f64, NoResult> {
    quantity
        .as_kind(wanted)
        .map_err(|wrong| NoResult::Kind { argument: 0, wrong })
}

fn angle(quantity: Quantity) -> Result<f64, NoResult> {
    kind(quantity, Dim::ANGLE)
}

fn within_one(quantity: Quantity) -> Result<f64, NoResult> {
    let value = kind(quantity, Dim::NUMBER)?;
    if value.abs() <= 1.0 {
        Ok(value)
    } else {
        Err(NoResult::Outside(value))
    }
}

fn fold(first: Quantity, rest: &[Quantity], join: fn(f64, f64) -> f64) -> Result<Quantity, NoResult> {
    rest.iter().try_fold(first, |so_far, next| {
        let (one, two, shape) = so_far.meet(*next).map_err(NoResult::Differ)?;
        Ok(shape.with_value(join(one, two)))
    })
}

fn root(quantity: Quantity) -> Result<Quantity, NoResult> {
    let dim = quantity.dim.root().ok_or(NoResult::NoRoot(quantity.dim))?;
    if quantity.value < 0.0 {
        return Err(NoResult::Outside(quantity.value));
    }
    let value = quantity.value.sqrt();
    Ok(if dim == quantity.dim {
        quantity.with_value(value)
    } else {
        Quantity::new(value, dim)
    })
}

fn tangent(angle_rad: f64) -> Result<Quantity, NoResult> {
    if angle_rad.cos().abs() < RIGHT_ANGLE_COS {
        return Err(NoResult::Outside(angle_rad));
    }
    Ok(Quantity::from_number(angle_rad.tan()))
}

fn arc(radius: Quantity, rest: &[Quantity]) -> Result<Quantity, NoResult> {
    let [sweep] = rest else {
        return Err(NoResult::Outside(f64::NAN));
    };
    let radius_mm = radius
        .length_mm()
        .map_err(|wrong| NoResult::Kind { argument: 0, wrong })?;
    let sweep_rad = sweep
        .angle_rad()
        .map_err(|wrong| NoResult::Kind { argument: 1, wrong })?;
    Ok(Quantity::from_mm(radius_mm * sweep_rad))
}

fn with_second(
    first: Quantity,
    rest: &[Quantity],
    join: impl Fn(f64, f64, Quantity) -> Option<Quantity>,
) -> Result<Quantity, NoResult> {
    let [second] = rest else {
        return Err(NoResult::Outside(f64::NAN));
    };
    let (one, two, shape) = first.meet(*second).map_err(NoResult::Differ)?;
    join(one, two, shape).ok_or(NoResult::Outside(two))
}

fn stepped(first: Quantity, rest: &[Quantity], whole: fn(f64) -> f64) -> Result<Quantity, NoResult> {
    with_second(first, rest, |value, step, shape| {
        (step > 0.0).then(|| shape.with_value(whole(value / step) * step))
    })
}
