//! What is drawn of a sheet: its edge, clamps, parts, the torch's paths, pierces, tabs, holes to drill, zero.

use plane::{Outline, Point, Segment, Vector};

use super::{CutSheet, TabPlace};
use crate::canvas::{Canvas, run};
use crate::frame::{Frame, around};
use crate::ink::{INK, Ink, KRAFT, WHITE};
use crate::lettering::Lettering;
use crate::place::Placer;
use crate::trace::{self, View};

/// Radius of the ring at a pierce, mm on paper.
pub(super) const PIERCE_MM: f64 = 0.8;
/// Half the zero mark from corner to corner, and the reach of its arms, mm on paper.
const ZERO_HALF_MM: f64 = 2.4;
const ZERO_ARM_MM: f64 = 9.0;
/// An arrow head on a path: its length and half its width, mm on paper.
const HEAD_MM: [f64; 2] = [2.8, 1.1];
/// A path shorter than this on paper has no arrow head; it would cover it.
const LEAST_PATH_MM: f64 = 8.0;
/// A path shorter than this has a small one.
const SHORT_PATH_MM: f64 = 30.0;
/// One arrow head for so much path, mm on paper.
const HEAD_EVERY_MM: f64 = 60.0;
/// A tab is drawn at least this wide and this deep, mm on paper.
const TAB_MM: [f64; 2] = [1.2, 2.6];
/// Arms of the cross of a hole to drill past its edge, mm on paper.
const CROSS_PAST_MM: f64 = 1.2;

/// What one picture shows.
pub(super) struct Shown<'a> {
    pub told: &'a CutSheet,
    pub view: View,
    /// The part that is looked at closely; none for the sheet as a whole.
    pub part: Option<usize>,
    /// The paper it has.
    pub area: Frame,
    /// Parts whose cuts stand too close here for a number each: they have them on their close pictures.
    pub in_short: Vec<usize>,
}

impl Shown<'_> {
    /// The cuts that have their numbers in this picture.
    pub fn cuts(&self) -> impl Iterator<Item = usize> + '_ {
        let of = |cut: usize| self.part.is_none() || self.told.cuts[cut].part == self.part;
        (0..self.told.cuts.len()).filter(move |&cut| of(cut))
    }

    /// Whether a place is on what this picture shows.
    pub fn within(&self, at: Point) -> bool {
        self.part
            .is_none_or(|part| self.told.parts[part].region.outer.contains(at))
    }

    /// Draws everything; labels will keep off it.
    pub fn draw(&self, page: &mut Canvas, placer: &mut Placer) {
        self.sheet(page, placer);
        self.clamps(page, placer);
        self.parts(page);
        self.tracks(page, placer);
        self.tabs(page, placer);
        self.drills(page, placer);
        self.pierces(page, placer);
        self.zero(page, placer);
    }

    fn sheet(&self, page: &mut Canvas, placer: &mut Placer) {
        page.open("sheet");
        let region = &self.told.load.region;
        page.path(&trace::region_commands(region, &self.view), Ink::Stock, None);
        for outline in region.outlines() {
            self.keep_off(placer, outline.segments(), 0.7);
        }
        page.close();
    }

    fn clamps(&self, page: &mut Canvas, placer: &mut Placer) {
        page.open("clamps");
        for (_, outline) in &self.told.load.clamps {
            page.path(&trace::commands(outline, &self.view), Ink::Clamp, Some(WHITE));
            for (from, to) in self.hatching(outline) {
                page.line(from, to, Ink::Clamp);
            }
            placer.take(self.view.frame(trace::bounds(outline)));
        }
        page.close();
    }

    /// Slanting lines across an outline, from left below to right above.
    fn hatching(&self, outline: &Outline) -> Vec<(Point, Point)> {
        const APART_MM: f64 = 1.6;
        const MOST: usize = 200;
        let bounds = trace::bounds(outline);
        let apart = APART_MM / self.view.scale[0] * std::f64::consts::SQRT_2;
        let first = bounds.left - bounds.height;
        let count = ((bounds.width + bounds.height) / apart)
            .ceil()
            .clamp(0.0, MOST as f64) as usize;
        (0..count)
            .flat_map(|line| {
                let through = Point::new(first + apart * (line as f64 + 0.5), bounds.top);
                outline.chords_along(through, Vector::new(1.0, 1.0))
            })
            .map(|(from, to)| (self.view.at(from), self.view.at(to)))
            .collect()
    }

    /// In a close picture the neighbours are outlines alone: nothing on them is this part's.
    fn parts(&self, page: &mut Canvas) {
        page.open("parts");
        for (index, part) in self.told.parts.iter().enumerate() {
            let own = self.part.is_none_or(|only| only == index);
            page.path(
                &trace::region_commands(&part.region, &self.view),
                Ink::Thin,
                own.then_some(KRAFT),
            );
        }
        page.close();
    }

    fn tracks(&self, page: &mut Canvas, placer: &mut Placer) {
        page.open("paths");
        for cut in self.cuts().map(|cut| &self.told.cuts[cut]) {
            let commands = trace::open_commands(cut.edges(), &self.view);
            if !commands.is_empty() {
                page.path(&commands, Ink::Track, None);
                self.keep_off(placer, cut.edges(), 1.0);
            }
        }
        for cut in self.cuts().map(|cut| &self.told.cuts[cut]) {
            let edges: Vec<Segment> = cut.edges().collect();
            let length_mm = cut.length_mm();
            let on_paper = length_mm * self.view.scale[0];
            if on_paper < LEAST_PATH_MM {
                continue;
            }
            let heads = (on_paper / HEAD_EVERY_MM).round().clamp(1.0, 4.0);
            for head in 0..heads as u32 {
                let share = (f64::from(head) + 0.5) / heads;
                if let Some((at, along)) = place_along(&edges, length_mm * share) {
                    let size = if on_paper < SHORT_PATH_MM { 0.6 } else { 1.0 };
                    self.arrow_head(page, placer, (at, along), size);
                }
            }
        }
        page.close();
    }

    fn arrow_head(&self, page: &mut Canvas, placer: &mut Placer, (at, along): (Point, Vector), size: f64) {
        let middle = self.view.at(at);
        let along = Vector::new(along.x, -along.y);
        let across = Vector::new(-along.y, along.x);
        let [long, half] = HEAD_MM.map(|side| side * size);
        let tip = middle + along * (long / 2.0);
        let back = middle - along * (long / 2.0);
        let head = [tip, back + across * half, back - across * half];
        let commands = run(&head, true);
        page.cased(&commands, 0.5);
        page.filled(&commands, Ink::Track.colour());
        placer.take(around(head).unwrap_or(Frame::new(middle.x, middle.y, 0.0, 0.0)));
    }

    fn tabs(&self, page: &mut Canvas, placer: &mut Placer) {
        page.open("tabs");
        for (_, part, tab) in self.told.tabs() {
            if self.part.is_some_and(|only| only != part) {
                continue;
            }
            if let Some(corners) = self.tab(part, tab) {
                page.path(&run(&corners, true), Ink::Edge, Some(KRAFT));
                placer.take(around(corners).unwrap_or(Frame::new(corners[0].x, corners[0].y, 0.0, 0.0)));
            }
        }
        page.close();
    }

    /// The block that stands for a tab: as wide as it leaves of the edge, across it.
    fn tab(&self, part: usize, tab: &TabPlace) -> Option<[Point; 4]> {
        let outer = &self.told.parts[part].region.outer;
        let along = outer
            .segments()
            .map(|edge| (edge.nearest(tab.at).0, edge))
            .min_by(|one, other| one.0.total_cmp(&other.0))
            .map(|(_, edge)| edge.tangent_at(edge.share_nearest(tab.at)))?;
        let along =
            Vector::new(along.x, -along.y) * ((tab.width_mm * self.view.scale[0]).max(TAB_MM[0]) / 2.0);
        let across = Vector::new(-along.y, along.x).try_normalize(0.0)? * (TAB_MM[1] / 2.0);
        let at = self.view.at(tab.at);
        Some([
            at - along - across,
            at + along - across,
            at + along + across,
            at - along + across,
        ])
    }

    fn drills(&self, page: &mut Canvas, placer: &mut Placer) {
        page.open("drill");
        for drill in self.told.drills.iter().filter(|drill| self.within(drill.at)) {
            let at = self.view.at(drill.at);
            let radius_mm = drill.dia_mm / 2.0 * self.view.scale[0];
            if radius_mm > 0.3 {
                page.circle(at, radius_mm, Ink::Hidden, None);
            }
            crate::blank::picture::cross(page, placer, at, radius_mm.max(0.6) + CROSS_PAST_MM);
        }
        page.close();
    }

    fn pierces(&self, page: &mut Canvas, placer: &mut Placer) {
        page.open("pierces");
        for pierce in self.cuts().filter_map(|cut| self.told.cuts[cut].pierce()) {
            let at = self.view.at(pierce);
            page.circle(at, PIERCE_MM, Ink::Seen, Some(WHITE));
            // Inside the ring, so that its own leader begins clear of it.
            placer.take(Frame::new(at.x, at.y, 0.0, 0.0).grown(PIERCE_MM * 0.6));
        }
        page.close();
    }

    fn zero(&self, page: &mut Canvas, placer: &mut Placer) {
        let at = self.view.at(self.told.zero);
        if !self.area.grown(-ZERO_ARM_MM - 4.0).holds_point(at) {
            return;
        }
        page.open("zero");
        zero_mark(page, at, ZERO_HALF_MM, ZERO_ARM_MM);
        let set = Lettering::SMALL_BOLD;
        for (words, place) in [
            ("x", Point::new(at.x + ZERO_ARM_MM + 1.0, at.y + 1.0)),
            ("y", Point::new(at.x - 0.8, at.y - ZERO_ARM_MM - 1.4)),
        ] {
            // A hair of paper under the letter, where it stands on an edge.
            let wide = set.width_mm(words);
            let frame = Frame::new(place.x, place.y - 2.3, wide, 3.0);
            page.ground(frame, WHITE);
            page.words(place, words, set);
            placer.take(frame);
        }
        placer.take(Frame::new(at.x, at.y, 0.0, 0.0).grown(1.9));
        placer.avoid(at, at + Vector::new(ZERO_ARM_MM, 0.0), 3.0);
        placer.avoid(at, at - Vector::new(0.0, ZERO_ARM_MM), 3.0);
        page.close();
    }

    /// Labels keep off edges, arcs by chords: few where they are small on paper.
    fn keep_off(&self, placer: &mut Placer, edges: impl Iterator<Item = Segment>, weight: f64) {
        const STEP_RAD: f64 = 0.5;
        const STEP_MM: f64 = 2.0;
        for edge in edges {
            let by_turn = (edge.turn_rad().abs() / STEP_RAD).ceil();
            let by_length = (edge.length_mm() * self.view.scale[0] / STEP_MM).ceil();
            let steps = by_turn.min(by_length).max(1.0) as u32;
            let at = |step: u32| self.view.at(edge.point_at(f64::from(step) / f64::from(steps)));
            for step in 0..steps {
                placer.avoid(at(step), at(step + 1), weight);
            }
        }
    }
}

/// The mark of zero: a square on its corner, half filled, with an arm along x and one along y.
fn zero_mark(page: &mut Canvas, at: Point, half_mm: f64, arm_mm: f64) {
    let corner = |x: f64, y: f64| Point::new(at.x + x * half_mm, at.y + y * half_mm);
    let whole = [
        corner(1.0, 0.0),
        corner(0.0, 1.0),
        corner(-1.0, 0.0),
        corner(0.0, -1.0),
    ];
    let arms = [at + Vector::new(arm_mm, 0.0), at - Vector::new(0.0, arm_mm)];
    for arm in arms {
        page.cased(&run(&[at, arm], false), 1.4);
        page.arrow(at, arm, Ink::Seen);
    }
    page.path(&run(&whole, true), Ink::Seen, Some(WHITE));
    page.filled(&run(&[whole[1], whole[2], whole[3]], true), INK);
}

/// The place so far along the edges, and the way they run there.
fn place_along(edges: &[Segment], along_mm: f64) -> Option<(Point, Vector)> {
    let mut left_mm = along_mm;
    for edge in edges {
        let length_mm = edge.length_mm();
        if left_mm <= length_mm && length_mm > 0.0 {
            let share = left_mm / length_mm;
            return Some((edge.point_at(share), edge.tangent_at(share)));
        }
        left_mm -= length_mm;
    }
    None
}

/// The key of the marks, in rows from `at` no wider than `width_mm`; gives the y beneath. Only what the sheet has.
pub(super) fn key(page: &mut Canvas, at: Point, width_mm: f64, told: &CutSheet) -> f64 {
    type Sample = fn(&mut Canvas, Point);
    let set = Lettering::SMALL;
    let entries: [(bool, Sample, f64, &str); 8] = [
        (
            !told.cuts.is_empty(),
            sample_track,
            11.0,
            "path and way of the torch",
        ),
        (
            !told.cuts.is_empty(),
            sample_pierce,
            8.0,
            "pierce, with the number of its cut",
        ),
        (!told.parts.is_empty(), sample_part, 9.0, "part"),
        (true, sample_sheet, 16.0, "edge of the sheet"),
        (!told.load.clamps.is_empty(), sample_clamp, 9.0, "clamp"),
        (told.tabs().next().is_some(), sample_tab, 9.0, "tab T: left uncut"),
        (
            !told.drills.is_empty(),
            sample_drill,
            6.0,
            "D: drilled afterwards",
        ),
        (true, sample_zero, 5.6, "zero"),
    ];
    let (mut x, mut y) = (at.x, at.y);
    page.open("key");
    for (there, sample, sample_mm, words) in entries {
        if !there {
            continue;
        }
        let wide = sample_mm + 1.5 + set.width_mm(words);
        if x > at.x && x + wide > at.x + width_mm {
            x = at.x;
            y += KEY_ROW_MM;
        }
        sample(page, Point::new(x, y + 2.6));
        page.words(Point::new(x + sample_mm + 1.5, y + 3.6), words, set);
        x += wide + 5.0;
    }
    page.close();
    y + KEY_ROW_MM
}

/// A row of the key, mm.
pub(super) const KEY_ROW_MM: f64 = 6.0;

fn sample_track(page: &mut Canvas, at: Point) {
    page.line(at, at + Vector::new(11.0, 0.0), Ink::Track);
    let tip = at + Vector::new(7.2, 0.0);
    let back = tip - Vector::new(HEAD_MM[0], 0.0);
    let across = Vector::new(0.0, HEAD_MM[1]);
    page.filled(
        &run(&[tip, back + across, back - across], true),
        Ink::Track.colour(),
    );
}

fn sample_pierce(page: &mut Canvas, at: Point) {
    let end = at + Vector::new(8.0, 0.0);
    page.line(at + Vector::new(2.0, 0.0), end, Ink::Track);
    page.circle(at + Vector::new(2.0, 0.0), PIERCE_MM, Ink::Seen, Some(WHITE));
}

fn sample_part(page: &mut Canvas, at: Point) {
    page.rectangle(Frame::new(at.x, at.y - 1.8, 9.0, 3.6), Ink::Thin, Some(KRAFT));
}

fn sample_sheet(page: &mut Canvas, at: Point) {
    page.line(at, at + Vector::new(16.0, 0.0), Ink::Stock);
}

fn sample_clamp(page: &mut Canvas, at: Point) {
    let (left, low) = (at.x, at.y + 1.8);
    page.rectangle(Frame::new(left, low - 3.6, 9.0, 3.6), Ink::Clamp, Some(WHITE));
    for step in 0..4 {
        let x = left + 0.4 + 1.6 * f64::from(step);
        page.line(Point::new(x, low), Point::new(x + 3.6, low - 3.6), Ink::Clamp);
    }
}

fn sample_tab(page: &mut Canvas, at: Point) {
    page.line(at, at + Vector::new(9.0, 0.0), Ink::Track);
    page.rectangle(
        Frame::new(at.x + 3.4, at.y - TAB_MM[1] / 2.0, 2.2, TAB_MM[1]),
        Ink::Edge,
        Some(KRAFT),
    );
}

fn sample_drill(page: &mut Canvas, at: Point) {
    let middle = at + Vector::new(3.0, 0.0);
    page.circle(middle, 1.4, Ink::Hidden, None);
    for arm in [Vector::new(2.6, 0.0), Vector::new(0.0, 2.6)] {
        page.line(middle - arm, middle + arm, Ink::Cross);
    }
}

fn sample_zero(page: &mut Canvas, at: Point) {
    zero_mark(page, at + Vector::new(1.8, 0.6), 1.6, 3.8);
}
