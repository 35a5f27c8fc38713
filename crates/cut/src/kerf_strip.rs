//! The comb of the kerf test as files for the table, each read back.

use plane::{Outline, OutlineError, Point, Region, RegionError, Vector, Vertex, bulge_of_sweep};
use thiserror::Error;

use crate::dxf::{DxfOptions, TrackMismatch, tracks_written_and_read_back};
use crate::gcode::{Surroundings, TorchSetting, Travel, Work, checked_dry_run, checked_program};
use crate::kerf_test::{Comb, NoComb, TEETH};
use crate::order::Clamps;
use crate::profile::{ChartLine, Clamp, NoLine, Profile, Stock};
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
    /// Clamps leave no room for it.
    #[error(
        "the clamp \"{name}\" stands where the kerf test would be cut, and nowhere else on the table are {:.0} by {:.0} mm clear of \
         clamps; move that clamp away, or lay the plate elsewhere: sheet_at under [cutter.table]",
        plate_mm[0].ceil(),
        plate_mm[1].ceil()
    )]
    UnderClamp {
        /// The first that is in its way at the corner of the plate.
        name: String,
        /// Width and height of the plate that it takes, mm.
        plate_mm: [f64; 2],
    },
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

/// Round the comb stays so much plate, mm, so that no cut runs out of it and no clamp comes near. Common practice, no source.
const MARGIN_MM: f64 = 10.0;
/// A dry run goes at this share of the speed of travel.
const DRY_SHARE: f64 = 0.4;

/// The kerf that a comb is set out with, mm: the cutter's own, never one that a comb has measured, so that the comb of a cutter
/// keeps its pitch however often it is read.
#[must_use]
pub fn guess_mm(profile: &Profile) -> f64 {
    profile.kerf.width_mm
}

/// The comb for this cutter and plate, on a piece whose lower left corner lies at `sheet_at`. Where clamps stand on that corner
/// it is cut past them, and the piece must reach so far.
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
    let [width_mm, height_mm] = comb.size_mm();
    let least_mm = [width_mm + 2.0 * around_mm, height_mm + lead_mm + 2.0 * around_mm];
    let pierce = Vector::new(around_mm + comb.spine_mm, around_mm);
    let (past, via) = past_clamps(profile, sheet_at, least_mm, pierce)?;
    let at = sheet_at + past + Vector::new(around_mm, around_mm + lead_mm);
    let cuts = comb.cuts(at)?;
    let region = region(&comb, at)?;
    let plate_mm = [past.x + least_mm[0], past.y + least_mm[1]];
    let mut travels = vec![Travel::default(); cuts.len()];
    travels[0].via = via;
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
        travels: &travels,
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
    let program = checked_program(&work, &dialect, &on)
        .map_err(NoStrip::Program)?
        .text;
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

/// How far along and up the plate the comb is cut, mm, so that no clamp stands on the plate about it, and by what corners the
/// torch comes to its first pierce, `pierce` from the lower left corner of that plate. The least plate that this takes.
fn past_clamps(
    profile: &Profile,
    sheet_at: Point,
    least_mm: [f64; 2],
    pierce: Vector,
) -> Result<(Vector, Vec<Point>), NoStrip> {
    let table = &profile.table;
    let beyond = |high: f64, low: f64| (high - low).max(0.0);
    let mut steps: Vec<Vector> = vec![Vector::zeros()];
    let ends = || std::iter::once(sheet_at).chain(table.clamps.iter().map(|clamp| clamp.high));
    for x in ends().map(|end| beyond(end.x, sheet_at.x)) {
        steps.extend(ends().map(|end| Vector::new(x, beyond(end.y, sheet_at.y))));
    }
    let plate_mm2 = |past: &Vector| (past.x + least_mm[0]) * (past.y + least_mm[1]);
    steps.sort_by(|a, b| plate_mm2(a).total_cmp(&plate_mm2(b)).then(a.y.total_cmp(&b.y)));
    let size = Vector::new(least_mm[0], least_mm[1]);
    let piece = |past: Vector| [sheet_at + past, sheet_at + past + size];
    let in_the_way = |clamp: &Clamp, [low, high]: [Point; 2]| {
        clamp.low.x < high.x && low.x < clamp.high.x && clamp.low.y < high.y && low.y < clamp.high.y
    };
    let first = |piece: [Point; 2]| table.clamps.iter().find(|clamp| in_the_way(clamp, piece));
    let at_corner = first(piece(Vector::zeros()));
    let is_on = |at: Point| (0..2).all(|axis| (0.0..=table.size_mm[axis]).contains(&at[axis]));
    let round = Clamps::new(&clamps(profile), MARGIN_MM, is_on, micrometres);
    for past in steps {
        let [low, high] = piece(past);
        let on_table = high.x <= table.size_mm[0] && high.y <= table.size_mm[1];
        // At the corner itself what is off the table is told by the reader of the program.
        if first([low, high]).is_some() || !(on_table || past == Vector::zeros()) {
            continue;
        }
        if let Some(via) = way_in(&round, sheet_at, low + pierce) {
            return Ok((past, via));
        }
    }
    let barring = at_corner.or(table.clamps.first());
    Err(NoStrip::UnderClamp {
        name: barring.map_or_else(String::new, |clamp| clamp.name.clone()),
        plate_mm: least_mm,
    })
}

/// By what corners the torch comes from the corner of the plate, where zero is, to the first pierce: straight where no clamp bars
/// it, else by the shortest way round them. None when they close it in. A zero in a clamp is left as it can be, as nobody sets it
/// with the torch there, but no other clamp is passed over on the way.
fn way_in(clamps: &Clamps, zero: Point, pierce: Point) -> Option<Vec<Point>> {
    if clamps.let_by(zero, pierce) {
        return Some(Vec::new());
    }
    let shortest = clamps.rounds(zero, pierce, 1, micrometres).into_iter().next()?;
    Some(shortest.via)
}

/// What a straight move counts for where ways are compared: its length, in whole micrometres.
fn micrometres(from: Point, to: Point) -> u32 {
    ((to - from).norm() * 1e3).round() as u32
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

    fn clamp(name: &str, low: [f64; 2], high: [f64; 2]) -> Clamp {
        Clamp {
            name: name.into(),
            low: Point::new(low[0], low[1]),
            high: Point::new(high[0], high[1]),
        }
    }

    #[test]
    fn a_comb_is_cut_past_the_clamps_at_the_corner_of_the_plate() {
        let (mut profile, stock, dxf) = plasma_and_plate();
        let sheet_at = Point::new(20.0, 30.0);
        let clear = strip(&profile, &stock, sheet_at, &[], dxf).expect("a comb");
        let [wide_mm, high_mm] = clear.plate_mm;
        // One on the corner: along the plate, past it, and the plate is so much longer.
        profile.table.clamps = vec![clamp("left clamp", [0.0, 0.0], [60.0, 60.0])];
        let past = strip(&profile, &stock, sheet_at, &[], dxf).expect("a comb");
        assert_eq!(past.comb, clear.comb);
        assert!(
            (past.at - clear.at - Vector::new(0.0, 30.0)).norm() < 1e-9,
            "{}",
            past.at
        );
        assert_eq!(past.plate_mm, [wide_mm, high_mm + 30.0]);
        // With another above it only along the plate is left.
        profile
            .table
            .clamps
            .push(clamp("upper clamp", [0.0, 80.0], [60.0, 1000.0]));
        let past = strip(&profile, &stock, sheet_at, &[], dxf).expect("a comb");
        assert!(
            (past.at - clear.at - Vector::new(40.0, 0.0)).norm() < 1e-9,
            "{}",
            past.at
        );
        assert_eq!(past.plate_mm, [wide_mm + 40.0, high_mm]);
    }

    #[test]
    fn the_torch_comes_to_the_comb_round_a_clamp() {
        let (mut profile, stock, dxf) = plasma_and_plate();
        let origin = Point::origin();
        let clear = strip(&profile, &stock, origin, &[], dxf).expect("a comb");
        let [wide_mm, high_mm] = clear.plate_mm;
        // A wall of clamps above the corner, and one that stands between zero and the comb beyond it.
        profile.table.clamps = vec![
            clamp("upper clamp", [0.0, 60.0], [40.0, 60.0 + high_mm]),
            clamp("stop", [40.0, 12.0], [45.0, 60.0 + high_mm]),
        ];
        let past = strip(&profile, &stock, origin, &[], dxf).expect("a comb");
        assert_eq!(past.plate_mm, [wide_mm + 45.0, high_mm]);
        let way = way_to_the_comb(&past, origin);
        assert!(way.len() > 2, "straight it would pass the stop by less: {way:?}");
        assert_keeps_off(&profile.table.clamps, &way);
    }

    #[test]
    fn from_a_zero_under_a_clamp_no_other_clamp_is_passed_over() {
        let (mut profile, stock, dxf) = plasma_and_plate();
        let origin = Point::origin();
        // The comb goes to the right of both, and the bar stands on the straight way there.
        profile.table.clamps = vec![
            clamp("corner clamp", [0.0, 0.0], [20.0, 500.0]),
            clamp("bar", [20.0, 0.0], [60.0, 14.0]),
        ];
        let past = strip(&profile, &stock, origin, &[], dxf).expect("a comb");
        let way = way_to_the_comb(&past, origin);
        assert_keeps_off(&profile.table.clamps[1..], &way);
    }

    /// From zero by the rapid moves of the program to the first pierce.
    fn way_to_the_comb(strip: &Strip, zero: Point) -> Vec<Point> {
        let word = |line: &str, letter: char| -> f64 {
            let word = line.split(' ').find_map(|word| word.strip_prefix(letter));
            word.and_then(|word| word.parse().ok())
                .unwrap_or_else(|| panic!("{letter} in {line}"))
        };
        let lit = strip.program.find("M3").expect("it is lit");
        let moves = strip.program[..lit].lines();
        let moves = moves.filter(|line| line.starts_with("G0 X"));
        let places = moves.map(|line| zero + Vector::new(word(line, 'X'), word(line, 'Y')));
        std::iter::once(zero).chain(places).collect()
    }

    fn assert_keeps_off(clamps: &[Clamp], way: &[Point]) {
        for clamp in clamps {
            let shape = Outline::rectangle(clamp.low, clamp.high).expect("a clamp");
            for ends in way.windows(2) {
                let path = plane::Segment::line(ends[0], ends[1]);
                let apart = shape.segments().map(|edge| edge.distance_between(&path).0);
                let apart_mm = apart.fold(f64::INFINITY, f64::min);
                // The program has whole ten-thousandths.
                assert!(
                    apart_mm > MARGIN_MM - 1e-3,
                    "{apart_mm:.3} mm from {}: {way:?}",
                    clamp.name
                );
            }
        }
    }

    #[test]
    fn a_comb_that_clamps_leave_no_room_for_is_refused_by_the_name_of_the_first() {
        let (mut profile, stock, dxf) = plasma_and_plate();
        let [wide_mm, high_mm] = profile.table.size_mm;
        profile.table.clamps = vec![
            clamp("far clamp", [wide_mm - 10.0, 0.0], [wide_mm, high_mm]),
            clamp("bar", [5.0, 0.0], [wide_mm - 30.0, high_mm - 30.0]),
        ];
        let refused = strip(&profile, &stock, Point::origin(), &[], dxf).expect_err("no room");
        assert!(
            matches!(&refused, NoStrip::UnderClamp { name, .. } if name == "bar"),
            "{refused}"
        );
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
