//! One run of a job: the three files through every stage, to findings and answers.

use std::collections::BTreeMap;

use handbook::Handbook;
use prove::Options;
use sheet::{Mockup, Part};
use survey::{Adjusted, Snooped};
use units::Quantity;

use crate::care::{self, Refusal};
use crate::files::model::{Design, Fit, Hand, Shop};
use crate::files::{Source, Wrong, read_design, read_fit, read_shop};
use crate::folder::{Drawing, Folder};
use crate::judge;
use crate::report;
use crate::stages::bender::{self, Tools};
use crate::stages::bending::{Bending, NotAsked};
use crate::stages::carrying;
use crate::stages::coming::{self, Came, Coming};
use crate::stages::cutter::{self, Cutter};
use crate::stages::cutting::{self, CutChoice, CutSheet, NotPlanned};
use crate::stages::equipment::{self, Equipment};
use crate::stages::pattern::{self, HoleCut};
use crate::stages::points::{self, Marked, Places};
use crate::stages::scope::Scope;
use crate::stages::search::{self, Found};
use crate::stages::setting::{self, Setting};
use crate::stages::standing::{self, Standing};
use crate::stages::stated;
use crate::summary::Summary;

/// The three files as read.
#[derive(Debug, Clone)]
pub(crate) struct Files {
    pub design: Design,
    pub fit: Option<Fit>,
    pub shop: Option<Shop>,
    /// Drawings of tools that the shop names.
    pub drawings: Vec<Drawing>,
}

/// Everything that a run works out.
#[derive(Debug, Clone)]
pub(crate) struct Worked {
    pub files: Files,
    pub book: Handbook,
    pub scope: Scope,
    pub found: Option<Found>,
    pub marked: Marked,
    pub adjusted: Adjusted,
    pub snooped: Snooped,
    /// Standard deviation of the next distance that may be measured, mm.
    pub next_sd_mm: f64,
    pub setting: Setting,
    pub holes: Vec<HoleCut>,
    /// The card, for the hand it is made for.
    pub mockup: Mockup,
    pub part: Part,
    /// The surface of the folded plate, in its own axes.
    pub mesh: draw::Mesh,
    /// Mounts, support, keep-outs and loads as said, in numbers.
    pub equipment: Option<Equipment>,
    pub standing: Option<Standing>,
    pub hand: Hand,
    /// What the proof came to; none when it could not be asked (no mounts, no loads, or no place on the mounts).
    pub held: Option<Result<prove::Answer, prove::ProveError>>,
    /// What bends are planned on.
    pub tools: Tools,
    /// The cutter of the shop; none where it has none that follows a path.
    pub cutter: Option<Cutter>,
    /// How it is cut.
    pub cut: Result<Box<CutSheet>, NotPlanned>,
    /// In which order it is bent.
    pub bent: Result<Box<Bending>, NotAsked>,
    /// The radii that come, where they are not as drawn.
    pub coming: Option<Coming>,
}

impl Worked {
    /// Whether the blank is developed for a radius of this bend that is not the drawn one.
    pub fn coming_radius(&self, bend: &str) -> bool {
        let Some(coming) = &self.coming else { return false };
        matches!(coming.came, Came::Developed(_))
            && coming.bends.iter().any(|coming| {
                let named = self
                    .part
                    .bends
                    .get(coming.bend)
                    .is_some_and(|own| own.name == bend);
                named && coming.comes_mm != coming.drawn_mm
            })
    }
}

/// What a run comes to.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// All that there is to say, as the contract has it.
    pub summary: Summary,
    pub(crate) worked: Worked,
}

impl Outcome {
    /// Is one of the four questions answered no?
    pub fn any_no(&self) -> bool {
        self.summary
            .verdicts
            .in_order()
            .iter()
            .any(|(_, verdict)| verdict.answer == crate::Answer::No)
    }

    /// May the set for the table be written: there is a plan, and the question is not answered no?
    pub fn may_cut(&self) -> bool {
        self.worked.cut.is_ok() && self.summary.verdicts.cut.answer != crate::Answer::No
    }

    /// Why there is no program for the table, where one could be wanted; a saw wants none.
    pub fn why_no_program(&self) -> Option<&str> {
        let wanted = !matches!(self.worked.cut, Err(NotPlanned::ByHand));
        (wanted && !self.may_cut()).then_some(self.summary.verdicts.cut.says.as_str())
    }

    /// The part.
    pub fn part(&self) -> &Part {
        &self.worked.part
    }
}

/// Why a run ended early.
#[derive(Debug, Clone)]
pub enum Stopped {
    /// A file is wrong: everything that is wrong with it.
    Wrong(Vec<Wrong>),
    /// The job is one this program does not help with.
    Refused(Refusal),
}

impl From<Vec<Wrong>> for Stopped {
    fn from(wrongs: Vec<Wrong>) -> Self {
        Stopped::Wrong(wrongs)
    }
}

impl From<Wrong> for Stopped {
    fn from(wrong: Wrong) -> Self {
        Stopped::Wrong(vec![wrong])
    }
}

/// Facets of curved faces stay within this of the true surface: a tenth of what a tape shows.
pub(crate) const FACET_MM: f64 = 0.05;
/// A further reading is taken to be about this long when the tape's doubt is asked for.
const NEXT_READING_MM: f64 = 300.0;

/// How movement too large for the linear answer is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Movement {
    /// By the linear answer, marked as not to be believed.
    #[default]
    Linear,
    /// Followed as it moves beside that, which takes many solutions.
    Followed,
}

/// What a run is asked for beside the three files.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Wanted {
    /// How large movement is told.
    pub movement: Movement,
    /// How many are cut, and from which sheet.
    pub cut: CutChoice,
    /// Whether changes are looked for that let it be bent, where there is no order: seconds of planning.
    pub would_bend: bool,
}

/// Runs a job; movement is that of the linear answer, and one part is cut.
///
/// # Errors
/// [`Stopped::Wrong`] with every fault of form of all three files, or with what cannot be made; [`Stopped::Refused`].
pub fn run(folder: &Folder) -> Result<Outcome, Stopped> {
    run_with(folder, &Wanted::default())
}

/// Runs a job.
///
/// # Errors
/// As [`run`].
pub fn run_with(folder: &Folder, wanted: &Wanted) -> Result<Outcome, Stopped> {
    let files = read(folder)?;
    if let Some(fit) = &files.fit
        && let Some(refusal) = care::refusal(&files.design, fit)
    {
        return Err(Stopped::Refused(refusal));
    }
    let worked = work(files, wanted)?;
    let findings = judge::findings(&worked);
    let verdicts = judge::verdicts(&worked, &findings);
    let summary = report::summary(folder, &worked, &findings, verdicts);
    Ok(Outcome { summary, worked })
}

fn read(folder: &Folder) -> Result<Files, Vec<Wrong>> {
    let text = |source: &Source| source.text.clone();
    let design = read_design(&text(&folder.design));
    let fit = folder
        .fit
        .as_ref()
        .map(|source| read_fit(&source.text))
        .transpose();
    let shop = folder
        .shop
        .as_ref()
        .map(|source| read_shop(&source.text))
        .transpose();
    match (design, fit, shop) {
        (Ok(design), Ok(fit), Ok(shop)) => Ok(Files {
            design,
            fit,
            shop,
            drawings: folder.drawings.clone(),
        }),
        (design, fit, shop) => {
            let all = [design.err(), fit.err(), shop.err()];
            Err(all.into_iter().flatten().flatten().collect())
        }
    }
}

/// What one choice of the measures gives, as far as the plate.
struct Drawn {
    marked: Marked,
    adjusted: Adjusted,
    setting: Setting,
    mockup: Mockup,
    part: Part,
}

fn hand(files: &Files) -> Hand {
    files
        .fit
        .as_ref()
        .and_then(|fit| fit.hand.as_ref())
        .map_or(files.design.hand, |hand| hand.value)
}

fn draw(files: &Files, book: &Handbook, scope: &Scope) -> Result<Drawn, Vec<Wrong>> {
    let Files { design, shop, .. } = files;
    let shop = shop.as_ref();
    let dia = |hole: &_| pattern::hole_cut(book, scope, hole).map(|cut| cut.dia_mm);
    // Both are asked before either is told, so that a user sees all faults at once.
    let marked = points::mark(book, design, shop, scope, &dia);
    let setting = setting::setting(book, design, shop, scope);
    let sizes = pattern::size_wrongs(design, scope);
    let (marked, setting) = match (marked, setting) {
        (Ok(marked), Ok(setting)) if sizes.is_empty() => (marked, setting),
        (marked, setting) => {
            return Err([marked.err(), setting.err(), Some(sizes)]
                .into_iter()
                .flatten()
                .flatten()
                .collect());
        }
    };
    let adjusted = points::adjust(&marked, design).map_err(|wrong| vec![wrong])?;
    let places = Places::of(&marked, &adjusted);
    let least_slot_mm = judge::least_slot_mm(book, shop, scope);
    let mockup: Mockup = pattern::mockup(book, design, scope, &places, &setting, least_slot_mm)?;
    let mockup = pattern::for_hand(mockup, design.hand, hand(files));
    let part = sheet::develop(&mockup, setting.thickness_mm)
        .map_err(|error| vec![crate::sheet_wrong::sheet_wrong(&error, design, &places)])?;
    Ok(Drawn {
        marked,
        adjusted,
        setting,
        mockup,
        part,
    })
}

fn work(files: Files, wanted: &Wanted) -> Result<Worked, Vec<Wrong>> {
    // Shop, fit and design are each asked before any is told, so that a user sees the faults of all three at once.
    let (book, shop_wrongs) = match setting::book(files.shop.as_ref()) {
        Ok(book) => (book, vec![]),
        Err(wrongs) => (Handbook::builtin(), wrongs),
    };
    let (mut scope, unknowns) = Scope::new(&files.design, files.fit.as_ref())
        .map_err(|wrongs| [shop_wrongs.clone(), wrongs].concat())?;
    let stated = stated::wrongs(&files.design, files.fit.as_ref(), files.shop.as_ref(), &scope);
    let tools = bender::tools(files.shop.as_ref(), &scope, &files.drawings);
    let (tools, tool_wrongs) = match tools {
        Ok(tools) => (Some(tools), vec![]),
        Err(wrongs) => (None, wrongs),
    };
    let shop_wrongs = [shop_wrongs, stated, tool_wrongs].concat();
    let equipment = files
        .fit
        .as_ref()
        .map(|fit| equipment::equipment(&book, files.shop.as_ref(), fit, &scope))
        .transpose();
    let (equipment, tools) = match (equipment, tools) {
        (Ok(equipment), Some(tools)) if shop_wrongs.is_empty() => (equipment, tools),
        (early, _) => {
            let drawn = draw(&files, &book, &scope);
            let all = [Some(shop_wrongs), early.err(), drawn.err()];
            return Err(all.into_iter().flatten().flatten().collect());
        }
    };
    let mounted = equipment
        .as_ref()
        .filter(|equipment| !equipment.mounts.is_empty());
    let mut found = None;
    if let (Some(equipment), false) = (mounted, unknowns.is_empty()) {
        // Faults of the files are told as such, before any search.
        draw(&files, &book, &scope)?;
        let develop = |values: &BTreeMap<String, Quantity>| -> Option<Part> {
            let scope = scope.with(&files.design, files.fit.as_ref(), values)?;
            draw(&files, &book, &scope).ok().map(|drawn| drawn.part)
        };
        let result = search::find(equipment, &unknowns, &files.design, &develop)?;
        if let Some(better) = scope.with(&files.design, files.fit.as_ref(), &result.values) {
            scope = better;
        }
        found = Some(result);
    }
    let Drawn {
        marked,
        adjusted,
        setting,
        mockup,
        part,
    } = draw(&files, &book, &scope)?;
    let cutter = match &files.shop {
        Some(shop) => cutter::cutter(&book, shop, &scope, &setting)?,
        None => None,
    };
    let holes = files
        .design
        .holes
        .iter()
        .map(|hole| pattern::hole_cut(&book, &scope, hole))
        .collect::<Result<Vec<_>, Wrong>>()
        .map_err(|wrong| vec![wrong])?;
    let mesh = meshed(&part, &files.design)?;
    let standing = match &equipment {
        Some(equipment) => Some(standing::stand(equipment, &part, &files.design, &mesh)?),
        None => None,
    };
    let hand = hand(&files);
    let next_sd_mm = book
        .instrument("tape")
        .ok()
        .and_then(|tape| tape.sd_at(NEXT_READING_MM, false))
        .unwrap_or(1.0);
    let snooped = judge::snoop(&marked, &files.design, Some(setting.thickness_mm), next_sd_mm)
        .map_err(|error| vec![points::adjust_wrong(error, &marked, &files.design)])?;
    let mut worked = Worked {
        files,
        book,
        scope,
        found,
        marked,
        adjusted,
        snooped,
        next_sd_mm,
        setting,
        holes,
        mockup,
        part,
        mesh,
        equipment,
        standing,
        hand,
        held: None,
        tools,
        cutter,
        cut: Err(NotPlanned::NoShop),
        bent: Err(NotAsked::NoBends),
        coming: None,
    };
    let drawn = worked.part.clone();
    coming::settle(&mut worked);
    if worked.part != drawn {
        // The faces stay where they were, the rounds between them do not.
        worked.mesh = meshed(&worked.part, &worked.files.design)?;
        worked.standing = match &worked.equipment {
            Some(equipment) => Some(standing::stand(
                equipment,
                &worked.part,
                &worked.files.design,
                &worked.mesh,
            )?),
            None => None,
        };
    }
    let options = Options {
        follow: wanted.movement == Movement::Followed,
        ..Options::default()
    };
    worked.held = carrying::bracket(&worked).map(|bracket| prove::analyse(&bracket, &options));
    // What would do is asked only where there is no order.
    if wanted.would_bend
        && let Ok(bending) = &mut worked.bent
        && let Err(error) = bending.look_for_changes(&worked.book, &worked.mockup)
    {
        worked.bent = Err(NotAsked::Plan(error));
    }
    worked.cut = cutting::planned(&worked, &wanted.cut).map(Box::new);
    Ok(worked)
}

/// The surface of the folded plate.
fn meshed(part: &Part, design: &Design) -> Result<draw::Mesh, Vec<Wrong>> {
    draw::mesh(part, FACET_MM).map_err(|error| {
        vec![Wrong::new(
            design.title.at.clone(),
            format!("the folded plate has no solid: {error}"),
        )]
    })
}
