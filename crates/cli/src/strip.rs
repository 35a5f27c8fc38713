//! `gusset strip bend`.

use job::{MakeOptions, StripAsked, StripGrain};
use serde_json::json;

use crate::args::{BendStrip, Grain, Paper};
use crate::cut::today;
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

fn wrong(strip: &BendStrip, error: &dyn std::fmt::Display) -> Exit {
    if strip.job.json {
        print_json(&json!({ "gusset": job::VERSION, "error": error.to_string() }));
    }
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
        Ok(made) => made,
        Err(error) => return wrong(strip, &error),
    };
    if strip.job.json {
        return print_json(&json!({
            "gusset": job::VERSION,
            "stock": made.stock,
            "tool": made.tool,
            "wide_mm": made.wide_mm,
            "flat_mm": made.flat_mm,
            "line_at_mm": made.line_at_mm,
            "bent_deg": made.bent_rad.to_degrees(),
            "loaded_deg": made.loaded_rad.to_degrees(),
            "radius_mm": made.radius_mm,
            "radius_from": made.radius_from,
            "leg_mm": made.leg_mm,
            "grain": made.grain.word(),
            "sheet": made.sheet,
            "why_no_program": made.why_no_program,
            "written": made.written,
            "taken_away": made.taken_away,
        }));
    }
    let cut = match (&made.sheet, &made.why_no_program) {
        (Some(sheet), _) => format!("Cut it from {sheet}: bend-test-dry-run.nc first, then bend-test.nc."),
        (None, Some(why)) => format!("There is no program ({why}); cut it to size from bend-test.dxf."),
        (None, None) => "Cut it to size from bend-test.dxf.".to_owned(),
    };
    let mut text = format!(
        "Bend test for {}, {} the grain\nwith {}\n\n\
         1. {cut} {} along the bend, {} flat, the line of the bend {} from either end.\n\
         2. Read the flat length and the thickness. Bend it to {} under load ({} between the legs).\n\
         3. Read both legs outside to the corner, and the angle. An inside radius of {} should come ({}), legs of about {},\n   \
            and {} between the legs. bend-test.pdf shows where, with boxes to write in.\n\
         4. {}\n\n",
        made.stock,
        made.grain.word(),
        made.tool,
        units::both(made.wide_mm),
        units::both(made.flat_mm),
        units::both(made.line_at_mm),
        units::deg(made.loaded_rad),
        units::deg(std::f64::consts::PI - made.loaded_rad),
        units::both(made.radius_mm),
        made.radius_from,
        units::both(made.leg_mm),
        units::deg(std::f64::consts::PI - made.bent_rad),
        made.to_type,
    );
    for file in &made.written {
        text.push_str(&format!("{}\n", file.display()));
    }
    for file in &made.taken_away {
        eprintln!(
            "taken away, since it is of an older strip and no longer right: {}",
            file.display()
        );
    }
    print(&text)
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
    let size = |outcome: &job::Outcome| {
        let part = outcome.summary.blank.iter().flat_map(|blank| &blank.parts).next();
        part.map(|part| part.bounds_mm.map(|mm| mm.0))
    };
    let sizes = [size(outcome), size(&after)];
    if strip.job.json {
        return print_json(&json!({
            "gusset": job::VERSION,
            "k": found.neutral_share[0],
            "k_sd": found.neutral_share[1],
            "radius_mm": found.radius_mm[0],
            "radius_sd_mm": found.radius_mm[1],
            "radius_gauged": found.gauged,
            "bent_deg": found.bent_rad.to_degrees(),
            "between_legs_deg": 180.0 - found.bent_rad.to_degrees(),
            "loaded_deg": found.loaded_rad.to_degrees(),
            "opens_deg": found.opens_rad[0].to_degrees(),
            "opens_sd_deg": found.opens_rad[1].to_degrees(),
            "deduction_mm": found.deduction_mm[0],
            "deduction_sd_mm": found.deduction_mm[1],
            "tool": found.tool,
            "grain": found.grain.word(),
            "date": found.date,
            "blank_mm": sizes,
        }));
    }
    let mut text = format!(
        "K is {:.3}, give or take {:.3} (two standard deviations).\n\
         The inside radius is {}, give or take {:.2} mm{}.\n\
         It opened by {}, give or take {}: bent to {} under load, it came out at {} ({} between the legs).\n\
         Legs less flat at this angle: {:.2} mm, give or take {:.2}.\n\
         It is in shop.toml under [[strips]], dated {}, for this plate, {}, {} the grain.\n",
        found.neutral_share[0],
        2.0 * found.neutral_share[1],
        units::both(found.radius_mm[0]),
        2.0 * found.radius_mm[1],
        if found.gauged {
            ", by the gauge"
        } else {
            "; a gauge held to it would tell it closer"
        },
        units::deg(found.opens_rad[0]),
        units::deg(2.0 * found.opens_rad[1]),
        units::deg(found.loaded_rad),
        units::deg(found.bent_rad),
        units::deg(std::f64::consts::PI - found.bent_rad),
        found.deduction_mm[0],
        2.0 * found.deduction_mm[1],
        found.date,
        found.tool,
        found.grain.word(),
    );
    if found.thicker_share.abs() > 0.02 {
        text.push_str(&format!(
            "The strip is {:.1} % {} than this plate is taken to be: measure the sheet with a caliper, and write measured under its \
             [[stock]].\n",
            100.0 * found.thicker_share.abs(),
            if found.thicker_share > 0.0 { "thicker" } else { "thinner" }
        ));
    }
    if let [Some(before), Some(now)] = sizes {
        text.push_str(&format!(
            "The blank of this job was {:.2} by {:.2} mm, and is now {:.2} by {:.2} mm.\n",
            before[0], before[1], now[0], now[1]
        ));
    }
    let bends = after.summary.blank.iter().flat_map(|blank| &blank.parts);
    for bend in bends.flat_map(|part| &part.bends) {
        text.push_str(&format!(
            "  {}: K {:.3} by {}; inside radius {}, {}\n",
            bend.name,
            bend.k.0,
            bend.k_from,
            units::both(bend.radius_mm.0),
            bend.radius_from
        ));
    }
    print(&text)
}
