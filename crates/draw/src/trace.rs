//! Outlines on paper: as SVG paths with true arcs, and as straight runs for reckoning.

use std::fmt::Write as _;

use plane::{Outline, Point, Region, Segment};

use crate::canvas::fixed;
use crate::frame::Frame;

/// From plate to paper: a scale each way and a place, y turned downward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct View {
    /// mm on paper for one mm of plate, across and up.
    pub scale: [f64; 2],
    /// Where the plate's origin falls on paper.
    pub origin: Point,
}

impl View {
    pub fn at(&self, at: Point) -> Point {
        Point::new(
            self.origin.x + self.scale[0] * at.x,
            self.origin.y - self.scale[1] * at.y,
        )
    }
}

impl View {
    /// A frame in plate axes (its `top` the least y) as it falls on paper.
    pub fn frame(&self, frame: Frame) -> Frame {
        let corner = self.at(Point::new(frame.left, frame.bottom()));
        Frame::new(
            corner.x,
            corner.y,
            frame.width * self.scale[0],
            frame.height * self.scale[1],
        )
    }
}

/// Path commands of an outline, arcs as arcs.
pub(crate) fn commands(outline: &Outline, view: &View) -> String {
    let mut out = open_commands(outline.segments(), view);
    out.push('Z');
    out
}

/// Path commands of edges joined end to end, arcs as arcs.
pub(crate) fn open_commands(edges: impl IntoIterator<Item = Segment>, view: &View) -> String {
    let mut out = String::new();
    for (index, segment) in edges.into_iter().enumerate() {
        let (from, to) = (segment.from(), segment.to());
        if index == 0 {
            let start = view.at(from);
            let _ = write!(out, "M{} {}", fixed(start.x), fixed(start.y));
        }
        let end = view.at(to);
        match segment {
            Segment::Line { .. } => {
                let _ = write!(out, "L{} {}", fixed(end.x), fixed(end.y));
            }
            Segment::Arc {
                radius_mm, sweep_rad, ..
            } => {
                let _ = write!(
                    out,
                    "A{} {} 0 {} {} {} {}",
                    fixed(radius_mm * view.scale[0]),
                    fixed(radius_mm * view.scale[1]),
                    u8::from(sweep_rad.abs() > std::f64::consts::PI),
                    // y is turned over, and with it the sense of the arc.
                    u8::from(sweep_rad < 0.0),
                    fixed(end.x),
                    fixed(end.y)
                );
            }
        }
    }
    out
}

/// Path commands of all of a region's outlines.
pub(crate) fn region_commands(region: &Region, view: &View) -> String {
    let mut out = commands(&region.outer, view);
    for hole in &region.holes {
        out.push_str(&commands(hole, view));
    }
    out
}

/// Bounds of an outline, y upward: the frame's `top` is the least y.
pub(crate) fn bounds(outline: &Outline) -> Frame {
    let (low, high) = outline.bounds();
    Frame::new(low.x, low.y, high.x - low.x, high.y - low.y)
}
