//! The card's rim and creases as a net: where each crease lies in the material.

use plane::{Outline, Place, Point, SAME_POINT_MM, Segment};

use crate::divide::END_REACHES_MM;
use crate::error::SheetError;
use crate::openings::CardOpening;
use crate::part::Mockup;
use crate::ray::Ray;

/// A corner this near to a crease's line lies on it.
const ON_LINE_MM: f64 = 2.0 * SAME_POINT_MM;

/// Where a crease's line meets the rim.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hit {
    reach_mm: f64,
    run: usize,
    edge: usize,
    /// None at the edge's first corner.
    share: Option<f64>,
}

/// An unbroken piece of a crease between two nodes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Piece {
    pub crease: usize,
    pub piece: usize,
    /// Nodes.
    pub ends: [usize; 2],
}

/// The card's rim and creases as a net of nodes and edges.
pub(crate) struct Net {
    /// Outline counter-clockwise, then openings that creases meet, clockwise: material on the left.
    pub runs: Vec<Vec<Segment>>,
    outlines: Vec<Outline>,
    /// The opening of each run after the first.
    met: Vec<usize>,
    /// Corners of the runs, then the places where creases meet their edges.
    pub nodes: Vec<Point>,
    /// The first corner of each run, as a node.
    pub first_node: Vec<usize>,
    /// Per run and edge: share and node of each crease end on it.
    pub splits: Vec<Vec<Vec<(f64, usize)>>>,
    pub rays: Vec<Ray>,
    pub pieces: Vec<Piece>,
}

impl Net {
    pub fn of(mockup: &Mockup, openings: &[CardOpening]) -> Self {
        let met: Vec<usize> = (0..openings.len())
            .filter(|&index| openings[index].meets_crease)
            .collect();
        let outlines: Vec<Outline> = std::iter::once(mockup.outline.oriented(true))
            .chain(met.iter().map(|&index| openings[index].outline.clone()))
            .collect();
        let runs: Vec<Vec<Segment>> = outlines
            .iter()
            .map(|outline| outline.segments().collect())
            .collect();
        let mut nodes = Vec::new();
        let mut first_node = Vec::new();
        for run in &runs {
            first_node.push(nodes.len());
            nodes.extend(run.iter().map(Segment::from));
        }
        let splits = runs.iter().map(|run| vec![Vec::new(); run.len()]).collect();
        Self {
            runs,
            outlines,
            met,
            nodes,
            first_node,
            splits,
            rays: Vec::new(),
            pieces: Vec::new(),
        }
    }

    /// Lays a crease into the net: its pieces in the material become edges.
    pub fn draw(
        &mut self,
        crease: usize,
        name: &str,
        from: Point,
        to: Point,
        openings: &[CardOpening],
    ) -> Result<(), SheetError> {
        let length_mm = (to - from).norm();
        let ray = Ray {
            at: from,
            along: (to - from) / length_mm,
        };
        self.rays.push(ray);
        let (hits, lying) = hits(ray, &self.runs);
        let mut piece = 0;
        for pair in hits.windows(2) {
            let (start, end) = (pair[0].reach_mm, pair[1].reach_mm);
            let drawn_mm = end.min(length_mm) - start.max(0.0);
            if drawn_mm <= END_REACHES_MM.min((end - start) / 2.0) {
                continue;
            }
            let middle = (start + end) / 2.0;
            if lying.iter().any(|(a, b)| (*a..=*b).contains(&middle)) || !self.is_material(ray.point(middle))
            {
                continue;
            }
            let stops = |at: Point, short_by_mm: f64, way: Ray| SheetError::CreaseStops {
                crease: name.to_owned(),
                at,
                short_by_mm: to_next_opening(way, openings).map_or(short_by_mm, |mm| mm.min(short_by_mm)),
            };
            if -start > END_REACHES_MM {
                return Err(stops(
                    from,
                    -start,
                    Ray {
                        at: from,
                        along: -ray.along,
                    },
                ));
            }
            if end - length_mm > END_REACHES_MM {
                return Err(stops(
                    to,
                    end - length_mm,
                    Ray {
                        at: to,
                        along: ray.along,
                    },
                ));
            }
            let ends = [self.node(pair[0], ray), self.node(pair[1], ray)];
            if let Some(opening) = self.touched(pair[0], piece, ends[0]) {
                let opening = openings[opening].name.clone();
                let at = self.nodes[ends[0]];
                return Err(SheetError::OpeningTouchesCrease {
                    opening,
                    crease: name.to_owned(),
                    at,
                });
            }
            self.pieces.push(Piece { crease, piece, ends });
            piece += 1;
        }
        if piece == 0 {
            Err(SheetError::CreaseOutside {
                crease: name.to_owned(),
            })
        } else {
            Ok(())
        }
    }

    /// The opening that a crease passes by a mere corner of: the piece before ended where this one starts.
    fn touched(&self, start: Hit, pieces_before: usize, node: usize) -> Option<usize> {
        let last = self.pieces.last().filter(|_| pieces_before > 0)?;
        (last.ends[1] == node && start.run > 0).then(|| self.met[start.run - 1])
    }

    fn is_material(&self, p: Point) -> bool {
        self.outlines[0].place_of(p) != Place::Outside
            && self.outlines[1..]
                .iter()
                .all(|opening| opening.place_of(p) == Place::Outside)
    }

    /// The node at a hit, made if there is none.
    fn node(&mut self, hit: Hit, ray: Ray) -> usize {
        let Some(share) = hit.share else {
            return self.first_node[hit.run] + hit.edge;
        };
        let at = ray.point(hit.reach_mm);
        let split = &mut self.splits[hit.run][hit.edge];
        if let Some((_, node)) = split
            .iter()
            .find(|(_, node)| (self.nodes[*node] - at).norm() < ON_LINE_MM)
        {
            return *node;
        }
        self.nodes.push(at);
        split.push((share, self.nodes.len() - 1));
        self.nodes.len() - 1
    }

    /// No two creases may cross in the material or lie on each other.
    pub fn check_creases_apart(&self, mockup: &Mockup) -> Result<(), SheetError> {
        let named = |a: &Piece, b: &Piece| {
            [
                mockup.creases[a.crease].name.clone(),
                mockup.creases[b.crease].name.clone(),
            ]
        };
        for (i, a) in self.pieces.iter().enumerate() {
            let ray = self.rays[a.crease];
            let [a_start, a_end] = a.ends.map(|node| ray.reach(self.nodes[node]));
            for b in self.pieces[i + 1..].iter().filter(|b| b.crease != a.crease) {
                let [off, far_off] = b.ends.map(|node| ray.off(self.nodes[node]));
                let [reach, far_reach] = b.ends.map(|node| ray.reach(self.nodes[node]));
                if off.abs() < ON_LINE_MM && far_off.abs() < ON_LINE_MM {
                    let (start, end) = (reach.min(far_reach).max(a_start), reach.max(far_reach).min(a_end));
                    if end - start > ON_LINE_MM {
                        return Err(SheetError::CreasesOverlap {
                            creases: named(a, b),
                            at: ray.point(start),
                        });
                    }
                } else if off.min(far_off) < -ON_LINE_MM && off.max(far_off) > ON_LINE_MM {
                    let crossing = reach + (far_reach - reach) * off / (off - far_off);
                    if crossing > a_start + ON_LINE_MM && crossing < a_end - ON_LINE_MM {
                        return Err(SheetError::CreasesCross {
                            creases: named(a, b),
                            at: ray.point(crossing),
                        });
                    }
                }
            }
        }
        Ok(())
    }
}

/// Where a line meets the runs, in order along it, one hit to a place; and the stretches of it that run along an edge.
fn hits(ray: Ray, runs: &[Vec<Segment>]) -> (Vec<Hit>, Vec<(f64, f64)>) {
    let mut hits = Vec::new();
    let mut lying = Vec::new();
    for (run, edges) in runs.iter().enumerate() {
        for (edge, seg) in edges.iter().enumerate() {
            let (from, to) = (seg.from(), seg.to());
            let on = [from, to].map(|corner| ray.off(corner).abs() < ON_LINE_MM);
            if on[0] {
                hits.push(Hit {
                    reach_mm: ray.reach(from),
                    run,
                    edge,
                    share: None,
                });
            }
            let is_line = matches!(seg, Segment::Line { .. });
            if is_line && on[0] && on[1] {
                let (a, b) = (ray.reach(from), ray.reach(to));
                lying.push((a.min(b), a.max(b)));
            }
            // A line meets another but once; an arc that leaves a corner on the line along it stays by it for a while.
            let by_corner_mm = match *seg {
                Segment::Line { .. } => f64::INFINITY,
                Segment::Arc { radius_mm, .. } => 2.0 * (8.0 * radius_mm * ON_LINE_MM).sqrt(),
            };
            for share in ray.crossings(seg) {
                let at = seg.point_at(share);
                let is_corner = (on[0] && (at - from).norm() < by_corner_mm)
                    || (on[1] && (at - to).norm() < by_corner_mm);
                if !is_corner {
                    hits.push(Hit {
                        reach_mm: ray.reach(at),
                        run,
                        edge,
                        share: Some(share),
                    });
                }
            }
        }
    }
    hits.sort_by(|a, b| {
        a.reach_mm
            .total_cmp(&b.reach_mm)
            .then(a.share.is_some().cmp(&b.share.is_some()))
    });
    hits.dedup_by(|later, earlier| {
        let same = later.reach_mm - earlier.reach_mm < ON_LINE_MM;
        if same && earlier.share.is_some() && later.share.is_none() {
            *earlier = *later;
        }
        same
    });
    (hits, lying)
}

/// How far on along a line the next opening is.
fn to_next_opening(way: Ray, openings: &[CardOpening]) -> Option<f64> {
    let runs: Vec<Vec<Segment>> = openings
        .iter()
        .map(|opening| opening.outline.segments().collect())
        .collect();
    hits(way, &runs)
        .0
        .iter()
        .map(|hit| hit.reach_mm)
        .find(|reach_mm| *reach_mm > 0.0)
}
