//! The drawing that a cutting table reads: written by hand with a few kinds of entity, and read back by a reader that
//! shares no code with the writer.
//!
//! Arcs stay arcs (bulges), round holes stay circles, outlines are closed. What is cut, what is bent and what is
//! scribed lie on layers of their own ([`Layer`]). [`written_and_read_back`] is the way to a file: it gives a text only
//! after the reader has found the same area and the same holes in it as the part has. [`tracks_written_and_read_back`] does the
//! same for what the torch follows: leads joined, one polyline for each contour, in the order of cutting.

mod bulge;
mod drawing;
mod frame;
mod of_part;
mod parse;
mod read;
mod tables;
mod tags;
#[cfg(test)]
mod tests;
mod tracks;
mod verify;
mod write;

pub use drawing::{Circle, Drawing, Layer, Line, Loop, Words};
pub use parse::DxfReadError;
pub use read::{ReadBack, ReadCircle, ReadLine, ReadLoop, ReadWords, read_dxf};
pub use tracks::{TrackMismatch, track_layer, tracks_written_and_read_back, write_tracks_dxf};
pub use verify::{DxfMismatch, VerifiedDxf, written_and_read_back};
pub use write::{DxfOptions, DxfUnit, DxfVersion, write_dxf};
