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
    set: Lettering,
}

impl Table {
    /// Columns by head and width in mm.
    pub fn new(columns: &[(&'static str, f64)]) -> Self {
        Self {
            columns: columns.to_vec(),
            rows: Vec::new(),
            set: Lettering::SMALL,
        }
    }

    /// In letters of this size.
    pub fn sized(mut self, size_mm: f64) -> Self {
        self.set = self.set.sized(size_mm);
        self
    }

    /// A row: for each column, its lines. Lines too long for the column are broken.
    pub fn row(&mut self, cells: Vec<Vec<String>>) {
        self.rows.push(cells);
    }

    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Draws the table with its upper left corner at `at`; gives the y beneath it.
    pub fn draw(&self, page: &mut Canvas, at: Point) -> f64 {
        self.draw_from(page, at, 0, f64::INFINITY).0
    }

    /// How high the head and the row `first` are together, mm: the least worth beginning on a page.
    pub fn least_mm(&self, first: usize) -> f64 {
        let row = self
            .rows
            .get(first)
            .map_or(0.0, |row| row_height(&self.broken(row), self.set));
        row_height(&self.heads(), self.set.bold()) + row
    }

    /// Draws the head and the rows from `first` that end above `bottom`, one at least; gives the y beneath and the first
    /// row that is left for the next page.
    pub fn draw_from(&self, page: &mut Canvas, at: Point, first: usize, bottom: f64) -> (f64, usize) {
        let (plain, bold) = (self.set, self.set.bold());
        let width: f64 = self.columns.iter().map(|(_, width)| width).sum();
        let heads = self.heads();
        let head_mm = row_height(&heads, bold);
        page.ground(Frame::new(at.x, at.y, width, head_mm), KRAFT);
        self.cells(page, at.x, at.y, &heads, |_| bold);
        let mut y = at.y + head_mm;
        page.line(Point::new(at.x, y), Point::new(at.x + width, y), Ink::Rule);
        for (index, row) in self.rows.iter().enumerate().skip(first) {
            let cells = self.broken(row);
            let high = row_height(&cells, plain);
            if index > first && y + high > bottom {
                return (y, index);
            }
            self.cells(
                page,
                at.x,
                y,
                &cells,
                |column| if column == 0 { bold } else { plain },
            );
            y += high;
            page.line(Point::new(at.x, y), Point::new(at.x + width, y), Ink::Thin);
        }
        (y, self.rows.len())
    }

    fn heads(&self) -> Vec<Vec<String>> {
        self.columns
            .iter()
            .map(|(head, width)| self.set.bold().wrapped(head, width - 2.0 * PAD_MM))
            .collect()
    }

    /// A row's lines broken to their columns.
    fn broken(&self, row: &[Vec<String>]) -> Vec<Vec<String>> {
        row.iter()
            .zip(&self.columns)
            .enumerate()
            .map(|(index, (lines, (_, width)))| {
                let set = if index == 0 { self.set.bold() } else { self.set };
                lines
                    .iter()
                    .flat_map(|line| set.wrapped(line, width - 2.0 * PAD_MM))
                    .flat_map(|line| set.chopped(&line, width - 2.0 * PAD_MM))
                    .collect()
            })
            .collect()
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
