//! What the torch follows, as a drawing: one open polyline for each cut, leads joined to it, each on a layer of its own
//! that carries its place in the order and its name, drawn in that order.

use plane::Point;

use super::parse::DxfReadError;
use super::read::{ReadLoop, read_dxf};
use super::tables::{CONTINUOUS, LayerRow, PAPER_BLACK};
use super::write::{DxfOptions, DxfUnit, DxfVersion, OPEN, write_entities};
use crate::track::Cut;

/// Corners in the file may differ from the track's by this much: rounding of a metre in inches and back.
const SAME_PLACE_MM: f64 = 1e-6;
/// Bulges are written to the last digit.
const SAME_BULGE: f64 = 1e-12;
/// The longest name of a layer in the old form.
const LONGEST_NAME_CHARS: usize = 31;

/// How the written tracks differ from the cuts.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TrackMismatch {
    /// It cannot be read.
    #[error("the written tracks cannot be read back: {0}")]
    Unreadable(#[from] DxfReadError),
    /// It states another form or unit than was asked for.
    #[error("the written tracks state {version:?} and the unit {unit:?}, not what was asked for")]
    OtherForm {
        /// Form read.
        version: DxfVersion,
        /// Unit read.
        unit: Option<DxfUnit>,
    },
    /// Another number of polylines than cuts, or something beside them.
    #[error("the drawing has {found} tracks and {others} other things; there are {wanted} cuts")]
    Count {
        /// Polylines read.
        found: usize,
        /// Entities of other kinds.
        others: usize,
        /// Cuts.
        wanted: usize,
    },
    /// A track is not as the cut has it.
    #[error("the track of cut {name} reads back otherwise, from corner {corner} on")]
    Track {
        /// The cut's name.
        name: String,
        /// The first corner that differs, from 0.
        corner: usize,
    },
    /// A track lies on another layer, out of its order.
    #[error("cut {name} lies on layer {found:?}")]
    Layer {
        /// The cut's name.
        name: String,
        /// The layer read.
        found: String,
    },
}

/// The layer of the cut at this place in the order (from 0): `CUT_007_NAME`, in capitals, digits and underscores, as every
/// form of the format takes it.
#[must_use]
pub fn track_layer(place: usize, name: &str) -> String {
    let plain = name.chars().map(|c| {
        if c.is_ascii_alphanumeric() {
            c.to_ascii_uppercase()
        } else {
            '_'
        }
    });
    format!("CUT_{:03}_", place + 1)
        .chars()
        .chain(plain)
        .take(LONGEST_NAME_CHARS)
        .collect()
}

/// The cuts as a DXF text, not yet read back: see [`tracks_written_and_read_back`].
#[must_use]
pub fn write_tracks_dxf(cuts: &[Cut], options: DxfOptions) -> String {
    let names: Vec<String> = cuts
        .iter()
        .enumerate()
        .map(|(place, cut)| track_layer(place, &cut.name))
        .collect();
    let layers: Vec<LayerRow> = names
        .iter()
        .map(|name| LayerRow {
            name: name.clone(),
            colour: PAPER_BLACK,
            line_kind: CONTINUOUS,
        })
        .collect();
    write_entities(options, extent_mm(cuts), &layers, |pen| {
        for (cut, name) in cuts.iter().zip(&names) {
            pen.run(name, &cut.track.vertices, OPEN);
        }
    })
}

/// The cuts as a DXF text that has been read back: the same tracks, on their layers, in their order.
///
/// # Errors
/// [`TrackMismatch`] when what is read back differs: a fault of this program, not of the user.
pub fn tracks_written_and_read_back(cuts: &[Cut], options: DxfOptions) -> Result<String, TrackMismatch> {
    let text = write_tracks_dxf(cuts, options);
    let read = read_dxf(&text)?;
    let unit_stated = (options.version == DxfVersion::R2000).then_some(options.unit);
    if (read.version, read.unit) != (options.version, unit_stated) {
        return Err(TrackMismatch::OtherForm {
            version: read.version,
            unit: read.unit,
        });
    }
    let others =
        read.circles.len() + read.lines.len() + read.words.len() + read.points.len() + read.not_read.len();
    if read.loops.len() != cuts.len() || others != 0 {
        return Err(TrackMismatch::Count {
            found: read.loops.len(),
            others,
            wanted: cuts.len(),
        });
    }
    for (place, (cut, found)) in cuts.iter().zip(&read.loops).enumerate() {
        compare(place, cut, found, options.unit.in_mm())?;
    }
    Ok(text)
}

fn compare(place: usize, cut: &Cut, found: &ReadLoop, mm: f64) -> Result<(), TrackMismatch> {
    if found.layer != track_layer(place, &cut.name) {
        return Err(TrackMismatch::Layer {
            name: cut.name.clone(),
            found: found.layer.clone(),
        });
    }
    let wanted = &cut.track.vertices;
    let same = wanted
        .iter()
        .zip(&found.corners)
        .take_while(|(vertex, (at, bulge))| {
            (at * mm - vertex.at).norm() <= SAME_PLACE_MM && (bulge - vertex.bulge).abs() <= SAME_BULGE
        })
        .count();
    if same == wanted.len() && same == found.corners.len() && !found.closed {
        Ok(())
    } else {
        Err(TrackMismatch::Track {
            name: cut.name.clone(),
            corner: same,
        })
    }
}

fn extent_mm(cuts: &[Cut]) -> [Point; 2] {
    cuts.iter()
        .flat_map(|cut| cut.track.segments())
        .map(|edge| edge.bounds())
        .map(|(low, high)| [low, high])
        .reduce(|[low, high], [l, h]| {
            [
                Point::new(low.x.min(l.x), low.y.min(l.y)),
                Point::new(high.x.max(h.x), high.y.max(h.y)),
            ]
        })
        .unwrap_or([Point::origin(); 2])
}

#[cfg(test)]
mod tests {
    use plane::Vertex;

    use super::*;
    use crate::track::{Of, Track};

    fn cuts() -> Vec<Cut> {
        let cut = |name: &str, of, vertices: Vec<Vertex>| Cut {
            name: name.to_owned(),
            of,
            around: [1, vertices.len() - 1],
            track: Track { vertices },
            kerf_mm: 1.5,
            feed_mm_min: 2000.0,
        };
        let at = Point::new;
        vec![
            cut(
                "bolt 1\u{b0}",
                Of::Opening { part: 0, opening: 0 },
                vec![
                    Vertex::line(at(10.0, 10.0)),
                    Vertex::arc(at(14.0, 10.0), 1.0),
                    Vertex::arc(at(6.0, 10.0), 1.0),
                    Vertex::line(at(14.0, 10.0)),
                ],
            ),
            cut(
                "the whole outside of a bracket with a long name",
                Of::Outline { part: 0 },
                vec![
                    Vertex::line(at(-5.0, 0.0)),
                    Vertex::line(at(0.0, 0.0)),
                    Vertex::line(at(0.0, 30.1)),
                    Vertex::arc(at(40.7, 30.1), -0.25),
                    Vertex::line(at(0.0, 0.0)),
                ],
            ),
        ]
    }

    #[test]
    fn tracks_read_back_open_in_their_order_in_every_form() {
        for version in [DxfVersion::R2000, DxfVersion::R12] {
            for unit in [DxfUnit::Millimetre, DxfUnit::Inch] {
                let options = DxfOptions { version, unit };
                let text = tracks_written_and_read_back(&cuts(), options).expect("it reads back");
                let read = read_dxf(&text).expect("it reads");
                let layers: Vec<&str> = read.loops.iter().map(|run| run.layer.as_str()).collect();
                assert_eq!(layers, ["CUT_001_BOLT_1_", "CUT_002_THE_WHOLE_OUTSIDE_OF_A_"]);
                assert!(
                    read.loops
                        .iter()
                        .all(|run| !run.closed && read.layers.contains(&run.layer))
                );
            }
        }
    }

    #[test]
    fn a_track_out_of_place_or_out_of_order_is_told() {
        let options = DxfOptions::default();
        let text = write_tracks_dxf(&cuts(), options);
        let read = read_dxf(&text).expect("it reads");
        let mut moved = cuts();
        moved[1].track.vertices[2].at.x += 0.001;
        assert!(matches!(
            compare(1, &moved[1], &read.loops[1], 1.0),
            Err(TrackMismatch::Track { corner: 2, .. })
        ));
        assert!(matches!(
            compare(1, &cuts()[0], &read.loops[0], 1.0),
            Err(TrackMismatch::Layer { .. })
        ));
    }
}
