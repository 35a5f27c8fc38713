//! One run of a job: the three files through every stage, to findings and answers. The proof takes longest by far, and is a
//! step of its own: [`begin`] gives all that does not rest on it, [`prove`] the rest.

use std::collections::BTreeMap;
use std::sync::Arc;

use handbook::Handbook;
use prove::Options;
use sheet::{Mockup, Part};
use survey::{Adjusted, Snooped};
use units::Quantity;

use crate::again::{AsDrawn, Before, Geometry};
use crate::care::{self, Refusal};
use crate::files::model::{Design, Fit, Hand, Shop};
use crate::files::{Source, Wrong, read_design, read_fit, read_shop};
use crate::finding::Question;
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
use crate::stages::scope::{Scope, Unknown};
use crate::stages::search::{self, Found};
use crate::stages::setting::{self, Setting};
use crate::stages::standing::{self, Standing};
use crate::stages::stated;
use crate::stop::{NotWanted, Stop};
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
    /// What the proof came to.
    pub held: Held,
    /// What bends are planned on.
    pub tools: Tools,
    /// The cutter of the shop; none where it has none that follows a path.
    pub cutter: Option<Cutter>,
    /// How it is cut.
    pub cut: Planned,
    /// In which order it is bent.
    pub bent: Result<Box<Bending>, NotAsked>,
    /// The radii that come, where they are not as drawn.
    pub coming: Option<Coming>,
    /// The plate before the radii that come were asked for.
    pub drawn: Arc<AsDrawn>,
    /// What the open measures hang on.
    pub geometry: Arc<Geometry>,
    /// What was asked for.
    pub wanted: Wanted,
}

/// What a proof came to.
#[derive(Debug, Clone, Default)]
pub(crate) enum Held {
    /// It could not be asked: no mounts, no loads, or no place on the mounts.
    #[default]
    NotAsked,
    /// It is still to be worked out.
    ToCome,
    /// It broke off by a fault of ours.
    BrokeOff,
    /// An answer, or why there is none.
    Came(Arc<Result<prove::Answer, prove::ProveError>>),
}

impl Held {
    /// The answer, where there is one.
    pub fn answer(&self) -> Option<&prove::Answer> {
        match self {
            Held::Came(came) => came.as_ref().as_ref().ok(),
            Held::NotAsked | Held::ToCome | Held::BrokeOff => None,
        }
    }
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
    /// Whether the proof is no longer to come.
    pub fn is_whole(&self) -> bool {
        !matches!(self.worked.held, Held::ToCome)
    }

    /// The answers that rest on a proof that is still to come: a plan for the cutting starts away from where the loads stress
    /// the plate, and is made again with it.
    pub fn to_come(&self) -> Vec<Question> {
        if self.is_whole() {
            return Vec::new();
        }
        let cut = self.worked.cut.is_ok().then_some(Question::Cut);
        cut.into_iter().chain([Question::Hold]).collect()
    }

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
    let never = Stop::default();
    let before = Before::default();
    let bent = worked_to_bends(folder, wanted, &before, &never, &|_| ());
    let whole = bent.and_then(|(mut worked, _)| {
        hold(&mut worked, &never)?;
        cut(&mut worked, &before, &never)?;
        Ok(worked)
    });
    match whole {
        Ok(worked) => Ok(told(folder, worked)),
        Err(Ended::Stopped(stopped)) => Err(stopped),
        Err(Ended::NotWanted) => unreachable!("nobody else has this stop"),
    }
}

/// Runs a job as far as cut and bends: all but the proof, where that is asked for and does not stand from before. Until
/// [`prove()`] has given it, hold is not checked, and starts of cuts may lie where the loads stress the plate most.
///
/// What a stage came to in one of the runs `before` serves again where its input is the same, so that the outcome is that of
/// a run from the start.
///
/// # Errors
/// [`NotWanted`] when it was stopped; else as [`run`].
pub fn begin(
    folder: &Folder,
    wanted: &Wanted,
    before: &[&Outcome],
    stop: &Stop,
) -> Result<Result<Outcome, Stopped>, NotWanted> {
    let before = Before::of(before, wanted);
    let cut_of = |worked: &Worked| planned(worked, &before, stop);
    let bent = worked_to_bends(folder, wanted, &before, stop, &cut_of);
    let begun = bent.and_then(|(mut worked, planned)| {
        match (before.held(&worked), planned) {
            (None, Some(planned)) => worked.cut = planned,
            (held, _) => {
                worked.held = held.unwrap_or(worked.held);
                cut(&mut worked, &before, stop)?;
            }
        }
        Ok(worked)
    });
    match begun {
        Ok(worked) => Ok(Ok(told(folder, worked))),
        Err(Ended::Stopped(stopped)) => Ok(Err(stopped)),
        Err(Ended::NotWanted) => Err(NotWanted),
    }
}

/// Proves what was begun, and plans again what rests on the proof: the outcome of [`run_with`].
///
/// # Errors
/// [`NotWanted`] when it was stopped.
pub fn prove(folder: &Folder, begun: &Outcome, stop: &Stop) -> Result<Outcome, NotWanted> {
    if begun.is_whole() {
        return Ok(begun.clone());
    }
    let before = Before::of(&[begun], &begun.worked.wanted);
    let mut worked = begun.worked.clone();
    hold(&mut worked, stop)?;
    cut(&mut worked, &before, stop)?;
    Ok(told(folder, worked))
}

/// What was begun, where its proof broke off by a fault of ours: everything else as it is, and hold not checked.
#[must_use]
pub fn proof_broke_off(folder: &Folder, begun: &Outcome) -> Outcome {
    let mut worked = begun.worked.clone();
    worked.held = Held::BrokeOff;
    told(folder, worked)
}

/// Findings, answers and summary of what was worked out.
fn told(folder: &Folder, worked: Worked) -> Outcome {
    let findings = judge::findings(&worked);
    let verdicts = judge::verdicts(&worked, &findings);
    let summary = report::summary(folder, &worked, &findings, verdicts);
    Outcome { summary, worked }
}

/// Why there is no outcome.
enum Ended {
    Stopped(Stopped),
    NotWanted,
}

impl From<Vec<Wrong>> for Ended {
    fn from(wrongs: Vec<Wrong>) -> Self {
        Ended::Stopped(wrongs.into())
    }
}

impl From<NotWanted> for Ended {
    fn from(_: NotWanted) -> Self {
        Ended::NotWanted
    }
}

/// What the proof comes to, where it was not asked before.
fn hold(worked: &mut Worked, stop: &Stop) -> Result<(), NotWanted> {
    let options = Options {
        follow: worked.wanted.movement == Movement::Followed,
        ..Options::default()
    };
    let Some(bracket) = carrying::bracket(worked) else {
        return Ok(());
    };
    let came = prove::analyse_while(&bracket, &options, stop.flag());
    stop.pass()?;
    worked.held = Held::Came(Arc::new(came));
    Ok(())
}

/// How a plate is cut.
type Planned = Result<Box<CutSheet>, NotPlanned>;

/// Plans how it is cut, or takes the plan that was made for the same. Once it was stopped it is of no use.
fn planned(worked: &Worked, before: &Before<'_>, stop: &Stop) -> Planned {
    before
        .cut(worked)
        .unwrap_or_else(|| cutting::planned(worked, &worked.wanted.cut, stop).map(Box::new))
}

fn cut(worked: &mut Worked, before: &Before<'_>, stop: &Stop) -> Result<(), NotWanted> {
    stop.pass()?;
    worked.cut = planned(worked, before, stop);
    stop.pass()
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

/// All stages before cut and proof, and what was worked out [beside](coming::settle) the last plan of the bends.
fn worked_to_bends<T: Send>(
    folder: &Folder,
    wanted: &Wanted,
    before: &Before<'_>,
    stop: &Stop,
    beside: &(dyn Fn(&Worked) -> T + Sync),
) -> Result<(Worked, Option<T>), Ended> {
    let files = read(folder)?;
    let geometry = Geometry::of(folder);
    if let Some(fit) = &files.fit
        && let Some(refusal) = care::refusal(&files.design, fit)
    {
        return Err(Ended::Stopped(Stopped::Refused(refusal)));
    }
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
            return Err(all.into_iter().flatten().flatten().collect::<Vec<Wrong>>().into());
        }
    };
    let mounted = equipment
        .as_ref()
        .filter(|equipment| !equipment.mounts.is_empty());
    let mut found = None;
    if let (Some(equipment), false) = (mounted, unknowns.is_empty()) {
        // Faults of the files are told as such, before any search.
        draw(&files, &book, &scope)?;
        stop.pass()?;
        let result = match before.found(&geometry, files.shop.as_ref()) {
            Some(found) => Ok(found),
            None => searched(&files, &book, &scope, equipment, &unknowns, stop),
        };
        stop.pass()?;
        let result = result?;
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
    stop.pass()?;
    let hand = hand(&files);
    let next_sd_mm = book
        .instrument("tape")
        .ok()
        .and_then(|tape| tape.sd_at(NEXT_READING_MM, false))
        .unwrap_or(1.0);
    let snooped = judge::snoop(&marked, &files.design, Some(setting.thickness_mm), next_sd_mm)
        .map_err(|error| vec![points::adjust_wrong(error, &marked, &files.design)])?;
    let drawn = Arc::new(AsDrawn {
        mockup: mockup.clone(),
        part: part.clone(),
        setting: setting.clone(),
    });
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
        mesh: draw::Mesh::default(),
        equipment,
        standing: None,
        hand,
        held: Held::NotAsked,
        tools,
        cutter,
        cut: Err(NotPlanned::NoShop),
        bent: Err(NotAsked::NoBends),
        coming: None,
        drawn,
        geometry: Arc::new(geometry),
        wanted: wanted.clone(),
    };
    stop.pass()?;
    let mut also = None;
    if !before.bends(&mut worked) {
        also = coming::settle(&mut worked, stop, beside);
        stop.pass()?;
        // What would do is asked only where there is no order.
        if wanted.would_bend
            && let Ok(bending) = &mut worked.bent
            && let Err(error) = bending.look_for_changes(&worked.book, &worked.mockup)
        {
            worked.bent = Err(NotAsked::Plan(error));
        }
    }
    stop.pass()?;
    // Of the plate as it comes: the faces stay where they were drawn, the rounds between them do not.
    worked.mesh = meshed(&worked.part, &worked.files.design)?;
    stop.pass()?;
    if let Some(equipment) = &worked.equipment {
        let stands = standing::stand(equipment, &worked.part, &worked.files.design, &worked.mesh)?;
        worked.standing = Some(stands);
    }
    stop.pass()?;
    if carrying::bracket(&worked).is_some() {
        worked.held = Held::ToCome;
    }
    Ok((worked, also))
}

/// The open measures, so that mounts and support are met.
fn searched(
    files: &Files,
    book: &Handbook,
    scope: &Scope,
    equipment: &Equipment,
    unknowns: &[Unknown],
    stop: &Stop,
) -> Result<Found, Vec<Wrong>> {
    let develop = |values: &BTreeMap<String, Quantity>| -> Option<Part> {
        let scope = scope.with(&files.design, files.fit.as_ref(), values)?;
        draw(files, book, &scope).ok().map(|drawn| drawn.part)
    };
    search::find(equipment, unknowns, &files.design, &develop, stop)
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
