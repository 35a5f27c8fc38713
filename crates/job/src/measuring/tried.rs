//! A text as it is typed for a reading, held against what the others say.

use serde::Serialize;
use survey::{Expected, Writing};
use units::LengthUnit;

use super::network::Measured;
use super::{Meant, MeasureFile, items, measured};
use crate::files::model::{FileKind, Place};
use crate::files::{Ways, unit_of_file};
use crate::folder::Folder;
use crate::judge::{HOOK_MM, meant, measuring as words};
use crate::revise::Step;
use crate::run::Outcome;

/// What is typed, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct SlipAsked {
    /// The file.
    pub file: MeasureFile,
    /// The way to the value.
    pub way: Vec<Step>,
    /// The points of a reading that is not in the file yet.
    pub between: Option<[String; 2]>,
    /// As typed.
    pub text: String,
}

/// What a text looks like against the others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SlipTried {
    /// It is farther off than one good reading in a thousand.
    pub outside: bool,
    /// What there is to say; none where nothing else says what it should be, or the text is no value.
    pub says: Option<String>,
    /// What may have been meant, likeliest first.
    pub did_you_mean: Vec<Meant>,
}

/// What a text is held against.
struct Against {
    expected: Expected,
    sd: f64,
    is_angle: bool,
    added_mm: f64,
    label: String,
}

/// Holds a text against what the other readings say of its place.
pub fn slip(folder: &Folder, outcome: Option<&Outcome>, asked: &SlipAsked) -> SlipTried {
    let nothing = SlipTried {
        outside: false,
        says: None,
        did_you_mean: Vec::new(),
    };
    let kind = items::kind_of(asked.file);
    let bare = folder.source(kind).and_then(|file| unit_of_file(&file.text));
    let Some(read) = value(&asked.text, bare) else {
        return nothing;
    };
    let Some(measured) = measured(folder, outcome) else {
        return nothing;
    };
    let Some(against) = against(folder, &measured, kind, asked) else {
        return nothing;
    };
    if read.is_angle != against.is_angle {
        return nothing;
    }
    let typed = |_: usize| Some(asked.text.clone());
    let meaning = |_: usize, text: &str| Some(meant(text, bare)? + against.added_mm);
    let writing = Writing {
        typed: &typed,
        meaning: &meaning,
        hook_mm: Some(HOOK_MM),
        thickness_mm: measured.thickness_mm,
    };
    let added_mm = against.added_mm;
    let tried = against
        .expected
        .tried((0, read.value + added_mm, read.is_angle), against.sd, writing);
    let expected = words::shown(against.expected.value - added_mm, read.is_angle);
    let band = against.expected.band(against.sd).map(|end| end - added_mm);
    let says = if tried.is_outside() {
        format!(
            "{} is {}: {} is expected, and {} is what good readings give",
            against.label,
            words::off(tried.off, read.is_angle),
            expected,
            words::band(band, read.is_angle)
        )
    } else {
        format!("{}: as the others say, {expected} is expected", against.label)
    };
    SlipTried {
        outside: tried.is_outside(),
        says: Some(says),
        did_you_mean: items::offered(&tried.did_you_mean, read.is_angle, added_mm, read.is_in_inches),
    }
}

struct Read {
    value: f64,
    is_angle: bool,
    is_in_inches: bool,
}

/// A length, mm, or an angle, radians; none of anything else, and of sums on measures.
fn value(text: &str, bare: Option<LengthUnit>) -> Option<Read> {
    let sum = units::Expr::parse(text, bare).ok()?;
    let value = sum.value().ok()?;
    let (value, is_angle) = match value.length_mm() {
        Ok(length_mm) => (length_mm, false),
        Err(_) => (value.angle_rad().ok()?, true),
    };
    Some(Read {
        value,
        is_angle,
        is_in_inches: sum.is_in_inches(),
    })
}

fn against(folder: &Folder, measured: &Measured, kind: FileKind, asked: &SlipAsked) -> Option<Against> {
    if let Some(between) = &asked.between {
        return further(measured, between);
    }
    let ways = Ways::of(&folder.source(kind)?.text);
    let is_here = |at: &Place| ways.to(at) == Some(&asked.way[..]);
    if kind == FileKind::Fit {
        let fit = measured.files.fit.as_ref()?;
        let index = fit.place_readings.iter().position(|row| is_here(&row.read.at))?;
        let foretold = measured.places.as_ref()?.about(index)?;
        let [a, b] = &fit.place_readings.get(index)?.between;
        return Some(Against {
            expected: foretold.expected?,
            sd: foretold.sd,
            is_angle: foretold.is_angle,
            added_mm: 0.0,
            label: format!("{}-{}", a.value, b.value),
        });
    }
    let all = measured.mock_up.as_ref()?;
    all.foretold.iter().find_map(|foretold| {
        let told = measured.marked.told.get(foretold.about)?;
        is_here(&told.at).then_some(())?;
        Some(Against {
            expected: foretold.expected?,
            sd: foretold.sd,
            is_angle: foretold.is_angle,
            added_mm: told.added_mm,
            label: told.label.clone(),
        })
    })
}

/// A distance that is not in the file yet, as the readings that are say it.
fn further(measured: &Measured, between: &[String; 2]) -> Option<Against> {
    let all = measured.mock_up.as_ref()?;
    let known = all.snooped.without.as_ref().unwrap_or(&all.snooped.all);
    Some(Against {
        expected: known.distance([&between[0], &between[1]])?,
        sd: measured.next_sd_mm,
        is_angle: false,
        added_mm: 0.0,
        label: between.join("-"),
    })
}
