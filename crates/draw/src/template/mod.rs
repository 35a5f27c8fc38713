//! The 1:1 template: pages to print, tape together and mark the plate from.

mod cover;
mod page;
mod pdf;
#[cfg(test)]
mod tests;
mod tiles;

use sheet::Part;

pub(crate) use pdf::bind;

use crate::title::TitleBlock;

/// Paper the shop prints on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PaperSize {
    /// 210 mm x 297 mm (ISO 216).
    A4,
    /// 8-1/2 in x 11 in (ANSI/ASME Y14.1 size A).
    Letter,
}

impl PaperSize {
    /// Width and height, upright, mm.
    pub const fn size_mm(self) -> [f64; 2] {
        match self {
            Self::A4 => [210.0, 297.0],
            Self::Letter => [215.9, 279.4],
        }
    }

    /// Its name on paper.
    pub const fn word(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
        }
    }
}

/// How true a printer prints: 1 is true, 0.992 prints 100 mm as 99.2 mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Printer {
    x_scale: f64,
    y_scale: f64,
}

/// The length of the check square's side.
pub const CHECK_SQUARE_MM: f64 = 100.0;
/// The most a printer can be out and still be corrected: past this the page was scaled to fit, and the dialogue is what
/// needs changing. Common practice, no source.
pub const MOST_OUT: f64 = 0.1;

impl Printer {
    /// Prints true.
    pub const TRUE: Self = Self {
        x_scale: 1.0,
        y_scale: 1.0,
    };

    /// A printer on which the 100 mm check square measured `across_mm` by `up_mm`.
    pub fn measured(across_mm: f64, up_mm: f64) -> Result<Self, PrinterOut> {
        for measured_mm in [across_mm, up_mm] {
            // Written so that a NaN is refused too.
            let within = (measured_mm / CHECK_SQUARE_MM - 1.0).abs() <= MOST_OUT;
            if !within {
                return Err(PrinterOut { measured_mm });
            }
        }
        Ok(Self {
            x_scale: across_mm / CHECK_SQUARE_MM,
            y_scale: up_mm / CHECK_SQUARE_MM,
        })
    }

    /// Printed length over true length, across and up.
    pub const fn scale(&self) -> [f64; 2] {
        [self.x_scale, self.y_scale]
    }

    /// What to draw on paper for one true mm, across and up.
    fn correction(&self) -> [f64; 2] {
        [1.0 / self.x_scale, 1.0 / self.y_scale]
    }
}

/// A check square that no printer fault explains.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "the check square should be 100 mm and was measured as {measured_mm} mm; a printer is rarely out by more than a few \
     tenths of a percent. Measure the square with 100 mm written in it, and print at 100 % (not \"fit to page\")"
)]
pub struct PrinterOut {
    /// What was measured.
    pub measured_mm: f64,
}

/// Overlap of neighbouring sheets unless asked otherwise.
pub const OVERLAP_MM: f64 = 10.0;
/// The least overlap: a diamond with its letter needs this much.
pub const LEAST_OVERLAP_MM: f64 = 8.0;
/// The most overlap: beyond this it only wastes paper.
pub const MOST_OVERLAP_MM: f64 = 50.0;
/// The most sheets a template is cut into: more would not lie true however well they are taped.
pub const MOST_TILES: usize = 100;

/// Why there is no template.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TemplateError {
    /// Overlap too small for the marks, or wasteful.
    #[error(
        "sheets cannot overlap by {overlap_mm} mm; choose from {LEAST_OVERLAP_MM} mm to {MOST_OVERLAP_MM} mm ({OVERLAP_MM} \
         mm suits most)"
    )]
    Overlap {
        /// What was asked for.
        overlap_mm: f64,
    },
    /// The blank needs too many sheets.
    #[error(
        "the template would take {tiles} sheets; more than {MOST_TILES} do not lie true. Mark this blank out by its figures"
    )]
    TooLarge {
        /// Sheets it would take.
        tiles: usize,
    },
    /// The PDF could not be written.
    #[error("the template could not be written as PDF: {0}")]
    Pdf(#[from] PdfFault),
}

/// A fault of the PDF writer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{words}")]
pub struct PdfFault {
    /// The writer's own words.
    pub words: String,
}

/// The blank at full size on sheets of `paper`, corrected for `printer`, neighbouring sheets overlapping by
/// `overlap_mm` (8 to 50). The first page says how to print, check and join; every other page is one tile with its place
/// on the map, diamonds shared with its neighbours, and check squares of 100 mm and 4 in. Same input, same bytes.
pub fn template_pdf(
    part: &Part,
    block: &TitleBlock,
    paper: PaperSize,
    printer: Printer,
    overlap_mm: f64,
) -> Result<Vec<u8>, TemplateError> {
    let pages = template_pages(part, block, paper, printer, overlap_mm)?;
    Ok(pdf::bind(
        &pages,
        &format!("Template of {}, full size", crate::blank::named(&block.title)),
    )?)
}

/// The template's pages as SVG files, the covering page first: what [`template_pdf`] binds.
pub fn template_pages(
    part: &Part,
    block: &TitleBlock,
    paper: PaperSize,
    printer: Printer,
    overlap_mm: f64,
) -> Result<Vec<String>, TemplateError> {
    if !(LEAST_OVERLAP_MM..=MOST_OVERLAP_MM).contains(&overlap_mm) {
        return Err(TemplateError::Overlap { overlap_mm });
    }
    let tiling = tiles::Tiling::of(part, paper, printer, overlap_mm);
    if tiling.count() > MOST_TILES {
        return Err(TemplateError::TooLarge {
            tiles: tiling.count(),
        });
    }
    let mut pages = vec![cover::draw(part, block, paper, printer, &tiling)];
    for index in 0..tiling.count() {
        pages.push(page::draw(part, block, printer, &tiling, index));
    }
    Ok(pages)
}
