//! `gusset bench`.

use std::process::{Command, Stdio};

use bench::{ServeError, bind, page_is_built};
use job::revise::ReviseError;
use serde_json::json;

use crate::args::Bench;
use crate::{Exit, print, print_json};

pub fn serve(asked: &Bench) -> Exit {
    let told = |says: &str, exit: Exit| {
        if asked.job.json {
            print_json(&json!({ "gusset": job::VERSION, "error": says }));
        }
        eprintln!("{says}");
        exit
    };
    if !page_is_built() {
        return told(
            "the page is not built in: this program was built without Node 20 or later. Install Node with npm, and build again \
             with `cargo build --release`; everything else of Gusset runs without it",
            Exit::WrongUse,
        );
    }
    let bound = match bind(&asked.job.job, asked.job.fit.as_deref(), asked.port) {
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
    let printed = if asked.job.json {
        print_json(&json!({ "gusset": job::VERSION, "address": address }))
    } else {
        print(&format!("{address}\n"))
    };
    if printed != Exit::Done {
        return printed;
    }
    eprintln!("The page is for this machine alone, and ends with this program: Ctrl-C.");
    if !asked.no_browser && !opened(&address) {
        eprintln!("No browser could be opened; open the address above in one.");
    }
    match bound.serve(std::future::pending()) {
        Ok(()) => Exit::Done,
        Err(error) => {
            eprintln!("{error}");
            Exit::OurFault
        }
    }
}

/// Asks the system to open a browser.
fn opened(address: &str) -> bool {
    let (program, first): (&str, &[&str]) = if cfg!(target_os = "windows") {
        ("cmd", &["/C", "start", ""])
    } else if cfg!(target_os = "macos") {
        ("open", &[])
    } else {
        ("xdg-open", &[])
    };
    Command::new(program)
        .args(first)
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .is_ok()
}
