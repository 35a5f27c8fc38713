//! `gusset bend --measured`: the rest of the bends around the real part.

use serde_json::json;

use crate::args::Bend;
use crate::{Exit, print, print_json, work_out};

pub fn measured(bend: &Bend) -> Exit {
    let (_, outcome) = match work_out(&bend.job) {
        Ok(done) => done,
        Err(exit) => return exit,
    };
    match job::measured_bends(&outcome, &bend.measured) {
        Ok(found) => {
            let printed = if bend.job.json {
                print_json(&found)
            } else {
                print(&job::measured_text(&found))
            };
            if printed == Exit::Done && !found.lands {
                Exit::AnsweredNo
            } else {
                printed
            }
        }
        Err(error) => {
            if bend.job.json {
                print_json(&json!({ "gusset": job::VERSION, "error": error.to_string() }));
            }
            eprintln!("{error}");
            Exit::WrongUse
        }
    }
}
