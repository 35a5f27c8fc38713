//! Outlines within outlines: the outermost hold material, those within are holes, those within holes are material again.

use plane::{Outline, Region};

use super::error::ImportError;
use super::loops::Found;
use super::sweep::{Bounds, EXACT_LOOKS, Looks, each_near_pair};

/// Pieces of material, largest outline first, holes in the order of size.
pub(super) fn regions(mut found: Vec<Found>) -> Result<Vec<Region>, ImportError> {
    found.sort_by(|a, b| b.area_mm2.total_cmp(&a.area_mm2).then(a.line.cmp(&b.line)));
    let mut looks = Looks::default();
    keep_apart(&found, &mut looks)?;
    // Largest first, so whatever holds an outline stands before it, and the last that does is the nearest.
    let mut depth: Vec<usize> = Vec::with_capacity(found.len());
    let mut region_of: Vec<usize> = Vec::with_capacity(found.len());
    let mut regions: Vec<(Outline, Vec<Outline>)> = Vec::new();
    for (i, inner) in found.iter().enumerate() {
        let at = inner.outline.vertices()[0].at;
        looks.add(i + 1)?;
        let mut holder = None;
        for (j, outer) in found[..i].iter().enumerate().rev() {
            if holds(&outer.bounds, &inner.bounds) {
                looks.add(EXACT_LOOKS * outer.outline.len())?;
                if outer.outline.contains(at) {
                    holder = Some(j);
                    break;
                }
            }
        }
        let (own_depth, region) = match holder {
            Some(holder) if depth[holder] % 2 == 0 => {
                regions[region_of[holder]].1.push(inner.outline.oriented(false));
                (depth[holder] + 1, region_of[holder])
            }
            other => {
                regions.push((inner.outline.oriented(true), Vec::new()));
                (other.map_or(0, |holder| depth[holder] + 1), regions.len() - 1)
            }
        };
        depth.push(own_depth);
        region_of.push(region);
    }
    // Outlines are sound and apart, and holes lie within: what `Region::new` would check over again, hole against hole.
    Ok(regions
        .into_iter()
        .map(|(outer, holes)| Region { outer, holes })
        .collect())
}

fn holds(outer: &Bounds, inner: &Bounds) -> bool {
    outer.0.x <= inner.0.x && outer.0.y <= inner.0.y && outer.1.x >= inner.1.x && outer.1.y >= inner.1.y
}

/// No two outlines cross or touch.
fn keep_apart(found: &[Found], looks: &mut Looks) -> Result<(), ImportError> {
    let mut exact = Looks::default();
    let edges: Vec<(usize, plane::Segment)> = found
        .iter()
        .enumerate()
        .flat_map(|(i, found)| found.outline.segments().map(move |edge| (i, edge)))
        .collect();
    let boxes: Vec<Bounds> = edges.iter().map(|(_, edge)| edge.bounds()).collect();
    each_near_pair(&boxes, plane::SAME_POINT_MM, looks, |a, b| {
        let ((one, edge), (other, near)) = (edges[a], edges[b]);
        if one == other {
            return Ok(());
        }
        exact.add(EXACT_LOOKS)?;
        match edge.meetings(&near).first() {
            Some(meeting) => Err(ImportError::OutlinesMeet {
                first: found[one].line.min(found[other].line),
                second: found[one].line.max(found[other].line),
                at: meeting.at,
            }),
            None => Ok(()),
        }
    })
}
