//! The test strips: what is cut, and the cards that are read at the bench.

use std::path::{Path, PathBuf};

use cut::dxf::tracks_written_and_read_back;
use cut::tracks::{Answer, Blank};
use draw::{BentStrip, StripCard, StripReading};
use plane::{Point, Region, Vector};
use units::{both, deg};

use super::cutting::dxf_options;
use super::{MakeError, MakeOptions};
use crate::bend_strip::{BendStrip, NoBendStrip, StripAsked, bend_strip};
use crate::run::Outcome;
use crate::stages::cutting::{CutChoice, CutSheet, NotPlanned, planned_blank};
use crate::stages::strips::StripGrain;
use crate::write::{WriteError, write_whole};

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
    /// Written.
    pub written: Vec<PathBuf>,
    /// Files of an older strip that are no longer right.
    pub taken_away: Vec<PathBuf>,
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
    let planned = planned_blank(worked, &CutChoice::default(), &blank, &[], strip.grain);
    let (sheet, why_no_program) = match &planned {
        Ok(sheet) => match whole(sheet) {
            Ok(()) => (Some(sheet), None),
            Err(why) => (None, Some(why)),
        },
        Err(why) => (None, Some(not_planned_words(why))),
    };
    let to_type = to_type(job, asked);
    let stock = outcome.summary.job.stock.clone().unwrap_or_default();
    let card = bend_card(&strip, &stock, sheet, &to_type);
    let pdf = draw::strip_card_pdf(&card, super::paper(options)).map_err(MakeError::from)?;
    let dxf = cut::dxf::written_and_read_back(&strip.part, dxf_options(options)).map_err(MakeError::from)?;
    let mut files: Vec<(&str, Option<Vec<u8>>)> = vec![
        ("bend-test.dxf", Some(dxf.text().as_bytes().to_vec())),
        ("bend-test.pdf", Some(pdf)),
        ("bend-test.nc", None),
        ("bend-test-dry-run.nc", None),
        ("bend-test-tracks.dxf", None),
        ("bend-test-marks.nc", None),
    ];
    if let Some(sheet) = sheet {
        let plan = &sheet.plan;
        let cuts: Vec<cut::Cut> = plan.cuts.iter().map(|planned| planned.cut.clone()).collect();
        let tracks = tracks_written_and_read_back(&cuts, dxf_options(options)).map_err(MakeError::from)?;
        files[2].1 = plan.program.clone().ok().map(String::into_bytes);
        files[3].1 = plan.dry_run.clone().ok().map(String::into_bytes);
        files[4].1 = Some(tracks.into_bytes());
        files[5].1 = plan
            .marks_program
            .clone()
            .and_then(Result::ok)
            .map(String::into_bytes);
    }
    let (mut written, mut taken_away) = (Vec::new(), Vec::new());
    for (name, bytes) in files {
        let path = out.join(name);
        match bytes {
            Some(bytes) => {
                write_whole(&path, &bytes).map_err(MakeError::from)?;
                written.push(path);
            }
            None if path.is_file() => {
                std::fs::remove_file(&path).map_err(|cause| {
                    MakeError::from(WriteError {
                        path: path.clone(),
                        cause,
                    })
                })?;
                taken_away.push(path);
            }
            None => {}
        }
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
        written,
        taken_away,
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

fn not_planned_words(why: &NotPlanned) -> String {
    match why {
        NotPlanned::NoShop => "there is no shop.toml".into(),
        NotPlanned::ByHand => "this shop saws: cut the strip by hand to the size on the card".into(),
        NotPlanned::NoSheet => "shop.toml lists no sheet of this plate".into(),
        NotPlanned::NoSuchSheet { asked, .. } => format!("no sheet of this plate is called {asked}"),
        NotPlanned::TooSmall { largest } => format!("it goes on none of the sheets, not even on {largest}"),
        NotPlanned::No { why, .. } => why.to_string(),
    }
}

/// The command with its blanks; tool, bend and the rest as this strip was asked for.
fn to_type(job: &str, asked: &StripAsked) -> String {
    let mut words = format!("gusset strip bend {job}");
    for (option, value) in [
        ("--bend", &asked.bend),
        ("--tool", &asked.tool),
        ("--angle", &asked.angle),
        ("--radius", &asked.radius),
    ] {
        if let Some(value) = value {
            words.push_str(&format!(" {option} \"{value}\""));
        }
    }
    if let Some(grain) = asked.grain {
        words.push_str(&format!(" --grain {}", grain.word()));
    }
    format!(
        "{words} --read \"flat = ____ mm; thickness = ____ mm; legs = ____ mm, ____ mm; angle = ____ deg between legs\""
    )
}

fn reading(letter: &str, what: String, unit: &str) -> StripReading {
    StripReading {
        letter: letter.to_owned(),
        what,
        unit: unit.to_owned(),
    }
}

fn bend_card(strip: &BendStrip, stock: &str, sheet: Option<&CutSheet>, to_type: &str) -> StripCard {
    let [wide_mm, flat_mm] = [strip.strip.wide_mm, strip.strip.flat_mm];
    let middle_mm = strip.strip.line_at_mm;
    // Drawn lying: its length across the paper, the way legs are read.
    let outline = plane::Outline::rectangle(Point::origin(), Point::new(flat_mm, wide_mm));
    let lying = outline.map_or_else(|_| strip.part.blank.region.clone(), Region::solid);
    let between_rad = std::f64::consts::PI - strip.bent_rad;
    let loaded_between_rad = std::f64::consts::PI - strip.loaded_rad;
    let cut = match sheet {
        Some(sheet) => format!(
            "Cut it from {}: bend-test-dry-run.nc first, then bend-test.nc. By hand: to the size drawn, ends square.",
            sheet.sheet.name
        ),
        None => "Cut it to the size drawn, by saw, or from bend-test.dxf; ends square.".to_owned(),
    };
    let acts = vec![
        format!(
            "{cut} The line of the bend runs {} the way the sheet was rolled; draw that way on the strip with an arrow.",
            strip.grain.word()
        ),
        "File the dross off and break the edges. Scribe nothing on the outside of the bend: mark its line at the two edges."
            .to_owned(),
        "Clamp it flat with one end out, and read L and T. One hand: the jaw of the caliper on the clamped side, push it shut \
         with the thumb."
            .to_owned(),
        format!(
            "Bend it on its line with {}, to {} under load ({} between the legs): a card cut to that angle shows when.",
            strip.tool,
            deg(strip.loaded_rad),
            deg(loaded_between_rad)
        ),
        "Take it out and clamp one leg, the other standing up. Read A and B on the outside, each from its end to where the \
         outsides of both legs would meet: a square or a straight bar held on the other leg gives that place. Keep away from \
         the sides, which curl."
            .to_owned(),
        format!(
            "Read C between the legs with a protractor. It should be about {} between the legs ({} bent through).",
            deg(between_rad),
            deg(strip.bent_rad)
        ),
        "If there is a radius gauge: which one fills the inside without light? Write it beside R; without one, leave R out."
            .to_owned(),
    ];
    StripCard {
        title: "Bend test strip".to_owned(),
        counts_for: format!(
            "Counts for {stock}, bent with {}, {} the grain. An inside radius of {} should come ({}), and legs of {}.",
            strip.tool,
            strip.grain.word(),
            both(strip.radius_mm),
            strip.radius_from,
            both(strip.leg_mm)
        ),
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
            [
                Point::new(0.0, 0.3 * wide_mm),
                Point::new(flat_mm, 0.3 * wide_mm),
            ],
        )],
        acts,
        readings: vec![
            reading("L", "flat: the whole strip before it is bent, by caliper".into(), "mm"),
            reading("T", "thickness, by caliper".into(), "mm"),
            reading("A", "legs: one, outside to the corner".into(), "mm"),
            reading("B", "legs: the other".into(), "mm"),
            reading("C", "angle between the legs, as it came out".into(), "deg"),
            reading("R", "radius inside, by a gauge, if there is one".into(), "mm"),
        ],
        cautions: vec![
            "Hands stay out from between the tools; the strip swings up as it bends. Guards and two-hand controls stay as they are."
                .to_owned(),
            "Edges are sharp until they are broken. Eyes covered: a strip that cracks may fly.".to_owned(),
        ],
        type_into: format!(
            "Then type this, with what you read. If it was bent to another angle than {} under load, add: loaded = ____ deg between \
             legs. With a gauge, add: radius = ____ mm.",
            deg(strip.loaded_rad)
        ),
        type_lines: vec![to_type.to_owned()],
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
        counts_for: format!(
            "Counts for {}, cut by {} at {:.0} mm/min with this nozzle and these consumables. Slots are {:.1} mm apart; with the kerf \
             expected, the teeth read about {:.2} mm.",
            told.stock, told.process, told.feed_mm_min, comb.pitch_mm, tooth_mm
        ),
        strip: told.region.transformed(&by),
        bend_lines: Vec::new(),
        bent: None,
        across: teeth.collect(),
        acts: vec![
            format!(
                "Lay a piece of at least {:.0} by {:.0} mm, its lower left corner at zero. Run kerf-test-dry-run.nc first: the torch \
                 stays off, and must stay on the piece and off the clamps.",
                told.plate_mm[0].ceil(),
                told.plate_mm[1].ceil()
            ),
            "Cut kerf-test.nc. Let it cool, knock the dross off both faces, and file no edge.".to_owned(),
            "Clamp the comb by its closed side, teeth up. Read each tooth across, half way down, with the caliper: the tooth, not the \
             slot. One hand does it: the fixed jaw against the tooth, push it shut with the thumb."
                .to_owned(),
            "The three should be within a quarter of a millimetre. If one stands out, it has dross on it: clean it and read it again."
                .to_owned(),
        ],
        readings: (1..=cut::kerf_test::TEETH)
            .map(|tooth| reading(&tooth.to_string(), format!("width of tooth {tooth}, by caliper"), "mm"))
            .collect(),
        cautions: told.cautions.clone(),
        type_into: "Then type this, with what you read:".to_owned(),
        type_lines: vec![format!(
            "gusset strip kerf JOB --pitch \"{} mm\" --read \"____ mm, ____ mm, ____ mm\"",
            comb.pitch_mm
        )],
    }
}
