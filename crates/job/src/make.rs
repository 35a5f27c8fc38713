//! The files that a job is made into.

mod bend_cards;
mod cutting;
pub(crate) mod holding;
mod made;
mod mark_out;
mod strips;
mod table_sheet;
mod told;

use std::path::Path;

pub use bend_cards::make_bend;
use cut::dxf::{DxfMismatch, TrackMismatch};
pub(crate) use cutting::MARKS;
pub use cutting::{KerfStrip, KerfStripError, kerf_pitch_mm, make_cut, make_kerf_strip};
use draw::{
    FlagAt, FlagLevel, FoldedNotes, PaperSize, PdfFault, Printer, PrinterOut, SolidError, StressPictureError,
    TemplateError, TitleBlock,
};
pub use made::Made;
pub use mark_out::{MarkOutShown, mark_out};
pub use strips::{BendStripError, BendStripMade, make_bend_strip};
pub use told::{MADE_FILES, MadeFile, NotMade, made_file, not_made};
use units::{Expr, LengthUnit};

use crate::finding::Level;
use crate::report;
use crate::run::Outcome;
use crate::text;
use crate::write::WriteError;

/// What the check square of a template measured, across and up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    printer: Printer,
}

/// Why "99.2 mm x 99.6 mm" cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum MeasuredError {
    /// Not two lengths.
    #[error(
        "\"{0}\" is not two lengths; write what the 100 mm check square measures, as \"99.2 mm x 99.6 mm\""
    )]
    NotTwo(String),
    /// One of them is no length.
    #[error("{0}")]
    NotALength(String),
    /// No printer is out by that much.
    #[error(transparent)]
    Out(#[from] PrinterOut),
}

impl Measured {
    /// From "99.2 mm x 99.6 mm": across, then up. A bare number is mm.
    ///
    /// # Errors
    /// [`MeasuredError`]
    pub fn parse(text: &str) -> Result<Self, MeasuredError> {
        let both = text.split_once(['x', 'X', '\u{d7}']);
        let (across, up) = both.ok_or_else(|| MeasuredError::NotTwo(text.to_owned()))?;
        let length = |text: &str| -> Result<f64, MeasuredError> {
            let fault = |why: String| MeasuredError::NotALength(why);
            let expr =
                Expr::parse(text.trim(), Some(LengthUnit::Mm)).map_err(|error| fault(error.to_string()))?;
            let value = expr.value().map_err(|error| fault(error.to_string()))?;
            value.length_mm().map_err(|error| fault(error.to_string()))
        };
        Ok(Self {
            printer: Printer::measured(length(across)?, length(up)?)?,
        })
    }
}

/// Choices for the files.
#[derive(Debug, Clone, Default)]
pub struct MakeOptions {
    /// The printer, when it was measured.
    pub measured: Option<Measured>,
    /// Letter paper rather than A4.
    pub letter: bool,
    /// The old form of DXF.
    pub dxf_r12: bool,
    /// DXF in inches.
    pub dxf_inch: bool,
}

/// Why a file was not made.
#[derive(Debug, thiserror::Error)]
pub enum MakeError {
    /// It cannot be written.
    #[error(transparent)]
    Write(#[from] WriteError),
    /// The cut file did not read back as the part.
    #[error("the cut file did not read back as the part, and was not written: {0}")]
    Dxf(#[from] DxfMismatch),
    /// The drawing of the tracks did not read back.
    #[error("the drawing of the tracks did not read back, and was not written: {0}")]
    Tracks(#[from] TrackMismatch),
    /// The template cannot be made.
    #[error("the template: {0}")]
    Template(#[from] TemplateError),
    /// The solid cannot be made.
    #[error("the solid: {0}")]
    Solid(#[from] SolidError),
    /// The picture of stress cannot be made.
    #[error("the picture of stress: {0}")]
    Stress(#[from] StressPictureError),
    /// A card or a sheet cannot be bound as PDF.
    #[error("a sheet of the set: {0}")]
    Pdf(#[from] PdfFault),
    /// The summary cannot be told as JSON.
    #[error("the summary: {0}")]
    Json(#[from] serde_json::Error),
}

impl MakeError {
    /// Is it the program that failed, rather than the disk or the choice of paper?
    pub fn is_our_fault(&self) -> bool {
        matches!(
            self,
            MakeError::Dxf(_)
                | MakeError::Tracks(_)
                | MakeError::Solid(_)
                | MakeError::Stress(_)
                | MakeError::Pdf(_)
                | MakeError::Json(_)
        )
    }
}

/// Facets of STL stay within this of the true part: below what any printer or print shows.
const STL_FACET_MM: f64 = 0.02;

/// The picture of stress and movement.
const STRESS: &str = "stress.svg";
/// The card of the test on the bench.
const PROOF: &str = "proof.pdf";

/// Writes every file of a job into a folder, each whole or not at all, and names them.
///
/// # Errors
/// [`MakeError`]; files written before the fault stay.
pub fn make(outcome: &Outcome, out: &Path, options: &MakeOptions) -> Result<Made, MakeError> {
    let worked = &outcome.worked;
    let summary = &outcome.summary;
    let part = &worked.part;
    let block = title_block(outcome);
    let (pose, _) = report::pose(worked);
    let dxf = cut::dxf::written_and_read_back(part, cutting::dxf_options(options))?;
    let paper = paper(options);
    let printer = options
        .measured
        .map_or(Printer::TRUE, |measured| measured.printer);
    let template = draw::template_pdf(part, &block, paper, printer, draw::OVERLAP_MM)?;
    let placed = draw::mesh(part, STL_FACET_MM)?.moved(&pose);
    let mut files: Vec<(&str, Vec<u8>)> = vec![
        ("blank.dxf", dxf.text().as_bytes().to_vec()),
        ("blank.svg", draw::blank_svg(part, &block).into_bytes()),
        ("template.pdf", template),
        (
            "folded.svg",
            draw::folded_svg(part, &folded_notes(outcome, &block)).into_bytes(),
        ),
        ("folded.stl", draw::stl_bytes(&placed)),
        (
            "folded.step",
            draw::step_text(part, &summary.job.title, &pose)?.into_bytes(),
        ),
        (
            "summary.json",
            format!("{}\n", serde_json::to_string_pretty(&outcome.summary)?).into_bytes(),
        ),
        ("summary.txt", text::summary_text(&outcome.summary).into_bytes()),
    ];
    if let Some(told) = table_sheet::told(outcome, &block) {
        files.push((cutting::TABLE_SHEET, draw::cut_sheet_pdf(&told, paper)?));
    }
    let picture = holding::stress(outcome, &block).transpose()?;
    let card = holding::card(outcome, &block);
    let card = card.map(|card| draw::proof_pdf(part, &card, paper)).transpose()?;
    let mut made = Made::default();
    for (name, bytes) in files {
        made.put(out.join(name), Some(&bytes))?;
    }
    // Of an older state they would be taken for this one's.
    made.put(out.join(STRESS), picture.as_deref().map(str::as_bytes))?;
    made.put(out.join(PROOF), card.as_deref())?;
    bend_cards::write(outcome, &block, out, options, &mut made)?;
    cutting::write_set(outcome, out, options, &mut made)?;
    Ok(made)
}

/// A drawing as it is printed, for a screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Picture {
    /// The mock-up as it is marked out.
    MarkOut,
    /// The blank, with its tables.
    Blank,
    /// The folded part.
    Folded,
    /// Stress and movement under the load that is tightest.
    Stress,
    /// The sheet for the cutting table: its pages.
    CutSheet,
    /// The bend cards: the list, then a page for each step.
    BendCards,
}

impl Picture {
    /// Every drawing, in the order of the work.
    pub const ALL: [Picture; 6] = [
        Picture::MarkOut,
        Picture::Blank,
        Picture::Folded,
        Picture::Stress,
        Picture::CutSheet,
        Picture::BendCards,
    ];

    /// What it is asked for by.
    pub fn name(self) -> &'static str {
        match self {
            Picture::MarkOut => "mark-out",
            Picture::Blank => "blank",
            Picture::Folded => "folded",
            Picture::Stress => "stress",
            Picture::CutSheet => "cut-sheet",
            Picture::BendCards => "bend-cards",
        }
    }

    /// The drawing that is asked for by this.
    pub fn named(name: &str) -> Option<Picture> {
        Picture::ALL.into_iter().find(|picture| picture.name() == name)
    }

    /// Whether it is another one once the proof has come: starts of cuts keep off the places that the loads stress most.
    pub fn rests_on_proof(self) -> bool {
        matches!(self, Picture::Stress | Picture::CutSheet)
    }
}

/// The pages of a drawing as SVG; none where the job has nothing for it to show.
///
/// # Errors
/// [`MakeError::Stress`]
pub fn picture(outcome: &Outcome, what: Picture, options: &MakeOptions) -> Result<Vec<String>, MakeError> {
    let part = &outcome.worked.part;
    let block = title_block(outcome);
    let paper = paper(options);
    Ok(match what {
        Picture::MarkOut => vec![mark_out::of_outcome(outcome)],
        Picture::Blank => vec![draw::blank_svg(part, &block)],
        Picture::Folded => vec![draw::folded_svg(part, &folded_notes(outcome, &block))],
        Picture::Stress => match holding::stress(outcome, &block) {
            Some(picture) => vec![picture?],
            None => Vec::new(),
        },
        Picture::CutSheet => table_sheet::told(outcome, &block)
            .map_or_else(Vec::new, |told| draw::cut_sheet_pages(&told, paper)),
        Picture::BendCards => bend_cards::told(outcome, &block)
            .map_or_else(Vec::new, |told| draw::bend_card_pages(&told, paper)),
    })
}

fn paper(options: &MakeOptions) -> PaperSize {
    if options.letter {
        PaperSize::Letter
    } else {
        PaperSize::A4
    }
}

pub(crate) fn title_block(outcome: &Outcome) -> TitleBlock {
    let summary = &outcome.summary;
    let worked = &outcome.worked;
    let job = &summary.job;
    let mut made_from = vec![format!("design {}", job.title)];
    if let Some(fit) = &job.fit {
        made_from.push(format!("fit {fit}"));
    }
    if let Some(shop) = &job.shop {
        made_from.push(format!("shop {shop}"));
    }
    let mut notes = vec![format!(
        "The lines of the card are on the {} of the plate.",
        crate::stages::pattern::face_word(worked.part.lines_on)
    )];
    if job.mirrored {
        notes.push(format!(
            "Mirrored for the {} hand: the bends go the other way than drawn.",
            job.hand
        ));
    }
    for part in summary.blank.iter().flat_map(|blank| &blank.parts) {
        for bend in &part.bends {
            notes.push(format!("{}: K {:.3} from {}.", bend.name, bend.k.0, bend.k_from));
            if worked.coming_radius(&bend.name) {
                notes.push(format!(
                    "{}: this blank is for an inside radius of {}, {}.",
                    bend.name,
                    units::both(bend.radius_mm.0),
                    bend.radius_from
                ));
            }
        }
    }
    let callouts = worked.part.openings.iter().filter_map(|opening| {
        let words = report::takes(worked, &opening.name);
        (!words.is_empty()).then(|| (opening.name.clone(), words))
    });
    let flags = summary
        .findings
        .iter()
        .filter(|finding| finding.level < Level::Note)
        .map(|finding| draw::Flag {
            level: match finding.level {
                Level::Stop => FlagLevel::Stop,
                Level::Care => FlagLevel::Care,
                Level::Note => FlagLevel::Note,
            },
            at: flag_at(outcome, &finding.about),
            says: finding.says.clone(),
        });
    TitleBlock {
        title: job.title.clone(),
        revision: job.revision.clone().unwrap_or_default(),
        made_from: made_from.join(", "),
        stock: job.stock.clone().unwrap_or_default(),
        mass_kg: summary.folded.as_ref().map(|folded| folded.mass_kg.0),
        answers: summary
            .care
            .iter()
            .map(|care| format!("{} {}", care.asks, care.answer))
            .collect(),
        care: vec![
            "Cut, drill and bend as your machine's book and local codes say; eyes, ears and hands protected."
                .into(),
            "Edges are sharp until they are broken. Prove the part on the bench before a body depends on it."
                .into(),
        ],
        notes,
        callouts: callouts.collect(),
        flags: flags.collect(),
        scale: None,
    }
}

fn folded_notes(outcome: &Outcome, block: &TitleBlock) -> FoldedNotes {
    let worked = &outcome.worked;
    let placed = worked
        .standing
        .as_ref()
        .filter(|standing| standing.placement.is_some());
    let mounts = placed.map_or_else(Vec::new, |standing| {
        standing
            .mounts
            .iter()
            .map(|mount| (mount.name.clone(), mount.at))
            .collect()
    });
    FoldedNotes {
        block: block.clone(),
        pose: placed.map(|standing| standing.pose),
        axes: Default::default(),
        mounts,
        centre_of_mass: Some(worked.part.centre_of_mass()),
    }
}

fn flag_at(outcome: &Outcome, about: &str) -> FlagAt {
    let part = &outcome.worked.part;
    if part.bends.iter().any(|bend| bend.name == about) {
        FlagAt::Bend(about.to_owned())
    } else if part.openings.iter().any(|opening| opening.name == about) {
        FlagAt::Opening(about.to_owned())
    } else if part.panels.iter().any(|panel| panel.name == about) {
        FlagAt::Panel(about.to_owned())
    } else {
        FlagAt::Whole
    }
}
