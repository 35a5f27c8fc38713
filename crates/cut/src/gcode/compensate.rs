//! The path for a machine that shifts by half the kerf itself: the middle of the kerf moved back onto the edge of the
//! part. It is the one way onto the edge.
//!
//! A piece from tab to tab is moved likewise.
//!
//! The straight lead-in carries the shift in, and a straight last piece carries it out. In between every edge is moved
//! toward the part; arcs that only rounded a corner vanish into it. Whether the machine makes the track of it again is seen in
//! [`super::by_machine`].

use std::f64::consts::TAU;

use plane::{Outline, Point, Segment, Vector, crossing_of_lines};

use crate::track::{Cut, Of};

/// Why a track cannot be moved back onto the edge.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoEdge {
    /// The shift must come in over a straight lead.
    #[error("its lead-in does not begin with a straight line")]
    NoStraightLead,
    /// Nobody can tell which side the part is on.
    #[error("its contour does not go once around")]
    NotAround,
    /// An arc of the track is tighter than half the kerf: the edge of the part would turn inside out.
    #[error(
        "the arc of {radius_mm:.3} mm about ({:.3}, {:.3}) mm on the table is tighter than half the kerf", at.x, at.y
    )]
    TooTight {
        /// Its centre, in table coordinates.
        at: Point,
        /// Its radius in the middle of the kerf, mm.
        radius_mm: f64,
    },
    /// An arc of the track is so tight that rounding of the program would spoil it.
    #[error(
        "the arc of {radius_mm:.3} mm about ({:.3}, {:.3}) mm on the table is too tight to be shifted; {least_mm:.3} mm is the least",
        at.x, at.y
    )]
    TooFine {
        /// Its centre, in table coordinates.
        at: Point,
        /// Its radius in the middle of the kerf, mm.
        radius_mm: f64,
        /// The least, mm.
        least_mm: f64,
    },
    /// Two edges that meet in the middle of the kerf do not meet on the part.
    #[error("the edges that meet at ({:.3}, {:.3}) mm on the table do not meet on the part", at.x, at.y)]
    NoCorner {
        /// Where they meet in the middle of the kerf, in table coordinates.
        at: Point,
    },
    /// A machine would join two edges elsewhere than the track does, or not at all.
    #[error("a machine would not join the edges where the cut turns, at ({:.3}, {:.3}) mm on the table", at.x, at.y)]
    NotJoined {
        /// Where they meet in the middle of the kerf, in table coordinates.
        at: Point,
    },
    /// An edge of the part, shifted, is not the piece of the track that it stands for.
    #[error("the edge at ({:.3}, {:.3}) mm on the table, shifted, does not run where the cut does", at.x, at.y)]
    OffTrack {
        /// Where the piece begins in the middle of the kerf, in table coordinates; where it ends for the last.
        at: Point,
    },
    /// An edge is so short that rounding of the program would turn it.
    #[error(
        "the edge at ({:.3}, {:.3}) mm on the table is {length_mm:.3} mm long {}, too short to be shifted; {least_mm:.3} mm is \
         the least",
        at.x, at.y, along.words()
    )]
    TooShort {
        /// Where it begins in the middle of the kerf, in table coordinates.
        at: Point,
        /// Which of its two lengths is too short.
        along: Along,
        /// That length, mm.
        length_mm: f64,
        /// The least, mm.
        least_mm: f64,
    },
    /// On the part an edge would run against the cut.
    #[error("the edge at ({:.3}, {:.3}) mm on the table would run backward on the part", at.x, at.y)]
    RunsBack {
        /// Where it begins in the middle of the kerf, in table coordinates.
        at: Point,
    },
}

/// Where the length of an edge is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Along {
    /// On the part.
    Part,
    /// In the middle of the kerf.
    KerfMiddle,
}

impl Along {
    /// Such as "on the part".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Along::Part => "on the part",
            Along::KerfMiddle => "in the middle of the kerf",
        }
    }
}

/// What the program says instead of the track.
pub(super) struct Shifted {
    /// G41 when the torch runs left of the edge, G42 when right.
    pub(super) word: &'static str,
    /// The lead-in, then the edges of the part; what follows the last comes after G40.
    pub(super) edges: Vec<Segment>,
    /// The straight way out, in the middle of the kerf; none when the torch goes off on the edge.
    pub(super) way_out: Option<Segment>,
    /// How far the machine is to shift the edges to the left, mm; below 0 to the right.
    pub(super) out_left_mm: f64,
    /// The piece of the track that each edge after the lead-in stands for.
    pub(super) of_track: Vec<Segment>,
}

/// Ends this near are one: rounding of an offset.
const JOINED_MM: f64 = 1e-6;
/// An arc whose radius shrinks to less is the corner itself.
const CORNER_MM: f64 = 1e-4;

pub(super) fn shifted_to_edge(cut: &Cut) -> Result<Shifted, NoEdge> {
    let edges: Vec<Segment> = cut.track.segments().collect();
    let [first, last] = cut.around;
    let (Some(lead @ Segment::Line { .. }), true) = (edges.first().copied(), first > 0) else {
        return Err(NoEdge::NoStraightLead);
    };
    let contour = cut.track.vertices.get(first..last).unwrap_or(&[]);
    let ends = [first, last].map(|vertex| cut.track.vertices.get(vertex).map(|vertex| vertex.at));
    let [Some(begins), Some(comes_back)] = ends else {
        return Err(NoEdge::NotAround);
    };
    let part_on_left = if (begins - comes_back).norm() > JOINED_MM {
        // A piece from tab to tab goes round nothing; the part is on the side that its lead does not come from.
        let ahead = edges.get(first).ok_or(NoEdge::NotAround)?.tangent_at(0.0);
        ahead.perp(&(lead.from() - begins)) < 0.0
    } else {
        let outline = Outline::new(contour.to_vec()).map_err(|_| NoEdge::NotAround)?;
        outline.is_counter_clockwise() == matches!(cut.of, Of::Outline { .. })
    };
    let left_mm = if part_on_left {
        cut.kerf_mm / 2.0
    } else {
        -cut.kerf_mm / 2.0
    };
    let goes_on = last + 1 < cut.track.vertices.len();
    let (middle, way_out) = match edges[1..].split_last() {
        Some((out @ Segment::Line { .. }, middle)) if goes_on && !middle.is_empty() => (middle, Some(*out)),
        _ => (&edges[1..], None),
    };
    let mut moved: Vec<Moved> = Vec::with_capacity(middle.len());
    let mut of_track = Vec::with_capacity(middle.len());
    for edge in middle {
        let Some(next) = Moved::new(edge, left_mm)? else {
            continue;
        };
        let next = match moved.last_mut() {
            Some(before) => {
                let (end, next) = join(before, next, edge.from())?;
                before.to = end;
                next
            }
            None => next,
        };
        moved.push(next);
        of_track.push(*edge);
    }
    let Some(start) = moved.first().map(|edge| edge.from) else {
        return Err(NoEdge::NotAround);
    };
    let mut edges = vec![Segment::line(lead.from(), start)];
    edges.extend(moved.iter().map(Moved::segment));
    Ok(Shifted {
        word: if part_on_left { "G42" } else { "G41" },
        edges,
        way_out,
        out_left_mm: -left_mm,
        of_track,
    })
}

/// An edge moved sideways, still to be joined to its neighbours.
#[derive(Clone, Copy)]
struct Moved {
    from: Point,
    to: Point,
    /// Centre, and whether it turns counter-clockwise.
    arc: Option<(Point, bool)>,
}

impl Moved {
    fn new(edge: &Segment, left_mm: f64) -> Result<Option<Moved>, NoEdge> {
        match *edge {
            Segment::Line { from, to } => {
                let along = (to - from).normalize();
                let off = Vector::new(-along.y, along.x) * left_mm;
                Ok(Some(Moved {
                    from: from + off,
                    to: to + off,
                    arc: None,
                }))
            }
            Segment::Arc {
                from,
                to,
                centre,
                radius_mm,
                sweep_rad,
            } => {
                let moved_mm = radius_mm - left_mm * sweep_rad.signum();
                if moved_mm < -CORNER_MM {
                    return Err(NoEdge::TooTight {
                        at: centre,
                        radius_mm,
                    });
                }
                let share = moved_mm / radius_mm;
                Ok((moved_mm > CORNER_MM).then(|| Moved {
                    from: centre + (from - centre) * share,
                    to: centre + (to - centre) * share,
                    arc: Some((centre, sweep_rad > 0.0)),
                }))
            }
        }
    }

    fn segment(&self) -> Segment {
        let Some((centre, counter_clockwise)) = self.arc else {
            return Segment::line(self.from, self.to);
        };
        let (a, b) = (self.from - centre, self.to - centre);
        let turn = a.perp(&b).atan2(a.dot(&b));
        let sweep_rad = match (counter_clockwise, turn > 0.0) {
            (true, false) => turn + TAU,
            (false, true) => turn - TAU,
            _ => turn,
        };
        Segment::Arc {
            from: self.from,
            to: self.to,
            centre,
            radius_mm: a.norm(),
            sweep_rad,
        }
    }
}

/// Where the first ends, and the second from there on.
fn join(first: &Moved, mut second: Moved, corner: Point) -> Result<(Point, Moved), NoEdge> {
    if (first.to - second.from).norm() <= JOINED_MM {
        return Ok((first.to, second));
    }
    let nearest = carriers_meet(first, &second)
        .into_iter()
        .min_by(|a, b| (a - corner).norm().total_cmp(&(b - corner).norm()))
        .ok_or(NoEdge::NoCorner { at: corner })?;
    second.from = nearest;
    Ok((nearest, second))
}

/// Where the endless lines and whole circles that carry two edges meet.
fn carriers_meet(first: &Moved, second: &Moved) -> Vec<Point> {
    match (first.arc, second.arc) {
        (None, None) => crossing_of_lines(
            first.from,
            first.to - first.from,
            second.from,
            second.to - second.from,
        )
        .into_iter()
        .collect(),
        (None, Some((centre, _))) => on_circle(first, centre, (second.from - centre).norm()),
        (Some((centre, _)), None) => on_circle(second, centre, (first.to - centre).norm()),
        (Some((a, _)), Some((b, _))) => {
            let (ra, rb) = ((first.to - a).norm(), (second.from - b).norm());
            let between = b - a;
            let apart = between.norm();
            if apart <= JOINED_MM {
                return Vec::new();
            }
            let unit = between / apart;
            let along = (apart + (ra - rb) * (ra + rb) / apart) / 2.0;
            half_chord(a + unit * along, Vector::new(-unit.y, unit.x), ra, along)
        }
    }
}

fn on_circle(line: &Moved, centre: Point, radius_mm: f64) -> Vec<Point> {
    let unit = (line.to - line.from).normalize();
    let foot = line.from + unit * unit.dot(&(centre - line.from));
    half_chord(foot, unit, radius_mm, (foot - centre).norm())
}

fn half_chord(foot: Point, unit: Vector, radius_mm: f64, off_mm: f64) -> Vec<Point> {
    let square = (radius_mm - off_mm) * (radius_mm + off_mm);
    if square < -JOINED_MM * radius_mm {
        return Vec::new();
    }
    let half = unit * square.max(0.0).sqrt();
    vec![foot - half, foot + half]
}
