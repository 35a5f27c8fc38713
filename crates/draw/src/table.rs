//! Tables: a kraft head, ruled rows, cells of one or more lines.

use plane::Point;

use crate::canvas::Canvas;
use crate::frame::Frame;
use crate::ink::{Ink, KRAFT};
use crate::lettering::Lettering;

/// Room at either side of a cell's words, mm.
const PAD_MM: f64 = 1.4;

/// A table that has not been drawn yet.
pub(crate) struct Table {
    columns: Vec<(&'static str, f64)>,
    rows: Vec<Vec<Vec<String>>>,
}

impl Table {
    /// Columns by head and width in mm.
    pub fn new(columns: &[(&'static str, f64)]) -> Self {
        Self {
            columns: columns.to_vec(),
            rows: Vec::new(),
        }
    }

    /// A row: for each column, its lines. Lines too long for the column are broken.
    pub fn row(&mut self, cells: Vec<Vec<String>>) {
        self.rows.push(cells);
    }

    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// Draws the table with its upper left corner at `at`; gives the y beneath it.
    pub fn draw(&self, page: &mut Canvas, at: Point) -> f64 {
        let plain = Lettering::SMALL;
        let bold = Lettering::SMALL_BOLD;
        let width: f64 = self.columns.iter().map(|(_, width)| width).sum();
        let heads: Vec<Vec<String>> = self
            .columns
            .iter()
            .map(|(head, width)| bold.wrapped(head, width - 2.0 * PAD_MM))
            .collect();
        let head_mm = row_height(&heads, bold);
        page.ground(Frame::new(at.x, at.y, width, head_mm), KRAFT);
        self.cells(page, at.x, at.y, &heads, |_| bold);
        let mut y = at.y + head_mm;
        page.line(Point::new(at.x, y), Point::new(at.x + width, y), Ink::Rule);
        for row in &self.rows {
            let cells: Vec<Vec<String>> = row
                .iter()
                .zip(&self.columns)
                .enumerate()
                .map(|(index, (lines, (_, width)))| {
                    let set = if index == 0 { bold } else { plain };
                    lines
                        .iter()
                        .flat_map(|line| set.wrapped(line, width - 2.0 * PAD_MM))
                        .collect()
                })
                .collect();
            self.cells(
                page,
                at.x,
                y,
                &cells,
                |column| if column == 0 { bold } else { plain },
            );
            y += row_height(&cells, plain);
            page.line(Point::new(at.x, y), Point::new(at.x + width, y), Ink::Thin);
        }
        y
    }

    fn cells(
        &self,
        page: &mut Canvas,
        left: f64,
        top: f64,
        cells: &[Vec<String>],
        set: impl Fn(usize) -> Lettering,
    ) {
        let mut x = left;
        for (column, ((_, width), lines)) in self.columns.iter().zip(cells).enumerate() {
            let set = set(column);
            for (index, line) in lines.iter().enumerate() {
                let y = top + PAD_MM + set.size_mm * 0.82 + set.line_mm() * index as f64;
                page.words(Point::new(x + PAD_MM, y), line, set);
            }
            x += width;
        }
    }
}

fn row_height(cells: &[Vec<String>], set: Lettering) -> f64 {
    let lines = cells.iter().map(Vec::len).max().unwrap_or(0).max(1);
    2.0 * PAD_MM + set.size_mm + set.line_mm() * (lines - 1) as f64
}

/// Words broken to a width, line under line from `at` (the upper left corner); gives the y beneath them.
pub(crate) fn paragraph(page: &mut Canvas, at: Point, width_mm: f64, words: &str, set: Lettering) -> f64 {
    let mut y = at.y;
    for line in set.wrapped(words, width_mm) {
        page.words(Point::new(at.x, y + set.size_mm * 0.82), &line, set);
        y += set.line_mm();
    }
    y
}
