//! `gusset bend`.

use job::{MakeOptions, Wanted};

use crate::args::{Bend, Paper};
use crate::cut::{failed, tell_written};
use crate::{Exit, after, print, print_json, work_out_with};

pub fn bend(bend: &Bend) -> Exit {
    if !bend.measured.is_empty() {
        return crate::bent::measured(bend);
    }
    let wanted = Wanted {
        would_bend: true,
        ..Wanted::default()
    };
    let (folder, outcome) = match work_out_with(&bend.job, &wanted) {
        Ok(done) => done,
        Err(exit) => return exit,
    };
    let options = MakeOptions {
        letter: matches!(bend.paper, Paper::Letter),
        ..MakeOptions::default()
    };
    let out = bend.out.clone().unwrap_or_else(|| folder.root.join("out"));
    let made = match job::make_bend(&outcome, &out, &options) {
        Ok(made) => made,
        Err(error) => return failed(&error),
    };
    let printed = if bend.job.json {
        print_json(&outcome.summary)
    } else {
        print(&job::bend_text(&outcome.summary))
    };
    tell_written(&out, &made);
    after(printed, &outcome)
}
