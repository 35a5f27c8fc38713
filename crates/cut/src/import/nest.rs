//! Outlines within outlines: the outermost hold material, those within are holes, those within holes are material again.

use plane::{Outline, Region, Segment};

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
    let mut slabs: Vec<Option<Slabs>> = found.iter().map(|_| None).collect();
    for (i, inner) in found.iter().enumerate() {
        let at = inner.outline.vertices()[0].at;
        looks.add(i + 1)?;
        let mut holder = None;
        for (j, outer) in found[..i].iter().enumerate().rev() {
            if holds(&outer.bounds, &inner.bounds) {
                let edges = slabs[j].get_or_insert_with(|| Slabs::new(outer)).beside(at.y);
                looks.add(EXACT_LOOKS + edges.len())?;
                if edges.iter().map(|edge| edge.winding(at)).sum::<i32>() != 0 {
                    holder = Some(j);
                    break;
                }
            }
        }
        let (own_depth, region) = match holder {
            Some(holder) if depth[holder].is_multiple_of(2) => {
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

/// The edges of an outline by height, so that only those beside a point are looked at.
struct Slabs {
    low_mm: f64,
    height_mm: f64,
    edges: Vec<Vec<Segment>>,
}

impl Slabs {
    fn new(found: &Found) -> Slabs {
        /// Edges for which a slab is worth its while.
        const EDGES_EACH: usize = 8;
        /// Edges stand in so many slabs on average at most.
        const MOST_COPIES: f64 = 4.0;
        let count = found.outline.len();
        let (low_mm, all_mm) = (found.bounds.0.y, found.bounds.1.y - found.bounds.0.y);
        let heights_mm: f64 = found
            .outline
            .segments()
            .map(|edge| edge.bounds())
            .map(|(low, high)| high.y - low.y)
            .sum();
        let few_copies = MOST_COPIES * count as f64 * all_mm / heights_mm.max(all_mm);
        let slabs = (count / EDGES_EACH).min(few_copies as usize).max(1);
        let mut sorted = Slabs {
            low_mm,
            height_mm: all_mm / slabs as f64,
            edges: vec![Vec::new(); slabs],
        };
        for edge in found.outline.segments() {
            let (low, high) = edge.bounds();
            for slab in sorted.slab(low.y)..=sorted.slab(high.y) {
                sorted.edges[slab].push(edge);
            }
        }
        sorted
    }

    fn slab(&self, y: f64) -> usize {
        // Below the first it is the first.
        (((y - self.low_mm) / self.height_mm) as usize).min(self.edges.len() - 1)
    }

    fn beside(&self, y: f64) -> &[Segment] {
        &self.edges[self.slab(y)]
    }
}

fn holds(outer: &Bounds, inner: &Bounds) -> bool {
    outer.0.x <= inner.0.x && outer.0.y <= inner.0.y && outer.1.x >= inner.1.x && outer.1.y >= inner.1.y
}

/// No two outlines cross or touch.
fn keep_apart(found: &[Found], looks: &mut Looks) -> Result<(), ImportError> {
    let mut exact = Looks::default();
    let edges: Vec<(usize, Segment)> = found
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
