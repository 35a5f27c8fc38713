//! `gusset cut` and `gusset strip kerf`.

use std::path::Path;
use std::time::{SystemTime, UNIX_EPOCH};

use job::{CutChoice, Made, MakeError, MakeOptions, Outcome, Wanted};
use serde_json::json;
use units::{Expr, LengthUnit};

use crate::args::{Cut, Dxf, DxfUnits, KerfStrip, Paper};
use crate::{Exit, after, print, print_json, work_out, work_out_with};

/// Names what was written and what was taken away, on stderr.
pub fn tell_written(out: &Path, made: &Made) {
    if !made.written.is_empty() {
        eprintln!("written to {}:", out.display());
    }
    for file in &made.written {
        eprintln!("  {}", file.strip_prefix(out).unwrap_or(file).display());
    }
    for file in &made.taken_away {
        eprintln!(
            "taken away, since it is of an older run and no longer right: {}",
            file.display()
        );
    }
}

/// The same, and why there is no program for the table.
pub fn tell_files(out: &Path, made: &Made, outcome: &Outcome) {
    tell_written(out, made);
    if let Some(why) = outcome.why_no_program() {
        eprintln!("no program for the table is written: {why}");
    }
}

pub fn failed(error: &MakeError) -> Exit {
    eprintln!("{error}");
    if error.is_our_fault() {
        Exit::OurFault
    } else {
        Exit::WrongUse
    }
}

pub fn cut(cut: &Cut) -> Exit {
    let wanted = Wanted {
        cut: CutChoice {
            copies: usize::from(cut.copies),
            sheet: cut.sheet.clone(),
        },
        ..Wanted::default()
    };
    let (folder, outcome) = match work_out_with(&cut.job, &wanted) {
        Ok(done) => done,
        Err(exit) => return exit,
    };
    if cut.was_cut {
        return match job::record_cut(&folder, &outcome) {
            Ok(says) if cut.job.json => print_json(&json!({ "gusset": job::VERSION, "says": says })),
            Ok(says) => print(&format!("{says}\n")),
            Err(error) => {
                if cut.job.json {
                    print_json(&json!({ "gusset": job::VERSION, "error": error.to_string() }));
                }
                eprintln!("{error}");
                Exit::WrongUse
            }
        };
    }
    let options = MakeOptions {
        dxf_r12: matches!(cut.dxf, Dxf::R12),
        dxf_inch: matches!(cut.dxf_units, DxfUnits::In),
        ..MakeOptions::default()
    };
    let out = cut.out.clone().unwrap_or_else(|| folder.root.join("out"));
    let made = match job::make_cut(&outcome, &out, &options) {
        Ok(made) => made,
        Err(error) => return failed(&error),
    };
    let printed = if cut.job.json {
        print_json(&outcome.summary)
    } else {
        print(&job::cut_text(&outcome.summary))
    };
    tell_files(&out, &made, &outcome);
    after(printed, &outcome)
}

pub fn kerf_strip(strip: &KerfStrip) -> Exit {
    let (folder, outcome) = match work_out(&strip.job) {
        Ok(done) => done,
        Err(exit) => return exit,
    };
    let out = strip.out.clone().unwrap_or_else(|| folder.root.join("out"));
    if let Some(teeth) = &strip.read {
        return read(strip, &folder, &outcome, teeth);
    }
    let options = MakeOptions {
        letter: matches!(strip.paper, Paper::Letter),
        ..MakeOptions::default()
    };
    match job::make_kerf_strip(&outcome, &out, &options) {
        Ok(made) => {
            if strip.job.json {
                return print_json(&json!({
                    "gusset": job::VERSION,
                    "stock": made.stock,
                    "pitch_mm": made.pitch_mm,
                    "plate_mm": made.plate_mm,
                    "guess_mm": made.guess_mm,
                    "feed_mm_min": made.feed_mm_min,
                    "written": made.written,
                }));
            }
            let mut text = format!(
                "Kerf test for {}, at {:.0} mm/min\n\n\
                 1. Lay a piece of at least {:.0} by {:.0} mm, its lower left corner at zero. Run kerf-test-dry-run.nc first.\n\
                 2. Cut kerf-test.nc. Let it cool, knock the dross off.\n\
                 3. Measure the three teeth with a caliper, each across its middle. They should read about {:.2} mm.\n\
                 4. gusset strip kerf {} --pitch \"{} mm\" --read \"A mm, B mm, C mm\"\n\n",
                made.stock,
                made.feed_mm_min,
                made.plate_mm[0].ceil(),
                made.plate_mm[1].ceil(),
                made.pitch_mm - made.guess_mm,
                strip.job.job.display(),
                made.pitch_mm
            );
            for file in &made.written {
                text.push_str(&format!("{}\n", file.display()));
            }
            print(&text)
        }
        Err(error) => {
            eprintln!("{error}");
            Exit::WrongUse
        }
    }
}

fn read(strip: &KerfStrip, folder: &job::Folder, outcome: &Outcome, teeth: &str) -> Exit {
    let pitch_mm = match &strip.pitch {
        Some(text) => {
            let value = Expr::parse(text, Some(LengthUnit::Mm))
                .map_err(|error| error.to_string())
                .and_then(|expr| expr.value().map_err(|error| error.to_string()))
                .and_then(|value| value.length_mm().map_err(|error| error.to_string()));
            match value {
                Ok(mm) => Some(mm),
                Err(error) => {
                    eprintln!("--pitch: {error}");
                    return Exit::WrongUse;
                }
            }
        }
        None => job::kerf_pitch_mm(outcome),
    };
    let Some(pitch_mm) = pitch_mm else {
        eprintln!("{}", job::KerfStripError::NoCutter);
        return Exit::WrongUse;
    };
    let date = strip.date.clone().unwrap_or_else(today);
    match job::record_kerf(folder, outcome, pitch_mm, teeth, &date) {
        Ok(kerf) if strip.job.json => print_json(&json!({
            "gusset": job::VERSION,
            "kerf_mm": kerf.width_mm,
            "kerf_sd_mm": kerf.sd_mm,
            "pitch_mm": pitch_mm,
            "date": date,
        })),
        Ok(kerf) => print(&format!(
            "The kerf is {:.2} mm, give or take {:.2} (two standard deviations), by teeth {pitch_mm:.1} mm apart.\n\
             It is in shop.toml under [[kerfs]], dated {date}, and is used for this plate from now on.\n",
            kerf.width_mm,
            2.0 * kerf.sd_mm
        )),
        Err(error) => {
            if strip.job.json {
                print_json(&json!({ "gusset": job::VERSION, "error": error.to_string() }));
            }
            eprintln!("{error}");
            Exit::WrongUse
        }
    }
}

/// Today by the clock of this computer, UTC, as "2026-03-02".
pub(crate) fn today() -> String {
    let seconds = SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |since| since.as_secs());
    let (year, month, day) = date_of_day(seconds / SECONDS_PER_DAY);
    format!("{year:04}-{month:02}-{day:02}")
}

const SECONDS_PER_DAY: u64 = 86_400;

/// The date of a day counted from 1970-01-01: years begin in March, so that the leap day is their last, and four centuries
/// are a whole number of days.
fn date_of_day(day: u64) -> (u64, u64, u64) {
    let days = day + 719_468;
    let (era, of_era) = (days / 146_097, days % 146_097);
    let year = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month + 2) / 5 + 1;
    let (month, next) = if month < 10 {
        (month + 3, 0)
    } else {
        (month - 9, 1)
    };
    (era * 400 + year + next, month, day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_dates() {
        assert_eq!(date_of_day(0), (1970, 1, 1));
        assert_eq!(date_of_day(59), (1970, 3, 1));
        assert_eq!(date_of_day(11_016), (2000, 2, 29));
        assert_eq!(date_of_day(11_017), (2000, 3, 1));
        assert_eq!(date_of_day(20_785), (2026, 11, 28));
    }
}
