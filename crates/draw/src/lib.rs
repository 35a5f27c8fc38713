//! Drawings, templates, meshes and solids of a part.
//!
//! Everything here is drawn from a [`sheet::Part`] and a [`TitleBlock`] of words and figures that other rooms worked
//! out; this room has no numbers of its own. It writes no files: drawings are given back as text (SVG) or bytes (PDF),
//! the same for the same input. A picture of stress ([`stress_svg`]) is drawn from a mesh with levels and movements, the
//! card of the proof test ([`proof_pages`]) from its steps, the sheet for the cutting table ([`cut_sheet_pages`]) from a
//! [`CutSheet`], the cards for bending ([`bend_card_pages`]) from [`BendCards`], the card of a test strip
//! ([`strip_card_pages`]) from a [`StripCard`], the mock-up as far as it is marked out ([`mark_out_svg`]) from a [`MarkedOut`].
//! A plate that is folded in part is looked at from one side by [`folding_svg`], and its pieces with where they stand are
//! [`FoldingPieces`]. The folded plate as a body is a [`Mesh`], its STL, and a STEP solid, all in mm.
//!
//! # Paper
//! Pages are in mm with y downward. Line kinds are told apart by pattern and by a word in the key as well as by colour,
//! and every drawing says in its `<desc>` what it shows.

mod bench_pages;
mod bench_paper;
mod bend_cards;
mod blank;
mod canvas;
mod cut_sheet;
mod figures;
#[cfg(test)]
mod fixture;
mod folded;
mod folding;
mod frame;
mod ink;
mod label;
mod lettering;
#[cfg(test)]
mod look;
mod mark_out;
mod mesh;
mod place;
mod proof;
mod sheet_of_paper;
mod solid;
mod step;
mod stl;
mod stress;
mod strip_card;
mod table;
mod template;
mod title;
mod trace;

pub use bend_cards::{
    BendCards, BendReading, BendStep, FlatPiece, FlatPlate, GaugeLine, GaugeSide, GaugeStop, LookFace,
    PartLook, ReadBand, Stands, bend_card_pages, bend_card_pdf,
};
pub use blank::blank_svg;
pub use cut_sheet::{
    CutPart, CutSheet, DrillPlace, SheetCut, SheetToLoad, SlatWay, TabPlace, cut_sheet_pages, cut_sheet_pdf,
};
pub use folded::{FoldedNotes, folded_svg};
pub use folding::{
    Beside, FoldingFrame, FoldingNotes, FoldingPiece, FoldingPieces, PieceOf, View, folding_svg,
};
pub use lettering::{FONT_BOLD, FONT_FAMILY, FONT_REGULAR};
pub use mark_out::{
    MarkedCrease, MarkedOpening, MarkedOut, MarkedOutline, MarkedPoint, MarkedReading, MarkedSpan,
    mark_out_svg,
};
pub use mesh::{Mesh, MeshOptions, NotClosed, Skin, mesh, mesh_with};
pub use proof::{ProofCard, ProofStep, ProofView, WritingHand, proof_pages, proof_pdf};
pub use solid::SolidError;
pub use step::step_text;
pub use stl::stl_bytes;
pub use stress::{
    Allowed, Arrow, LevelUnit, Levels, MovedShape, Spot, StressBands, StressPicture, StressPictureError,
    stress_bands, stress_svg,
};
pub use strip_card::{BentStrip, StripCard, StripReading, strip_card_pages, strip_card_pdf};
pub use template::{
    CHECK_SQUARE_MM, LEAST_OVERLAP_MM, MOST_OUT, MOST_OVERLAP_MM, MOST_TILES, OVERLAP_MM, PaperSize,
    PdfFault, Printer, PrinterOut, TemplateError, template_pages, template_pdf,
};
pub use title::{Flag, FlagAt, FlagLevel, Scale, TitleBlock};
