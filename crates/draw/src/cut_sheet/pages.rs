//! The pages in hand: their heads, what is left of the present one, and their numbers once all are drawn.

use plane::Point;

use super::{CutSheet, words};
use crate::bench_paper::{self, HEAD, MARGIN_MM, PLAIN, lines};
use crate::canvas::{Canvas, Setting};
use crate::frame::Frame;
use crate::lettering::Anchor;
use crate::template::PaperSize;

/// Pages of one sheet for the table.
pub(super) struct Pages<'a> {
    pub told: &'a CutSheet,
    paper: PaperSize,
    done: Vec<Canvas>,
    /// The page being written on.
    pub page: Canvas,
    /// Where its free paper begins, mm from its upper edge.
    pub y: f64,
    /// Whether the sheet came out so small that its parts are drawn again.
    pub close_ups: bool,
}

const WHAT: &str = "Sheet for the table";

impl<'a> Pages<'a> {
    /// The first page, with its head.
    pub fn new(told: &'a CutSheet, paper: PaperSize) -> Self {
        let [width, height] = paper.size_mm();
        let mut page = Canvas::new(width, height, Setting::Bundled);
        let y = bench_paper::head(&mut page, WHAT, "", &told.title, &told.made_from);
        Self {
            told,
            paper,
            done: Vec::new(),
            page,
            y,
            close_ups: false,
        }
    }

    /// Goes on to a fresh page.
    pub fn turn(&mut self) {
        let [width, height] = self.paper.size_mm();
        let mut fresh = Canvas::new(width, height, Setting::Bundled);
        self.y = bench_paper::head_again(&mut fresh, WHAT, &self.told.title);
        self.done.push(std::mem::replace(&mut self.page, fresh));
    }

    /// Goes on to a fresh page when less than `high_mm` is left on this one.
    pub fn make_room(&mut self, high_mm: f64) {
        if self.bottom() - self.y < high_mm {
            self.turn();
        }
    }

    /// Writes a heading.
    pub fn heading(&mut self, words: &str) {
        let at = Point::new(MARGIN_MM, self.y);
        let inner_mm = self.inner_mm();
        self.y = lines(&mut self.page, at, inner_mm, words, HEAD) + 1.0;
    }

    /// Where the free paper ends.
    pub fn bottom(&self) -> f64 {
        self.page.size.height - MARGIN_MM
    }

    /// From margin to margin, mm.
    pub fn inner_mm(&self) -> f64 {
        self.page.size.width - 2.0 * MARGIN_MM
    }

    /// What is left of the page.
    pub fn rest(&self) -> Frame {
        Frame::new(MARGIN_MM, self.y, self.inner_mm(), self.bottom() - self.y)
    }

    /// How many pages lie before this one.
    pub fn before(&self) -> usize {
        self.done.len()
    }

    /// The finished pages, each with its number.
    pub fn finish(mut self) -> Vec<String> {
        self.done.push(self.page);
        let count = self.done.len();
        let title = format!("{WHAT}: {}", crate::blank::named(&self.told.title));
        let describes = words::of(self.told);
        self.done
            .into_iter()
            .enumerate()
            .map(|(index, mut page)| {
                let side = format!("page {} of {count}", index + 1);
                let low_mm = if index == 0 { 6.6 } else { 4.4 };
                let at = Point::new(page.size.width - MARGIN_MM, MARGIN_MM + low_mm);
                page.words(at, &side, PLAIN.anchored(Anchor::End));
                page.finish(
                    &format!("gusset-table-{}", index + 1),
                    &format!("{title}, {side}"),
                    &describes,
                )
            })
            .collect()
    }
}
