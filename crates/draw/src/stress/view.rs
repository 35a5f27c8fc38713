//! One picture of the part in bands, painted from the back.

use nalgebra::Point3;
use plane::Point;

use super::layers::{Facet, Layers, near_mm};
use super::lines::{Drawn, Edges};
use super::{StressPicture, bands, marks};
use crate::canvas::{Canvas, run};
use crate::folded::hidden::Eye;
use crate::folded::views::Picture;
use crate::frame::{Frame, around};
use crate::ink::Ink;
use crate::lettering::Lettering;
use crate::place::Placer;

/// Room for words round the part: across, above, below, mm on paper.
pub(super) const ROOM_MM: [f64; 3] = [60.0, 22.0, 30.0];
/// The same where no axes and no scale bar stand beneath.
pub(super) const ROOM_ALONE_MM: [f64; 3] = [60.0, 22.0, 12.0];
/// Larger than this many times is not drawn.
const LARGEST: f64 = 2.0;

/// What both pictures share.
pub(super) struct Bands<'a> {
    pub levels: &'a [[f64; 3]],
    pub limits: &'a [f64],
    pub colours: &'a [String],
}

/// One picture with its place on the page.
pub(super) struct View<'a> {
    pub told: &'a StressPicture<'a>,
    pub area: Frame,
    pub picture: Picture,
    pub layers: Layers,
    /// What the part fills, the moved shape included.
    pub frame: Frame,
}

/// A line between bands, a run of it on one layer.
pub(super) struct Contour {
    pub limit: f64,
    pub layer: usize,
    pub run: Vec<Point>,
}

impl<'a> View<'a> {
    pub fn of(told: &'a StressPicture<'a>, area: Frame, eye: Eye, room_mm: [f64; 3]) -> Self {
        let see = |at: &Point3<f64>| eye.see(at);
        let moved = (0..told.points_mm.len()).map(|point| see(&moved_to(told, point)));
        let bounds =
            around(told.points_mm.iter().map(see).chain(moved)).unwrap_or(Frame::new(0.0, 0.0, 0.0, 0.0));
        let [across, above, below] = room_mm;
        let room = [area.width - across, area.height - above - below];
        let fits = (room[0] / bounds.width.max(1e-6))
            .min(room[1] / bounds.height.max(1e-6))
            .min(LARGEST);
        // Two decimals are enough for a scale nobody measures by.
        let factor = ((fits * 100.0).floor() / 100.0).max(0.01);
        let left = area.left + (area.width - bounds.width * factor) / 2.0;
        let top = area.top + above + (room[1] - bounds.height * factor).max(0.0) / 2.0;
        let origin = Point::new(left - bounds.left * factor, top + bounds.bottom() * factor);
        let picture = Picture { eye, factor, origin };
        Self {
            told,
            area,
            picture,
            layers: Layers::of(&picture, told.points_mm, told.triangles),
            frame: Frame::new(left, top, bounds.width * factor, bounds.height * factor),
        }
    }

    /// Whether nothing but the plate it lies on stands before a place.
    pub fn sees(&self, at: &Point3<f64>) -> bool {
        let clear_mm = self.told.thickness_mm.max(0.1) * self.picture.factor;
        self.layers
            .in_sight(self.picture.on_paper(at), near_mm(&self.picture, at), clear_mm)
    }

    /// Draws bands, lines and marks; `shown` says which places are marked here, and whether as hidden ones.
    pub fn draw(
        &self,
        page: &mut Canvas,
        words: &str,
        bands: &Bands<'_>,
        edges: &Edges,
        shown: &dyn Fn(&Point3<f64>) -> Option<bool>,
        mut placer: Placer,
    ) {
        let set = Lettering::SMALL_BOLD;
        page.words(Point::new(self.area.left, self.area.top + 3.4), words, set);
        placer.take(Frame::new(
            self.area.left,
            self.area.top,
            set.width_mm(words),
            5.0,
        ));
        let drawn = edges.drawn(
            &self.picture,
            &self.layers,
            self.told.points_mm,
            self.told.creases,
        );
        page.open("view");
        let contours = self.paint(page, bands, &drawn);
        page.close();
        for edge in drawn.iter().filter(|edge| edge.layer == 0) {
            let [from, to] = self.on_paper(edge.ends);
            placer.avoid(from, to, 0.8);
        }
        self.keep_words_off(&mut placer);
        self.moved(page, &mut placer, edges);
        marks::draw(self, page, &mut placer, &contours, shown);
    }

    /// Words that can as well stand beside the part leave the bands free: the paper under them is sown with specks to
    /// keep off.
    fn keep_words_off(&self, placer: &mut Placer) {
        const SOWN_MM: f64 = 5.0;
        const WEIGHT: f64 = 0.16;
        let (columns, rows) = (
            (self.frame.width / SOWN_MM) as usize,
            (self.frame.height / SOWN_MM) as usize,
        );
        for row in 0..=rows {
            for column in 0..=columns {
                let at = Point::new(
                    self.frame.left + SOWN_MM * column as f64,
                    self.frame.top + SOWN_MM * row as f64,
                );
                if self.layers.covers(at) {
                    placer.avoid(at, at, WEIGHT);
                }
            }
        }
    }

    fn on_paper(&self, ends: [usize; 2]) -> [Point; 2] {
        ends.map(|point| self.picture.on_paper(&self.told.points_mm[point]))
    }

    fn paint(&self, page: &mut Canvas, bands: &Bands<'_>, drawn: &[Drawn]) -> Vec<Contour> {
        let mut contours: Vec<Contour> = Vec::new();
        let last = bands.limits.len() - 1;
        for layer in (0..self.layers.count()).rev() {
            let facets: Vec<&Facet> = self
                .layers
                .facets
                .iter()
                .filter(|facet| facet.layer == layer)
                .collect();
            for (band, colour) in bands.colours.iter().enumerate() {
                let low = if band == 0 {
                    f64::NEG_INFINITY
                } else {
                    bands.limits[band]
                };
                let high = if band + 1 == last {
                    f64::INFINITY
                } else {
                    bands.limits[band + 1]
                };
                let rings = bands::band(facets.iter().copied(), bands.levels, low, high);
                let commands: String = rings.iter().map(|ring| run(ring, true)).collect();
                if !commands.is_empty() {
                    page.painted(&commands, colour);
                }
            }
            let allowed = self.told.allowed.as_ref().map(|allowed| allowed.level);
            let between = bands.limits[1..last].iter().copied();
            for (limit, ink) in between
                .map(|limit| (limit, Ink::Level))
                .chain(allowed.map(|level| (level, Ink::Limit)))
            {
                let runs = bands::line(facets.iter().copied(), bands.levels, limit);
                let commands: String = runs.iter().map(|points| run(points, false)).collect();
                if !commands.is_empty() {
                    page.path(&commands, ink, None);
                }
                contours.extend(runs.into_iter().map(|run| Contour { limit, layer, run }));
            }
            for ink in [Ink::Crease, Ink::Seen] {
                let pieces: Vec<[usize; 2]> = drawn
                    .iter()
                    .filter(|edge| edge.layer == layer && edge.ink == ink)
                    .map(|edge| edge.ends)
                    .collect();
                let commands: String = bands::joined(&pieces)
                    .iter()
                    .map(|points| {
                        let points: Vec<Point> = points
                            .iter()
                            .map(|point| self.picture.on_paper(&self.told.points_mm[*point]))
                            .collect();
                        run(&points, false)
                    })
                    .collect();
                if !commands.is_empty() {
                    page.path(&commands, ink, None);
                }
            }
        }
        contours
    }

    /// The outline where it comes to lie.
    fn moved(&self, page: &mut Canvas, placer: &mut Placer, edges: &Edges) {
        if self.told.moved.is_none() {
            return;
        }
        let mut commands = String::new();
        for points in edges.outlines(self.told.points_mm) {
            let points: Vec<Point> = points
                .iter()
                .map(|point| self.picture.on_paper(&moved_to(self.told, *point)))
                .collect();
            for ends in points.windows(2) {
                placer.avoid(ends[0], ends[1], 0.4);
            }
            commands.push_str(&run(&points, false));
        }
        page.open("moved");
        page.path(&commands, Ink::Moved, None);
        page.close();
    }
}

fn moved_to(told: &StressPicture<'_>, point: usize) -> Point3<f64> {
    let at = told.points_mm[point];
    told.moved
        .map_or(at, |moved| at + moved.moves_mm[point] * moved.times)
}
