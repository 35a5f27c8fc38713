//! The folded plate as edges that are drawn and faces that hide.

use nalgebra::Point3;
use plane::{Point, Segment, Vector, chord_error_mm};
use sheet::{Bend, Strip};

use super::fold::{Fold, Owner};

/// Curves are drawn and hidden by chords that leave them by no more than this: a hair at any scale drawn.
const CHORD_MM: f64 = 0.01;
/// Two edges that meet more nearly in line than this meet without a corner.
const IN_LINE_RAD: f64 = 0.05;
/// Places on an edge this near a corner of a bend strip are that corner.
const SAME_CORNER_MM: f64 = 1e-4;

/// What an edge is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum EdgeKind {
    /// Between two faces that meet at an angle.
    Sharp,
    /// Where a flat face runs into a bend.
    Tangent,
}

/// A run of straight edges, joined end to end.
#[derive(Debug, Clone)]
pub(crate) struct Edge {
    pub kind: EdgeKind,
    pub run: Vec<Point3<f64>>,
}

/// A flat face: its outline and the outlines cut out of it.
#[derive(Debug, Clone)]
pub(crate) struct FlatFace {
    pub rings: Vec<Vec<Point3<f64>>>,
}

/// A round wall of a panel, square to it: an arc of the blank's edge.
#[derive(Debug, Clone, Copy)]
struct RoundWall {
    panel: usize,
    centre: Point,
    radius_mm: f64,
    from_rad: f64,
    sweep_rad: f64,
}

/// The folded plate, ready to be looked at.
pub(crate) struct Shape<'a> {
    pub fold: Fold<'a>,
    pub edges: Vec<Edge>,
    pub faces: Vec<FlatFace>,
    walls: Vec<RoundWall>,
}

impl<'a> Shape<'a> {
    pub fn of(fold: Fold<'a>) -> Self {
        let mut shape = Self {
            fold,
            edges: Vec::new(),
            faces: Vec::new(),
            walls: Vec::new(),
        };
        shape.rims();
        shape.panels();
        shape.strips();
        shape
    }

    /// Every corner of every edge.
    pub fn points(&self) -> impl Iterator<Item = &Point3<f64>> {
        self.edges.iter().flat_map(|edge| &edge.run)
    }

    /// The walls round the blank's outlines, with their edges on both faces and at corners.
    fn rims(&mut self) {
        let part = self.fold.part;
        let [far, marked] = self.fold.faces_z();
        for outline in part.blank.region.outlines() {
            let segments: Vec<Segment> = outline.segments().collect();
            let mut runs = [Vec::new(), Vec::new()];
            for (index, segment) in segments.iter().enumerate() {
                let before = segments[(index + segments.len() - 1) % segments.len()];
                let corner = before.tangent_at(1.0).angle(&segment.tangent_at(0.0)) > IN_LINE_RAD;
                for (piece, (owner, places)) in self.pieces(segment).into_iter().enumerate() {
                    let low: Vec<Point3<f64>> =
                        places.iter().map(|at| self.fold.place(owner, *at, far)).collect();
                    let high: Vec<Point3<f64>> = places
                        .iter()
                        .map(|at| self.fold.place(owner, *at, marked))
                        .collect();
                    if piece == 0 && corner {
                        self.edges.push(Edge {
                            kind: EdgeKind::Sharp,
                            run: vec![low[0], high[0]],
                        });
                    }
                    for side in 0..places.len() - 1 {
                        // Two triangles: on a bend cut askew the four corners need not lie in one plane.
                        let (a, b, c, d) = (low[side], low[side + 1], high[side + 1], high[side]);
                        self.faces.push(FlatFace {
                            rings: vec![vec![a, b, c]],
                        });
                        self.faces.push(FlatFace {
                            rings: vec![vec![a, c, d]],
                        });
                    }
                    let skip = usize::from(!runs[0].is_empty());
                    runs[0].extend(low.into_iter().skip(skip));
                    runs[1].extend(high.into_iter().skip(skip));
                }
                self.round_wall(segment);
            }
            for run in runs {
                self.edges.push(Edge {
                    kind: EdgeKind::Sharp,
                    run,
                });
            }
        }
    }

    /// An edge of the blank cut where bend strips begin and end, each piece with its owner and its chords.
    fn pieces(&self, segment: &Segment) -> Vec<(Owner, Vec<Point>)> {
        if let Segment::Arc {
            radius_mm, sweep_rad, ..
        } = *segment
        {
            let owner = self.fold.owner_of_edge(segment.point_at(0.5));
            let steps = steps_of(radius_mm, sweep_rad);
            let chords = (0..=steps)
                .map(|step| segment.point_at(step as f64 / steps as f64))
                .collect();
            return vec![(owner, chords)];
        }
        let mut cuts = vec![0.0, 1.0];
        let length_mm = segment.length_mm();
        for (_, _, strip) in self.fold.strips() {
            for corner in strip.fixed.iter().chain(&strip.moving) {
                let share = segment.share_nearest(*corner);
                let nearest = segment.point_at(share);
                let inside = share * length_mm > SAME_CORNER_MM && (1.0 - share) * length_mm > SAME_CORNER_MM;
                if inside && (nearest - corner).norm() < SAME_CORNER_MM {
                    cuts.push(share);
                }
            }
        }
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|one, other| (*one - *other).abs() * length_mm < SAME_CORNER_MM);
        cuts.windows(2)
            .map(|ends| {
                let owner = self
                    .fold
                    .owner_of_edge(segment.point_at((ends[0] + ends[1]) / 2.0));
                let steps = match owner {
                    Owner::Panel(_) => 1,
                    Owner::Strip(bend, _) => self.bend_steps(&self.fold.part.bends[bend]),
                };
                let chords = (0..=steps)
                    .map(|step| segment.point_at(ends[0] + (ends[1] - ends[0]) * step as f64 / steps as f64))
                    .collect();
                (owner, chords)
            })
            .collect()
    }

    fn bend_steps(&self, bend: &Bend) -> usize {
        steps_of(bend.radius_mm + self.fold.part.thickness_mm, bend.bent_rad)
    }

    fn round_wall(&mut self, segment: &Segment) {
        if let Segment::Arc {
            from,
            centre,
            radius_mm,
            sweep_rad,
            ..
        } = *segment
            && let Owner::Panel(panel) = self.fold.owner_of_edge(segment.point_at(0.5))
        {
            let spoke = from - centre;
            let from_rad = spoke.y.atan2(spoke.x);
            self.walls.push(RoundWall {
                panel,
                centre,
                radius_mm,
                from_rad,
                sweep_rad,
            });
        }
    }

    /// Both faces of every panel.
    fn panels(&mut self) {
        for (index, panel) in self.fold.part.panels.iter().enumerate() {
            for z in self.fold.faces_z() {
                let rings = panel
                    .flat
                    .outlines()
                    .map(|outline| {
                        let mut ring = Vec::new();
                        for segment in outline.segments() {
                            let steps = match segment {
                                Segment::Line { .. } => 1,
                                Segment::Arc {
                                    radius_mm, sweep_rad, ..
                                } => steps_of(radius_mm, sweep_rad),
                            };
                            for step in 0..steps {
                                let at = segment.point_at(step as f64 / steps as f64) + panel.to_blank;
                                ring.push(self.fold.place(Owner::Panel(index), at, z));
                            }
                        }
                        ring
                    })
                    .collect();
                self.faces.push(FlatFace { rings });
            }
        }
    }

    /// Both faces of every bend strip, and the lines where they run into the panels.
    fn strips(&mut self) {
        let mut edges = Vec::new();
        let mut faces = Vec::new();
        for (owner, bend, strip) in self.fold.strips() {
            let steps = self.bend_steps(bend);
            for z in self.fold.faces_z() {
                let rung = |share: f64| {
                    [0, 1].map(|end| {
                        self.fold.place(
                            owner,
                            strip.fixed[end] + (strip.moving[end] - strip.fixed[end]) * share,
                            z,
                        )
                    })
                };
                for step in 0..steps {
                    let [a, b] = rung(step as f64 / steps as f64);
                    let [d, c] = rung((step + 1) as f64 / steps as f64);
                    faces.push(FlatFace {
                        rings: vec![vec![a, b, c]],
                    });
                    faces.push(FlatFace {
                        rings: vec![vec![a, c, d]],
                    });
                }
                for share in [0.0, 1.0] {
                    edges.push(Edge {
                        kind: EdgeKind::Tangent,
                        run: rung(share).to_vec(),
                    });
                }
            }
        }
        self.edges.extend(edges);
        self.faces.extend(faces);
    }

    /// The lines along which round surfaces turn away from an eye that looks from `toward`: on the outside of bends and
    /// on the walls of holes and rounded corners. (The inside of a bend turns away only behind its own plate.)
    pub fn rims_seen_from(&self, toward: nalgebra::Vector3<f64>) -> Vec<Edge> {
        let [far, marked] = self.fold.faces_z();
        let mut rims = Vec::new();
        for (owner, bend, strip) in self.fold.strips() {
            let outside = match bend.way {
                sheet::Way::Up => far,
                sheet::Way::Down => marked,
            };
            let (start, quarter) = (
                self.fold.strip_normal(bend, 0.0).dot(&toward),
                self.fold
                    .strip_normal(bend, std::f64::consts::FRAC_PI_2)
                    .dot(&toward),
            );
            for angle in crossings(start, quarter, 0.0, bend.bent_rad) {
                let rung = rung_at(strip, angle / bend.bent_rad);
                let run = rung.map(|at| self.fold.place(owner, at, outside)).to_vec();
                rims.push(Edge {
                    kind: EdgeKind::Sharp,
                    run,
                });
            }
        }
        for wall in &self.walls {
            let panel = &self.fold.part.panels[wall.panel];
            let turn = (self.fold.pose * panel.to_folded).rotation;
            let toward = turn.inverse() * toward;
            for angle in crossings(toward.x, toward.y, wall.from_rad, wall.sweep_rad) {
                let at = wall.centre + Vector::new(angle.cos(), angle.sin()) * wall.radius_mm;
                let owner = Owner::Panel(wall.panel);
                let run = [far, marked].map(|z| self.fold.place(owner, at, z)).to_vec();
                rims.push(Edge {
                    kind: EdgeKind::Sharp,
                    run,
                });
            }
        }
        rims
    }
}

fn rung_at(strip: &Strip, share: f64) -> [Point; 2] {
    [0, 1].map(|end| strip.fixed[end] + (strip.moving[end] - strip.fixed[end]) * share)
}

/// Into how many chords an arc is cut so that none leaves it by more than [`CHORD_MM`].
fn steps_of(radius_mm: f64, sweep_rad: f64) -> usize {
    let mut steps = (sweep_rad.abs() / 0.2).ceil().max(1.0) as usize;
    while chord_error_mm(radius_mm, sweep_rad.abs() / steps as f64) > CHORD_MM {
        steps += 1;
    }
    steps
}

/// The angles in a sweep, its ends with them, where `cosine cos + sine sin` passes through zero; none when it is nowhere
/// far from zero (the round surface is seen end on).
fn crossings(cosine: f64, sine: f64, from_rad: f64, sweep_rad: f64) -> Vec<f64> {
    const END_ON: f64 = 1e-6;
    const AT_END_RAD: f64 = 1e-6;
    use std::f64::consts::{PI, TAU};
    if cosine.hypot(sine) < END_ON {
        return Vec::new();
    }
    let first = (-cosine).atan2(sine);
    let (low, high) = (
        from_rad.min(from_rad + sweep_rad),
        from_rad.max(from_rad + sweep_rad),
    );
    let mut angles = Vec::new();
    for base in [first, first + PI] {
        let mut angle = base + TAU * ((low - AT_END_RAD - base) / TAU).ceil();
        while angle <= high + AT_END_RAD {
            angles.push(angle.clamp(low, high));
            angle += TAU;
        }
    }
    angles
}
