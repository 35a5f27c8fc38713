//! The readings of a job taken together: those of the mock-up, and those of places on the equipment.

use survey::{AdjustOptions, Foretold, Snooped, Writing, find_slips};

use crate::files::model::{PlaceReading, Sum};
use crate::judge::{HOOK_MM, meant, snoop, sums_of_design};
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
}

/// An adjustment, what looks slipped in it, and what each reading should be.
pub(super) struct Together {
    pub snooped: Snooped,
    pub foretold: Vec<Foretold>,
}

impl Together {
    fn of(snooped: Snooped) -> Together {
        let foretold = snooped.foretold();
        Together { snooped, foretold }
    }

    /// What is foretold of the reading that the caller calls by this number.
    pub fn about(&self, about: usize) -> Option<&Foretold> {
        self.foretold.iter().find(|foretold| foretold.about == about)
    }
}

impl Measured {
    pub fn of(files: SoundFiles) -> Measured {
        let SoundFiles {
            book,
            design,
            fit,
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
        let snooped = snoop(&marked, design, thickness_mm, next_sd_mm);
        let why_not = match &snooped {
            Err(error) if !marked.mark_out.names().is_empty() => Some(error.to_string()),
            _ => wrongs.first().map(|wrong| wrong.says.clone()),
        };
        let places = fit
            .as_ref()
            .filter(|fit| !fit.place_readings.is_empty())
            .and_then(|fit| {
                let (mark_out, readings) = survey_places::network(book, shop.as_ref(), fit, scope).ok()?;
                let sum = |about: usize| fit.place_readings.get(about).map(|row: &PlaceReading| &row.read);
                written(&sum, &|writing| {
                    find_slips(
                        &mark_out,
                        &readings,
                        AdjustOptions::default(),
                        writing,
                        next_sd_mm,
                    )
                    .ok()
                })
            });
        let mock_up = snooped.ok().map(Together::of);
        let places = places.map(Together::of);
        Measured {
            marked,
            mock_up,
            places,
            why_not,
            next_sd_mm,
            thickness_mm,
            files,
        }
    }

    /// The number of the file that the survey calls by this number.
    pub fn sum_of(&self, about: usize) -> Option<&Sum> {
        let told = self.marked.told.get(about)?;
        sums_of_design(&self.files.design)
            .into_iter()
            .find(|sum| sum.at == told.at)
    }
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
