//! What is typed at a place of a file, as it is understood there: by what the place takes, in both systems.

use units::{Expr, LengthUnit, Quantity, WrongKind};

use crate::asked::{understood_bend, understood_stock, understood_thread};
use crate::files::keys::{Kind, Takes, takes_at};
use crate::files::model::FileKind;
use crate::files::unit_of_file;
use crate::folder::Folder;
use crate::revise::Step;

/// What a text comes to at a place, or why it comes to nothing there. None where there is nothing to say: the place takes
/// words or names, the text is a sum on measures, or nothing is printed of such a quantity.
pub fn understood_at(
    folder: &Folder,
    kind: FileKind,
    way: &[Step],
    text: &str,
) -> Option<Result<String, String>> {
    let bare = folder.source(kind).and_then(|file| unit_of_file(&file.text));
    understood(kind, way, text, bare)
}

fn understood(
    kind: FileKind,
    way: &[Step],
    text: &str,
    bare: Option<LengthUnit>,
) -> Option<Result<String, String>> {
    let takes = takes_at(kind, way);
    let said: Vec<Said> = takes.iter().map(|takes| said(takes, way, text, bare)).collect();
    if let Some(echo) = said.iter().find_map(|said| match said {
        Said::As(echo) => Some(echo.clone()),
        _ => None,
    }) {
        return Some(Ok(echo));
    }
    // Where words are taken too, what is no quantity is one of those.
    let mut why = None;
    for said in said {
        match said {
            Said::Not(reason) => why = why.or(Some(reason)),
            Said::As(_) | Said::Nothing => return None,
        }
    }
    why.map(Err)
}

enum Said {
    As(String),
    Not(String),
    Nothing,
}

impl From<Result<String, String>> for Said {
    fn from(echo: Result<String, String>) -> Said {
        match echo {
            Ok(echo) => Said::As(echo),
            Err(why) => Said::Not(why),
        }
    }
}

fn said(takes: &Takes, way: &[Step], text: &str, bare: Option<LengthUnit>) -> Said {
    match takes {
        // The one angle that is easily taken for the other one.
        Takes::Sum(Kind::Angle)
            if way.last() == Some(&Step::Key("bent".into())) && !on_measures(text, bare) =>
        {
            understood_bend(text).into()
        }
        Takes::Sum(kind) => quantity(*kind, text, bare),
        Takes::Stock => understood_stock(text).into(),
        Takes::Thread => understood_thread(text).into(),
        Takes::Rate(rate) => match rate.parse(text, bare) {
            Some(_) => Said::Nothing,
            None => Said::Not(format!("This takes {}.", rate.words())),
        },
        // A word, which is chosen, and a length, which is typed.
        Takes::Corner => match text.trim().split_once(' ') {
            Some((_, length)) => quantity(Kind::Length, length, bare),
            None => Said::Nothing,
        },
        _ => Said::Nothing,
    }
}

fn on_measures(text: &str, bare: Option<LengthUnit>) -> bool {
    Expr::parse(text, bare).is_ok_and(|expr| !expr.names().is_empty())
}

fn quantity(kind: Kind, text: &str, bare: Option<LengthUnit>) -> Said {
    let expr = match Expr::parse(text, bare) {
        Ok(expr) if !expr.names().is_empty() => return Said::Nothing,
        Ok(expr) => expr,
        Err(error) => return Said::Not(format!("{error}.")),
    };
    let value = match expr.value() {
        Ok(value) => value,
        Err(error) => return Said::Not(format!("{error}.")),
    };
    match printed(kind, value) {
        None => Said::Nothing,
        Some(Ok(says)) => Said::As(says),
        Some(Err(error)) => Said::Not(format!("{error}.")),
    }
}

/// A quantity in both systems; none of a kind that nothing is printed of.
pub(crate) fn in_both_systems(value: Quantity) -> Option<String> {
    printed(Kind::Any, value)?.ok()
}

fn printed(kind: Kind, value: Quantity) -> Option<Result<String, WrongKind>> {
    let length = || value.length_mm().map(units::both);
    let angle = || value.angle_rad().map(units::deg);
    let force = || value.force_n().map(units::force);
    let moment = || value.moment_n_mm().map(units::moment);
    let mass = || value.mass_kg().map(units::mass);
    match kind {
        Kind::Length => Some(length()),
        Kind::Angle => Some(angle()),
        Kind::Force => Some(force()),
        Kind::Moment => Some(moment()),
        Kind::Mass => Some(mass()),
        Kind::Stiffness | Kind::TurnStiffness | Kind::PerLength => None,
        Kind::Any => [length(), angle(), force(), moment(), mass()]
            .into_iter()
            .find(Result::is_ok),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(kind: FileKind, way: &str, text: &str) -> Option<Result<String, String>> {
        let way: Vec<Step> = way
            .split(' ')
            .map(|step| step.parse().map_or_else(|_| Step::Key(step.into()), Step::Row))
            .collect();
        understood(kind, &way, text, Some(LengthUnit::Mm))
    }

    #[test]
    fn each_place_is_answered_by_what_it_takes_in_both_systems() {
        use FileKind::{Design, Fit, Shop};
        for (kind, way, text, says) in [
            (Design, "points A 0", "1-1/8 in", "28.6 mm (1-1/8 in)"),
            (Design, "measures rise", "60", "60.0 mm"),
            (Design, "plate stock", "A36 3 mm", "3.0 mm"),
            (
                Design,
                "bends b1 bent",
                "60 deg",
                "120.0 deg left between the legs",
            ),
            (Design, "outline corners A", "round 1/2 in", "12.7 mm (1/2 in)"),
            (Fit, "mounts top gap", "1 mm", "1.0 mm ("),
            (Shop, "stock 0 size 1", "48 in", "1219.2 mm (48 in)"),
            (Shop, "bender punches 0 angle", "85 deg", "85.0 deg"),
            (Shop, "bender brakes 0 force", "250 kN", "lbf)"),
        ] {
            match at(kind, way, text) {
                Some(Ok(echo)) => assert!(echo.contains(says), "{way}: {echo}"),
                other => panic!("{way}: {other:?}"),
            }
        }
        for (kind, way, text) in [
            (Design, "points A 0", "3 kg"),
            (Design, "plate stock", "cheese 3 mm"),
            (Design, "outline corners A", "round 3 kg"),
            (Shop, "bender brakes 0 force", "2 mm"),
        ] {
            assert!(matches!(at(kind, way, text), Some(Err(_))), "{way}");
        }
        for (kind, way, text) in [
            (Design, "title", "A hoe"),
            (Design, "points A 0", "rise + 5 mm"),
            (Design, "no such key", "5 mm"),
            (Design, "points A from", "B"),
        ] {
            assert_eq!(at(kind, way, text), None, "{way}");
        }
    }
}
