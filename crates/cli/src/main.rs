//! The `gusset` command: reads the verbs, calls the job, prints, and closes with the exit code that says how it went.

mod args;
mod bench_page;
mod bend;
mod bent;
mod cut;
mod new;
mod show;
mod strip;

use std::io::{self, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{CommandFactory as _, Parser as _};
use serde_json::json;

use args::{Check, Dxf, DxfUnits, Gusset, Hold, JobArgs, Make, New, Paper, SchemaFile, Show, StripOf, Verb};
use job::{Folder, Movement, Outcome, Stopped, Wanted};

/// How it went, as the shell sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Exit {
    Done = 0,
    AnsweredNo = 1,
    WrongUse = 2,
    WrongFile = 3,
    Refused = 4,
    OurFault = 5,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        ExitCode::from(exit as u8)
    }
}

fn main() -> ExitCode {
    let gusset = match Gusset::try_parse() {
        Ok(gusset) => gusset,
        Err(error) => {
            // Clap prints help on stdout and misuse on stderr; a closed pipe is nobody's fault.
            let _ = error.print();
            return if error.use_stderr() {
                Exit::WrongUse.into()
            } else {
                Exit::Done.into()
            };
        }
    };
    let exit = match gusset.verb {
        Verb::New(new) => start(&new),
        Verb::Check(check) => self::check(&check),
        Verb::Hold(hold) => self::hold(&hold),
        Verb::Cut(cut) => cut::cut(&cut),
        Verb::Bend(asked) => bend::bend(&asked),
        Verb::Bench(asked) => bench_page::serve(&asked),
        Verb::Strip(strip) => match &strip.of {
            StripOf::Kerf(kerf) => cut::kerf_strip(kerf),
            StripOf::Bend(bend) => strip::bend_strip(bend),
        },
        Verb::Make(make) => self::make(&make),
        Verb::Show(show) => self::show(&show),
        Verb::Schema(schema) => {
            let kind = match schema.file {
                SchemaFile::Design => job::files::model::FileKind::Design,
                SchemaFile::Fit => job::files::model::FileKind::Fit,
                SchemaFile::Shop => job::files::model::FileKind::Shop,
            };
            print_json(&job::files::schema::schema(kind))
        }
        Verb::Completions(completions) => {
            let mut script = Vec::new();
            clap_complete::generate(completions.shell, &mut Gusset::command(), "gusset", &mut script);
            let script = String::from_utf8_lossy(&script);
            if completions.json {
                print_json(&json!(script))
            } else {
                print(&script)
            }
        }
    };
    exit.into()
}

/// Prints a result. A reader that has gone away (`| head`) is not an error.
fn print(text: &str) -> Exit {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => Exit::Done,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Exit::Done,
        Err(error) => {
            eprintln!("the result cannot be printed: {error}");
            Exit::OurFault
        }
    }
}

fn print_json(value: &impl serde::Serialize) -> Exit {
    match serde_json::to_string_pretty(value) {
        Ok(text) => print(&format!("{text}\n")),
        Err(error) => {
            eprintln!("the result cannot be written as JSON: {error}");
            Exit::OurFault
        }
    }
}

/// Opens the folder and runs the job, or prints why not.
fn work_out(job: &JobArgs) -> Result<(Folder, Outcome), Exit> {
    work_out_with(job, &Wanted::default())
}

/// The same, with what is asked for beside.
fn work_out_with(job: &JobArgs, wanted: &Wanted) -> Result<(Folder, Outcome), Exit> {
    let folder = Folder::open(&job.job, job.fit.as_deref()).map_err(|error| {
        if job.json {
            print_json(&json!({ "gusset": job::VERSION, "error": error.to_string() }));
        }
        eprintln!("{error}");
        Exit::WrongUse
    })?;
    match job::run_with(&folder, wanted) {
        Ok(outcome) => Ok((folder, outcome)),
        Err(Stopped::Wrong(wrongs)) => {
            if job.json {
                print_json(&job::wrongs_json(&folder, &wrongs));
            }
            eprint!("{}", job::wrongs_text(&folder, &wrongs));
            Err(Exit::WrongFile)
        }
        Err(Stopped::Refused(refusal)) => {
            if job.json {
                print_json(&job::refusal_json(&folder, &refusal));
            }
            eprint!("{}", job::refusal_text(&folder, &refusal));
            Err(Exit::Refused)
        }
    }
}

fn closing(outcome: &Outcome) -> Exit {
    if outcome.any_no() {
        Exit::AnsweredNo
    } else {
        Exit::Done
    }
}

/// The result was printed; the answers decide the code unless printing failed.
fn after(printed: Exit, outcome: &Outcome) -> Exit {
    if printed == Exit::Done {
        closing(outcome)
    } else {
        printed
    }
}

fn check(check: &Check) -> Exit {
    match work_out(&check.job) {
        Ok((_, outcome)) => {
            let printed = if check.job.json {
                print_json(&outcome.summary)
            } else {
                print(&job::check_text(&outcome.summary))
            };
            after(printed, &outcome)
        }
        Err(exit) => exit,
    }
}

/// The summary of `check`, and what would help beside it.
#[derive(serde::Serialize)]
struct HoldAnswer<'a> {
    #[serde(flatten)]
    summary: &'a job::Summary,
    #[serde(skip_serializing_if = "Option::is_none")]
    helps: Option<&'a job::Helps>,
}

fn hold(hold: &Hold) -> Exit {
    let wanted = Wanted {
        movement: Movement::Followed,
        ..Wanted::default()
    };
    match work_out_with(&hold.job, &wanted) {
        Ok((_, outcome)) => {
            if std::io::stderr().is_terminal() {
                eprintln!("solving some twenty changes in full, to see what would help: a few seconds");
            }
            let helps = job::helps(&outcome);
            let printed = if hold.job.json {
                print_json(&HoldAnswer {
                    summary: &outcome.summary,
                    helps: helps.as_ref(),
                })
            } else {
                let helps = helps.as_ref().map_or(String::new(), job::helps_text);
                print(&format!("{}{helps}", job::hold_text(&outcome.summary)))
            };
            after(printed, &outcome)
        }
        Err(exit) => exit,
    }
}

fn show(show: &Show) -> Exit {
    match work_out(&show.job) {
        Ok((_, outcome)) => {
            let printed = if show.job.json {
                print_json(&show::value(&outcome.summary, show.what))
            } else {
                print(&show::table(&outcome.summary, show.what))
            };
            after(printed, &outcome)
        }
        Err(exit) => exit,
    }
}

fn make(make: &Make) -> Exit {
    let printer = match make.measured.as_deref().map(job::Measured::parse).transpose() {
        Ok(printer) => printer,
        Err(error) => {
            eprintln!("--measured: {error}");
            return Exit::WrongUse;
        }
    };
    let (folder, outcome) = match work_out(&make.job) {
        Ok(done) => done,
        Err(exit) => return exit,
    };
    let options = job::MakeOptions {
        measured: printer,
        letter: matches!(make.paper, Paper::Letter),
        dxf_r12: matches!(make.dxf, Dxf::R12),
        dxf_inch: matches!(make.dxf_units, DxfUnits::In),
    };
    let out = make.out.clone().unwrap_or_else(|| folder.root.join("out"));
    let made = match job::make(&outcome, &out, &options) {
        Ok(made) => made,
        Err(error) => {
            eprintln!("{error}");
            return if error.is_our_fault() {
                Exit::OurFault
            } else {
                Exit::WrongUse
            };
        }
    };
    let printed = if make.job.json {
        print_json(&outcome.summary)
    } else {
        print(&job::check_text(&outcome.summary))
    };
    cut::tell_files(&out, &made, &outcome);
    after(printed, &outcome)
}

fn start(new: &New) -> Exit {
    if let Some(drawing) = &new.drawing {
        return from_drawing(new, drawing);
    }
    let written = match &new.from {
        Some(demo) => job::start_from_demo(&new.folder, demo),
        None => {
            if new.folder.join("design.toml").exists() {
                eprintln!(
                    "{} has a design already and is left as it is",
                    new.folder.display()
                );
                return Exit::WrongUse;
            }
            if io::stdin().is_terminal() {
                eprintln!("A few questions; an answer in [brackets] is taken when you only press Enter.\n");
            }
            match new::Asking::new(io::stdin().lock()).all() {
                Ok(asked) => job::start_from_answers(&new.folder, &asked),
                Err(new::Stopped::Refused(refusal)) => {
                    eprint!("{}", job::refused_text(&refusal));
                    return Exit::Refused;
                }
                Err(new::Stopped::NoMoreInput) => {
                    eprintln!("\nthe answers ended before the questions; nothing was written");
                    return Exit::WrongUse;
                }
                Err(new::Stopped::GivenUp(question)) => {
                    eprintln!("no answer that can be used to \"{question}\"; nothing was written");
                    return Exit::WrongUse;
                }
                Err(new::Stopped::Io(error)) => {
                    eprintln!("the terminal cannot be read: {error}");
                    return Exit::OurFault;
                }
            }
        }
    };
    match written {
        Ok(files) => started(new, &files),
        Err(error) => {
            eprintln!("{error}");
            Exit::WrongUse
        }
    }
}

/// A drawing is read no further than this: far beyond any plate, and soon told.
const LARGEST_DRAWING_BYTES: u64 = 64 << 20;

fn from_drawing(new: &New, drawing: &Path) -> Exit {
    let wrong = |error: String, exit: Exit| {
        if new.json {
            print_json(&json!({ "gusset": job::VERSION, "error": error }));
        }
        eprintln!("{error}");
        exit
    };
    let size = std::fs::metadata(drawing).map(|file| file.len());
    let bytes = match size {
        Ok(bytes) if bytes > LARGEST_DRAWING_BYTES => {
            let says = format!(
                "{} is {} MB large and is not read",
                drawing.display(),
                bytes >> 20
            );
            return wrong(says, Exit::WrongUse);
        }
        Ok(_) => std::fs::read(drawing),
        Err(error) => Err(error),
    };
    let bytes = match bytes {
        Ok(bytes) => bytes,
        Err(error) => {
            let says = format!("{} cannot be read: {error}", drawing.display());
            return wrong(says, Exit::WrongUse);
        }
    };
    let title = drawing.file_stem().map_or_else(
        || "From a drawing".to_owned(),
        |name| name.to_string_lossy().into_owned(),
    );
    let asked = job::AskedDrawing {
        title,
        inch: new.drawing_units.map(|unit| matches!(unit, DxfUnits::In)),
        piece: new.piece,
        stock: new.plate.clone(),
    };
    match job::start_from_drawing(&new.folder, &bytes, &asked) {
        Ok(made) => {
            for says in &made.says {
                eprintln!("{says}");
            }
            started(new, &made.written)
        }
        Err(error @ (job::DrawingError::Import(_) | job::DrawingError::TooManyCorners { .. })) => {
            wrong(format!("{}: {error}", drawing.display()), Exit::WrongFile)
        }
        Err(error) => wrong(error.to_string(), Exit::WrongUse),
    }
}

fn started(new: &New, files: &[PathBuf]) -> Exit {
    if new.json {
        return print_json(&json!({ "gusset": job::VERSION, "written": files }));
    }
    let mut text = String::new();
    for file in files {
        text.push_str(&format!("{}\n", file.display()));
    }
    text.push_str(&format!(
        "\nNext: gusset check {0}\nThen: gusset make {0}\n",
        new.folder.display()
    ));
    print(&text)
}
