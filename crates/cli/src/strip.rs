//! `gusset strip bend`.

use job::{BendStripError, MakeOptions, StripAsked, StripGrain, StripMade, StripRead};
use serde_json::json;

use crate::args::{BendStrip, Grain, Paper};
use crate::cut::{failed, today};
use crate::{Exit, print, print_json, work_out};

pub fn bend_strip(strip: &BendStrip) -> Exit {
    let (folder, outcome) = match work_out(&strip.job) {
        Ok(done) => done,
        Err(exit) => return exit,
    };
    let asked = StripAsked {
        bend: strip.bend.clone(),
        tool: strip.tool.clone(),
        angle: strip.angle.clone(),
        radius: strip.radius.clone(),
        grain: strip.grain.map(|grain| match grain {
            Grain::Along => StripGrain::Along,
            Grain::Across => StripGrain::Across,
        }),
    };
    match &strip.read {
        Some(read) => record(strip, &folder, &outcome, &asked, read),
        None => write(strip, &folder, &outcome, &asked),
    }
}

fn tell_json(strip: &BendStrip, error: &dyn std::fmt::Display) {
    if strip.job.json {
        print_json(&json!({ "gusset": job::VERSION, "error": error.to_string() }));
    }
}

fn wrong(strip: &BendStrip, error: &dyn std::fmt::Display) -> Exit {
    tell_json(strip, error);
    eprintln!("{error}");
    Exit::WrongUse
}

fn write(strip: &BendStrip, folder: &job::Folder, outcome: &job::Outcome, asked: &StripAsked) -> Exit {
    let out = strip.out.clone().unwrap_or_else(|| folder.root.join("out"));
    let options = MakeOptions {
        letter: matches!(strip.paper, Paper::Letter),
        ..MakeOptions::default()
    };
    let job = strip.job.job.display().to_string();
    let made = match job::make_bend_strip(outcome, &out, &options, asked, &job) {
        Ok(made) => StripMade::of(&made),
        Err(BendStripError::Make(error)) => {
            tell_json(strip, &error);
            return failed(&error);
        }
        Err(error @ BendStripError::None(_)) => return wrong(strip, &error),
    };
    let printed = if strip.job.json {
        print_json(&made)
    } else {
        print(&job::strip_made_text(&made))
    };
    for file in &made.taken_away {
        eprintln!(
            "taken away, since it is of an older strip and no longer right: {}",
            file.display()
        );
    }
    printed
}

fn record(
    strip: &BendStrip,
    folder: &job::Folder,
    outcome: &job::Outcome,
    asked: &StripAsked,
    read: &str,
) -> Exit {
    let found = match job::record_bend_strip(folder, outcome, asked, read, &today()) {
        Ok(found) => found,
        Err(error) => return wrong(strip, &error),
    };
    // What the blank rests on from now on.
    let after = match work_out(&strip.job) {
        Ok((_, after)) => after,
        Err(exit) => return exit,
    };
    let read = StripRead::of(&found, outcome, &after);
    if strip.job.json {
        print_json(&read)
    } else {
        print(&job::strip_read_text(&read))
    }
}
