//! The test strips: what is cut, and the cards that are read at the bench.

use std::path::Path;

use cut::dxf::tracks_written_and_read_back;
use cut::tracks::{Answer, Blank};
use draw::{BentStrip, StripCard, StripReading};
use plane::{Point, Region, Vector};

use super::cutting::dxf_options;
use super::{Made, MakeError, MakeOptions};
use crate::bend_strip::{BendStrip, NoBendStrip, StripAsked, bend_strip};
use crate::judge::strip_words::{
    self, ANY_JOB, BEND_CARD, BEND_CAUTIONS, BEND_DRAWING, BEND_DRY_RUN, BEND_PROGRAM, BEND_READINGS,
    BEND_TYPE_INTO, bend_acts, bend_counts_for, kerf_acts, kerf_counts_for, not_planned_words,
};
use crate::run::Outcome;
use crate::stages::cutting::{CutChoice, CutSheet, planned_blank};
use crate::stages::strips::StripGrain;
use crate::stop::Stop;

/// The card beside a kerf test.
pub(super) const KERF_CARD: &str = "kerf-test.pdf";

/// Why no bend strip was made.
#[derive(Debug, thiserror::Error)]
pub enum BendStripError {
    /// There is none.
    #[error(transparent)]
    None(#[from] NoBendStrip),
    /// A file cannot be made.
    #[error(transparent)]
    Make(#[from] MakeError),
}

/// A bend strip in words and numbers, and its files.
#[derive(Debug, Clone)]
pub struct BendStripMade {
    /// The plate, as the job has it.
    pub stock: String,
    /// The tool.
    pub tool: String,
    /// Along the bend, mm.
    pub wide_mm: f64,
    /// Square to it, flat, mm.
    pub flat_mm: f64,
    /// From either end to the middle of the bend, mm.
    pub line_at_mm: f64,
    /// Angle bent through after release, rad.
    pub bent_rad: f64,
    /// Under load, rad.
    pub loaded_rad: f64,
    /// The inside radius that should come, mm.
    pub radius_mm: f64,
    /// Where that is from.
    pub radius_from: String,
    /// Each leg outside to the sharp corner, if all comes as expected, mm.
    pub leg_mm: f64,
    /// How the bend lies to the way of rolling.
    pub grain: StripGrain,
    /// The sheet that the program is for; none without a program.
    pub sheet: Option<String>,
    /// Why there is no program.
    pub why_no_program: Option<String>,
    /// The command that takes the readings, with blanks to fill in.
    pub to_type: String,
    /// Its files.
    pub files: Made,
}

/// Writes the bend strip: its drawing, its program where the cutter is known, its card.
///
/// # Errors
/// [`BendStripError`]; files written before the fault stay.
pub fn make_bend_strip(
    outcome: &Outcome,
    out: &Path,
    options: &MakeOptions,
    asked: &StripAsked,
    job: &str,
) -> Result<BendStripMade, BendStripError> {
    let worked = &outcome.worked;
    let strip = bend_strip(outcome, asked)?;
    let blank = Blank::of_part(&strip.part, "Bend test", &[]);
    let planned = planned_blank(
        worked,
        &CutChoice::default(),
        &blank,
        &[],
        strip.grain,
        &Stop::default(),
    );
    let (sheet, why_no_program) = match &planned {
        Ok(sheet) => match whole(sheet) {
            Ok(()) => (Some(sheet), None),
            Err(why) => (None, Some(why)),
        },
        Err(why) => (None, Some(not_planned_words(why))),
    };
    let stock = outcome.summary.job.stock.clone().unwrap_or_default();
    let to_type = strip_words::to_type(job, asked, &strip);
    // A card goes from hand to hand, and is the same wherever the job lies.
    let card_types = strip_words::to_type(ANY_JOB, asked, &strip);
    let card = bend_card(&strip, &stock, sheet, card_types);
    let pdf = draw::strip_card_pdf(&card, super::paper(options)).map_err(MakeError::from)?;
    let dxf = cut::dxf::written_and_read_back(&strip.part, dxf_options(options)).map_err(MakeError::from)?;
    let (mut program, mut dry_run, mut tracks, mut marks) = (None, None, None, None);
    if let Some(sheet) = sheet {
        let plan = &sheet.plan;
        let cuts: Vec<cut::Cut> = plan.cuts.iter().map(|planned| planned.cut.clone()).collect();
        program = plan.program.clone().ok();
        dry_run = plan.dry_run.clone().ok();
        tracks = Some(tracks_written_and_read_back(&cuts, dxf_options(options)).map_err(MakeError::from)?);
        marks = plan.marks_program.clone().and_then(Result::ok);
    }
    let mut files = Made::default();
    for (name, bytes) in [
        (BEND_DRAWING, Some(dxf.text().as_bytes())),
        (BEND_CARD, Some(pdf.as_slice())),
        (BEND_PROGRAM, program.as_deref().map(str::as_bytes)),
        (BEND_DRY_RUN, dry_run.as_deref().map(str::as_bytes)),
        ("bend-test-tracks.dxf", tracks.as_deref().map(str::as_bytes)),
        ("bend-test-marks.nc", marks.as_deref().map(str::as_bytes)),
    ] {
        files.put(out.join(name), bytes).map_err(MakeError::from)?;
    }
    Ok(BendStripMade {
        stock,
        tool: strip.tool,
        wide_mm: strip.strip.wide_mm,
        flat_mm: strip.strip.flat_mm,
        line_at_mm: strip.strip.line_at_mm,
        bent_rad: strip.bent_rad,
        loaded_rad: strip.loaded_rad,
        radius_mm: strip.radius_mm,
        radius_from: strip.radius_from,
        leg_mm: strip.leg_mm,
        grain: strip.grain,
        sheet: sheet.map(|sheet| sheet.sheet.name.clone()),
        why_no_program,
        to_type,
        files,
    })
}

/// Whether the program of a strip may be given out.
fn whole(sheet: &CutSheet) -> Result<(), String> {
    let plan = &sheet.plan;
    if let Err(wrongs) = &plan.program {
        let first = wrongs.first().map_or_else(String::new, ToString::to_string);
        return Err(format!("the program, read back, is wrong: {first}"));
    }
    if plan.cuts.is_empty() || matches!(&plan.answer, Some(can) if can.answer == Answer::No) {
        return Err("the strip does not come off the table whole".into());
    }
    Ok(())
}

fn reading(letter: &str, what: String, unit: &str) -> StripReading {
    StripReading {
        letter: letter.to_owned(),
        what,
        unit: unit.to_owned(),
    }
}

fn bend_card(strip: &BendStrip, stock: &str, sheet: Option<&CutSheet>, to_type: String) -> StripCard {
    let [wide_mm, flat_mm] = [strip.strip.wide_mm, strip.strip.flat_mm];
    let middle_mm = strip.strip.line_at_mm;
    // Drawn lying: its length across the paper, the way legs are read.
    let outline = plane::Outline::rectangle(Point::origin(), Point::new(flat_mm, wide_mm));
    let lying = outline.map_or_else(|_| strip.part.blank.region.clone(), Region::solid);
    StripCard {
        title: "Bend test strip".to_owned(),
        counts_for: bend_counts_for(strip, stock),
        strip: lying,
        bend_lines: vec![[Point::new(middle_mm, 0.0), Point::new(middle_mm, wide_mm)]],
        bent: Some(BentStrip {
            legs_mm: [strip.leg_mm; 2],
            bent_rad: strip.bent_rad,
            radius_mm: strip.radius_mm,
            thickness_mm: strip.strip.thickness_mm,
            letters: ["A", "B", "C", "T"].map(str::to_owned),
        }),
        across: vec![(
            "L".to_owned(),
            [Point::new(0.0, 0.3 * wide_mm), Point::new(flat_mm, 0.3 * wide_mm)],
        )],
        acts: bend_acts(strip, sheet.map(|sheet| sheet.sheet.name.as_str())),
        readings: BEND_READINGS
            .iter()
            .map(|(letter, what, unit)| reading(letter, (*what).to_owned(), unit))
            .collect(),
        cautions: BEND_CAUTIONS.map(str::to_owned).to_vec(),
        type_into: BEND_TYPE_INTO.to_owned(),
        type_lines: vec![to_type],
    }
}

/// What the card of the kerf comb is told.
pub(super) struct KerfComb<'a> {
    pub comb: &'a cut::kerf_test::Comb,
    pub region: &'a Region,
    pub at: Point,
    pub plate_mm: [f64; 2],
    pub feed_mm_min: f64,
    pub stock: String,
    pub process: &'a str,
    pub cautions: Vec<String>,
}

pub(super) fn kerf_card(told: &KerfComb<'_>) -> StripCard {
    let comb = told.comb;
    let home: Vector = -told.at.coords;
    let by = nalgebra::Isometry2::new(home, 0.0);
    let tooth_mm = comb.pitch_mm - comb.guess_mm;
    let high_mm = comb.depth_mm / 2.0;
    let teeth = (0..cut::kerf_test::TEETH).map(|tooth| {
        let middle = comb.spine_mm + (tooth as f64 + 0.5) * comb.pitch_mm;
        (
            format!("{}", tooth + 1),
            [-0.5, 0.5].map(|side| Point::new(middle + side * tooth_mm, high_mm)),
        )
    });
    StripCard {
        title: "Kerf test".to_owned(),
        counts_for: kerf_counts_for(
            &told.stock,
            told.process,
            told.feed_mm_min,
            comb.pitch_mm,
            tooth_mm,
        ),
        strip: told.region.transformed(&by),
        bend_lines: Vec::new(),
        bent: None,
        across: teeth.collect(),
        acts: kerf_acts(told.plate_mm),
        readings: (1..=cut::kerf_test::TEETH)
            .map(|tooth| {
                reading(
                    &tooth.to_string(),
                    format!("width of tooth {tooth}, by caliper"),
                    "mm",
                )
            })
            .collect(),
        cautions: told.cautions.clone(),
        type_into: "Then type this, with what you read:".to_owned(),
        type_lines: vec![format!(
            "gusset strip kerf JOB --pitch \"{} mm\" --read \"____ mm, ____ mm, ____ mm\"",
            comb.pitch_mm
        )],
    }
}
