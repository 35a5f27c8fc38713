//! The sheet for the table: what to load, where zero is, what is cut in which order, and what is drilled afterwards.
//!
//! It is printed and taken to the cutting table. The first page says what to do before the torch is lit; the sheet of plate is
//! drawn as it lies, every cut with its number at the pierce; parts that come out small on that drawing are drawn again, larger;
//! the tables have every figure.

mod close;
mod figure;
mod front;
mod labels;
mod marks;
mod rows;
#[cfg(test)]
mod tests;
mod words;

use plane::{Outline, Point, Region, Segment, Vector, Vertex};

use crate::bench_pages::BenchPages;
use crate::template::{PaperSize, PdfFault, bind};

/// What the sheet for the table is told. Places are in the coordinates of the table, mm: x to the right, y away from the person
/// who stands at it. Every figure is worked out elsewhere.
#[derive(Debug, Clone, PartialEq)]
pub struct CutSheet {
    /// The job's name.
    pub title: String,
    /// Which revision, and what it was made from, in words.
    pub made_from: String,
    /// What is laid on the table.
    pub load: SheetToLoad,
    /// Where zero is.
    pub zero: Point,
    /// The same in words: "the lower left corner of the sheet".
    pub zero_says: String,
    /// What the dry run is for and how it is started, in a sentence or two; not printed when empty.
    pub dry_run: String,
    /// The parts as they come off the table.
    pub parts: Vec<CutPart>,
    /// The cuts in the order in which they are made; they are numbered from 1.
    pub cuts: Vec<SheetCut>,
    /// What is drilled or reamed afterwards; numbered D1, D2 and so on.
    pub drills: Vec<DrillPlace>,
    /// Cautions, the gravest first.
    pub cautions: Vec<String>,
    /// Time, gas, money: head and range in words ("Time", "11 to 16 min").
    pub takes: Vec<(String, String)>,
    /// Anything else to print, one line each.
    pub notes: Vec<String>,
}

/// The sheet or remnant, and how it lies.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetToLoad {
    /// The stock in words: "5052-H32 aluminium, 3/16 in".
    pub stock: String,
    /// What the sheet is: "full sheet", "remnant r3".
    pub what: String,
    /// Its outline, and what has been cut out of it already.
    pub region: Region,
    /// The thickness that the cut is planned for, mm.
    pub thickness_mm: f64,
    /// The least and the most that the caliper may show for the job to go on, mm.
    pub goes_on_mm: [f64; 2],
    /// What holds it: name and the ground it covers.
    pub clamps: Vec<(String, Outline)>,
    /// Which way the slats run, where it is known.
    pub slats: Option<SlatWay>,
    /// Which way the sheet was rolled, where it is known; the length does not matter.
    pub rolled: Option<Vector>,
}

/// Which way the slats run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlatWay {
    /// Along a slat; the length does not matter.
    pub along: Vector,
    /// From slat to slat, mm.
    pub pitch_mm: f64,
}

/// A part as it lies on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct CutPart {
    /// What it is called on this sheet, the copy with it where there are several.
    pub name: String,
    /// As it comes off the table.
    pub region: Region,
    /// Where tabs hold it; numbered T1, T2 and so on over all parts.
    pub tabs: Vec<TabPlace>,
}

/// A tab: a stretch of the edge that is left uncut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TabPlace {
    /// The middle of it on the part's edge.
    pub at: Point,
    /// How much of the edge it leaves, mm.
    pub width_mm: f64,
}

/// One cut.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetCut {
    /// What it is: "hole m1", "outside".
    pub name: String,
    /// Of which of the parts; none for a cut that belongs to no part.
    pub part: Option<usize>,
    /// What the torch follows, from the pierce to where it goes off: corners, each with the bulge of the edge that leaves it. The
    /// bulge of the last is not used.
    pub track: Vec<Vertex>,
    /// How long is waited before it, s.
    pub waits_s: f64,
    /// What else is to be known, one line each.
    pub notes: Vec<String>,
}

/// A place that is drilled or reamed afterwards.
#[derive(Debug, Clone, PartialEq)]
pub struct DrillPlace {
    /// What it is: "bracket: hole m1".
    pub name: String,
    /// Where, as the part lies on the sheet.
    pub at: Point,
    /// Its size when done, mm.
    pub dia_mm: f64,
    /// With what and how: "cut to 7.0 mm, then drill 8.7 mm (11/32 in)".
    pub drill: String,
}

impl SheetCut {
    /// The edges the torch follows.
    fn edges(&self) -> impl Iterator<Item = Segment> + Clone + '_ {
        self.track
            .windows(2)
            .map(|pair| Segment::new(pair[0].at, pair[1].at, pair[0].bulge))
            .filter(|edge| edge.length_mm().is_finite())
    }

    fn pierce(&self) -> Option<Point> {
        self.track.first().map(|corner| corner.at)
    }

    fn length_mm(&self) -> f64 {
        self.edges().map(|edge| edge.length_mm()).sum()
    }
}

impl CutSheet {
    /// The tabs with their numbers and the parts they hold.
    fn tabs(&self) -> impl Iterator<Item = (usize, usize, &TabPlace)> {
        self.parts
            .iter()
            .enumerate()
            .flat_map(|(part, told)| told.tabs.iter().map(move |tab| (part, tab)))
            .enumerate()
            .map(|(index, (part, tab))| (index + 1, part, tab))
    }
}

/// The sheet for the table as SVG pages of `paper`, in the order in which they are used. Same input, same bytes.
pub fn cut_sheet_pages(told: &CutSheet, paper: PaperSize) -> Vec<String> {
    let mut pages = BenchPages::new("Sheet for the table", &told.title, &told.made_from, paper);
    front::draw(&mut pages, told);
    if pages.rest().height < figure::LEAST_MM {
        pages.turn();
    }
    let small = figure::draw(&mut pages, told);
    if small {
        close::draw(&mut pages, told);
    }
    rows::draw(&mut pages, told);
    pages.finish("gusset-table", &words::of(told))
}

/// The sheet for the table as a PDF: what [`cut_sheet_pages`] gives, bound.
///
/// # Errors
/// When the PDF writer fails.
pub fn cut_sheet_pdf(told: &CutSheet, paper: PaperSize) -> Result<Vec<u8>, PdfFault> {
    bind(
        &cut_sheet_pages(told, paper),
        &format!("Sheet for the table: {}", crate::blank::named(&told.title)),
    )
}
