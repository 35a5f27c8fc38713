//! What a part asks of its bends, held against what plate and tool allow.

mod concern;
mod leg;
mod limits;
mod near;
mod relief;
mod shape;

pub use concern::{Breach, Concern, Fix, LegEnd, NotChecked, Weight};
pub use limits::{Die, Limits, OtherMetal};

use sheet::Part;

/// Everything the bends of this part run against, bend by bend, in the part's order.
///
/// - Inside radius: at least what the metal takes cold at this thickness ([`handbook::Handbook::least_radius_mm`]).
/// - Angle bent through: no more than the tools close.
/// - Legs on both sides: at least what lies on the die's shoulder, measured to the outside of the other leg; without a
///   die, 3 t + r. What is short over a tenth of the bend or less is not told.
/// - Openings: their edge at least 2.5 t + r from the tangent line.
/// - Ends: a bend that ends in the plate needs a relief that passes its tangent lines.
///
/// An opening that crosses a bend is not measured against it: it is meant to interrupt it. What could not be checked is
/// told by [`not_checked`]: no concern about it means nothing.
pub fn check(part: &Part, limits: &Limits) -> Vec<Concern> {
    let mut concerns = Vec::new();
    let mut legs = leg::Legs::new(part, limits);
    for index in 0..part.bends.len() {
        concerns.extend(shape::radius(part, index, limits));
        concerns.extend(shape::angle(part, index, limits));
        concerns.extend(legs.of_bend(index));
        concerns.extend(near::openings(part, index, limits));
        concerns.extend(relief::ends(part, index, limits));
    }
    concerns
}

/// The rules that [`check`] could not apply for want of a limit. With any of these, the answer to "can it be bent?" is
/// at best `not checked`.
pub fn not_checked(part: &Part, limits: &Limits) -> Vec<NotChecked> {
    match &limits.least_radius_mm {
        Err(why) if !part.bends.is_empty() => vec![NotChecked::Radii(why.clone())],
        _ => Vec::new(),
    }
}
