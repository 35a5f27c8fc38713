//! What of a job's files is sound, whatever stops the job later: for what is shown while it is still being written.

use handbook::Handbook;

use crate::care;
use crate::files::model::{CareSaid, Design, Fit, ReadingDef, Shop};
use crate::files::{Ways, Wrong, care_said, read_shop, sound_design, sound_fit};
use crate::folder::Folder;
use crate::revise::Step;
use crate::run::Outcome;
use crate::stages::scope::Scope;
use crate::stages::setting;

/// The sound parts of the three files, with the measures worked out as far as they can be.
#[derive(Debug, Clone)]
pub(crate) struct SoundFiles {
    pub book: Handbook,
    pub design: Design,
    pub fit: Option<Fit>,
    pub shop: Option<Shop>,
    /// Measures that are to be found stand at their starts, where the job did not get as far as finding them.
    pub scope: Scope,
    /// What is wrong with the rest.
    pub wrongs: Vec<Wrong>,
    /// The care answers that the fit gives, be the rest of it wrong.
    care: Option<CareSaid>,
    /// Where each reading of the design stands among those of its file, the wrong ones counted.
    pub reading_rows: Vec<usize>,
}

impl SoundFiles {
    /// Of a job that was worked out: all of it, with the measures that were found.
    pub fn worked_out(outcome: &Outcome) -> SoundFiles {
        let worked = &outcome.worked;
        SoundFiles {
            book: worked.book.clone(),
            design: worked.files.design.clone(),
            fit: worked.files.fit.clone(),
            shop: worked.files.shop.clone(),
            scope: worked.scope.clone(),
            wrongs: Vec::new(),
            care: worked.files.fit.as_ref().map(|fit| (&fit.care).into()),
            reading_rows: (0..worked.files.design.readings.len()).collect(),
        }
    }

    /// Of files that may be unfinished. A design of which nothing can be read gives none, and what is wrong with it.
    pub fn read(folder: &Folder) -> Result<SoundFiles, Vec<Wrong>> {
        let (design, mut wrongs) = sound_design(&folder.design.text);
        let fit = match &folder.fit {
            Some(source) => {
                let (fit, more) = sound_fit(&source.text);
                wrongs.extend(more);
                fit
            }
            None => None,
        };
        let shop = folder
            .shop
            .as_ref()
            .and_then(|source| match read_shop(&source.text) {
                Ok(shop) => Some(shop),
                Err(more) => {
                    wrongs.extend(more);
                    None
                }
            });
        let Some(design) = design else { return Err(wrongs) };
        let book = setting::book(shop.as_ref()).unwrap_or_else(|_| Handbook::builtin());
        let (scope, more) = Scope::sound(&design, fit.as_ref());
        wrongs.extend(more);
        let care = folder.fit.as_ref().map(|source| care_said(&source.text));
        let ways = Ways::of(&folder.design.text);
        let row = |reading: &ReadingDef| ways.to(&reading.read.at)?.iter().find_map(Step::row);
        let reading_rows = design
            .readings
            .iter()
            .map(|reading| row(reading).unwrap_or_default());
        Ok(SoundFiles {
            reading_rows: reading_rows.collect(),
            care,
            book,
            design,
            fit,
            shop,
            scope,
            wrongs,
        })
    }

    /// Is the job one that this program does not help with?
    pub fn is_refused(&self) -> bool {
        let care = self.care.as_ref();
        care.is_some_and(|care| care::refused(&self.design, care).is_some())
    }
}
