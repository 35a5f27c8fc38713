//! Pages for the bench, one after the other: their heads, what is left of the present one, and their numbers once all are drawn.

use plane::Point;

use crate::bench_paper::{self, BOLD, HEAD, MARGIN_MM, PLAIN, lines};
use crate::canvas::{Canvas, Setting};
use crate::frame::Frame;
use crate::lettering::Anchor;
use crate::table::Table;
use crate::template::PaperSize;

/// How the items of a list stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Listed {
    /// One under the other.
    Plain,
    /// Each after its number, from 1: what is done in order.
    Numbered,
}

/// The pages of one set, the last of them being written on.
pub(crate) struct BenchPages {
    what: &'static str,
    title: String,
    paper: PaperSize,
    done: Vec<Canvas>,
    /// The page being written on.
    pub page: Canvas,
    /// Where its free paper begins, mm from its upper edge.
    pub y: f64,
}

impl BenchPages {
    /// The first page, with its head: what the set is, the job's title, what it was made from.
    pub fn new(what: &'static str, title: &str, made_from: &str, paper: PaperSize) -> Self {
        let [width, height] = paper.size_mm();
        let mut page = Canvas::new(width, height, Setting::Bundled);
        let y = bench_paper::head(&mut page, what, "", title, made_from);
        Self {
            what,
            title: title.to_owned(),
            paper,
            done: Vec::new(),
            page,
            y,
        }
    }

    /// Goes on to a fresh page.
    pub fn turn(&mut self) {
        let [width, height] = self.paper.size_mm();
        let mut fresh = Canvas::new(width, height, Setting::Bundled);
        self.y = bench_paper::head_again(&mut fresh, self.what, &self.title);
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

    /// A heading and its table, on as many pages as it takes; nothing for an empty one.
    pub fn table(&mut self, title: &str, table: &Table) {
        let mut first = 0;
        while first < table.len() {
            self.make_room(HEAD.line_mm() + 1.0 + table.least_mm(first));
            if first == 0 {
                self.heading(title);
            } else {
                self.heading(&format!("{title}, continued"));
            }
            let at = Point::new(MARGIN_MM, self.y);
            let bottom = self.bottom();
            let (y, next) = table.draw_from(&mut self.page, at, first, bottom);
            self.y = y + 5.0;
            first = next;
        }
    }

    /// A heading and lines of words, on as many pages as it takes; nothing when there are none.
    pub fn list(&mut self, title: &str, items: &[String], listed: Listed) {
        /// Room for a number before its words.
        const NUMBER_MM: f64 = 6.0;
        if items.is_empty() {
            return;
        }
        self.make_room(HEAD.line_mm() + 1.0 + 2.0 * PLAIN.line_mm());
        self.heading(title);
        let indent_mm = match listed {
            Listed::Plain => 0.0,
            Listed::Numbered => NUMBER_MM,
        };
        let wide_mm = self.inner_mm() - indent_mm;
        for (index, words) in items.iter().enumerate() {
            self.make_room(PLAIN.line_mm() * PLAIN.wrapped(words, wide_mm).len() as f64);
            if listed == Listed::Numbered {
                let at = Point::new(MARGIN_MM, self.y + BOLD.size_mm * 0.82);
                self.page.words(at, &format!("{}", index + 1), BOLD);
            }
            let at = Point::new(MARGIN_MM + indent_mm, self.y);
            self.y = lines(&mut self.page, at, wide_mm, words, PLAIN) + 0.8;
        }
        self.y += 2.6;
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

    /// The finished pages, each with its number; `id` starts their ids, `describes` says in words what they show.
    pub fn finish(mut self, id: &str, describes: &str) -> Vec<String> {
        self.done.push(self.page);
        let count = self.done.len();
        let title = format!("{}: {}", self.what, crate::blank::named(&self.title));
        self.done
            .into_iter()
            .enumerate()
            .map(|(index, mut page)| {
                let side = format!("page {} of {count}", index + 1);
                let low_mm = if index == 0 { 6.6 } else { 4.4 };
                let at = Point::new(page.size.width - MARGIN_MM, MARGIN_MM + low_mm);
                page.words(at, &side, PLAIN.anchored(Anchor::End));
                page.finish(
                    &format!("{id}-{}", index + 1),
                    &format!("{title}, {side}"),
                    describes,
                )
            })
            .collect()
    }
}
