//! What a person types when a job is started, understood and echoed in both systems.

use handbook::Handbook;
use units::{Expr, LengthUnit, StockText, StockThickness, Thread};

use crate::care::Refusal;
use crate::files::model::Design;
use crate::start::{Asked, AskedCare, design_text, fit_head, fit_text, own_title};

fn parsed(typed: &str, inch: bool) -> Result<units::Quantity, String> {
    let bare = if inch { LengthUnit::In } else { LengthUnit::Mm };
    let expr = Expr::parse(typed, Some(bare)).map_err(|error| format!("{error}."))?;
    expr.value().map_err(|error| format!("{error}."))
}

/// "1-1/8 in" as "28.6 mm (1-1/8 in)".
///
/// # Errors
/// Why it is no length above 0, as a sentence.
pub fn understood_length(typed: &str, inch: bool) -> Result<String, String> {
    let mm = parsed(typed, inch)?
        .length_mm()
        .map_err(|error| format!("{error}."))?;
    if mm > 0.0 {
        Ok(units::both(mm))
    } else {
        Err("A length above 0, please.".into())
    }
}

/// An angle bent through, with the one that is left between the legs.
///
/// # Errors
/// Why it is no angle of a bend, as a sentence.
pub fn understood_bend(typed: &str) -> Result<String, String> {
    let rad = parsed(typed, false)?
        .angle_rad()
        .map_err(|error| format!("{error}."))?;
    if rad > 0.0 && rad < std::f64::consts::PI {
        Ok(format!(
            "{} bent through, {} left between the legs",
            units::deg(rad),
            units::deg(std::f64::consts::PI - rad)
        ))
    } else {
        Err("More than 0 and less than 180 deg, please.".into())
    }
}

/// A metal and a thickness that the handbook knows.
///
/// # Errors
/// What is not known, and the nearest that is.
pub fn understood_stock(typed: &str) -> Result<String, String> {
    let stock = StockText::parse(typed).map_err(|error| format!("{error}."))?;
    let book = Handbook::builtin();
    let metal = book.metal(&stock.metal).map_err(|error| format!("{error}."))?;
    let mm = match stock.thickness {
        StockThickness::Mm(mm) => mm,
        StockThickness::Gauge(gauge) => {
            book.gauge_mm(&stock.metal, gauge.number())
                .map_err(|error| format!("{error}."))?
                .value
        }
    };
    Ok(format!("{} {}", metal.name, units::both(mm)))
}

/// A thread that the handbook has holes for, with the hole that lets it through.
///
/// # Errors
/// What is not known, and the nearest that is.
pub fn understood_thread(typed: &str) -> Result<String, String> {
    let thread = Thread::parse(typed).map_err(|error| format!("{error}."))?;
    Handbook::builtin()
        .clearance_dia_mm(
            thread.designation(),
            thread.nominal_mm(),
            handbook::Clearance::Normal,
        )
        .map(|hole| {
            format!(
                "{}, through a hole of {}",
                thread.designation(),
                units::both(hole.value)
            )
        })
        .map_err(|error| format!("{error}."))
}

/// What is refused of a job that was asked for; none when it is not.
pub fn refusal_of(asked: &Asked) -> Option<Refusal> {
    let design = crate::files::read_design(&design_text(asked)).ok()?;
    let fit = crate::files::read_fit(&fit_text(asked)).ok()?;
    crate::care::refusal(&design, &fit)
}

/// What is refused of a use of a design that another person drew; none when it is not.
pub(crate) fn refusal_of_care(design: &Design, care: &AskedCare) -> Option<Refusal> {
    let fit = crate::files::read_fit(&fit_head(&own_title(&design.title.value), care)).ok()?;
    crate::care::refusal(design, &fit)
}

/// Why a job is not started, for a person.
pub fn refused_text(refusal: &Refusal) -> String {
    format!(
        "\nGusset does not help with this part: {}.\nAsk {}.\nNo switch turns this off. Nothing was written.\n",
        refusal.why, refusal.ask
    )
}
