//! Which stretches of a part's edge are left alone, read off the part.

use nalgebra::{Point3, center};
use plane::{Point, Segment};
use sheet::{Panel, Part};

use crate::lead::{Avoid, Why};

/// How far about the ends of bends and along seams no start is wanted, and how little.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeaveAlone {
    /// Beside the strip that a bend takes where it runs out, mm.
    pub beside_bend_mm: f64,
    /// How much a start at the end of a bend costs, 1 being a lot; without end where none may be.
    pub bend_weight: f64,
    /// About an edge that is welded, mm.
    pub seam_mm: f64,
    /// How much a start on a seam costs.
    pub seam_weight: f64,
}

impl Default for LeaveAlone {
    /// None at all within 3 mm of where a bend runs out: the scar is where it begins to tear. On an edge that is welded one
    /// where no other place will do: the weld covers the scar, but the edge does not close on it. Common practice, no source.
    fn default() -> LeaveAlone {
        LeaveAlone {
            beside_bend_mm: 3.0,
            bend_weight: f64::INFINITY,
            seam_mm: 1.0,
            seam_weight: 1.0,
        }
    }
}

/// Edges of a seam lie on the face of the lines: this is far over rounding, far under any plate, mm.
const ON_FACE_MM: f64 = 1e-3;

impl LeaveAlone {
    /// The stretches of a part, in its blank's coordinates: the ends of its bends, bend by bend, then both edges of each
    /// seam.
    #[must_use]
    pub fn on(&self, part: &Part) -> Vec<Avoid> {
        let ends = part.bends.iter().flat_map(|bend| {
            let within_mm = bend.allowance_mm / 2.0 + self.beside_bend_mm;
            let strips = bend.strips.iter();
            let ends =
                strips.flat_map(|strip| [0, 1].map(|end| center(&strip.fixed[end], &strip.moving[end])));
            ends.map(move |at| Avoid {
                from: at,
                to: at,
                within_mm,
                why: Why::BendEnd,
                weight: self.bend_weight,
            })
        });
        let seams = part.seams.iter().flat_map(|seam| seam.edges);
        let seams = seams.filter_map(|edge| {
            let [from, to] = on_blank(part, edge)?;
            Some(Avoid {
                from,
                to,
                within_mm: self.seam_mm,
                why: Why::Seam,
                weight: self.seam_weight,
            })
        });
        ends.chain(seams).collect()
    }
}

/// An edge of the folded part where it lies on the blank: that of the panel whose side it is.
fn on_blank(part: &Part, edge: [Point3<f64>; 2]) -> Option<[Point; 2]> {
    let on_panel = |panel: &Panel| {
        let there = edge.map(|end| panel.to_folded.inverse() * end);
        let ends = there.map(|end| end.xy());
        let [from, to] = ends;
        let side_mm = |at: Point| {
            let sides = panel.as_marked.segments();
            sides.map(|side| side.nearest(at).0).fold(f64::INFINITY, f64::min)
        };
        let along = Segment::line(from, to);
        let off_mm = [0.0, 0.5, 1.0].map(|share| side_mm(along.point_at(share)));
        let off_mm = off_mm.into_iter().fold(0.0, f64::max);
        let flat = there.iter().all(|end| end.z.abs() <= ON_FACE_MM);
        flat.then(|| (off_mm, ends.map(|end| end + panel.to_blank)))
    };
    let nearest = part.panels.iter().filter_map(on_panel);
    nearest.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, ends)| ends)
}
