//! How well the edges that are to be welded meet after folding.

use nalgebra::Point3;
use plane::Point;

use crate::divide::{CardPanel, END_REACHES_MM};
use crate::error::SheetError;
use crate::part::{Mockup, Panel, Seam, SeamGap};

/// Every seam's gap and twist. `z_range_mm` is the plate's extent about the lines' face.
pub(crate) fn close(
    mockup: &Mockup,
    card: &[&CardPanel],
    panels: &[Panel],
    z_range_mm: [f64; 2],
) -> Result<Vec<SeamGap>, SheetError> {
    let placed = |seam: &Seam, edge: [Point; 2]| {
        let panel = panel_with_edge(card, edge);
        let panel = panel.ok_or_else(|| SheetError::SeamEdge {
            seam: seam.name.clone(),
            edge,
        })?;
        Ok(move |end: usize, height_mm: f64| {
            panels[panel].to_folded * Point3::from(edge[end].coords.push(height_mm))
        })
    };
    let heights_mm = [z_range_mm[0], z_range_mm[1], 0.0];
    let gap = |seam: &Seam| {
        let (first, second) = (placed(seam, seam.first)?, placed(seam, seam.second)?);
        let gap_mm = [0, 1].map(|end| {
            let pairs = heights_mm
                .iter()
                .flat_map(|&a| heights_mm.iter().map(move |&b| (a, b)));
            let apart = pairs.map(|(a, b)| (first(end, a) - second(end, b)).norm());
            apart.fold(f64::INFINITY, f64::min)
        });
        let edges = [[first(0, 0.0), first(1, 0.0)], [second(0, 0.0), second(1, 0.0)]];
        let [one, other] = edges.map(|[from, to]| to - from);
        Ok(SeamGap {
            name: seam.name.clone(),
            gap_mm,
            twist_rad: one.angle(&other),
            edges,
        })
    };
    mockup.seams.iter().map(gap).collect()
}

/// The panel that has an edge along this one, as near as a line can be marked.
fn panel_with_edge(card: &[&CardPanel], edge: [Point; 2]) -> Option<usize> {
    let middle = nalgebra::center(&edge[0], &edge[1]);
    let off = |panel: &CardPanel, p: Point| {
        let edges = panel.runs.iter().flatten();
        edges
            .map(|edge| edge.seg.nearest(p).0)
            .fold(f64::INFINITY, f64::min)
    };
    let along = |panel: &&CardPanel| {
        [edge[0], middle, edge[1]]
            .iter()
            .all(|p| off(panel, *p) <= END_REACHES_MM)
    };
    card.iter().position(along)
}
