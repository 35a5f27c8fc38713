//! Pages bound into one PDF.

use std::sync::Arc;

use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};
use usvg::fontdb::Database;

use super::PdfFault;
use crate::lettering::{FONT_BOLD, FONT_REGULAR};

/// Points to the inch over pixels to the inch: SVG reckons 96 pixels to the inch, PDF 72 points.
const POINTS_PER_PIXEL: f32 = 72.0 / 96.0;

/// Binds pages (SVG files sized in mm) into a PDF of the same size. Holds no date and no random identity.
pub(crate) fn bind(pages: &[String], title: &str) -> Result<Vec<u8>, PdfFault> {
    let mut faces = Database::new();
    faces.load_font_data(FONT_REGULAR.to_vec());
    faces.load_font_data(FONT_BOLD.to_vec());
    let options = usvg::Options {
        fontdb: Arc::new(faces),
        ..usvg::Options::default()
    };

    let mut document = krilla::Document::new();
    document.set_metadata(Metadata::new().title(title.to_owned()).language("en".to_owned()));
    for page in pages {
        let tree = usvg::Tree::from_str(page, &options).map_err(|fault| PdfFault {
            words: fault.to_string(),
        })?;
        let size = Size::from_wh(
            tree.size().width() * POINTS_PER_PIXEL,
            tree.size().height() * POINTS_PER_PIXEL,
        )
        .ok_or_else(|| PdfFault {
            words: "a page has no size".to_owned(),
        })?;
        let mut sheet = document.start_page_with(PageSettings::new(size));
        let mut surface = sheet.surface();
        surface.draw_svg(&tree, size, SvgSettings::default());
        surface.finish();
        sheet.finish();
    }
    document.finish().map_err(|fault| PdfFault {
        words: format!("{fault:?}"),
    })
}
