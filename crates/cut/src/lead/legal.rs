//! What a lead must keep clear of.

use plane::{Outline, Place as Lies, Point, Region, Segment};

use super::places::Place;
use super::shape::{Lead, leads_in};
use super::{Conditions, Contour};
use crate::kerf::Edge;

/// A kerf may come this near into the part's edge, mm: over what moving an edge leaves, under what a cutter can tell.
const INTO_EDGE_MM: f64 = 1e-3;

type Box2 = (Point, Point);

/// The edges about a contour. Everything that a lead of an opening can come near lies behind the opening's own edge, and
/// likewise for the outside, so that one edge of the part is enough.
pub(super) struct Bounds<'a> {
    contour: &'a Contour<'a>,
    conditions: &'a Conditions<'a>,
    walls: Vec<(Segment, Box2)>,
    others: Vec<&'a Region>,
}

impl<'a> Bounds<'a> {
    pub fn of(contour: &'a Contour<'a>, conditions: &'a Conditions<'a>) -> Self {
        let reach_mm = conditions.leads.length_mm(conditions.t_mm)
            + conditions.leads.out_mm
            + conditions.puddle_mm
            + conditions.kerf_mm;
        let about = contour.path.bounds();
        let others: Vec<&Region> = conditions
            .others
            .iter()
            .filter(|other| near(about, other.bounds(), reach_mm))
            .collect();
        let edges = contour.edge.segments().chain(
            others
                .iter()
                .flat_map(|other| other.outlines())
                .flat_map(Outline::segments),
        );
        Bounds {
            contour,
            conditions,
            walls: edges.map(|edge| (edge, edge.bounds())).collect(),
            others,
        }
    }

    /// How far a pierce stays off every part, mm.
    pub fn pierce_mm(&self) -> f64 {
        self.conditions.puddle_mm.max(self.conditions.kerf_mm / 2.0)
    }

    /// The best liked legal lead of this length to a place.
    pub fn lead_to(&self, place: &Place, length_mm: f64) -> Option<Lead> {
        leads_in(place, length_mm, self.conditions)
            .find(|lead| self.may_pierce(lead.segment.from()) && self.keeps_off(&lead.segment))
    }

    /// Whether the torch may be lit here.
    pub fn may_pierce(&self, at: Point) -> bool {
        let in_scrap = match self.contour.of {
            Edge::Outline => Lies::Outside,
            Edge::Opening(_) => Lies::Inside,
        };
        self.clear_mm(at, self.pierce_mm())
            && self.contour.edge.place_of(at) == in_scrap
            && self
                .others
                .iter()
                .all(|other| other.place_of(at) == Lies::Outside)
    }

    /// Whether the kerf along this takes nothing of a part.
    pub fn keeps_off(&self, segment: &Segment) -> bool {
        let half_mm = self.conditions.kerf_mm / 2.0;
        let about = segment.bounds();
        self.walls.iter().all(|(wall, bounds)| {
            !near(about, *bounds, half_mm) || segment.distance_between(wall).0 >= half_mm - INTO_EDGE_MM
        })
    }

    fn clear_mm(&self, at: Point, keep_mm: f64) -> bool {
        self.walls
            .iter()
            .all(|(wall, bounds)| !near((at, at), *bounds, keep_mm) || wall.nearest(at).0 >= keep_mm)
    }
}

fn near((low, high): Box2, (l, h): Box2, within_mm: f64) -> bool {
    low.x <= h.x + within_mm
        && l.x <= high.x + within_mm
        && low.y <= h.y + within_mm
        && l.y <= high.y + within_mm
}
