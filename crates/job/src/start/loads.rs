//! What a new part carries: as asked, and as it is written into the fit.

use handbook::Handbook;
use units::{Dim, Expr, NEWTON_PER_KGF, NEWTON_PER_LBF};

use crate::files::model::LoadKind;

use super::{Asked, quoted};

/// What a new part carries.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedLoads {
    /// What is done to it most.
    pub most: AskedLoad,
    /// What happens when it is dropped: what falls, and how far, as typed; or why it cannot.
    pub drop: Happens<(String, String)>,
    /// What happens when it catches; or why it cannot.
    pub jam: Happens<AskedLoad>,
}

/// One load.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedLoad {
    /// Its kind.
    pub kind: LoadKind,
    /// How hard, as typed: a force, a mass, or a moment for a twist.
    pub size: String,
    /// Which way, or for a twist about what: "-x".
    pub way: String,
    /// How many times a day, as typed; empty when not known.
    pub per_day: String,
}

/// Something that is always asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum Happens<T> {
    /// It can happen.
    So(T),
    /// It cannot, because.
    Never(String),
}

/// The kinds that a person is asked to choose from as what is done to the part most, by their words.
pub fn kinds_asked() -> impl Iterator<Item = (&'static str, LoadKind)> {
    LoadKind::ALL
        .into_iter()
        .filter(|kind| !matches!(kind, LoadKind::Drop | LoadKind::Jam))
        .map(|kind| (kind.word(), kind))
}

/// A kind of load, as it is offered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KindOffered {
    /// Its kind.
    pub kind: LoadKind,
    /// What happens, in a few words.
    pub says: String,
    /// The key that says how hard: "force", "mass" (what rests on it, or what falls) or "moment".
    pub size_key: &'static str,
    /// The key that says which way: "toward" or "about".
    pub way_key: &'static str,
    /// How hard it usually is, in mm and N, then in inches and pounds; for a drop, how far it falls.
    pub usual: [String; 2],
    /// How often it usually comes, times a day.
    pub per_day: String,
}

/// Every kind of load with what is usual, in the order of their words.
pub fn kinds_offered() -> Vec<KindOffered> {
    let book = Handbook::builtin();
    let offered = LoadKind::ALL.into_iter().map(|kind| KindOffered {
        kind,
        says: book
            .load_kind(kind.word())
            .map_or_else(|_| String::new(), |usual| usual.means.clone()),
        size_key: match kind {
            LoadKind::Twist => "moment",
            LoadKind::Carry | LoadKind::Drop => "mass",
            _ => "force",
        },
        way_key: if kind == LoadKind::Twist {
            "about"
        } else {
            "toward"
        },
        usual: [usual_size(kind, false), usual_size(kind, true)],
        per_day: usual_per_day(kind),
    });
    offered.collect()
}

/// How hard a load of this kind usually is, in round figures of one system: "250 N", "55 lbf", "10 N m"; how far a drop.
pub fn usual_size(kind: LoadKind, inch: bool) -> String {
    /// A round figure in a person's head ends in 5 or 0.
    const ROUND: f64 = 5.0;
    const N_MM_PER_LBF_FT: f64 = NEWTON_PER_LBF * 304.8;
    let book = Handbook::builtin();
    let Ok(usual) = book.load_kind(kind.word()) else {
        return String::new();
    };
    let round = |value: f64| ((value / ROUND).round() * ROUND).max(ROUND);
    let force = usual.force_n.as_ref().map(|force| force.value);
    let moment = usual.moment_n_mm.as_ref().map(|moment| moment.value);
    let height = usual.height_mm.as_ref().map(|height| height.value);
    match (kind, force, moment, height) {
        (LoadKind::Carry, Some(n), ..) if inch => format!("{} lb", round(n / NEWTON_PER_LBF)),
        (LoadKind::Carry, Some(n), ..) => format!("{} kg", round(n / NEWTON_PER_KGF)),
        (_, Some(n), ..) if inch => format!("{} lbf", round(n / NEWTON_PER_LBF)),
        (_, Some(n), ..) => format!("{} N", round(n)),
        (_, _, Some(n_mm), _) if inch => format!("{} lbf ft", round(n_mm / N_MM_PER_LBF_FT)),
        (_, _, Some(n_mm), _) => format!("{} N m", round(n_mm / 1000.0)),
        (_, _, _, Some(mm)) if inch => format!("{} in", round(mm / units::MM_PER_INCH)),
        (_, _, _, Some(mm)) => format!("{} mm", round(mm)),
        _ => String::new(),
    }
}

/// How often a load of this kind usually comes, times a day.
pub fn usual_per_day(kind: LoadKind) -> String {
    let book = Handbook::builtin();
    book.load_kind(kind.word())
        .map_or_else(|_| String::new(), |usual| usual.per_day.value.to_string())
}

/// "250 N" as "250 N (56.2 lbf)"; a twist takes a moment, the others a force or what is heavy.
///
/// # Errors
/// Why it is no such size above 0, as a sentence.
pub fn understood_load(typed: &str, kind: LoadKind) -> Result<String, String> {
    let expr = Expr::parse(typed, None).map_err(|error| format!("{error}."))?;
    let value = expr.value().map_err(|error| format!("{error}."))?;
    let shown: fn(f64) -> String = match (value.dim, kind) {
        (Dim::MOMENT, LoadKind::Twist) => units::moment,
        (_, LoadKind::Twist) => return Err("A moment, please, such as 5 N m or 4 lbf ft.".into()),
        (Dim::FORCE, _) => units::force,
        (Dim::MASS, _) => units::mass,
        _ => return Err("A force such as 250 N or 55 lbf, or a weight such as 2 kg, please.".into()),
    };
    if value.value > 0.0 {
        Ok(shown(value.value))
    } else {
        Err("More than 0, please.".into())
    }
}

/// The reason in "cannot, because it is chained to the bench"; empty when only "cannot" was typed; none for anything else.
pub fn reason_never(typed: &str) -> Option<&str> {
    let lower = typed.to_ascii_lowercase();
    let word = ["cannot", "can not", "never"]
        .into_iter()
        .find(|word| lower.starts_with(word))?;
    let rest = typed[word.len()..].trim_start_matches([',', ':', ';', ' ']);
    let because = rest.to_ascii_lowercase().starts_with("because");
    let rest = if because { &rest["because".len()..] } else { rest };
    Some(rest.trim())
}

/// The loads as the fit has them.
pub(super) fn text(asked: &Asked) -> String {
    let Some(loads) = &asked.loads else {
        return "\n# What it carries is not said yet, so \"Will it hold?\" is not answered: see Loads in docs/files.md.\n"
            .into();
    };
    let mut out = String::from("\n# What it carries. It comes in by the hole h2.\n");
    let mut never = Vec::new();
    out.push_str(&load(&loads.most));
    match &loads.drop {
        Happens::So((mass, height)) => out.push_str(&format!(
            "\n[loads.drop]\nkind   = \"drop\"\nmass   = {}            # all that falls with it\nheight = {}\nholes  = \
             [\"h2\"]\n",
            quoted(mass),
            quoted(height)
        )),
        Happens::Never(reason) => never.push(("drop", reason)),
    }
    match &loads.jam {
        Happens::So(jam) => out.push_str(&load(jam)),
        Happens::Never(reason) => never.push(("jam ", reason)),
    }
    if !never.is_empty() {
        out.push_str("\n[never]\n");
        for (word, reason) in never {
            out.push_str(&format!("{word} = {}\n", quoted(reason)));
        }
    }
    out
}

fn load(load: &AskedLoad) -> String {
    let word = load.kind.word();
    let dim = Expr::parse(&load.size, None)
        .ok()
        .and_then(|expr| expr.value().ok());
    let (size, way) = match dim.map(|value| value.dim) {
        Some(Dim::MOMENT) => ("moment", "about"),
        Some(Dim::MASS) => ("mass", "toward"),
        _ => ("force", "toward"),
    };
    let per_day = if load.per_day.is_empty() {
        String::new()
    } else {
        format!("per_day = {}\n", load.per_day)
    };
    format!(
        "\n[loads.{word}]\nkind    = \"{word}\"\n{size:<7} = {}\n{way:<7} = {}\nholes   = [\"h2\"]\n{per_day}",
        quoted(&load.size),
        quoted(&load.way)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_sizes_are_round_in_both_systems() {
        assert_eq!(usual_size(LoadKind::Push, false), "250 N");
        assert_eq!(usual_size(LoadKind::Push, true), "55 lbf");
        assert_eq!(usual_size(LoadKind::Carry, false), "5 kg");
        assert_eq!(usual_size(LoadKind::Drop, true), "20 in");
        for kind in LoadKind::ALL.into_iter().filter(|kind| *kind != LoadKind::Drop) {
            for inch in [false, true] {
                let usual = usual_size(kind, inch);
                assert!(understood_load(&usual, kind).is_ok(), "{}: {usual}", kind.word());
            }
        }
    }

    #[test]
    fn a_reason_is_taken_however_it_is_led_in() {
        assert_eq!(
            reason_never("cannot, because it is chained"),
            Some("it is chained")
        );
        assert_eq!(reason_never("Never: it is chained"), Some("it is chained"));
        assert_eq!(reason_never("cannot"), Some(""));
        assert_eq!(reason_never("500 mm"), None);
    }

    #[test]
    fn a_twist_is_no_force() {
        assert!(understood_load("250 N", LoadKind::Twist).is_err());
        assert!(understood_load("5 N m", LoadKind::Push).is_err());
        assert_eq!(
            understood_load("2 kg", LoadKind::Carry),
            Ok("2 kg (4.41 lb)".into())
        );
    }
}
