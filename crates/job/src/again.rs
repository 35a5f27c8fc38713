//! What earlier runs came to, for stages whose input is the same again. Inputs are compared as typed and worked out, value by
//! value; where a stage is told where something stands in a file, that place is part of its input.

use sheet::{Mockup, Part};

use crate::files::model::{Design, Fit, NeverDef, Shop};
use crate::files::{bare_design, bare_fit};
use crate::folder::Folder;
use crate::run::{Held, Outcome, Wanted, Worked};
use crate::stages::carrying;
use crate::stages::cutting::{CutSheet, NotPlanned, asked_of};
use crate::stages::search::Found;
use crate::stages::setting::Setting;

/// The plate as it is drawn, before the radii that come are asked for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct AsDrawn {
    pub mockup: Mockup,
    pub part: Part,
    pub setting: Setting,
}

/// What the search for open measures hangs on beside the shop: design and fit without places, titles and loads.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Geometry {
    design: Option<Design>,
    fit: Option<Fit>,
}

impl Geometry {
    /// Of files that are sound; of others nothing stands.
    pub fn of(folder: &Folder) -> Self {
        let design = bare_design(&folder.design.text).map(|mut design| {
            design.title.value.clear();
            (design.about, design.revision) = (None, None);
            design.measures.iter_mut().for_each(|measure| measure.ask = None);
            design
        });
        let fit = folder.fit.as_ref().and_then(|source| bare_fit(&source.text));
        let fit = fit.map(|mut fit| {
            fit.title.value.clear();
            fit.loads.clear();
            fit.together.clear();
            fit.proof.clear();
            fit.never = NeverDef::default();
            fit
        });
        Geometry { design, fit }
    }
}

/// Earlier runs that were asked for the same, the first that fits serves.
#[derive(Debug, Default)]
pub(crate) struct Before<'a>(Vec<&'a Worked>);

impl<'a> Before<'a> {
    /// Those of them that serve.
    pub fn of(outcomes: &[&'a Outcome], wanted: &Wanted) -> Self {
        let worked = outcomes.iter().map(|outcome| &outcome.worked);
        Before(worked.filter(|worked| worked.wanted == *wanted).collect())
    }

    fn find(&self, is_same: impl Fn(&Worked) -> bool) -> Option<&'a Worked> {
        self.0.iter().copied().find(|before| is_same(before))
    }

    /// The open measures as an earlier run found them for the same geometry.
    pub fn found(&self, geometry: &Geometry, shop: Option<&Shop>) -> Option<Found> {
        geometry.design.as_ref()?;
        let before =
            self.find(|before| *before.geometry == *geometry && before.files.shop.as_ref() == shop)?;
        before.found.clone()
    }

    /// Puts bends, the radii that come and the plate developed for them into `worked`, where an earlier run had them planned
    /// for the same plate on the same tools. Whether it had.
    pub fn bends(&self, worked: &mut Worked) -> bool {
        let stock = |worked: &Worked| worked.files.design.plate.stock.clone();
        let same = self.find(|before| {
            let stocks = (stock(before), stock(worked));
            before.drawn == worked.drawn
                && stocks.0.metal == stocks.1.metal
                && stocks.0.thickness == stocks.1.thickness
                && same_shop(before, worked)
        });
        let Some(before) = same else { return false };
        worked.mockup = before.mockup.clone();
        worked.part = before.part.clone();
        worked.setting = before.setting.clone();
        worked.bent = before.bent.clone();
        worked.coming = before.coming.clone();
        true
    }

    /// The plan of an earlier run for the same blank on the same table.
    pub fn cut(&self, worked: &Worked) -> Option<Result<Box<CutSheet>, NotPlanned>> {
        let asked = asked_of(worked);
        let before = self.find(|before| {
            before.part == worked.part
                && before.setting == worked.setting
                && same_shop(before, worked)
                && asked_of(before) == asked
        })?;
        Some(before.cut.clone())
    }

    /// The proof of an earlier run for the same bracket.
    pub fn held(&self, worked: &Worked) -> Option<Held> {
        let bracket = carrying::bracket(worked)?;
        let before = self.find(|before| {
            matches!(before.held, Held::Came(_))
                && carrying::bracket(before).is_some_and(|own| own == bracket)
        })?;
        Some(before.held.clone())
    }
}

/// Whether the shop says the same, with the same drawings of tools and the same measures for its sums.
fn same_shop(before: &Worked, worked: &Worked) -> bool {
    before.files.shop == worked.files.shop
        && before.files.drawings == worked.files.drawings
        && before.scope == worked.scope
}
