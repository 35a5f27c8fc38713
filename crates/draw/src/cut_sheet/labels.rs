//! The words on the picture: numbers at the pierces first, then zero, holes to drill, tabs, clamps, parts.

use plane::{Point, Vector};

use super::marks::{PIERCE_MM, Shown};
use crate::canvas::Canvas;
use crate::figures;
use crate::frame::Frame;
use crate::ink::{BLUE, WHITE};
use crate::label::Label;
use crate::lettering::Lettering;
use crate::place::Placer;
use crate::trace;

/// Numbers of cuts: to be found at a glance.
const NUMBER: Lettering = Lettering::SMALL_BOLD.sized(3.8);

impl Shown<'_> {
    /// Writes the words; gives the names of those there was no room for.
    pub fn label(&self, page: &mut Canvas, placer: &mut Placer, detailed: bool) -> Vec<String> {
        let mut missed = self.numbers(page, placer);
        if self.part.is_none() {
            let at = self.view.at(self.told.zero);
            let label = Label::new().boxed(WHITE).line("ZERO", Lettering::SMALL_BOLD);
            label.place(page, placer, at, 2.8, Vector::new(-1.0, 1.0));
        }
        if detailed {
            missed.extend(self.drill_names(page, placer));
            missed.extend(self.tab_names(page, placer));
        }
        if self.part.is_none() {
            self.clamp_names(page, placer);
            missed.extend(self.part_names(page, placer));
            self.gaps(page, placer);
        }
        missed
    }

    /// Away from the middle of what a place belongs to.
    fn lean(&self, at: Point, part: Option<usize>) -> Vector {
        let middle = match part.and_then(|part| self.told.parts.get(part)) {
            Some(part) => trace::bounds(&part.region.outer).centre(),
            None => trace::bounds(&self.told.load.region.outer).centre(),
        };
        let away = at - middle;
        if away.norm() < 1e-6 {
            Vector::new(1.0, -1.0)
        } else {
            Vector::new(away.x, -away.y)
        }
    }

    fn numbers(&self, page: &mut Canvas, placer: &mut Placer) -> Vec<String> {
        let mut missed = Vec::new();
        page.open("numbers");
        for cut in self.cuts() {
            let told = &self.told.cuts[cut];
            let Some(pierce) = told.pierce() else { continue };
            if told.part.is_some_and(|part| self.in_short.contains(&part)) {
                continue;
            }
            let number = (cut + 1).to_string();
            let label = Label::new().boxed(WHITE).line(&number, NUMBER).with_bare_leader();
            let lean = self.lean(pierce, told.part);
            if !label.place(page, placer, self.view.at(pierce), PIERCE_MM, lean) {
                missed.push(number);
            }
        }
        page.close();
        missed
    }

    fn drill_names(&self, page: &mut Canvas, placer: &mut Placer) -> Vec<String> {
        let mut missed = Vec::new();
        page.open("drill-names");
        for (index, drill) in self.told.drills.iter().enumerate() {
            if !self.within(drill.at) {
                continue;
            }
            let name = format!("D{}", index + 1);
            let label = Label::new().line(&name, Lettering::SMALL_BOLD).with_bare_leader();
            let gap = (drill.dia_mm / 2.0 * self.view.scale[0]).max(1.0) + 0.4;
            let lean = self.lean(drill.at, self.part);
            if !label.place(page, placer, self.view.at(drill.at), gap, lean) {
                missed.push(name);
            }
        }
        page.close();
        missed
    }

    fn tab_names(&self, page: &mut Canvas, placer: &mut Placer) -> Vec<String> {
        let mut missed = Vec::new();
        page.open("tab-names");
        for (number, part, tab) in self.told.tabs() {
            if self.part.is_some_and(|only| only != part) {
                continue;
            }
            let name = format!("T{number}");
            let label = Label::new().line(&name, Lettering::SMALL_BOLD).with_bare_leader();
            let lean = self.lean(tab.at, Some(part));
            if !label.place(page, placer, self.view.at(tab.at), 2.0, lean) {
                missed.push(name);
            }
        }
        page.close();
        missed
    }

    fn clamp_names(&self, page: &mut Canvas, placer: &mut Placer) {
        page.open("clamp-names");
        for (name, outline) in &self.told.load.clamps {
            let frame = self.view.frame(trace::bounds(outline));
            let label = Label::new().line(name, Lettering::SMALL).with_bare_leader();
            label.place_at_any(page, placer, &rim(frame), 0.2);
        }
        page.close();
    }

    fn part_names(&self, page: &mut Canvas, placer: &mut Placer) -> Vec<String> {
        let mut missed = Vec::new();
        page.open("part-names");
        for (index, part) in self.told.parts.iter().enumerate() {
            let frame = self.view.frame(trace::bounds(&part.region.outer));
            let mut label = Label::new().line(&part.name, Lettering::SMALL_BOLD.coloured(BLUE));
            if self.in_short.contains(&index) {
                let words = self.numbers_of(index);
                label = label.line(&words, Lettering::SMALL_BOLD);
            }
            let inside = frame
                .shared(&self.area)
                .is_some_and(|frame| label.place_within(page, placer, frame));
            if !inside && !label.place_at_any(page, placer, &rim(frame), 1.6) {
                missed.push(part.name.clone());
            }
        }
        page.close();
        missed
    }

    /// "cuts 1 to 6 and 9", for a part whose numbers stand on its close picture alone.
    fn numbers_of(&self, part: usize) -> String {
        const MOST_RUNS: usize = 3;
        let mut runs: Vec<[usize; 2]> = Vec::new();
        for number in (1..=self.told.cuts.len()).filter(|&cut| self.told.cuts[cut - 1].part == Some(part)) {
            match runs.last_mut() {
                Some(run) if run[1] + 1 == number => run[1] = number,
                _ => runs.push([number, number]),
            }
        }
        if runs.len() > MOST_RUNS {
            return "cuts: see it larger".to_owned();
        }
        let words: Vec<String> = runs
            .iter()
            .map(|[first, last]| {
                if first == last {
                    first.to_string()
                } else {
                    format!("{first} to {last}")
                }
            })
            .collect();
        format!("cuts {}", words.join(" and "))
    }

    /// What has been cut out of the sheet before.
    fn gaps(&self, page: &mut Canvas, placer: &mut Placer) {
        page.open("gaps");
        for hole in &self.told.load.region.holes {
            let bounds = trace::bounds(hole);
            let frame = self.view.frame(bounds);
            let set = Lettering::SMALL;
            let size = format!(
                "{} x {} mm",
                figures::mm(bounds.width),
                figures::mm(bounds.height)
            );
            let label = Label::new().line("open", set).line(&size, set);
            let inside = frame
                .shared(&self.area)
                .is_some_and(|frame| label.place_within(page, placer, frame));
            if !inside {
                label.place(page, placer, frame.centre(), 1.0, Vector::new(0.0, 1.0));
            }
        }
        page.close();
    }
}

/// The middles of a frame's sides and its corners, each with the way out.
fn rim(frame: Frame) -> Vec<(Point, Vector)> {
    let middle = frame.centre();
    let half = Vector::new(frame.width / 2.0, frame.height / 2.0);
    let ways = [
        (0.0, -1.0),
        (0.0, 1.0),
        (-1.0, 0.0),
        (1.0, 0.0),
        (-1.0, -1.0),
        (1.0, -1.0),
        (-1.0, 1.0),
        (1.0, 1.0),
    ];
    ways.map(|(x, y)| (middle + Vector::new(x * half.x, y * half.y), Vector::new(x, y)))
        .to_vec()
}
