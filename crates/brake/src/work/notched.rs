//! A rectangular bite out of a panel, from its edge.

use plane::{Outline, Point, Region, Vector};

use super::{Body, Solid, Work};
use crate::solid::{Prism, convex_pieces, gap, hull};

/// Two lengths nearer than this are one, mm: what is left of a panel is as long as it was.
const SAME_LENGTH_MM: f64 = 0.01;

/// Where a notch is, on the blank. Its sides run along one of the panel's lines and square to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Notch {
    /// The panel, as an index into [`Work::panels`].
    pub panel: usize,
    /// A line at it, as an index into [`Work::lines`].
    pub line: usize,
    /// From and to, from the middle of the line out into the panel, mm.
    pub out_mm: [f64; 2],
    /// From and to along the line, from its middle, toward the left of who looks out into the panel, mm.
    pub along_mm: [f64; 2],
}

/// How near a notch may come to what is not to be cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotchRoom {
    /// To the tangent line of a bend, x t; the inside radius comes on top.
    pub to_bend_x_t: f64,
    /// To the edge of a hole, of its least width.
    pub to_hole_x_width: f64,
    /// To the edge of anything, and what stays between a notch and another edge, x t.
    pub web_x_t: f64,
}

/// Why a notch is not cut.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoNotch {
    /// It lies beside the panel.
    #[error("nothing of the panel is cut")]
    Nothing,
    /// It would cut a bend, or come so near that the bend pulls it out of shape.
    #[error("it comes within {found_mm:.1} mm of a bend, and {needs_mm:.1} mm keep it true")]
    Bend {
        /// The line, as an index into [`Work::lines`].
        line: usize,
        /// How near, mm; below 0 where it is cut into.
        found_mm: f64,
        /// How near it may come, mm.
        needs_mm: f64,
    },
    /// It would cut an opening, or leave too little at its edge.
    #[error("it comes within {found_mm:.1} mm of an opening, which needs {needs_mm:.1} mm of plate about it")]
    Opening {
        /// Which of the panel's openings.
        opening: usize,
        /// How near, mm; below 0 where it is cut into.
        found_mm: f64,
        /// How near it may come, mm.
        needs_mm: f64,
    },
    /// It does not come to an edge, or too little would stay beside it, or a whole side would go.
    #[error("it is no bite out of an edge or a corner that leaves enough beside it")]
    NoBite,
}

/// The work with a notch in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Notched {
    /// The work.
    pub work: Work,
    /// What is cut away, mm2.
    pub takes_mm2: f64,
    /// As a share of the panel.
    pub takes_share: f64,
}

impl Notch {
    /// How far it reaches out from the line, and along it, mm.
    pub fn size_mm(&self) -> [f64; 2] {
        [self.out_mm, self.along_mm].map(|[from, to]| to - from)
    }

    /// Its corners on the blank, counter-clockwise.
    pub fn corners(&self, work: &Work) -> [Point; 4] {
        let axes = Axes::of(work, self.line, self.panel);
        let ([near, far], [right, left]) = (self.out_mm, self.along_mm);
        [(near, right), (far, right), (far, left), (near, left)].map(|(out, along)| axes.at(out, along))
    }

    /// What of it lies over its panel: a notch is drawn to past the edge that it is open to.
    pub fn over_panel(&self, work: &Work) -> Notch {
        let Some([out, along]) = work.panel_about(self.line, self.panel) else {
            return *self;
        };
        let within = |[from, to]: [f64; 2], [low, high]: [f64; 2]| [from.max(low), to.min(high)];
        Notch {
            out_mm: within(self.out_mm, out),
            along_mm: within(self.along_mm, along),
            ..*self
        }
    }

    fn grown(&self, by_mm: f64) -> Notch {
        let grown = |[from, to]: [f64; 2]| [from - by_mm, to + by_mm];
        Notch {
            out_mm: grown(self.out_mm),
            along_mm: grown(self.along_mm),
            ..*self
        }
    }
}

/// Out of a line into a panel, and along it, on the blank.
pub(crate) struct Axes {
    middle: Point,
    out: Vector,
    along: Vector,
}

impl Axes {
    pub fn of(work: &Work, line: usize, panel: usize) -> Axes {
        let out = work.out_of(line, panel);
        Axes {
            middle: work.lines[line].middle,
            out,
            along: Vector::new(-out.y, out.x),
        }
    }

    fn at(&self, out_mm: f64, along_mm: f64) -> Point {
        self.middle + self.out * out_mm + self.along * along_mm
    }

    /// From the least to the most out and along of these points; none of none.
    pub fn about(&self, points: impl Iterator<Item = Point>) -> Option<[[f64; 2]; 2]> {
        points.fold(None, |known, point| {
            let from = point - self.middle;
            let [out, along] = [from.dot(&self.out), from.dot(&self.along)];
            let [own_out, own_along] = known.unwrap_or([[out; 2], [along; 2]]);
            let with = |[low, high]: [f64; 2], at: f64| [low.min(at), high.max(at)];
            Some([with(own_out, out), with(own_along, along)])
        })
    }
}

impl Work {
    /// The panel's plate.
    fn plate_of(&self, panel: usize) -> Option<&Body> {
        self.bodies.iter().find(|body| body.solid == Solid::Panel(panel))
    }

    /// From the least to the most of a panel, out of a line at it and along that, mm.
    pub(crate) fn panel_about(&self, line: usize, panel: usize) -> Option<[[f64; 2]; 2]> {
        let corners = self.plate_of(panel)?.flat.iter().flat_map(Prism::corners);
        Axes::of(self, line, panel).about(corners.map(|corner| Point::new(corner.x, corner.y)))
    }

    /// The work with a notch, where nothing is cut that is not to be: no bend, no opening or the plate about it, and no more
    /// than leaves the panel in one piece, as long and as wide as it was.
    pub fn with_notch(&self, notch: &Notch, room: &NotchRoom) -> Result<Notched, NoNotch> {
        let body = self.plate_of(notch.panel).ok_or(NoNotch::Nothing)?;
        let bite = rectangle(&notch.corners(self)).ok_or(NoNotch::Nothing)?;
        let plate = region_of(&body.flat).ok_or(NoNotch::NoBite)?;
        let area = |regions: &[Region]| regions.iter().map(Region::area_mm2).sum::<f64>();
        let taken = plate.intersection(&bite).map_err(|_| NoNotch::NoBite)?;
        let (takes_mm2, plate_mm2) = (area(&taken), plate.area_mm2());
        if takes_mm2 <= plane::SAME_POINT_MM {
            return Err(NoNotch::Nothing);
        }
        self.keeps_off(notch, body, room)?;
        let web_mm = room.web_x_t * self.thickness_mm;
        let grown = rectangle(&notch.grown(web_mm).corners(self)).ok_or(NoNotch::NoBite)?;
        let left = plate.difference(&grown).map_err(|_| NoNotch::NoBite)?;
        let [Ok(about), Ok(about_left)] = [std::slice::from_ref(&plate), &left[..]].map(|regions| {
            let corners = regions.iter().flat_map(|region| region.outer.segments());
            let about = Axes::of(self, notch.line, notch.panel).about(corners.map(|edge| edge.from()));
            about.ok_or(NoNotch::NoBite)
        }) else {
            return Err(NoNotch::NoBite);
        };
        let same = |a: &[f64; 2], b: &[f64; 2]| (0..2).all(|end| (a[end] - b[end]).abs() < SAME_LENGTH_MM);
        let whole = about.iter().zip(&about_left).all(|(a, b)| same(a, b));
        let holes = |regions: &[Region]| regions.iter().map(|region| region.holes.len()).sum::<usize>();
        if left.len() != 1 || !whole || holes(&left) != plate.holes.len() {
            return Err(NoNotch::NoBite);
        }
        let [low_mm, high_mm] = self.faces_mm;
        let left = plate.difference(&bite).map_err(|_| NoNotch::NoBite)?;
        let mut work = self.clone();
        for body in &mut work.bodies {
            if body.solid == Solid::Panel(notch.panel) {
                body.flat = left
                    .iter()
                    .flat_map(convex_pieces)
                    .filter_map(|piece| Prism::plate(&piece, low_mm, high_mm))
                    .collect();
            }
        }
        Ok(Notched {
            work,
            takes_mm2,
            takes_share: takes_mm2 / plate_mm2,
        })
    }

    /// Bends and openings, by how near they may be come to.
    fn keeps_off(&self, notch: &Notch, body: &Body, room: &NotchRoom) -> Result<(), NoNotch> {
        let t_mm = self.thickness_mm;
        let [low_mm, high_mm] = self.faces_mm;
        let plate = |corners: &[Point]| Prism::plate(corners, low_mm, high_mm);
        let bite = plate(&notch.corners(self)).ok_or(NoNotch::Nothing)?;
        for strip in &self.bodies {
            let Solid::Strip(line) = strip.solid else { continue };
            let made = &self.lines[line];
            if made.fixed != notch.panel && made.moving != notch.panel {
                continue;
            }
            let needs_mm = room.to_bend_x_t * t_mm + made.radius_mm;
            for piece in &strip.flat {
                let found_mm = gap(&bite, piece).mm;
                if found_mm < needs_mm {
                    return Err(NoNotch::Bend {
                        line,
                        found_mm,
                        needs_mm,
                    });
                }
            }
        }
        for (opening, corners) in body.openings.iter().enumerate() {
            let about = hull(corners);
            let width_mm = least_width_mm(&about);
            let needs_mm = (room.to_hole_x_width * width_mm).max(room.web_x_t * t_mm);
            let Some(found_mm) = plate(&about).map(|hole| gap(&bite, &hole).mm) else {
                continue;
            };
            if found_mm < needs_mm {
                return Err(NoNotch::Opening {
                    opening,
                    found_mm,
                    needs_mm,
                });
            }
        }
        Ok(())
    }
}

fn rectangle(corners: &[Point]) -> Option<Region> {
    Outline::polygon(corners).ok().map(Region::solid)
}

/// A panel's pieces as one region; none where they are not one.
fn region_of(pieces: &[Prism]) -> Option<Region> {
    let regions: Option<Vec<Region>> = pieces
        .iter()
        .map(|piece| {
            let corners: Vec<Point> = piece.base.iter().map(|p| Point::new(p.x, p.y)).collect();
            rectangle(&hull(&corners))
        })
        .collect();
    match &plane::union_all(&regions?).ok()?[..] {
        [one] => Some(one.clone()),
        _ => None,
    }
}

/// How wide a convex shape is at least, mm.
fn least_width_mm(corners: &[Point]) -> f64 {
    let sides = (0..corners.len()).map(|i| (corners[i], corners[(i + 1) % corners.len()]));
    let widths = sides.filter_map(|(from, to)| {
        let across = (to - from).try_normalize(plane::SAME_POINT_MM)?;
        let off = corners.iter().map(|at| across.perp(&(at - from)).abs());
        Some(off.fold(0.0, f64::max))
    });
    widths.fold(f64::INFINITY, f64::min)
}
