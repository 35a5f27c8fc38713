//! The readings of a job taken together: those of the mock-up, and those of places on the equipment.

use std::collections::BTreeMap;

use survey::{AdjustOptions, Foretold, Snooped, Writing, find_slips};

use crate::files::model::{Place, PlaceReading, Sum};
use crate::judge::{HOOK_MM, meant, snoop};
use crate::run::Outcome;
use crate::sound_files::SoundFiles;
use crate::stages::points::{self, Marked, SoundMarks};
use crate::stages::survey_places;
use crate::stages::{pattern, setting};

/// A further reading is taken to be about this long when the tape's doubt is asked for.
const NEXT_READING_MM: f64 = 300.0;

/// The readings with what they say of each other.
pub(super) struct Measured {
    pub files: SoundFiles,
    pub marked: Marked,
    /// Of the mock-up; none where nothing can be adjusted.
    pub mock_up: Option<Together>,
    /// Of the places; none where there are none.
    pub places: Option<Together>,
    /// Why the mock-up cannot be adjusted.
    pub why_not: Option<String>,
    /// Standard deviation of the next distance, mm.
    pub next_sd_mm: f64,
    pub thickness_mm: Option<f64>,
    /// The numbers of what was told, by where in the design each stands.
    told: BTreeMap<[usize; 2], usize>,
}

/// An adjustment, what looks slipped in it, and what each reading should be.
pub(super) struct Together {
    pub snooped: Snooped,
    pub foretold: Vec<Foretold>,
    /// Of which row of these the caller speaks by which number.
    about: BTreeMap<usize, usize>,
}

impl Together {
    fn of(snooped: Snooped) -> Together {
        let foretold = snooped.foretold();
        let rows = foretold.iter().enumerate();
        Together {
            about: rows.map(|(row, foretold)| (foretold.about, row)).collect(),
            snooped,
            foretold,
        }
    }

    /// What is foretold of the reading that the caller calls by this number.
    pub fn about(&self, about: usize) -> Option<&Foretold> {
        self.foretold.get(*self.about.get(&about)?)
    }
}

fn key(at: &Place) -> [usize; 2] {
    [at.span.start, at.span.end]
}

impl Measured {
    /// Of a job that was worked out: its readings were taken together then.
    pub fn worked_out(outcome: &Outcome) -> Measured {
        let worked = &outcome.worked;
        Measured::with(
            SoundFiles::worked_out(outcome),
            worked.marked.clone(),
            Ok(worked.snooped.clone()),
            worked.next_sd_mm,
            Some(worked.setting.thickness_mm),
        )
    }

    /// Of what is sound in files that stop the job.
    pub fn of(files: SoundFiles) -> Measured {
        let SoundFiles {
            book,
            design,
            shop,
            scope,
            ..
        } = &files;
        let dia = |hole: &_| pattern::hole_cut(book, scope, hole).map(|cut| cut.dia_mm);
        let SoundMarks { marked, wrongs, .. } = points::sound_marks(book, design, shop.as_ref(), scope, &dia);
        let next_sd_mm = book
            .instrument(survey_places::USUAL_INSTRUMENT)
            .ok()
            .and_then(|tape| tape.sd_at(NEXT_READING_MM, false))
            .unwrap_or(1.0);
        let thickness_mm = setting::setting(book, design, shop.as_ref(), scope)
            .ok()
            .map(|setting| setting.thickness_mm);
        let snooped = snoop(&marked, design, thickness_mm, next_sd_mm).map_err(|error| {
            let first = wrongs.first().map(|wrong| wrong.says.clone());
            if marked.mark_out.names().is_empty() {
                first
            } else {
                Some(error.to_string())
            }
        });
        let wrong = wrongs.into_iter().next().map(|wrong| wrong.says);
        let mut measured = Measured::with(files, marked, snooped, next_sd_mm, thickness_mm);
        measured.why_not = measured.why_not.or(wrong);
        measured
    }

    fn with(
        files: SoundFiles,
        marked: Marked,
        snooped: Result<Snooped, Option<String>>,
        next_sd_mm: f64,
        thickness_mm: Option<f64>,
    ) -> Measured {
        let (snooped, why_not) = match snooped {
            Ok(snooped) => (Some(snooped), None),
            Err(why_not) => (None, why_not),
        };
        let told = marked.told.iter().enumerate();
        Measured {
            told: told.map(|(number, told)| (key(&told.at), number)).collect(),
            mock_up: snooped.map(Together::of),
            places: places(&files, next_sd_mm).map(Together::of),
            files,
            marked,
            why_not,
            next_sd_mm,
            thickness_mm,
        }
    }

    /// The number of what was told at a place of the design.
    pub fn told_at(&self, at: &Place) -> Option<usize> {
        self.told.get(&key(at)).copied()
    }
}

/// The places on the equipment taken together; none where there are no distances between them, or they cannot be.
fn places(files: &SoundFiles, next_sd_mm: f64) -> Option<Snooped> {
    let fit = files.fit.as_ref().filter(|fit| !fit.place_readings.is_empty())?;
    let (mark_out, readings) =
        survey_places::network(&files.book, files.shop.as_ref(), fit, &files.scope).ok()?;
    let sum = |about: usize| fit.place_readings.get(about).map(|row: &PlaceReading| &row.read);
    written(&sum, &|writing| {
        let options = AdjustOptions::default();
        find_slips(&mark_out, &readings, options, writing, next_sd_mm).ok()
    })
}

/// Does something with how distances were written, by the sum of each.
fn written<'s, T>(sum: &dyn Fn(usize) -> Option<&'s Sum>, then: &dyn Fn(Writing<'_>) -> T) -> T {
    let typed = |about: usize| Some(sum(about)?.value.text().to_owned());
    let meaning = |about: usize, text: &str| meant(text, sum(about)?.value.bare_unit());
    then(Writing {
        typed: &typed,
        meaning: &meaning,
        hook_mm: Some(HOOK_MM),
        thickness_mm: None,
    })
}
