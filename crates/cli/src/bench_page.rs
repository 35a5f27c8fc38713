//! `gusset bench`.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use bench::{Place, ServeError, bind, page_is_built};
use job::revise::ReviseError;
use serde_json::json;

use crate::args::Bench;
use crate::{Exit, print, print_json};

pub fn serve(asked: &Bench) -> Exit {
    let told = |says: &str, exit: Exit| {
        if asked.json {
            print_json(&json!({ "gusset": job::VERSION, "error": says }));
        }
        eprintln!("{says}");
        exit
    };
    if !page_is_built() {
        return told(
            "the page is not built in: this program was built without Node. Install Node 20.19, or 22.12 or later, with npm, and build again \
             with `cargo build --release`; everything else of Gusset runs without it",
            Exit::WrongUse,
        );
    }
    let here = match std::env::current_dir() {
        Ok(here) => here,
        Err(error) => {
            return told(
                &format!("the folder this runs in cannot be told: {error}"),
                Exit::WrongUse,
            );
        }
    };
    let bound = Place::open(asked.job.as_deref(), &here, asked.fit.as_deref())
        .map_err(ServeError::Job)
        .and_then(|place| bind(place, asked.port));
    let bound = match bound {
        Ok(bound) => bound,
        Err(error) => {
            let exit = match &error {
                ServeError::Job(ReviseError::Folder(_)) | ServeError::Listen { .. } => Exit::WrongUse,
                _ => Exit::OurFault,
            };
            return told(&error.to_string(), exit);
        }
    };
    let address = bound.address();
    let printed = if asked.json {
        print_json(&json!({ "gusset": job::VERSION, "address": address }))
    } else {
        print(&format!("{address}\n"))
    };
    if printed != Exit::Done {
        return printed;
    }
    eprintln!("The page is for this machine alone, and ends with this program: Ctrl-C.");
    // That a browser was asked for does not say that one came up.
    let hint = if asked.no_browser {
        "Open the address above in a browser."
    } else if opened(&address, bound.folder().as_deref()) {
        "A browser was asked to open it; where none comes up, open the address above in one."
    } else {
        "No browser could be opened; open the address above in one."
    };
    eprintln!("{hint}");
    match bound.serve(std::future::pending()) {
        Ok(()) => Exit::Done,
        Err(error) => {
            eprintln!("{error}");
            Exit::OurFault
        }
    }
}

/// Asks the system to open a browser, on a file that leads to the address. The address itself would stand, with its key, in the
/// list of what runs, which every user of the machine may read; the file is for this user alone.
fn opened(address: &str, folder: Option<&Path>) -> bool {
    let Some(leads) = leading_file(address, folder) else {
        return false;
    };
    let (program, first): (&str, &[&str]) = if cfg!(target_os = "windows") {
        ("cmd", &["/C", "start", ""])
    } else if cfg!(target_os = "macos") {
        ("open", &[])
    } else {
        ("xdg-open", &[])
    };
    let started = Command::new(program)
        .args(first)
        .arg(&leads)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .is_ok();
    // A browser that has to start first takes its time.
    std::thread::spawn(move || {
        std::thread::sleep(LEADS_FOR);
        // One that stays leads to a key that ends with this program.
        let _ = std::fs::remove_file(leads);
    });
    started
}

/// So long the file stays that leads a browser to the page.
const LEADS_FOR: Duration = Duration::from_secs(60);

/// How the names of such files begin, before the number of the program that wrote it.
const LEADS: &str = "gusset-open-";
/// How they end.
const PAGE: &str = ".html";

/// Takes away what programs that were ended before left of such files. What cannot be taken away is another user's.
fn sweep(kept: &Path) {
    let Ok(entries) = std::fs::read_dir(kept) else {
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let number = name
            .to_str()
            .and_then(|name| name.strip_prefix(LEADS)?.strip_suffix(PAGE));
        let leads = number.is_some_and(|number| number.parse::<u32>().is_ok());
        let age = || entry.metadata().ok()?.modified().ok()?.elapsed().ok();
        if leads && age().is_some_and(|age| age > LEADS_FOR) {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// A page that leads on to the address, readable by this user alone: among what the job keeps, or with no job yet where the system
/// keeps what is passing.
fn leading_file(address: &str, folder: Option<&Path>) -> Option<PathBuf> {
    let kept = match folder {
        Some(folder) => folder.join(".gusset"),
        None => std::env::temp_dir(),
    };
    std::fs::create_dir_all(&kept).ok()?;
    sweep(&kept);
    let path = std::path::absolute(kept.join(format!("{LEADS}{}{PAGE}", std::process::id()))).ok()?;
    let mut options = std::fs::OpenOptions::new();
    // A file that is there already may be another's.
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(&path).ok()?;
    let page = format!(
        "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>Gusset</title>\
         <meta http-equiv=\"refresh\" content=\"0; url={address}\"><p><a href=\"{address}\">To the job sheet</a></p></html>\n"
    );
    file.write_all(page.as_bytes()).ok()?;
    Some(path)
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt as _;

    #[test]
    fn the_key_stands_in_a_file_of_this_user_alone() {
        let folder = std::env::temp_dir().join(format!("gusset-leads-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a temporary folder");
        let path = leading_file("http://127.0.0.1:1/#abc", Some(&folder)).expect("it is written");
        let told = std::fs::metadata(&path).expect("just written");
        assert_eq!(told.permissions().mode() & 0o777, 0o600);
        let page = std::fs::read_to_string(&path).expect("just written");
        assert!(page.contains("url=http://127.0.0.1:1/#abc"), "{page}");
        assert_eq!(
            leading_file("http://127.0.0.1:1/#abc", Some(&folder)),
            None,
            "never over another's"
        );
        std::fs::remove_dir_all(&folder).expect("just made");
    }

    #[test]
    fn what_an_ended_program_left_to_lead_to_it_is_taken_away_and_nothing_else() {
        let folder = std::env::temp_dir().join(format!("gusset-led-{}", std::process::id()));
        std::fs::create_dir_all(&folder).expect("a temporary folder");
        let long_ago = std::time::SystemTime::now() - 2 * LEADS_FOR;
        for (name, is_old) in [
            ("gusset-open-7.html", true),
            ("gusset-open-8.html", false),
            ("gusset-open-mine.html", true),
            ("design.toml", true),
        ] {
            let file = std::fs::File::create(folder.join(name)).expect("a file");
            if is_old {
                file.set_modified(long_ago).expect("its time can be set");
            }
        }
        sweep(&folder);
        let left = |name: &str| folder.join(name).exists();
        assert!(!left("gusset-open-7.html"));
        assert!(left("gusset-open-8.html"), "another may just be led by it");
        assert!(left("gusset-open-mine.html") && left("design.toml"));
        std::fs::remove_dir_all(&folder).expect("just made");
    }
}
