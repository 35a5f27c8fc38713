//! The comb of the kerf test as files for the table, each read back.

use plane::{Outline, OutlineError, Point, Region, RegionError, Vertex, bulge_of_sweep};
use thiserror::Error;

use crate::dxf::{DxfOptions, TrackMismatch, tracks_written_and_read_back};
use crate::gcode::{Surroundings, TorchSetting, Work, checked_dry_run, checked_program};
use crate::kerf_test::{Comb, NoComb, TEETH};
use crate::profile::{ChartLine, NoLine, Profile, Stock};
use crate::track::Cut;
use crate::verify::{Tab, Wrong};
use crate::whole::clamps;

/// What the table is given for a kerf test.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// The comb.
    pub comb: Comb,
    /// Where its lower left corner lies, in table coordinates.
    pub at: Point,
    /// It as it comes off, in table coordinates, by the kerf that was guessed.
    pub region: Region,
    /// Width and height of the least piece of plate, mm; its lower left corner is the machine's zero.
    pub plate_mm: [f64; 2],
    /// Its cuts.
    pub cuts: Vec<Cut>,
    /// The line of the chart it is cut by.
    pub line: ChartLine,
    /// The program.
    pub program: String,
    /// The dry run.
    pub dry_run: String,
    /// The drawing of the tracks.
    pub tracks_dxf: String,
}

/// Why there is none.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NoStrip {
    /// The chart has no line for the plate.
    #[error(transparent)]
    NoLine(#[from] NoLine),
    /// The comb cannot be cut.
    #[error(transparent)]
    NoComb(#[from] NoComb),
    /// Its shape is none.
    #[error("the comb has no outline: {0}")]
    NoOutline(#[from] OutlineError),
    /// Its shape is none.
    #[error("the comb is no plate: {0}")]
    NoRegion(#[from] RegionError),
    /// What was written does not read back as it should, and is not given out.
    #[error("the program of the comb, read back, is wrong: {}", .0.first().map_or_else(String::new, ToString::to_string))]
    Program(Vec<Wrong>),
    /// The same of the drawing.
    #[error("the drawing of the comb, read back, is wrong: {0}")]
    Tracks(#[from] TrackMismatch),
}

/// Round the comb stays so much plate, mm, so that no cut runs out of it. Common practice, no source.
const MARGIN_MM: f64 = 10.0;
/// A dry run goes at this share of the speed of travel.
const DRY_SHARE: f64 = 0.4;

/// The kerf that a comb is set out with, mm: the cutter's own, never one that a comb has measured, so that the comb of a cutter
/// keeps its pitch however often it is read.
#[must_use]
pub fn guess_mm(profile: &Profile) -> f64 {
    profile.kerf.width_mm
}

/// The comb for this cutter and plate, on a piece whose lower left corner lies at `sheet_at`.
///
/// # Errors
/// [`NoStrip`]
pub fn strip(
    profile: &Profile,
    stock: &Stock,
    sheet_at: Point,
    cautions: &[String],
    dxf: DxfOptions,
) -> Result<Strip, NoStrip> {
    let line = profile.line_for(stock)?;
    let guess_mm = guess_mm(profile);
    let puddle_mm = profile.leads.puddle.in_plate_mm(stock.thickness_mm);
    let lead_mm = profile
        .leads
        .outline
        .length_mm(stock.thickness_mm)
        .max(puddle_mm + guess_mm);
    let comb = Comb::for_kerf(guess_mm, lead_mm, line.feed_mm_min);
    let around_mm = MARGIN_MM + guess_mm;
    let at = Point::new(sheet_at.x + around_mm, sheet_at.y + around_mm + lead_mm);
    let cuts = comb.cuts(at)?;
    let region = region(&comb, at)?;
    let [width_mm, height_mm] = comb.size_mm();
    let plate_mm = [width_mm + 2.0 * around_mm, height_mm + lead_mm + 2.0 * around_mm];
    let sheet = [
        sheet_at,
        Point::new(sheet_at.x + plate_mm[0], sheet_at.y + plate_mm[1]),
    ];
    let work = Work {
        title: "Kerf test",
        stock: &stock.name,
        sheet,
        zero: sheet_at,
        cuts: &cuts,
        travels: &[],
        park: None,
        torch: TorchSetting {
            pierce_delay_s: line.pierce_delay_s,
            pierce_height_mm: line.pierce_height_mm,
            cut_height_mm: line.cut_height_mm,
            travel_height_mm: profile.travel.height_mm,
            dry_feed_mm_min: DRY_SHARE * profile.travel.speed_mm_min,
        },
        cautions,
    };
    let parts = [region.clone()];
    // Slots are no closed paths, so that no area can be summed from them: a bridge of no width has the outline proven by its
    // edges, every bit of which must lie half a kerf beside a cut.
    let open = [Tab {
        at: Point::new(at.x, at.y + comb.size_mm()[1] / 2.0),
        width_mm: 0.0,
    }];
    let clamps: Vec<Region> = clamps(profile).into_iter().map(Region::solid).collect();
    let [x, y] = profile.table.size_mm;
    let on = Surroundings {
        parts: &parts,
        table: [Point::origin(), Point::new(x, y)],
        clamps: &clamps,
        tabs: &open,
    };
    // The kerf is what is asked: the path is its middle, whoever compensates otherwise.
    let dialect = crate::gcode::Dialect {
        compensation: crate::gcode::Compensation::Here,
        ..profile.dialect.clone()
    };
    let program = checked_program(&work, &dialect, &on).map_err(NoStrip::Program)?;
    let dry_run = checked_dry_run(&work, &dialect, &on).map_err(NoStrip::Program)?;
    let tracks_dxf = tracks_written_and_read_back(&cuts, dxf)?;
    Ok(Strip {
        comb,
        at,
        region,
        plate_mm,
        cuts,
        line,
        program,
        dry_run,
        tracks_dxf,
    })
}

/// The comb with slots as wide as the kerf guessed, each ending in half a circle.
fn region(comb: &Comb, at: Point) -> Result<Region, NoStrip> {
    let half_mm = comb.guess_mm / 2.0;
    let [width_mm, height_mm] = comb.size_mm();
    let place = |x: f64, y: f64| Point::new(at.x + x, at.y + y);
    let mut vertices = vec![Vertex::line(place(0.0, 0.0))];
    for slot in 0..=TEETH {
        let x = comb.spine_mm + slot as f64 * comb.pitch_mm;
        vertices.push(Vertex::line(place(x - half_mm, 0.0)));
        // Clockwise round the end of the slot, seen from the material.
        vertices.push(Vertex::arc(
            place(x - half_mm, comb.depth_mm),
            bulge_of_sweep(-std::f64::consts::PI),
        ));
        vertices.push(Vertex::line(place(x + half_mm, comb.depth_mm)));
        vertices.push(Vertex::line(place(x + half_mm, 0.0)));
    }
    vertices.push(Vertex::line(place(width_mm, 0.0)));
    vertices.push(Vertex::line(place(width_mm, height_mm)));
    vertices.push(Vertex::line(place(0.0, height_mm)));
    Ok(Region::new(Outline::new(vertices)?, Vec::new())?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dxf::{DxfUnit, DxfVersion};
    use crate::profile::Process;
    use handbook::{Family, Handbook};

    #[test]
    fn the_comb_of_every_cutter_reads_back_as_a_comb() {
        let book = Handbook::builtin();
        for process in Process::ALL {
            let profile = Profile::of(&book, process).expect("a profile");
            let stock = Stock {
                name: "steel 3 mm".into(),
                family: Family::Steel,
                thickness_mm: 3.0,
            };
            if profile.line_for(&stock).is_err() {
                continue;
            }
            let dxf = DxfOptions {
                version: DxfVersion::R2000,
                unit: DxfUnit::Millimetre,
            };
            let strip = strip(&profile, &stock, Point::new(15.0, 20.0), &[], dxf)
                .unwrap_or_else(|error| panic!("{process:?}: {error}"));
            // Each tooth is the pitch less the kerf that was guessed; the readings tell what it really was.
            let slots_mm2 = strip.comb.guess_mm
                * (TEETH + 1) as f64
                * (strip.comb.depth_mm + std::f64::consts::PI * strip.comb.guess_mm / 8.0);
            let [w, h] = strip.comb.size_mm();
            assert!((strip.region.area_mm2() - (w * h - slots_mm2)).abs() < 1e-6);
        }
    }

    fn plasma_and_plate() -> (Profile, Stock, DxfOptions) {
        let profile = Profile::of(&Handbook::builtin(), Process::Plasma).expect("plasma");
        let stock = Stock {
            name: "steel 3 mm".into(),
            family: Family::Steel,
            thickness_mm: 3.0,
        };
        let dxf = DxfOptions {
            version: DxfVersion::R2000,
            unit: DxfUnit::Millimetre,
        };
        (profile, stock, dxf)
    }

    #[test]
    fn a_comb_under_a_clamp_is_refused() {
        let (mut profile, stock, dxf) = plasma_and_plate();
        let clear = strip(&profile, &stock, Point::origin(), &[], dxf).expect("a comb");
        profile.table.clamps.push(crate::profile::Clamp {
            name: "left clamp".into(),
            low: clear.at,
            high: Point::new(clear.at.x + 10.0, clear.at.y + 10.0),
        });
        assert!(matches!(
            strip(&profile, &stock, Point::origin(), &[], dxf),
            Err(NoStrip::Program(_))
        ));
    }

    #[test]
    fn a_comb_that_was_read_is_set_out_as_before() {
        let (mut profile, stock, dxf) = plasma_and_plate();
        let before = strip(&profile, &stock, Point::origin(), &[], dxf).expect("a comb");
        profile.kerfs.push(crate::profile::StockKerf {
            stock: stock.name.clone(),
            kerf: crate::profile::Kerf {
                width_mm: 1.1,
                sd_mm: 0.03,
                from: crate::profile::KerfFrom::Measured { on: String::new() },
            },
        });
        let after = strip(&profile, &stock, Point::origin(), &[], dxf).expect("a comb");
        assert_eq!(before.comb, after.comb);
    }
}
