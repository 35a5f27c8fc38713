//! Upright rectangles on a page, mm, y downward.

use plane::Point;

/// An upright rectangle on the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Frame {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
}

impl Frame {
    pub fn new(left: f64, top: f64, width: f64, height: f64) -> Self {
        Self {
            left,
            top,
            width,
            height,
        }
    }

    pub fn right(&self) -> f64 {
        self.left + self.width
    }

    pub fn bottom(&self) -> f64 {
        self.top + self.height
    }

    pub fn centre(&self) -> Point {
        Point::new(self.left + self.width / 2.0, self.top + self.height / 2.0)
    }

    /// The same frame elsewhere.
    pub fn moved(&self, by: plane::Vector) -> Self {
        Self::new(self.left + by.x, self.top + by.y, self.width, self.height)
    }

    /// Larger by `by_mm` on every side.
    pub fn grown(&self, by_mm: f64) -> Self {
        Self::new(
            self.left - by_mm,
            self.top - by_mm,
            self.width + 2.0 * by_mm,
            self.height + 2.0 * by_mm,
        )
    }

    pub fn overlaps(&self, other: &Frame) -> bool {
        self.left < other.right()
            && other.left < self.right()
            && self.top < other.bottom()
            && other.top < self.bottom()
    }

    pub fn holds(&self, other: &Frame) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && other.right() <= self.right()
            && other.bottom() <= self.bottom()
    }

    pub fn holds_point(&self, at: Point) -> bool {
        self.left <= at.x && at.x <= self.right() && self.top <= at.y && at.y <= self.bottom()
    }

    /// What both cover.
    pub fn shared(&self, other: &Frame) -> Option<Frame> {
        let (left, top) = (self.left.max(other.left), self.top.max(other.top));
        let (right, bottom) = (self.right().min(other.right()), self.bottom().min(other.bottom()));
        (left < right && top < bottom).then(|| Frame::new(left, top, right - left, bottom - top))
    }

    /// The point of the rectangle nearest to `at`.
    pub fn nearest(&self, at: Point) -> Point {
        Point::new(
            at.x.clamp(self.left, self.right()),
            at.y.clamp(self.top, self.bottom()),
        )
    }

    /// The part of the straight line that lies in the rectangle (Liang and Barsky's parametric clip).
    pub fn clip(&self, from: Point, to: Point) -> Option<(Point, Point)> {
        let run = to - from;
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        let sides = [
            (-run.x, from.x - self.left),
            (run.x, self.right() - from.x),
            (-run.y, from.y - self.top),
            (run.y, self.bottom() - from.y),
        ];
        for (speed, room) in sides {
            if speed == 0.0 {
                if room < 0.0 {
                    return None;
                }
                continue;
            }
            let at = room / speed;
            if speed < 0.0 {
                enter = enter.max(at);
            } else {
                leave = leave.min(at);
            }
        }
        (enter <= leave).then(|| (from + run * enter, from + run * leave))
    }
}

/// The least frame around some points; `None` when there are none.
pub(crate) fn around(points: impl IntoIterator<Item = Point>) -> Option<Frame> {
    let mut bounds: Option<(Point, Point)> = None;
    for at in points {
        let (low, high) = bounds.get_or_insert((at, at));
        *low = Point::new(low.x.min(at.x), low.y.min(at.y));
        *high = Point::new(high.x.max(at.x), high.y.max(at.y));
    }
    bounds.map(|(low, high)| Frame::new(low.x, low.y, high.x - low.x, high.y - low.y))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_the_frame_keeps_what_lies_in_it() {
        let frame = Frame::new(0.0, 0.0, 10.0, 10.0);
        let (from, to) = frame
            .clip(Point::new(-5.0, 5.0), Point::new(25.0, 5.0))
            .expect("crosses");
        assert!((from.x - 0.0).abs() < 1e-12 && (to.x - 10.0).abs() < 1e-12);
        assert!(
            frame
                .clip(Point::new(-5.0, 11.0), Point::new(25.0, 11.0))
                .is_none()
        );
    }
}
