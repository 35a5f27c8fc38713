//! What is written on and under the folded views.

use nalgebra::{Point3, Vector3};
use plane::{Point, Vector};
use sheet::{Face, Part};

use super::Place;
use super::fold::Fold;
use super::hidden::Scene;
use super::views::{ISOMETRIC, Picture};
use crate::blank::tables::way_word;
use crate::canvas::Canvas;
use crate::figures;
use crate::frame::Frame;
use crate::ink::{INK, Ink, WHITE};
use crate::label::Label;
use crate::lettering::{Anchor, Lettering};
use crate::place::Placer;
use crate::sheet_of_paper::{MARGIN_MM, heading};
use crate::table::Table;
use crate::title::TitleBlock;

/// Things marked on the views.
pub(crate) struct Marks<'a> {
    pub places: &'a [Place],
    pub mounts: &'a [(String, Point3<f64>)],
    pub centre: Option<Point3<f64>>,
}

impl Marks<'_> {
    /// Each hole is named on the view that sees it most nearly square; mounts and centre of mass on the front view.
    pub fn on_views(&self, page: &mut Canvas, placer: &mut Placer, pictures: &[(Picture, Frame)]) {
        page.open("view-labels");
        for place in self.places {
            let square = |picture: &Picture| picture.eye.toward.dot(&place.axis).abs();
            let Some((picture, frame)) = pictures
                .iter()
                .rev()
                .max_by(|one, other| square(&one.0).total_cmp(&square(&other.0)))
            else {
                continue;
            };
            let gap_mm = if place.reach_mm < LARGE_MM {
                place.reach_mm * picture.factor
            } else {
                0.0
            };
            name(
                page,
                placer,
                picture.on_paper(&place.at),
                gap_mm,
                frame.centre(),
                &place.name,
            );
        }
        if let Some((picture, frame)) = pictures.get(1) {
            self.mounts_and_centre(page, placer, picture, frame.centre());
        }
        page.close();
    }

    /// Openings are named where some of their edge is in sight.
    pub fn on_isometric(
        &self,
        page: &mut Canvas,
        placer: &mut Placer,
        picture: &Picture,
        frame: Frame,
        scene: &Scene,
    ) {
        page.open("isometric-labels");
        for place in self.places {
            let rim: Vec<Point> = place
                .rim
                .iter()
                .filter(|at| scene.in_sight(at))
                .map(|at| picture.on_paper(at))
                .collect();
            let Some(about) = crate::frame::around(rim.iter().copied()).map(|seen| seen.centre()) else {
                continue;
            };
            let out = lean(about, frame.centre());
            let Some(at) = rim
                .into_iter()
                .max_by(|one, other| (one - about).dot(&out).total_cmp(&(other - about).dot(&out)))
            else {
                continue;
            };
            name(page, placer, at, 0.0, frame.centre(), &place.name);
        }
        self.mounts_and_centre(page, placer, picture, frame.centre());
        page.close();
    }

    fn mounts_and_centre(&self, page: &mut Canvas, placer: &mut Placer, picture: &Picture, about: Point) {
        for (mount, at) in self.mounts {
            let at = picture.on_paper(at);
            let arm = 1.6;
            for across in [Vector::new(arm, arm), Vector::new(arm, -arm)] {
                page.line(at - across, at + across, Ink::Rule);
            }
            Label::new()
                .line(&format!("mount {mount}"), Lettering::SMALL)
                .place(page, placer, at, arm, lean(at, about));
        }
        if let Some(at) = self.centre {
            let at = picture.on_paper(&at);
            centre_mark(page, at);
            Label::new().line("centre of mass", Lettering::SMALL).place(
                page,
                placer,
                at,
                2.0,
                lean(at, about),
            );
        }
    }
}

/// An opening this large is named inside it, mm from its middle to its edge.
const LARGE_MM: f64 = 10.0;

fn name(page: &mut Canvas, placer: &mut Placer, at: Point, gap_mm: f64, about: Point, words: &str) {
    Label::new()
        .line(words, Lettering::SMALL_BOLD)
        .place(page, placer, at, gap_mm, lean(at, about));
}

/// Says which face of the first panel the eye sees.
pub(crate) fn face_word(
    page: &mut Canvas,
    placer: &mut Placer,
    picture: &Picture,
    frame: Frame,
    fold: &Fold<'_>,
    scene: &Scene,
) {
    const TRIES: i32 = 9;
    let Some(root) = fold.part.panels.first() else {
        return;
    };
    let to_view = fold.pose * root.to_folded;
    let faces_eye = (to_view * Vector3::z()).dot(&picture.eye.toward) > 0.0;
    let [far, marked] = fold.faces_z();
    let (z, words) = if faces_eye {
        (marked, "marked face")
    } else {
        (far, "far face (not the marked one)")
    };
    let bounds = crate::trace::bounds(&root.flat.outer);
    let mut spots: Vec<Point> = (1..TRIES)
        .flat_map(|row| (1..TRIES).map(move |column| (column, row)))
        .map(|(column, row)| {
            let share = |step: i32| f64::from(step) / f64::from(TRIES);
            Point::new(
                bounds.left + bounds.width * share(column),
                bounds.top + bounds.height * share(row),
            )
        })
        .filter(|at| root.flat.contains(*at))
        .collect();
    let middle = bounds.centre();
    spots.sort_by(|one, other| (one - middle).norm().total_cmp(&(other - middle).norm()));
    let spots: Vec<Point> = spots
        .into_iter()
        .map(|at| to_view * Point3::new(at.x, at.y, z))
        .filter(|at| scene.in_sight(at))
        .map(|at| picture.on_paper(&at))
        .collect();
    let label = Label::new().line(words, Lettering::SMALL);
    let [wide, high] = label.size_mm();
    // On the face itself when it is large enough, else beside it with a leader.
    let on_it = spots.iter().any(|at| {
        let within = Frame::new(at.x - wide / 2.0, at.y - high / 2.0, wide, high).grown(1.0);
        label.place_within(page, placer, within)
    });
    if !on_it {
        let _placed = spots
            .iter()
            .any(|at| label.place(page, placer, *at, 0.0, lean(*at, frame.centre())));
    }
}

pub(crate) fn lean(at: Point, about: Point) -> Vector {
    let away = at - about;
    if away.norm() < 1.0 {
        Vector::new(1.0, -1.0)
    } else {
        away
    }
}

/// A ring with two filled quarters.
fn centre_mark(page: &mut Canvas, at: Point) {
    let r = 2.0;
    page.circle(at, r, Ink::Rule, Some(WHITE));
    let quarter = |dx: f64, dy: f64| {
        use crate::canvas::fixed;
        format!(
            "M{} {}L{} {}A{r} {r} 0 0 1 {} {}Z",
            fixed(at.x),
            fixed(at.y),
            fixed(at.x + dx * r),
            fixed(at.y),
            fixed(at.x),
            fixed(at.y + dy * r)
        )
    };
    page.filled(&quarter(1.0, 1.0), INK);
    page.filled(&quarter(-1.0, -1.0), INK);
}

/// The view's name above it.
pub(crate) fn view_title(page: &mut Canvas, placer: &mut Placer, frame: Frame, words: &str) {
    let set = Lettering::SMALL_BOLD;
    let at = Point::new(frame.left, frame.top - 4.0);
    page.words(at, words, set);
    placer.take(Frame::new(at.x, at.y - 3.2, set.width_mm(words), 4.2));
}

/// Overall size beneath a view.
pub(super) fn size_across(page: &mut Canvas, placer: &mut Placer, frame: Frame, size_mm: f64) {
    let level = frame.bottom() + 7.0;
    for x in [frame.left, frame.right()] {
        page.line(
            Point::new(x, frame.bottom() + 1.0),
            Point::new(x, level + 1.5),
            Ink::Thin,
        );
    }
    let middle = frame.centre().x;
    page.arrow(
        Point::new(middle, level),
        Point::new(frame.left, level),
        Ink::Thin,
    );
    page.arrow(
        Point::new(middle, level),
        Point::new(frame.right(), level),
        Ink::Thin,
    );
    let set = Lettering::SMALL_BOLD.anchored(Anchor::Middle);
    for (index, line) in two_lines(size_mm).iter().enumerate() {
        page.words(Point::new(middle, level + 4.0 + 4.0 * index as f64), line, set);
    }
    let wide = two_lines(size_mm)
        .iter()
        .map(|line| set.width_mm(line))
        .fold(0.0, f64::max);
    placer.take(Frame::new(middle - wide / 2.0, level + 0.8, wide, 8.4));
    placer.take(Frame::new(frame.left, level - 1.0, frame.width, 2.0));
}

/// Overall size left of a view.
pub(super) fn size_up(page: &mut Canvas, placer: &mut Placer, frame: Frame, size_mm: f64) {
    let beside = frame.left - 7.0;
    for y in [frame.top, frame.bottom()] {
        page.line(
            Point::new(frame.left - 1.0, y),
            Point::new(beside - 1.5, y),
            Ink::Thin,
        );
    }
    let level = frame.centre().y;
    page.arrow(
        Point::new(beside, level),
        Point::new(beside, frame.top),
        Ink::Thin,
    );
    page.arrow(
        Point::new(beside, level),
        Point::new(beside, frame.bottom()),
        Ink::Thin,
    );
    let set = Lettering::SMALL_BOLD.anchored(Anchor::End);
    let lines = two_lines(size_mm);
    for (index, line) in lines.iter().enumerate() {
        page.words(
            Point::new(beside - 1.6, level - 0.6 + 4.0 * index as f64),
            line,
            set,
        );
    }
    let wide = lines.iter().map(|line| set.width_mm(line)).fold(0.0, f64::max);
    placer.take(Frame::new(beside - 1.6 - wide, level - 4.0, wide, 8.4));
    placer.take(Frame::new(beside - 1.0, frame.top, 2.0, frame.height));
}

/// mm over inch.
fn two_lines(size_mm: f64) -> [String; 2] {
    [
        format!("{} mm", figures::mm(size_mm)),
        format!("({} in)", figures::inch(size_mm)),
    ]
}

/// A bar of a round length, with its scale in words.
pub(crate) fn scale_bar(page: &mut Canvas, placer: &mut Placer, at: Point, factor: f64, words: &str) {
    const LENGTHS_MM: [f64; 8] = [5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 500.0];
    const LONGEST_MM: f64 = 32.0;
    let length = LENGTHS_MM
        .into_iter()
        .rev()
        .find(|length| length * factor <= LONGEST_MM)
        .unwrap_or(LENGTHS_MM[0]);
    let end = Point::new(at.x + length * factor, at.y);
    page.line(at, end, Ink::Edge);
    for x in [at.x, end.x] {
        page.line(Point::new(x, at.y - 1.2), Point::new(x, at.y + 1.2), Ink::Edge);
    }
    let set = Lettering::SMALL;
    let words = format!("{} mm {words}", figures::mm(length));
    page.words(Point::new(at.x, at.y + 4.6), &words, set);
    placer.take(Frame::new(
        at.x - 1.0,
        at.y - 1.5,
        set.width_mm(&words).max(length * factor) + 2.0,
        7.5,
    ));
}

/// Three plain arrows with their letters, and what they mean.
pub(crate) fn axes(
    page: &mut Canvas,
    placer: &mut Placer,
    at: Point,
    meaning: &[String; 3],
    of_equipment: bool,
) {
    const ARM_MM: f64 = 13.0;
    let directions = [("x", Vector3::x()), ("y", Vector3::y()), ("z", Vector3::z())];
    let mut top: f64 = at.y;
    for (letter, direction) in directions {
        let seen = ISOMETRIC.see(&Point3::from(direction));
        let tip = Point::new(at.x + seen.x * ARM_MM, at.y - seen.y * ARM_MM);
        page.arrow(at, tip, Ink::Seen);
        let beyond = Point::new(
            at.x + seen.x * (ARM_MM + 3.6),
            at.y - seen.y * (ARM_MM + 3.6) + 1.2,
        );
        page.words(beyond, letter, Lettering::SMALL_BOLD.anchored(Anchor::Middle));
        top = top.min(beyond.y - 3.0);
    }
    let mut lines = vec![
        if of_equipment {
            "axes of the equipment"
        } else {
            "axes of the mark-out"
        }
        .to_owned(),
    ];
    for ((letter, _), meaning) in directions
        .iter()
        .zip(meaning)
        .filter(|(_, meaning)| !meaning.is_empty())
    {
        lines.push(format!("{letter}: {meaning}"));
    }
    let left = at.x + 16.0;
    let mut widest: f64 = 0.0;
    let low = at.y + 8.0;
    for (index, line) in lines.iter().rev().enumerate() {
        page.words(Point::new(left, low - 4.0 * index as f64), line, Lettering::SMALL);
        widest = widest.max(Lettering::SMALL.width_mm(line));
    }
    let words_top = low - 4.0 * lines.len() as f64;
    let top = top.min(words_top);
    placer.take(Frame::new(at.x - 16.0, top, 32.0 + widest, low + 1.5 - top));
}

/// Where every opening comes to lie, in two tables side by side; gives the y beneath.
pub(super) fn tables(
    page: &mut Canvas,
    at: Point,
    part: &Part,
    block: &TitleBlock,
    marks: &Marks<'_>,
    of_equipment: bool,
) -> f64 {
    const COLUMNS: [(&str, f64); 6] = [
        ("name", 22.0),
        ("x", 28.0),
        ("y", 28.0),
        ("z", 28.0),
        ("square to plate", 38.0),
        ("what for", 52.0),
    ];
    let mut rows: Vec<Vec<Vec<String>>> = Vec::new();
    let cell = |length: f64| vec![figures::mm(length), figures::inch(length)];
    for place in marks.places {
        let [x, y, z] = [place.axis.x, place.axis.y, place.axis.z].map(|share| format!("{:.3}", share + 0.0));
        let what = block
            .callouts
            .get(&part.openings[place.opening].name)
            .cloned()
            .unwrap_or_default();
        rows.push(vec![
            vec![place.name.clone()],
            cell(place.at.x),
            cell(place.at.y),
            cell(place.at.z),
            vec![format!("{x} {y} {z}").replace("-0.000", "0.000")],
            vec![what],
        ]);
    }
    for (words, place) in marks
        .mounts
        .iter()
        .map(|(name, place)| (format!("mount {name}"), *place))
        .chain(marks.centre.map(|place| ("centre of mass".to_owned(), place)))
    {
        rows.push(vec![
            vec![words],
            cell(place.x),
            cell(place.y),
            cell(place.z),
            Vec::new(),
            Vec::new(),
        ]);
    }
    if rows.is_empty() {
        return at.y;
    }
    let whose = if of_equipment {
        "the axes of the equipment"
    } else {
        "the axes of the mark-out"
    };
    let face = match part.lines_on {
        Face::Marked => "on the marked face",
        Face::Middle => "half way through the plate",
        Face::Far => "on the far face",
    };
    let words = format!("Middles of openings {face}, in {whose} (mm over inch and thousandths)");
    let top = heading(page, at, &words);
    let half = rows.len().div_ceil(2);
    let mut bottom = top;
    for (index, rows) in rows.chunks(half).enumerate() {
        let mut table = Table::new(&COLUMNS);
        for row in rows {
            table.row(row.clone());
        }
        let left = MARGIN_MM + 204.0 * index as f64;
        bottom = bottom.max(table.draw(page, Point::new(left, top)));
    }
    bottom + 4.0
}

/// The drawing in words.
pub(super) fn in_words(
    part: &Part,
    block: &TitleBlock,
    marks: &Marks<'_>,
    sizes: [f64; 3],
    of_equipment: bool,
) -> String {
    let whose = if of_equipment { "equipment" } else { "mark-out" };
    let mut says = vec![format!(
        "The folded part in the axes of the {whose}: {} along x, {} along y, {} along z, drawn isometric and from the front, \
         from above and from the right.",
        figures::both(sizes[0]),
        figures::both(sizes[1]),
        figures::both(sizes[2])
    )];
    for bend in &part.bends {
        let [through, between] = figures::bend_angles(bend.bent_rad);
        says.push(format!(
            "Bend {} {}: {through}, {between}.",
            bend.name,
            way_word(bend.way)
        ));
    }
    for place in marks.places {
        let what = block
            .callouts
            .get(&part.openings[place.opening].name)
            .map_or(String::new(), |callout| format!(", {callout}"));
        says.push(format!("{} at {}{what}.", place.name, figures::spot(&place.at)));
    }
    for (name, at) in marks.mounts {
        says.push(format!("Mount {name} at {}.", figures::spot(at)));
    }
    if let Some(at) = &marks.centre {
        says.push(format!("Centre of mass at {}.", figures::spot(at)));
    }
    if let Some(mass_kg) = block.mass_kg {
        says.push(format!("Mass {}.", figures::mass(mass_kg)));
    }
    says.join(" ")
}
