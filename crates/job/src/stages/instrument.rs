//! How sure an instrument is: this shop's own by that name, else the handbook's.

use handbook::Handbook;
use units::Dim;

use crate::files::model::{InstrumentDef, Name, Shop};
use crate::files::{Wrong, nearest};

use super::scope::Scope;

/// What an instrument says of one number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Doubt {
    /// Meant, not measured.
    Exact,
    /// Standard deviation, mm or radians; above 0.
    Sd(f64),
    /// It reads no numbers of this kind.
    NotThisKind,
}

/// A number as an instrument reads it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Read {
    /// mm, or radians for an angle.
    pub value: f64,
    /// Is it an angle?
    pub angle: bool,
    /// Was it taken from the hook end of a tape?
    pub hook: bool,
}

/// The same name whatever the case, and with a space, a dash or an underscore.
fn plain(name: &str) -> String {
    name.to_lowercase().replace(['_', '-'], " ")
}

/// The instrument's doubt of a number.
///
/// # Errors
/// Neither shop nor handbook has an instrument of this name.
pub(super) fn doubt(
    book: &Handbook,
    shop: Option<&Shop>,
    scope: &Scope,
    name: &Name,
    read: Read,
) -> Result<Doubt, Wrong> {
    let owned = shop.map_or(&[][..], |shop| &shop.instruments);
    if let Some(own) = owned
        .iter()
        .find(|own| plain(&own.name.value) == plain(&name.value))
    {
        return of_own(own, scope, read);
    }
    let found = book.instrument(&name.value).map_err(|error| {
        let known: Vec<&str> = book
            .instrument_names()
            .chain(owned.iter().map(|own| own.name.value.as_str()))
            .collect();
        let mut wrong =
            Wrong::new(name.at.clone(), error.to_string()).expected(format!("one of: {}", known.join(", ")));
        wrong.fix = nearest(&name.value, known).map(|near| format!("\"{}\"", near.replace(' ', "_")));
        wrong
    })?;
    Ok(usual(&found, read))
}

/// What an instrument of the handbook says.
pub(super) fn usual(found: &handbook::Instrument, read: Read) -> Doubt {
    let sd = if read.angle {
        found.angle_sd_rad()
    } else {
        found.sd_at(read.value, read.hook)
    };
    match sd {
        Some(sd) if sd > 0.0 => Doubt::Sd(sd),
        Some(_) => Doubt::Exact,
        None => Doubt::NotThisKind,
    }
}

/// What a shop's own instrument says; that its standard deviation is above 0 is asked when the shop's file is checked.
fn of_own(own: &InstrumentDef, scope: &Scope, read: Read) -> Result<Doubt, Wrong> {
    let sd = scope.quantity(&own.sd)?.settled();
    let kind = if read.angle { Dim::ANGLE } else { Dim::LENGTH };
    if sd.dim != kind {
        return Ok(Doubt::NotThisKind);
    }
    let per_length = own.per_length.as_ref().map_or(0.0, |share| share.value);
    let more = if read.angle {
        0.0
    } else {
        per_length * read.value.abs()
    };
    Ok(Doubt::Sd(sd.value + more))
}
