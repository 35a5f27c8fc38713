//! What is to be planned, and what the machine does beside its profile.

use handbook::{Handbook, UnknownProcess};
use plane::{Point, Region};

use crate::dxf::DxfOptions;
use crate::lead::Avoid;
use crate::motion::{Between, CornerRule, Doubts, Drive, Pierce, Rates};
use crate::order::{Plate, Search, Slats};
use crate::place::{Corner, Effort, Gaps, Turns};
use crate::profile::{ChartLine, Leads, Profile, Stock};
use crate::tracks::Blank;

/// A part to be cut, once or more often.
#[derive(Debug, Clone)]
pub struct SheetPart<'a> {
    /// Its blank.
    pub blank: &'a Blank,
    /// How many of it.
    pub copies: usize,
    /// How it may be turned on the sheet.
    pub turns: Turns,
    /// Stretches of its edge to leave alone, in the blank's coordinates.
    pub avoid: &'a [Avoid],
}

/// Where the machine's zero is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Zero {
    /// In a corner of the box round the sheet; parts are laid toward it.
    Corner(Corner),
    /// At a place on the table, in table coordinates, mm; parts are laid toward the lower left corner.
    At(Point),
}

/// Where the torch goes after the last cut.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Park {
    /// To the machine's zero; where that is off the table or nearer to a clamp than travel keeps, the torch stays.
    #[default]
    AtZero,
    /// To a place on the table, in table coordinates, mm. A program that cannot go there is not given out.
    At(Point),
    /// It stays where the last cut ends.
    Stays,
}

/// How the plate is heated, and how hot a pierce may find it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    /// The plate as heat sees it.
    pub plate: Plate,
    /// How much of the torch's heat stays in the plate, W.
    pub power_w: f64,
    /// The most at which a pierce may start, C.
    pub ceiling_c: f64,
    /// The longest wait for one pierce, s.
    pub longest_wait_s: f64,
}

/// How the machine runs: what a profile does not say.
#[derive(Debug, Clone, PartialEq)]
pub struct Running {
    /// Its limits of speed.
    pub drive: Drive,
    /// What a pierce takes.
    pub pierce: Pierce,
    /// How well all this is known.
    pub doubts: Doubts,
    /// What carries the sheet; none where parts lie on a whole board.
    pub slats: Option<Slats>,
    /// How much of the edge a tab leaves uncut, mm.
    pub tab_mm: f64,
    /// How far a travel round something stays from it, mm.
    pub clear_mm: f64,
    /// Height over the sheet at which the torch passes over what may have tipped, mm.
    pub over_mm: f64,
    /// What it takes more to go up so far and come down again, s.
    pub lift_s: f64,
    /// Where it goes when all is cut.
    pub park: Park,
    /// How far things stay apart on the sheet.
    pub gaps: Gaps,
    /// Heat; none where nothing is said of it, and then no start temperature is foretold.
    pub heat: Option<Heat>,
}

impl Running {
    /// What is usual where the shop has said nothing. Beside what follows from the profile, the numbers are common practice,
    /// no source: arcs and corners at the acceleration of the path, half a second at least and two and a half more at most to
    /// find the plate and light, feeds down to 95 % and accelerations down to half of what is stated, 2 to 10 minutes of
    /// handling, parts 5 mm inside what carries them, clamps 10 mm farther than parts.
    pub fn of(
        profile: &Profile,
        line: &ChartLine,
        stock: &Stock,
        book: &Handbook,
    ) -> Result<Running, UnknownProcess> {
        let (travel, t_mm) = (&profile.travel, stock.thickness_mm);
        let kerf_mm = profile.kerf_in(stock).width_mm;
        let between = |low: f64, high: f64| Between { low, high };
        let lifts_mm = 2.0 * travel.height_mm;
        Ok(Running {
            drive: Drive {
                travel_mm_s: travel.speed_mm_min / 60.0,
                accel_mm_s2: travel.acceleration_mm_s2,
                jerk_mm_s3: None,
                sideways_mm_s2: travel.acceleration_mm_s2,
                corner: CornerRule::Round { off_mm: 0.05 },
            },
            pierce: Pierce {
                each_s: between(line.pierce_delay_s + 0.5, line.pierce_delay_s + 3.0),
                up_and_down_s: between(0.5, 2.0),
            },
            doubts: Doubts {
                feed_share: between(0.95, 1.0),
                accel_share: between(0.5, 1.0),
                handling_s: between(120.0, 600.0),
            },
            slats: profile.table.slat_pitch_mm.map(|pitch_mm| Slats {
                pitch_mm,
                along: plane::Vector::y(),
                first_mm: None,
                tooth_mm: None,
                margin_mm: 5.0,
            }),
            tab_mm: t_mm.max(kerf_mm),
            clear_mm: 5.0 + kerf_mm,
            over_mm: travel.height_mm + lifts_mm,
            lift_s: 2.0 * lifts_mm / (travel.speed_mm_min / 60.0) + 1.0,
            park: Park::AtZero,
            gaps: gaps(profile, stock, book)?,
            heat: None,
        })
    }
}

/// Room for the kerf, a lead as long as wanted, and a pierce that spoils nothing; no less than the handbook's spacing.
fn gaps(profile: &Profile, stock: &Stock, book: &Handbook) -> Result<Gaps, UnknownProcess> {
    let kerf_mm = profile.kerf_in(stock).width_mm;
    let leads: &Leads = &profile.leads.outline;
    // An arc of a quarter or a half turn gets 2 / pi of its length away from the edge.
    let reaches = leads.line_rad.sin().max(std::f64::consts::FRAC_2_PI);
    let pierce_mm = kerf_mm / 2.0 + leads.length_mm(stock.thickness_mm) * reaches;
    let puddle_mm = profile.leads.puddle.in_plate_mm(stock.thickness_mm);
    let spacing_mm = book.process(profile.process.name())?.part_spacing_mm.value;
    let parts_mm = (pierce_mm + puddle_mm.max(kerf_mm / 2.0)).max(spacing_mm);
    Ok(Gaps {
        edge_mm: (pierce_mm + kerf_mm / 2.0).max(spacing_mm),
        parts_mm,
        clamps_mm: parts_mm + 10.0,
    })
}

/// A sheet's worth of work.
#[derive(Debug, Clone)]
pub struct Asked<'a> {
    /// What it is.
    pub title: &'a str,
    /// The parts.
    pub parts: &'a [SheetPart<'a>],
    /// The full sheet or the remnant as it lies on the table, in table coordinates.
    pub sheet: &'a Region,
    /// Where zero is set.
    pub zero: Zero,
    /// The cutter.
    pub profile: &'a Profile,
    /// What lies on the table.
    pub stock: &'a Stock,
    /// The tables.
    pub book: &'a Handbook,
    /// How the machine runs.
    pub running: &'a Running,
    /// What things cost in this shop; none where it does not say, and then there is no bill.
    pub rates: Option<&'a Rates>,
    /// What stands as cautions at the head of the program.
    pub cautions: &'a [String],
    /// Form of the drawing of the tracks.
    pub dxf: DxfOptions,
    /// How hard to look for places.
    pub effort: Effort,
    /// How hard to look for an order where none is proven.
    pub search: Search,
}
