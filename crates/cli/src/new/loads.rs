//! The questions about what the part carries. They come last, and can be put off.

use std::io::BufRead;

use job::files::model::LoadKind;
use job::{AskedLoad, AskedLoads, Happens};

use super::{Asking, Stopped};

/// Directions along the axes of the equipment, as they may be typed and as they are written.
const WAYS: &[(&str, &str)] = &[
    ("x", "x"),
    ("+x", "x"),
    ("-x", "-x"),
    ("y", "y"),
    ("+y", "y"),
    ("-y", "-y"),
    ("z", "z"),
    ("+z", "z"),
    ("-z", "-z"),
];

impl<R: BufRead> Asking<R> {
    /// What the part carries; none when that is put off.
    pub(super) fn loads(&mut self, inch: bool) -> Result<Option<AskedLoads>, Stopped> {
        let now = self.one_of(
            "Say now what it carries? \"Will it hold?\" is answered from it. (now / later)",
            "later",
            &[("now", true), ("yes", true), ("later", false), ("no", false)],
        )?;
        if !now {
            return Ok(None);
        }
        let kinds: Vec<(&str, LoadKind)> = job::kinds_asked().collect();
        let kind = self.one_of(
            "What is done to it most? (push / pull / lean / twist / hit / shake / carry)",
            "push",
            &kinds,
        )?;
        let most = self.load(kind, "How hard?", inch)?;
        let drop = self.drop(inch)?;
        let jam = self.jam(inch)?;
        Ok(Some(AskedLoads { most, drop, jam }))
    }

    fn load(&mut self, kind: LoadKind, how_hard: &'static str, inch: bool) -> Result<AskedLoad, Stopped> {
        let size = self.size(kind, how_hard, inch)?;
        let which = if kind == LoadKind::Twist {
            "About which axis of the equipment? (x, y, z, -x, -y, -z)"
        } else {
            "Which way is the part pushed by it? (x, y, z, -x, -y, -z; z is up)"
        };
        let usual = if kind == LoadKind::Twist { "z" } else { "-z" };
        let way = self.one_of(which, usual, WAYS)?.to_owned();
        let usual = job::usual_per_day(kind);
        let per_day = self.until(
            "How many times a day? (a number, or: not known)",
            &usual,
            |typed| {
                if typed.to_lowercase().starts_with("not") {
                    return Ok(String::new());
                }
                match typed.parse::<f64>() {
                    Ok(number) if number > 0.0 && number.is_finite() => Ok(number.to_string()),
                    _ => Err("A number above 0, or: not known.".into()),
                }
            },
        )?;
        Ok(AskedLoad {
            kind,
            size,
            way,
            per_day,
        })
    }

    fn size(&mut self, kind: LoadKind, question: &'static str, inch: bool) -> Result<String, Stopped> {
        self.until(question, &job::usual_size(kind, inch), |typed| {
            job::understood_load(typed, kind).map(|understood| {
                eprintln!("  {understood}");
                typed.to_owned()
            })
        })
    }

    fn drop(&mut self, inch: bool) -> Result<Happens<(String, String)>, Stopped> {
        let usual = job::usual_size(LoadKind::Drop, inch);
        let question = "How far can it fall? (a height, or: cannot, because ...)";
        let height = self.until(question, &usual, |typed| match job::reason_never(typed) {
            Some("") => Err("Why not? Cannot, because ...".into()),
            Some(reason) => Ok(Happens::Never(reason.to_owned())),
            None => job::understood_length(typed, inch).map(|understood| {
                eprintln!("  {understood}");
                Happens::So(typed.to_owned())
            }),
        })?;
        Ok(match height {
            Happens::Never(reason) => Happens::Never(reason),
            Happens::So(height) => {
                let usual = if inch { "5 lb" } else { "2 kg" };
                let mass = self.until("What falls with it, all together?", usual, |typed| {
                    let understood = job::understood_load(typed, LoadKind::Carry)?;
                    if !understood.contains("kg") {
                        return Err("A weight such as 2 kg or 5 lb, please.".into());
                    }
                    eprintln!("  {understood}");
                    Ok(typed.to_owned())
                })?;
                Happens::So((mass, height))
            }
        })
    }

    fn jam(&mut self, inch: bool) -> Result<Happens<AskedLoad>, Stopped> {
        let usual = job::usual_size(LoadKind::Jam, inch);
        let question =
            "How hard does it pull when it catches on something? (a force, or: cannot, because ...)";
        let size = self.until(question, &usual, |typed| match job::reason_never(typed) {
            Some("") => Err("Why not? Cannot, because ...".into()),
            Some(reason) => Ok(Happens::Never(reason.to_owned())),
            None => job::understood_load(typed, LoadKind::Jam).map(|understood| {
                eprintln!("  {understood}");
                Happens::So(typed.to_owned())
            }),
        })?;
        Ok(match size {
            Happens::Never(reason) => Happens::Never(reason),
            Happens::So(size) => {
                let way = self.one_of("Which way is the part pushed by that?", "x", WAYS)?;
                Happens::So(AskedLoad {
                    kind: LoadKind::Jam,
                    size,
                    way: way.to_owned(),
                    per_day: String::new(),
                })
            }
        })
    }
}
