//! New jobs: from answers, or from one of the demo jobs.

mod another_fit;
mod drawing;
mod loads;
mod questions;
mod shared;

use std::fs;
use std::path::{Path, PathBuf};

pub use another_fit::AskedFit;
pub(crate) use another_fit::{empty_fit, fit_like, fit_name_for};
pub use drawing::{AskedDrawing, DrawingError, FromDrawing, start_from_drawing};
pub use loads::{
    AskedLoad, AskedLoads, Happens, KindOffered, kinds_asked, kinds_offered, reason_never, understood_load,
    usual_per_day, usual_size,
};

pub use questions::{
    Answered, Answers, Asking, Beginning, Next, QuestionAsked, asked_fit_from, asked_from, asking, care_from,
    care_questions, understood_answer,
};
pub use shared::{SharedError, shared_design, start_from_shared};

use crate::write::{WriteError, write_whole};

/// The files of a demo job: path in the job's folder, and text.
pub type Demo = &'static [(&'static str, &'static str)];

macro_rules! demo {
    ($folder:literal, $($file:literal),+ $(,)?) => {
        ($folder, &[$(($file, include_str!(concat!("../../../examples/", $folder, "/", $file)))),+] as Demo)
    };
}

/// The demo jobs that are part of the program.
pub const DEMOS: &[(&str, Demo)] = &[
    demo!("flat-plate", "design.toml", "fits/own.toml", "shop.toml"),
    demo!("one-bend", "design.toml", "fits/own.toml", "shop.toml"),
    demo!(
        "push-hoe",
        "design.toml",
        "fits/own.toml",
        "fits/left-arm.toml",
        "shop.toml"
    ),
    demo!("camera-cradle", "design.toml", "fits/own.toml", "shop.toml"),
];

/// The shape a new job starts with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A flat plate with two holes.
    Flat,
    /// A plate with one bend and a hole pattern in each leg.
    OneBend,
}

/// What is asked before geometry.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedCare {
    /// What it is used for.
    pub purpose: String,
    /// What it is fastened to.
    pub onto: String,
    /// Does anyone's weight hang on it?
    pub weight: bool,
    /// Could it hold someone under water or to something that moves?
    pub held: bool,
    /// "no", "beside another" or "only".
    pub control: &'static str,
    /// Can the person feel the skin it touches?
    pub feels: bool,
    /// Can the other hand let go of it in two seconds?
    pub release: bool,
    /// Which hand.
    pub left: bool,
    /// Is a number without a unit in inches, rather than mm?
    pub inch: bool,
}

/// What is asked for a new job.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// What it is called.
    pub title: String,
    /// The care that it needs.
    pub care: AskedCare,
    /// "5052-H32 3/16 in"
    pub stock: String,
    /// The shape.
    pub form: Form,
    /// Width of the plate, as typed.
    pub width: String,
    /// Length of the first (or only) leg, as typed.
    pub leg: String,
    /// Length of the second leg, as typed; unused for a flat plate.
    pub other_leg: String,
    /// Angle bent through, as typed; unused for a flat plate.
    pub bent: String,
    /// The bolt of all holes, as typed.
    pub bolt: String,
    /// What it carries; none when that was put off.
    pub loads: Option<AskedLoads>,
}

/// Why no job was started.
#[derive(Debug, thiserror::Error)]
pub enum StartError {
    /// Something is there already.
    #[error("{0} is there already and is left as it is. Name a folder that is not there yet")]
    Occupied(PathBuf),
    /// No such demo.
    #[error("there is no demo \"{wanted}\"; there are: {known}")]
    NoDemo {
        /// As asked.
        wanted: String,
        /// Those that are there.
        known: String,
    },
    /// A file could not be written.
    #[error(transparent)]
    Write(#[from] WriteError),
}

/// Writes a demo job into a new folder.
///
/// # Errors
/// [`StartError`]
pub fn start_from_demo(folder: &Path, name: &str) -> Result<Vec<PathBuf>, StartError> {
    let Some((_, files)) = DEMOS.iter().find(|(demo, _)| *demo == name) else {
        let known: Vec<&str> = DEMOS.iter().map(|(demo, _)| *demo).collect();
        return Err(StartError::NoDemo {
            wanted: name.to_owned(),
            known: known.join(", "),
        });
    };
    let files: Vec<(&str, String)> = files
        .iter()
        .map(|(path, text)| (*path, (*text).to_owned()))
        .collect();
    write_all(folder, &files)
}

/// Writes a new job from answers into a new folder.
///
/// # Errors
/// [`StartError`]
pub fn start_from_answers(folder: &Path, asked: &Asked) -> Result<Vec<PathBuf>, StartError> {
    let files = [
        ("design.toml", design_text(asked)),
        ("fits/own.toml", fit_text(asked)),
        ("shop.toml", shop_text(asked.care.inch, &asked.stock)),
    ];
    write_all(folder, &files)
}

/// What of a job is not kept among versions: all of it can be made again, but for what was done on this machine.
const IGNORED_FILE: &str = ".gitignore";
const IGNORED: &str = "# Made from the three files by `gusset make`.\n/out\n# What was done on this machine, for taking it back.\n/.gusset\n";

fn write_all(folder: &Path, files: &[(&str, String)]) -> Result<Vec<PathBuf>, StartError> {
    if folder.exists()
        && folder
            .read_dir()
            .map_or(true, |mut entries| entries.next().is_some())
    {
        return Err(StartError::Occupied(folder.to_owned()));
    }
    let is_new = !folder.exists();
    let mut written = Vec::new();
    let files = files.iter().rev().map(|(path, text)| (*path, text.as_str()));
    // The design last: a folder that has it is a job, and a start that broke off is none.
    for (path, text) in [(IGNORED_FILE, IGNORED)].into_iter().chain(files) {
        written.push(folder.join(path));
        if let Err(error) = write_whole(&folder.join(path), text.as_bytes()) {
            take_start_back(folder, &written, is_new);
            return Err(error.into());
        }
    }
    written.reverse();
    Ok(written)
}

/// Takes away what a start wrote that came to nothing, so that it can be asked for again: its files, what was remembered of it, and
/// the folders that are left empty, the job's own only where it `is_new`. What cannot be taken away stays; the next start tells it.
pub fn take_start_back(folder: &Path, written: &[PathBuf], is_new: bool) {
    let _ = fs::remove_dir_all(folder.join(".gusset"));
    for path in written {
        let _ = fs::remove_file(path);
        // A folder that has anything in it stays.
        if let Some(above) = path.parent().filter(|above| *above != folder) {
            let _ = fs::remove_dir(above);
        }
    }
    if is_new {
        let _ = fs::remove_dir(folder);
    }
}

/// A string as TOML writes it.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

fn unit(asked: &Asked) -> &'static str {
    if asked.care.inch { "in" } else { "mm" }
}

fn edge(asked: &Asked) -> &'static str {
    if asked.care.inch { "5/8 in" } else { "15 mm" }
}

pub(crate) fn design_text(asked: &Asked) -> String {
    let head = format!(
        "# Every key is explained in docs/files.md; `gusset check` says what is wrong and what to write.\n\n\
         gusset   = 1\ntitle    = {}\nabout    = {}\nrevision = \"A\"\nunits    = \"{}\"          # of a number without a unit\n\
         hand     = \"{}\"\n\n[measures]             # change these; the points below follow\nwidth     = {}\nleg       = {}\n",
        quoted(&asked.title),
        quoted(&asked.care.purpose),
        unit(asked),
        if asked.care.left { "left" } else { "right" },
        quoted(&asked.width),
        quoted(&asked.leg),
    );
    let edge = format!(
        "edge      = \"{}\"     # from a hole to the end of its leg\n",
        edge(asked)
    );
    let stock = quoted(&asked.stock);
    let bolt = quoted(&asked.bolt);
    match asked.form {
        Form::Flat => format!(
            "{head}{edge}\n[plate]\nstock = {stock}\n\n[points]               # across, up\nA  = [\"0\", \"0\"]\n\
             B  = [\"leg\", \"0\"]\nC  = [\"leg\", \"width\"]\nD  = [\"0\", \"width\"]\n\
             H1 = [\"edge\", \"width / 2\"]\nH2 = [\"leg - edge\", \"width / 2\"]\n\n\
             [outline]\nthrough = [\"A\", \"B\", \"C\", \"D\"]\n\n\
             [holes.h1]\nat  = \"H1\"\nfor = {bolt}\n\n[holes.h2]\nat  = \"H2\"\nfor = {bolt}\n"
        ),
        Form::OneBend => format!(
            "{head}other_leg = {}\n{edge}bent      = {}     # the angle bent through: 0 is flat\n\n\
             [plate]\nstock    = {stock}\nlines_on = \"marked face\"   # the face of the plate that the card's lines are\n\
             still    = \"base\"          # the panel that stays while the other is bent\n\n\
             [points]               # across, up\nA  = [\"0\", \"0\"]\nB  = [\"leg + other_leg\", \"0\"]\n\
             C  = [\"leg + other_leg\", \"width\"]\nD  = [\"0\", \"width\"]\n\
             E  = [\"leg\", \"0\"]       # the crease\nF  = [\"leg\", \"width\"]\n\
             H1 = [\"edge\", \"width / 2\"]\nH2 = [\"leg + other_leg - edge\", \"width / 2\"]\n\n\
             [outline]\nthrough = [\"A\", \"B\", \"C\", \"D\"]\n\n[panels]               # each by a point that lies in it\n\
             base    = \"H1\"\nupright = \"H2\"\n\n[bends.b1]\nline = [\"E\", \"F\"]\nbent = \"bent\"\n\
             way  = \"up\"            # toward you, looking at the marked face\n\n\
             [holes.h1]\nat  = \"H1\"\nfor = {bolt}\n\n[holes.h2]\nat  = \"H2\"\nfor = {bolt}\n",
            quoted(&asked.other_leg),
            quoted(&asked.bent),
        ),
    }
}

/// What the first fit of a part is called.
pub(crate) fn own_title(part: &str) -> String {
    format!("{part}, own fit")
}

/// A fit up to its mounts: what it is called, its hand, the care that it needs.
pub(crate) fn fit_head(title: &str, care: &AskedCare) -> String {
    format!(
        "gusset = 1\ntitle  = {}\nunits  = \"{}\"\nhand   = \"{}\"\ndown   = \"-z\"                  # which way is down in the axes of the equipment\n\n[care]\npurpose = {}\nonto    = {}\nweight  = {}      \
         # does anyone's weight hang on it?\nheld    = {}      # could it hold someone under water or to something that \
         moves?\ncontrol = \"{}\"       # does it steer, brake or fire anything?\nfeels   = {}       # can the person feel \
         the skin it touches?\nrelease = {}       # can the other hand let go of it in two seconds?\n",
        quoted(title),
        if care.inch { "in" } else { "mm" },
        if care.left { "left" } else { "right" },
        quoted(&care.purpose),
        quoted(&care.onto),
        care.weight,
        care.held,
        care.control,
        care.feels,
        care.release,
    )
}

pub(crate) fn fit_text(asked: &Asked) -> String {
    format!(
        "{}\n[mounts.m1]\nkind = \"tapped hole\"\n\
         hole = \"h1\"\nat   = [\"0\", \"0\", \"0\"]        # where it is on the equipment: x, y, z\naxis = \"z\"                  # out of the \
         seat, toward the plate\nfor  = {}\n{}",
        fit_head(&own_title(&asked.title), &asked.care),
        quoted(&asked.bolt),
        loads::text(asked),
    )
}

/// A shop to begin with: a full sheet of this plate, a plasma table, a brake.
fn shop_text(inch: bool, stock: &str) -> String {
    let (unit, size) = if inch {
        ("in", "[\"24 in\", \"48 in\"]")
    } else {
        ("mm", "[\"600 mm\", \"1200 mm\"]")
    };
    format!(
        "gusset = 1\nunits  = \"{unit}\"\n\n[[stock]]                    # what is on the rack\nplate = {}\nsize  = {size}\n\n[cutter]\n\
         process = \"plasma\"\n\n[bender]\nprocess = \"brake\"\n",
        quoted(stock)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_start_that_broke_off_leaves_nothing_and_can_be_asked_for_again() {
        let folder = std::env::temp_dir().join(format!("gusset-start-{}", std::process::id()));
        let good = |path| (path, "gusset = 1\n".to_owned());
        // No system takes such a name.
        let broken = [good("design.toml"), good("fits/own\0.toml"), good("shop.toml")];
        for was_there in [false, true] {
            if was_there {
                fs::create_dir(&folder).expect("a temporary folder");
            }
            assert!(matches!(write_all(&folder, &broken), Err(StartError::Write(_))));
            assert_eq!(folder.exists(), was_there);
            let left = fs::read_dir(&folder).into_iter().flatten().count();
            assert_eq!(left, 0);
            write_all(&folder, &[good("design.toml"), good("fits/own.toml")]).expect("nothing is in its way");
            fs::remove_dir_all(&folder).expect("just made");
        }
    }
}
