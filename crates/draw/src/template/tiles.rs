//! How the blank is cut into sheets, and the diamonds by which they are joined.

use plane::Point;
use sheet::Part;

use super::{PaperSize, Printer};
use crate::frame::Frame;
use crate::trace::{self, View};

/// Paper that printers leave white.
pub(super) const MARGIN_MM: f64 = 10.0;
/// Words over the picture of a tile.
pub(super) const HEAD_MM: f64 = 15.0;
/// Words under it.
pub(super) const FOOT_MM: f64 = 10.0;
/// Plate-free room round the blank for the ticks at the ends of bends, mm of plate.
const ROUND_MM: f64 = 12.0;

/// Room above the blank for labels when the paper has it, mm of plate.
const HEADROOM_MM: f64 = 16.0;

/// A diamond that two neighbouring sheets share.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Diamond {
    pub letter: String,
    /// Its middle, in blank axes.
    pub at: Point,
    /// The two tiles it joins.
    pub joins: [usize; 2],
}

/// The blank cut into a grid of sheets.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tiling {
    /// The sheet as held: width and height, mm of paper.
    pub sheet_mm: [f64; 2],
    /// Where the picture lies on a sheet, mm of paper.
    pub window: Frame,
    /// The same in mm of plate.
    pub window_plate_mm: [f64; 2],
    /// Columns and rows.
    pub columns: usize,
    pub rows: usize,
    /// What the sheets share, mm of plate.
    pub overlap_mm: f64,
    /// mm of paper for one mm of plate.
    pub correction: [f64; 2],
    pub diamonds: Vec<Diamond>,
    /// Upper left corner of the whole grid, blank axes.
    corner: Point,
}

impl Tiling {
    /// The grid with the fewest sheets, upright when it is the same either way.
    pub fn of(part: &Part, paper: PaperSize, printer: Printer, overlap_mm: f64) -> Self {
        let [width, height] = paper.size_mm();
        let upright = Self::on(part, [width, height], printer, overlap_mm);
        let across = Self::on(part, [height, width], printer, overlap_mm);
        if across.count() < upright.count() {
            across
        } else {
            upright
        }
    }

    fn on(part: &Part, sheet_mm: [f64; 2], printer: Printer, overlap_mm: f64) -> Self {
        let correction = printer.correction();
        let window = Frame::new(
            MARGIN_MM,
            MARGIN_MM + HEAD_MM,
            sheet_mm[0] - 2.0 * MARGIN_MM,
            sheet_mm[1] - 2.0 * MARGIN_MM - HEAD_MM - FOOT_MM,
        );
        let window_plate_mm = [window.width / correction[0], window.height / correction[1]];
        let bounds = trace::bounds(&part.blank.region.outer).grown(ROUND_MM);
        let along = |size_mm: f64, window_mm: f64| {
            ((size_mm - overlap_mm) / (window_mm - overlap_mm))
                .ceil()
                .max(1.0) as usize
        };
        let columns = along(bounds.width, window_plate_mm[0]);
        let rows = along(bounds.height, window_plate_mm[1]);
        let whole = |count: usize, window_mm: f64| window_mm + (count - 1) as f64 * (window_mm - overlap_mm);
        // Spare paper is shared left and right, but kept together underneath: the check squares need it.
        let corner = Point::new(
            bounds.centre().x - whole(columns, window_plate_mm[0]) / 2.0,
            bounds.bottom() + (whole(rows, window_plate_mm[1]) - bounds.height).clamp(0.0, HEADROOM_MM),
        );
        let mut tiling = Self {
            sheet_mm,
            window,
            window_plate_mm,
            columns,
            rows,
            overlap_mm,
            correction,
            diamonds: Vec::new(),
            corner,
        };
        tiling.diamonds = tiling.place_diamonds();
        tiling
    }

    pub fn count(&self) -> usize {
        self.columns * self.rows
    }

    pub fn row_and_column(&self, tile: usize) -> (usize, usize) {
        (tile / self.columns, tile % self.columns)
    }

    /// The tile's part of the blank: upper left corner in blank axes.
    pub fn corner_of(&self, tile: usize) -> Point {
        let (row, column) = self.row_and_column(tile);
        Point::new(
            self.corner.x + column as f64 * (self.window_plate_mm[0] - self.overlap_mm),
            self.corner.y - row as f64 * (self.window_plate_mm[1] - self.overlap_mm),
        )
    }

    /// From blank axes to the tile's paper.
    pub fn view(&self, tile: usize) -> View {
        let corner = self.corner_of(tile);
        View {
            scale: self.correction,
            origin: Point::new(
                self.window.left - corner.x * self.correction[0],
                self.window.top + corner.y * self.correction[1],
            ),
        }
    }

    /// The lines along which a tile may be trimmed, on its paper: the middle of each overlap.
    pub fn trims(&self, tile: usize) -> Vec<(Point, Point)> {
        let (row, column) = self.row_and_column(tile);
        let half = [
            self.overlap_mm / 2.0 * self.correction[0],
            self.overlap_mm / 2.0 * self.correction[1],
        ];
        let window = self.window;
        let upright = |x: f64| (Point::new(x, window.top), Point::new(x, window.bottom()));
        let level = |y: f64| (Point::new(window.left, y), Point::new(window.right(), y));
        let mut lines = Vec::new();
        if column > 0 {
            lines.push(upright(window.left + half[0]));
        }
        if column + 1 < self.columns {
            lines.push(upright(window.right() - half[0]));
        }
        if row > 0 {
            lines.push(level(window.top + half[1]));
        }
        if row + 1 < self.rows {
            lines.push(level(window.bottom() - half[1]));
        }
        lines
    }

    /// Two diamonds on every seam, at a quarter and three quarters of it.
    fn place_diamonds(&self) -> Vec<Diamond> {
        let mut diamonds = Vec::new();
        for tile in 0..self.count() {
            let (row, column) = self.row_and_column(tile);
            let corner = self.corner_of(tile);
            let [wide, high] = self.window_plate_mm;
            for share in [0.25, 0.75] {
                if column + 1 < self.columns {
                    let at = Point::new(corner.x + wide - self.overlap_mm / 2.0, corner.y - high * share);
                    diamonds.push((at, [tile, tile + 1]));
                }
            }
            for share in [0.25, 0.75] {
                if row + 1 < self.rows {
                    let at = Point::new(corner.x + wide * share, corner.y - high + self.overlap_mm / 2.0);
                    diamonds.push((at, [tile, tile + self.columns]));
                }
            }
        }
        diamonds
            .into_iter()
            .enumerate()
            .map(|(index, (at, joins))| Diamond {
                letter: letter(index),
                at,
                joins,
            })
            .collect()
    }
}

/// A to Z without I and O, which read as figures; then AA, AB and so on.
fn letter(index: usize) -> String {
    const LETTERS: &[u8; 24] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";
    let last = char::from(LETTERS[index % LETTERS.len()]);
    match index / LETTERS.len() {
        0 => last.to_string(),
        more => format!("{}{last}", letter(more - 1)),
    }
}
