//! What a person types when a job is started, understood and echoed in both systems.

use handbook::Handbook;
use units::{Expr, LengthUnit, StockText, StockThickness, Thread};

use crate::start::Asked;

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

/// A thread that the handbook has holes for.
///
/// # Errors
/// What is not known, and the nearest that is.
pub fn understood_thread(typed: &str) -> Result<(), String> {
    let thread = Thread::parse(typed).map_err(|error| format!("{error}."))?;
    Handbook::builtin()
        .clearance_dia_mm(
            thread.designation(),
            thread.nominal_mm(),
            handbook::Clearance::Normal,
        )
        .map(|_| ())
        .map_err(|error| format!("{error}."))
}

/// Why a job that was asked for is refused; none when it is not.
pub fn refusal_of_answers(asked: &Asked) -> Option<String> {
    let design = crate::files::read_design(&crate::start::design_text(asked)).ok()?;
    let fit = crate::files::read_fit(&crate::start::fit_text(asked)).ok()?;
    let refusal = crate::care::refusal(&design, &fit)?;
    Some(format!(
        "\nGusset does not help with this part: {}.\nAsk {}.\nNo switch turns this off. Nothing was written.\n",
        refusal.why, refusal.ask
    ))
}
