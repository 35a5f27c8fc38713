//! A label of one or more lines, boxed or not, put where there is room.

use plane::{Point, Vector};

use crate::canvas::Canvas;
use crate::frame::Frame;
use crate::ink::Ink;
use crate::lettering::Lettering;
use crate::place::{AtEnd, Placed, Placer};

/// Room inside a box, mm.
const BOX_PAD_MM: f64 = 0.9;

/// Words that name something on a drawing.
#[derive(Debug, Clone, Default)]
pub(crate) struct Label {
    lines: Vec<(String, Lettering)>,
    ground: Option<&'static str>,
    bare_leader: bool,
}

impl Label {
    pub fn new() -> Self {
        Self::default()
    }

    pub fn line(mut self, words: &str, set: Lettering) -> Self {
        self.lines.push((words.to_owned(), set));
        self
    }

    /// In a box on this ground.
    pub fn boxed(mut self, ground: &'static str) -> Self {
        self.ground = Some(ground);
        self
    }

    /// Its leader ends without a dot: what it names has a mark of its own.
    pub fn with_bare_leader(mut self) -> Self {
        self.bare_leader = true;
        self
    }

    /// Width and height, mm.
    pub fn size_mm(&self) -> [f64; 2] {
        let pad = if self.ground.is_some() {
            2.0 * BOX_PAD_MM
        } else {
            0.0
        };
        let width = self
            .lines
            .iter()
            .map(|(words, set)| set.width_mm(words))
            .fold(0.0, f64::max);
        let height: f64 = self.lines.iter().map(|(_, set)| set.line_mm()).sum();
        [width + pad, height + pad]
    }

    /// Puts the label near `at`, `gap_mm` clear of it, leaning `toward`; false when there was no room for it.
    pub fn place(
        &self,
        page: &mut Canvas,
        placer: &mut Placer,
        at: Point,
        gap_mm: f64,
        toward: Vector,
    ) -> bool {
        self.place_at_any(page, placer, &[(at, toward)], gap_mm)
    }

    /// Puts the label near whichever of some places suits it best, each with a way to lean.
    pub fn place_at_any(
        &self,
        page: &mut Canvas,
        placer: &mut Placer,
        places: &[(Point, Vector)],
        gap_mm: f64,
    ) -> bool {
        let [width, height] = self.size_mm();
        let placed = placer.place(places, gap_mm, width, height);
        self.draw(page, placed)
    }

    /// Puts the label near whichever of two places suits it better, leaning away from the other.
    pub fn place_at_end(
        &self,
        page: &mut Canvas,
        placer: &mut Placer,
        ends: [Point; 2],
        gap_mm: f64,
    ) -> bool {
        let places = [(ends[0], ends[0] - ends[1]), (ends[1], ends[1] - ends[0])];
        self.place_at_any(page, placer, &places, gap_mm)
    }

    /// Puts labels, each past one end of its line and leaning away from the other, so that all of them stand well.
    pub fn place_at_ends(
        page: &mut Canvas,
        placer: &mut Placer,
        labels: &[(Label, [Point; 2])],
        gap_mm: f64,
    ) {
        let wanted: Vec<AtEnd> = labels
            .iter()
            .map(|(label, ends)| AtEnd {
                ends: *ends,
                gap_mm,
                size_mm: label.size_mm(),
            })
            .collect();
        let placed = placer.place_at_ends(&wanted);
        for ((label, _), placed) in labels.iter().zip(placed) {
            label.draw(page, placed);
        }
    }

    /// Puts the label over the middle of `within` or close by, inside it and off every line, without a leader; false
    /// when there was no room for it.
    pub fn place_within(&self, page: &mut Canvas, placer: &mut Placer, within: Frame) -> bool {
        let [width, height] = self.size_mm();
        let placed = placer.place_close(within.centre(), within, width, height);
        self.draw(page, placed)
    }

    /// Puts the label with its middle on the first of these places that is free; false when none is.
    pub fn place_on(&self, page: &mut Canvas, placer: &mut Placer, places: &[Point]) -> bool {
        let [width, height] = self.size_mm();
        let placed = placer.place_on(places, width, height);
        self.draw(page, placed)
    }

    fn draw(&self, page: &mut Canvas, placed: Option<Placed>) -> bool {
        let Some(placed) = placed else { return false };
        if let Some((from, to)) = placed.leader {
            page.line(from, to, Ink::Thin);
            if !self.bare_leader {
                page.dot(from);
            }
        }
        let mut pad = 0.0;
        if let Some(ground) = self.ground {
            page.rectangle(placed.frame, Ink::Rule, Some(ground));
            pad = BOX_PAD_MM;
        }
        let mut y = placed.frame.top + pad;
        for (words, set) in &self.lines {
            page.words(
                Point::new(placed.frame.left + pad, y + set.size_mm * 0.92),
                words,
                *set,
            );
            y += set.line_mm();
        }
        true
    }
}
