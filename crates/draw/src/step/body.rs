//! Corners, edges and faces of the body, each corner and edge made once and shared.

use std::collections::BTreeMap;

use nalgebra::{Point3, Vector3};
use plane::Segment;

use super::entities::{Entities, Id, list};
use super::helix::SlantingEnd;
use crate::solid::{BentStrip, FoldedPlate, Level, RimPlace, SolidError};

/// An edge as a face runs along it: the edge, and whether from its start to its end.
#[derive(Debug, Clone, Copy)]
struct Step {
    edge: Id,
    forward: bool,
}

/// Edges one after another.
type Chain = Vec<Step>;

fn back(chain: &Chain) -> Chain {
    chain
        .iter()
        .rev()
        .map(|step| Step {
            forward: !step.forward,
            ..*step
        })
        .collect()
}

/// A corner: of a panel's rim, on one face of the plate.
type Corner = (RimPlace, usize);

/// The body being written.
pub(super) struct Body<'a> {
    plate: &'a FoldedPlate,
    bend_names: &'a [&'a str],
    entities: Entities,
    corners: BTreeMap<Corner, (Id, Point3<f64>)>,
    /// Corners of moving panels that are corners of fixed ones, inside sharp bends.
    same_as: BTreeMap<Corner, Corner>,
    /// The edges along each rim edge, on the far and the marked face.
    rims: BTreeMap<Corner, Chain>,
    /// The edge through the thickness at each corner of a rim, from the far to the marked face.
    uprights: BTreeMap<RimPlace, Id>,
    /// The edges at a strip's ends, from the fixed to the moving panel, by strip, end and face of the plate.
    ends: BTreeMap<(usize, usize, usize), Chain>,
    faces: Vec<Id>,
}

impl<'a> Body<'a> {
    pub(super) fn new(plate: &'a FoldedPlate, bend_names: &'a [&'a str]) -> Self {
        Body {
            plate,
            bend_names,
            entities: Entities::default(),
            corners: BTreeMap::new(),
            same_as: BTreeMap::new(),
            rims: BTreeMap::new(),
            uprights: BTreeMap::new(),
            ends: BTreeMap::new(),
            faces: Vec::new(),
        }
    }

    pub(super) fn into_entities(self) -> Entities {
        self.entities
    }

    /// The whole skin. Edges first, the shared ones of the bends before those of the panels, then faces.
    pub(super) fn closed_shell(&mut self) -> Result<Id, SolidError> {
        let plate = self.plate;
        for (index, strip) in plate.strips.iter().enumerate() {
            if strip.is_sharp() {
                self.sharp_inside_edges(index, strip)?;
            }
        }
        for (index, strip) in plate.strips.iter().enumerate() {
            self.end_edges(index, strip);
        }
        for panel in 0..plate.panels.len() {
            self.panel_edges(panel);
        }
        for panel in 0..plate.panels.len() {
            self.panel_faces(panel);
        }
        for (index, strip) in plate.strips.iter().enumerate() {
            self.strip_faces(index, strip);
        }
        Ok(self
            .entities
            .add(format!("CLOSED_SHELL('',{})", list(&self.faces))))
    }

    fn corner(&mut self, place: RimPlace, level: Level) -> (Id, Point3<f64>) {
        let key = (place, level.index());
        let key = self.same_as.get(&key).copied().unwrap_or(key);
        if let Some(&made) = self.corners.get(&key) {
            return made;
        }
        let at = self.plate.corner(key.0, level);
        let point = self.entities.point(at);
        let made = (self.entities.add(format!("VERTEX_POINT('',{point})")), at);
        self.corners.insert(key, made);
        made
    }

    fn edge(&mut self, from: Id, to: Id, curve: Id) -> Id {
        self.entities
            .add(format!("EDGE_CURVE('',{from},{to},{curve},.T.)"))
    }

    fn straight(&mut self, (from, from_at): (Id, Point3<f64>), (to, to_at): (Id, Point3<f64>)) -> Id {
        let line = self.entities.line(from_at, to_at);
        self.edge(from, to, line)
    }

    /// The inside of a sharp bend is one line on the axis. Where both panels reach it they share an edge; where one
    /// reaches farther than the other, that piece is shared with the bend's slanting side.
    fn sharp_inside_edges(&mut self, index: usize, strip: &BentStrip) -> Result<(), SolidError> {
        let level = strip.inside;
        let fixed = [self.plate.next(strip.fixed), strip.fixed];
        let moving = [strip.moving, self.plate.next(strip.moving)];
        for end in [0, 1] {
            if strip.is_square(end) {
                self.same_as
                    .insert((moving[end], level.index()), (fixed[end], level.index()));
            }
        }
        // At each end, the panel that reaches to the shared edge's end: the one that reaches less far out.
        let fixed_is_short = [
            strip.fixed_mm[0] >= strip.moving_mm[0],
            strip.fixed_mm[1] <= strip.moving_mm[1],
        ];
        let short_mm = [0, 1].map(|end| {
            if fixed_is_short[end] {
                strip.fixed_mm[end]
            } else {
                strip.moving_mm[end]
            }
        });
        if short_mm[1] - short_mm[0] <= plane::SAME_POINT_MM {
            return Err(SolidError::NoSharedEdge {
                bend: self.bend_names[strip.bend].to_owned(),
            });
        }
        let short = [0, 1].map(|end| {
            self.corner(
                if fixed_is_short[end] {
                    fixed[end]
                } else {
                    moving[end]
                },
                level,
            )
        });
        let shared = Step {
            edge: self.straight(short[0], short[1]),
            forward: true,
        };
        let mut on_moving = vec![shared];
        let mut on_fixed = vec![shared];
        for end in [0, 1] {
            let mut side = Chain::new();
            if !strip.is_square(end) {
                let far = self.corner(
                    if fixed_is_short[end] {
                        moving[end]
                    } else {
                        fixed[end]
                    },
                    level,
                );
                // Along the axis: outer piece, shared edge, outer piece.
                let (from, to) = if end == 0 {
                    (far, short[end])
                } else {
                    (short[end], far)
                };
                let piece = Step {
                    edge: self.straight(from, to),
                    forward: true,
                };
                let reaching = if fixed_is_short[end] {
                    &mut on_moving
                } else {
                    &mut on_fixed
                };
                reaching.insert(if end == 0 { 0 } else { reaching.len() }, piece);
                let from_fixed_along_axis = (end == 0) != fixed_is_short[end];
                side.push(Step {
                    forward: from_fixed_along_axis,
                    ..piece
                });
            }
            self.ends.insert((index, end, level.index()), side);
        }
        self.rims.insert((strip.moving, level.index()), on_moving);
        self.rims.insert((strip.fixed, level.index()), back(&on_fixed));
        Ok(())
    }

    fn end_edges(&mut self, index: usize, strip: &BentStrip) {
        let fixed = [self.plate.next(strip.fixed), strip.fixed];
        let moving = [strip.moving, self.plate.next(strip.moving)];
        for end in [0, 1] {
            for level in Level::BOTH {
                if self.ends.contains_key(&(index, end, level.index())) {
                    continue;
                }
                let (from, from_at) = self.corner(fixed[end], level);
                let (to, _) = self.corner(moving[end], level);
                let curve = if strip.is_square(end) {
                    let centre = strip.axis_at + strip.axis.into_inner() * strip.fixed_mm[end];
                    self.entities.circle(centre, turning_axis(strip), from_at)
                } else {
                    SlantingEnd::new(strip, end).curve(&mut self.entities, level)
                };
                let edge = self.edge(from, to, curve);
                self.ends
                    .insert((index, end, level.index()), vec![Step { edge, forward: true }]);
            }
        }
    }

    /// The places of all edges of a panel, rim by rim.
    fn places(&self, panel: usize) -> Vec<Vec<RimPlace>> {
        let rims = &self.plate.panels[panel].rims;
        let of_rim = |rim: usize| {
            (0..rims[rim].edges.len())
                .map(|edge| RimPlace { panel, rim, edge })
                .collect()
        };
        (0..rims.len()).map(of_rim).collect()
    }

    fn segment(&self, place: RimPlace) -> Segment {
        let rim = &self.plate.panels[place.panel].rims[place.rim];
        let edge = rim.edges[place.edge];
        Segment::new(edge.from, rim.end_of(place.edge), edge.bulge)
    }

    fn panel_edges(&mut self, panel: usize) {
        let up = self.up(panel);
        for place in self.places(panel).into_iter().flatten() {
            for level in Level::BOTH {
                if self.rims.contains_key(&(place, level.index())) {
                    continue;
                }
                let (from, from_at) = self.corner(place, level);
                let (to, to_at) = self.corner(self.plate.next(place), level);
                let curve = match self.segment(place) {
                    Segment::Line { .. } => self.entities.line(from_at, to_at),
                    Segment::Arc {
                        centre, sweep_rad, ..
                    } => {
                        let centre = self.plate.in_space(panel, centre, level);
                        self.entities.circle(centre, up * sweep_rad.signum(), from_at)
                    }
                };
                let edge = self.edge(from, to, curve);
                self.rims
                    .insert((place, level.index()), vec![Step { edge, forward: true }]);
            }
            let low = self.corner(place, Level::Low);
            let high = self.corner(place, Level::High);
            let upright = self.straight(low, high);
            self.uprights.insert(place, upright);
        }
    }

    fn up(&self, panel: usize) -> Vector3<f64> {
        self.plate.panels[panel].pose * Vector3::z()
    }

    /// A face bounded by runs of edges with the face on their left, seen from outside; the outer run first.
    fn face(&mut self, surface: Id, outward: bool, runs: &[Chain]) {
        let mut bounds = Vec::new();
        for (i, run) in runs.iter().enumerate() {
            let steps: Vec<Id> = run
                .iter()
                .map(|step| {
                    let sense = flag(step.forward);
                    self.entities
                        .add(format!("ORIENTED_EDGE('',*,*,{},{sense})", step.edge))
                })
                .collect();
            let around = self.entities.add(format!("EDGE_LOOP('',{})", list(steps)));
            let kind = if i == 0 { "FACE_OUTER_BOUND" } else { "FACE_BOUND" };
            bounds.push(self.entities.add(format!("{kind}('',{around},.T.)")));
        }
        let face = self.entities.add(format!(
            "ADVANCED_FACE('',{},{surface},{})",
            list(bounds),
            flag(outward)
        ));
        self.faces.push(face);
    }

    fn panel_faces(&mut self, panel: usize) {
        let up = self.up(panel);
        let across = self.plate.panels[panel].pose * Vector3::x();
        let places = self.places(panel);
        for level in Level::BOTH {
            let runs: Vec<Chain> = places
                .iter()
                .map(|rim| {
                    let run: Chain = rim
                        .iter()
                        .flat_map(|&place| self.rims[&(place, level.index())].clone())
                        .collect();
                    if level == Level::High { run } else { back(&run) }
                })
                .collect();
            let at = self.plate.corner(places[0][0], level);
            let normal = if level == Level::High { up } else { -up };
            let surface = self.entities.plane(at, normal, across);
            self.face(surface, true, &runs);
        }
        for place in places.into_iter().flatten() {
            let edge = self.plate.panels[panel].rims[place.rim].edges[place.edge];
            if edge.joins.is_none() {
                self.panel_side(place, up);
            }
        }
    }

    fn panel_side(&mut self, place: RimPlace, up: Vector3<f64>) {
        let next = self.plate.next(place);
        let run = self.around(
            self.rims[&(place, 0)].clone(),
            self.uprights[&next],
            &self.rims[&(place, 1)],
            self.uprights[&place],
        );
        let (from, to) = (
            self.plate.corner(place, Level::Low),
            self.plate.corner(next, Level::Low),
        );
        match self.segment(place) {
            Segment::Line { .. } => {
                let surface = self.entities.plane(from, (to - from).cross(&up), to - from);
                self.face(surface, true, &[run]);
            }
            Segment::Arc {
                centre,
                radius_mm,
                sweep_rad,
                ..
            } => {
                let centre = self.plate.in_space(place.panel, centre, Level::Low);
                let surface =
                    self.entities
                        .cylinder(centre, up * sweep_rad.signum(), from - centre, radius_mm);
                // Material lies on the left: toward the centre of an arc that turns left.
                self.face(surface, sweep_rad > 0.0, &[run]);
            }
        }
    }

    /// Around a cut edge, seen from outside: along the far face, up, back along the marked face, down.
    fn around(&self, low: Chain, up_at_end: Id, high: &Chain, up_at_start: Id) -> Chain {
        let mut run = low;
        run.push(Step {
            edge: up_at_end,
            forward: true,
        });
        run.extend(back(high));
        run.push(Step {
            edge: up_at_start,
            forward: false,
        });
        run
    }

    fn strip_faces(&mut self, index: usize, strip: &BentStrip) {
        for level in Level::BOTH {
            if level == strip.inside && strip.is_sharp() {
                continue;
            }
            // Seen from the marked face: along the fixed panel, up end 1, back along the moving panel, down end 0.
            let mut run = back(&self.rims[&(strip.fixed, level.index())]);
            run.extend_from_slice(&self.ends[&(index, 1, level.index())]);
            run.extend(back(&self.rims[&(strip.moving, level.index())]));
            run.extend(back(&self.ends[&(index, 0, level.index())]));
            let run = if level == Level::High { run } else { back(&run) };
            let at = strip.axis_at + strip.axis.into_inner() * strip.fixed_mm[0];
            let surface = self.entities.cylinder(
                at,
                turning_axis(strip),
                strip.start.into_inner(),
                strip.radius_mm(level),
            );
            self.face(surface, level != strip.inside, &[run]);
        }
        for end in [0, 1] {
            self.strip_side(index, strip, end);
        }
    }

    fn strip_side(&mut self, index: usize, strip: &BentStrip, end: usize) {
        let low = self.ends[&(index, end, 0)].clone();
        let high = self.ends[&(index, end, 1)].clone();
        let at_fixed = self.uprights[&if end == 0 {
            self.plate.next(strip.fixed)
        } else {
            strip.fixed
        }];
        let at_moving = self.uprights[&if end == 0 {
            strip.moving
        } else {
            self.plate.next(strip.moving)
        }];
        // The material is on the left of end 1 from the fixed to the moving panel, of end 0 the other way.
        let run = match end {
            0 => self.around(back(&low), at_fixed, &back(&high), at_moving),
            _ => self.around(low, at_moving, &high, at_fixed),
        };
        let axis = strip.axis.into_inner();
        if strip.is_square(end) {
            let outward = if end == 0 { -axis } else { axis };
            let at = strip.axis_at + axis * strip.fixed_mm[end];
            let surface = self.entities.plane(at, outward, strip.start.into_inner());
            self.face(surface, true, &[run]);
        } else {
            let surface = SlantingEnd::new(strip, end).surface(&mut self.entities);
            // Along the turn, then outward: the surface's own normal is against the axis for a turn about it.
            let against_axis = strip.turn_rad > 0.0;
            self.face(surface, against_axis == (end == 0), &[run]);
        }
    }
}

/// The axis in the sense that the bend turns about counter-clockwise.
fn turning_axis(strip: &BentStrip) -> Vector3<f64> {
    strip.axis.into_inner() * strip.turn_rad.signum()
}

fn flag(yes: bool) -> &'static str {
    if yes { ".T." } else { ".F." }
}
