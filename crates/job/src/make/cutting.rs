//! The set for the cutting table.

use std::path::{Path, PathBuf};

use cut::dxf::{DxfOptions, DxfUnit, DxfVersion, tracks_written_and_read_back};
use cut::kerf_strip::{Strip, strip};

use super::{Made, MakeError, MakeOptions, strips, table_sheet};
use crate::run::Outcome;
use crate::write::{WriteError, write_whole};

/// The program for the table.
pub(super) const PROGRAM: &str = "cut.nc";
/// The same path with the torch off.
pub(super) const DRY_RUN: &str = "cut-dry-run.nc";
/// What is marked before the cutting.
pub(crate) const MARKS: &str = "cut-marks.nc";
/// What the torch follows.
pub(super) const TRACKS: &str = "cut-tracks.dxf";

/// The sheet for the person at the table.
pub(super) const TABLE_SHEET: &str = "cut-sheet.pdf";

pub(super) fn dxf_options(options: &MakeOptions) -> DxfOptions {
    DxfOptions {
        version: if options.dxf_r12 {
            DxfVersion::R12
        } else {
            DxfVersion::R2000
        },
        unit: if options.dxf_inch {
            DxfUnit::Inch
        } else {
            DxfUnit::Millimetre
        },
    }
}

/// The files for the table: each whole, or not there.
///
/// # Errors
/// [`MakeError`]; files written before the fault stay.
pub(super) fn write_set(
    outcome: &Outcome,
    out: &Path,
    options: &MakeOptions,
    made: &mut Made,
) -> Result<(), MakeError> {
    let mut files: Vec<(&str, Option<String>)> =
        vec![(PROGRAM, None), (DRY_RUN, None), (TRACKS, None), (MARKS, None)];
    if let Ok(sheet) = &outcome.worked.cut {
        let plan = &sheet.plan;
        let cuts: Vec<cut::Cut> = plan.cuts.iter().map(|planned| planned.cut.clone()).collect();
        let whole = plan.program.is_ok() && outcome.may_cut();
        if whole {
            files[0].1 = plan.program.clone().ok();
            files[1].1 = plan.dry_run.clone().ok();
            files[2].1 = Some(tracks_written_and_read_back(&cuts, dxf_options(options))?);
            files[3].1 = plan.marks_program.clone().and_then(Result::ok);
        }
    }
    // Without a plan there is no sheet for the table either.
    if outcome.worked.cut.is_err() {
        files.push((TABLE_SHEET, None));
    }
    for (name, text) in files {
        made.put(out.join(name), text.as_deref().map(str::as_bytes))?;
    }
    Ok(())
}

/// What `gusset cut` writes: the bare blank, and the set for the table.
///
/// # Errors
/// [`MakeError`]; files written before the fault stay.
pub fn make_cut(outcome: &Outcome, out: &Path, options: &MakeOptions) -> Result<Made, MakeError> {
    let mut made = Made::default();
    let dxf = cut::dxf::written_and_read_back(&outcome.worked.part, dxf_options(options))?;
    made.put(out.join("blank.dxf"), Some(dxf.text().as_bytes()))?;
    if let Some(told) = table_sheet::told(outcome, &super::title_block(outcome)) {
        let sheet = draw::cut_sheet_pdf(&told, super::paper(options))?;
        made.put(out.join(TABLE_SHEET), Some(&sheet))?;
    }
    write_set(outcome, out, options, &mut made)?;
    Ok(made)
}

/// Why there is no kerf test.
#[derive(Debug, thiserror::Error)]
pub enum KerfStripError {
    /// The shop has no cutter that follows a path.
    #[error(
        "shop.toml names no cutter that follows a path, and a saw leaves nothing to test; write [cutter] with process = \"plasma\" or another"
    )]
    NoCutter,
    /// The comb cannot be made.
    #[error("{0}")]
    NoStrip(#[from] cut::kerf_strip::NoStrip),
    /// Its card cannot be bound.
    #[error("the card: {0}")]
    Card(#[from] draw::PdfFault),
    /// It cannot be written.
    #[error(transparent)]
    Write(#[from] WriteError),
}

/// A kerf test in words, and its files.
#[derive(Debug, Clone)]
pub struct KerfStrip {
    /// The plate, as the job has it.
    pub stock: String,
    /// From slot to slot.
    pub pitch_mm: f64,
    /// The least piece of plate.
    pub plate_mm: [f64; 2],
    /// The kerf that it was set out with.
    pub guess_mm: f64,
    /// The feed that it is cut with.
    pub feed_mm_min: f64,
    /// Written.
    pub written: Vec<PathBuf>,
}

/// Writes the comb of the kerf test for the job's plate and the shop's cutter.
///
/// # Errors
/// [`KerfStripError`]
pub fn make_kerf_strip(
    outcome: &Outcome,
    out: &Path,
    options: &MakeOptions,
) -> Result<KerfStrip, KerfStripError> {
    let cutter = outcome.worked.cutter.as_ref().ok_or(KerfStripError::NoCutter)?;
    let cautions = crate::text::cut_cautions(cutter.profile.process, cutter.stock.family);
    let Strip {
        comb,
        at,
        region,
        plate_mm,
        line,
        program,
        dry_run,
        tracks_dxf,
        ..
    } = strip(
        &cutter.profile,
        &cutter.stock,
        cutter.sheet_at,
        &cautions,
        dxf_options(options),
    )?;
    let card = strips::kerf_card(&strips::KerfComb {
        comb: &comb,
        region: &region,
        at,
        plate_mm,
        feed_mm_min: line.feed_mm_min,
        stock: outcome.summary.job.stock.clone().unwrap_or_default(),
        process: cutter.profile.process.name(),
        cautions,
    });
    let pdf = draw::strip_card_pdf(&card, super::paper(options))?;
    let mut written = Vec::new();
    for (name, bytes) in [
        ("kerf-test.nc", program.into_bytes()),
        ("kerf-test-dry-run.nc", dry_run.into_bytes()),
        ("kerf-test.dxf", tracks_dxf.into_bytes()),
        (strips::KERF_CARD, pdf),
    ] {
        let path = out.join(name);
        write_whole(&path, &bytes)?;
        written.push(path);
    }
    Ok(KerfStrip {
        stock: outcome.worked.files.design.plate.stock.text.value.clone(),
        pitch_mm: comb.pitch_mm,
        plate_mm,
        guess_mm: comb.guess_mm,
        feed_mm_min: line.feed_mm_min,
        written,
    })
}

/// From slot to slot of the comb that [`make_kerf_strip`] makes now, mm; none without a cutter that follows a path. A comb that was
/// cut before the cutter changed may have another, which is on its card.
pub fn kerf_pitch_mm(outcome: &Outcome) -> Option<f64> {
    let cutter = outcome.worked.cutter.as_ref()?;
    let guess_mm = cut::kerf_strip::guess_mm(&cutter.profile);
    Some(cut::kerf_test::Comb::for_kerf(guess_mm, 1.0, 1.0).pitch_mm)
}
