//! A picture of stress and movement on the folded part: the middle of the plate as triangles, in bands with their limits
//! written on the lines between them, seen isometrically from two opposite sides.
//!
//! Nothing is told by colour alone: every limit stands on its line and in the key of bands, and all that is marked stands
//! again in a table and in the `<desc>`.

mod bands;
mod layers;
mod limits;
mod lines;
mod marks;
mod ramp;
mod tables;
#[cfg(test)]
mod tests;
mod view;

use nalgebra::{Point3, Vector3};
use plane::Point;

use crate::canvas::{Canvas, Setting};
use crate::folded::notes;
use crate::folded::views::{BEHIND, ISOMETRIC, ISOMETRIC_SHARE};
use crate::frame::Frame;
use crate::ink::Ink;
use crate::place::Placer;
use crate::sheet_of_paper as paper;
use crate::title::TitleBlock;
use view::{Bands, View};

/// What a picture of stress is told. Everything in the axes of the equipment, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct StressPicture<'a> {
    /// The words and figures round it.
    pub block: TitleBlock,
    /// Which load this is, in a few words: "Push, 150 N at the pad".
    pub load: String,
    /// Thickness of the plate, mm.
    pub thickness_mm: f64,
    /// Points of the middle of the plate, folded, mm.
    pub points_mm: &'a [Point3<f64>],
    /// Triangles by their points.
    pub triangles: &'a [[u32; 3]],
    /// What the bands show.
    pub levels: Levels<'a>,
    /// What a level is: "Larger of the two faces' equivalent stress".
    pub level_is: String,
    /// The unit of the levels.
    pub unit: LevelUnit,
    /// Limits of the bands, rising; one band between each two. When empty, five to seven bands with round limits are
    /// chosen.
    pub limits: Vec<f64>,
    /// The level that is allowed; drawn as a dotted line of its own.
    pub allowed: Option<Allowed>,
    /// How the part moves; not drawn when absent.
    pub moved: Option<MovedShape<'a>>,
    /// Edges of the mesh along which bends begin and end, by their points.
    pub creases: &'a [[u32; 2]],
    /// The place that decides.
    pub worst: Option<Spot>,
    /// Forces on the part.
    pub loads: Vec<Arrow>,
    /// Bolts, by name and place.
    pub bolts: Vec<Spot>,
    /// The largest level in each panel, for the table.
    pub panels: Vec<(String, f64)>,
    /// What x, y and z mean on the equipment, in a few words each; may be empty.
    pub axes: [String; 3],
}

/// The levels that are drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Levels<'a> {
    /// One for each point.
    AtPoints(&'a [f64]),
    /// One for each corner of each triangle: levels may jump from one triangle to the next.
    AtCorners(&'a [[f64; 3]]),
}

/// The unit of the levels.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LevelUnit {
    /// MPa; ksi is printed beside it.
    Megapascal,
    /// Share of what is allowed, 1 being all of it; printed in percent.
    ShareOfAllowed,
}

/// The level that is allowed.
#[derive(Debug, Clone, PartialEq)]
pub struct Allowed {
    /// In the unit of the picture.
    pub level: f64,
    /// What it is: "yield 193 MPa over margin 2".
    pub says: String,
}

/// How the part moves under the load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MovedShape<'a> {
    /// Movement of every point, mm, true size.
    pub moves_mm: &'a [Vector3<f64>],
    /// How many times larger it is drawn.
    pub times: f64,
}

/// A place with words.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// Where, mm.
    pub at_mm: Point3<f64>,
    /// What it is called: a bolt's name; for the worst place "62 MPa at b1, inner face".
    pub label: String,
    /// More for the table; may be empty.
    pub says: String,
}

/// A force on the part.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrow {
    /// Where it acts, mm.
    pub at_mm: Point3<f64>,
    /// Which way it pushes the part; the length does not matter.
    pub toward: Vector3<f64>,
    /// "push 150 N (33.7 lbf)".
    pub label: String,
}

/// Why there is no picture.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StressPictureError {
    /// No triangle.
    #[error("the part has no triangles to draw")]
    Nothing,
    /// A triangle or crease names a point that is not there.
    #[error("point {point} is asked for, and there are {points}")]
    NoSuchPoint {
        /// The point.
        point: u32,
        /// How many there are.
        points: usize,
    },
    /// Not as many levels as points or triangles.
    #[error("{given} levels are given for {needed}")]
    LevelsMissing {
        /// How many there are.
        given: usize,
        /// How many points or triangles there are.
        needed: usize,
    },
    /// Not as many movements as points.
    #[error("{given} movements are given for {needed} points")]
    MovesMissing {
        /// How many there are.
        given: usize,
        /// How many points there are.
        needed: usize,
    },
    /// A place, level, movement or limit is not a number.
    #[error("one of the {what} is not a finite number")]
    NotFinite {
        /// Which.
        what: &'static str,
    },
    /// A load that pushes no way at all.
    #[error("the load \"{load}\" has no direction")]
    NoWay {
        /// Its label.
        load: String,
    },
    /// Limits that do not rise, or only one, or more than can be told apart.
    #[error("{count} limits of bands do not make 1 to {MOST_BANDS} bands that rise")]
    Limits {
        /// How many there are.
        count: usize,
    },
}

/// More bands than this are not told apart.
const MOST_BANDS: usize = 9;

/// Paper for the pictures, mm.
const VIEWS_MM: f64 = 196.0;
/// Of it for the second picture.
const SECOND_MM: f64 = 120.0;

/// Draws the picture as an SVG file: the part in bands from two opposite sides, lines between the bands with their values,
/// the moved outline, the loads, the bolts and the place that decides; and all of it again as tables. Same input, same
/// bytes.
///
/// # Errors
/// When points, levels or movements are missing or not finite, or the limits do not rise.
pub fn stress_svg(picture: &StressPicture<'_>) -> Result<String, StressPictureError> {
    let levels = checked(picture)?;
    let limits = limits::limits(&picture.limits, &levels)?;
    let colours = ramp::ramp(limits.len() - 1);
    let block = &picture.block;

    let mut page = Canvas::new(paper::WIDTH_MM, paper::LEAST_HEIGHT_MM, Setting::AnyViewer);
    let top = paper::head(
        &mut page,
        block,
        &format!("Stress and movement: {}", picture.load),
    );
    let left = paper::MARGIN_MM;
    let main = Frame::new(
        left,
        top,
        paper::COLUMN_LEFT_MM - paper::GUTTER_MM - left,
        VIEWS_MM,
    );
    let second = Frame::new(paper::COLUMN_LEFT_MM, top, paper::COLUMN_MM, SECOND_MM);
    let bands = Bands {
        levels: &levels,
        limits: &limits,
        colours: &colours,
    };
    let edges = lines::Edges::of(picture.triangles);
    let (first, other) = (
        View::of(picture, main, ISOMETRIC, view::ROOM_MM),
        View::of(picture, second, BEHIND, view::ROOM_ALONE_MM),
    );
    let mut placer = Placer::new(main);
    axes_and_bar(&mut page, &mut placer, &first);
    // What neither picture sees is marked in the first, and said to be behind.
    let in_first = |at: &Point3<f64>| match (first.sees(at), other.sees(at)) {
        (true, _) => Some(false),
        (false, true) => None,
        (false, false) => Some(true),
    };
    let in_second = |at: &Point3<f64>| other.sees(at).then_some(false);
    let words = "From the front, right and above";
    first.draw(&mut page, words, &bands, &edges, &in_first, placer);
    let words = "From the other side: behind, left and below";
    other.draw(&mut page, words, &bands, &edges, &in_second, Placer::new(second));
    let legend_top = second.bottom() + 5.0;
    tables::legend(
        &mut page,
        Point::new(paper::COLUMN_LEFT_MM, legend_top),
        picture,
        &limits,
        &colours,
    );

    let mut kinds = vec![(Ink::Seen, "edge"), (Ink::Crease, "bend begins or ends")];
    let (between, moved) = (
        "line between bands, with its value",
        picture.moved.map(|moved| moved_words(&moved)).unwrap_or_default(),
    );
    kinds.push((Ink::Level, between));
    if picture.allowed.is_some() {
        kinds.push((Ink::Limit, "what is allowed"));
    }
    if picture.moved.is_some() {
        kinds.push((Ink::Moved, &moved));
    }
    if !picture.loads.is_empty() {
        kinds.push((Ink::Load, "load"));
    }
    let wide = paper::WIDTH_MM - 2.0 * paper::MARGIN_MM;
    let key = paper::key(&mut page, Point::new(left, top + VIEWS_MM + 1.0), wide, &kinds);
    let mut y = tables::twin(&mut page, Point::new(left, key.bottom() + 5.0), picture);
    y = paper::findings_and_notes(&mut page, Point::new(left, y), block, &[]);
    let strip_mm = paper::strip_height(block);
    let strip_top = y.max(paper::LEAST_HEIGHT_MM - paper::MARGIN_MM - strip_mm);
    let mut facts = paper::common_facts(block, picture.thickness_mm);
    facts.push(("Load", picture.load.clone()));
    paper::strip(&mut page, strip_top, block, &facts);
    page.size.height = strip_top + strip_mm + paper::MARGIN_MM;

    let title = format!("Stress and movement: {}", crate::blank::named(&block.title));
    Ok(page.finish("gusset-stress", &title, &tables::in_words(picture, &limits)))
}

/// The bands of a picture of stress: how levels are told apart wherever it is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct StressBands {
    /// Limits, rising; one band between each two.
    pub limits: Vec<f64>,
    /// The limits in words, in both systems.
    pub says: Vec<String>,
    /// The colour of each band, as SVG writes it.
    pub colours: Vec<String>,
    /// The level at each corner of each triangle as a share of the way from the first limit to the last, 0 to 1.
    pub shares: Vec<[f64; 3]>,
}

/// The bands that [`stress_svg`] draws this picture in.
///
/// # Errors
/// As [`stress_svg`].
pub fn stress_bands(picture: &StressPicture<'_>) -> Result<StressBands, StressPictureError> {
    let levels = checked(picture)?;
    let limits = limits::limits(&picture.limits, &levels)?;
    let (low, high) = (limits[0], limits[limits.len() - 1]);
    let share = |level: f64| ((level - low) / (high - low)).clamp(0.0, 1.0);
    Ok(StressBands {
        says: limits.iter().map(|limit| picture.unit.long(*limit)).collect(),
        colours: ramp::ramp(limits.len() - 1),
        shares: levels.iter().map(|corners| corners.map(share)).collect(),
        limits,
    })
}

fn axes_and_bar(page: &mut Canvas, placer: &mut Placer, view: &View<'_>) {
    let area = view.area;
    let at = Point::new(area.left + 16.0, area.bottom() - 14.0);
    notes::axes(page, placer, at, &view.told.axes, true);
    let bar = Point::new(area.right() - 62.0, area.bottom() - 6.0);
    let factor = view.picture.factor * ISOMETRIC_SHARE;
    notes::scale_bar(page, placer, bar, factor, "along any axis");
}

/// "moved shape, drawn 20 times larger than it moves".
fn moved_words(moved: &MovedShape<'_>) -> String {
    if (moved.times - 1.0).abs() < 1e-9 {
        "moved shape, true size".to_owned()
    } else {
        format!("moved shape, movement drawn {} times larger", moved.times)
    }
}

/// The levels corner by corner, once everything is found to be there.
fn checked(picture: &StressPicture<'_>) -> Result<Vec<[f64; 3]>, StressPictureError> {
    if picture.triangles.is_empty() {
        return Err(StressPictureError::Nothing);
    }
    let points = picture.points_mm.len();
    let corners = picture.triangles.iter().flatten();
    for &point in corners.chain(picture.creases.iter().flatten()) {
        if point as usize >= points {
            return Err(StressPictureError::NoSuchPoint { point, points });
        }
    }
    let (given, needed) = match picture.levels {
        Levels::AtPoints(levels) => (levels.len(), points),
        Levels::AtCorners(levels) => (levels.len(), picture.triangles.len()),
    };
    if given != needed {
        return Err(StressPictureError::LevelsMissing { given, needed });
    }
    if let Some(moved) = &picture.moved
        && moved.moves_mm.len() != points
    {
        return Err(StressPictureError::MovesMissing {
            given: moved.moves_mm.len(),
            needed: points,
        });
    }
    let levels: Vec<[f64; 3]> = match picture.levels {
        Levels::AtPoints(levels) => picture
            .triangles
            .iter()
            .map(|corners| corners.map(|corner| levels[corner as usize]))
            .collect(),
        Levels::AtCorners(levels) => levels.to_vec(),
    };
    let finite = |at: &Point3<f64>| at.coords.iter().all(|part| part.is_finite());
    let faults = [
        ("points", picture.points_mm.iter().all(finite)),
        ("levels", levels.iter().flatten().all(|level| level.is_finite())),
        (
            "movements",
            picture.moved.is_none_or(|moved| {
                moved.times.is_finite()
                    && moved
                        .moves_mm
                        .iter()
                        .flat_map(|moves| moves.iter())
                        .all(|part| part.is_finite())
            }),
        ),
        (
            "marks",
            picture
                .worst
                .iter()
                .chain(&picture.bolts)
                .all(|spot| finite(&spot.at_mm))
                && picture
                    .loads
                    .iter()
                    .all(|load| finite(&load.at_mm) && load.toward.iter().all(|part| part.is_finite())),
        ),
    ];
    if let Some((what, _)) = faults.into_iter().find(|(_, sound)| !sound) {
        return Err(StressPictureError::NotFinite { what });
    }
    let still = |load: &&Arrow| load.toward.norm() <= 0.0;
    if let Some(load) = picture.loads.iter().find(still) {
        return Err(StressPictureError::NoWay {
            load: load.label.clone(),
        });
    }
    Ok(levels)
}

impl LevelUnit {
    /// On a line between bands: as short as can be.
    fn short(self, level: f64) -> String {
        match self {
            Self::Megapascal => limits::plain(level),
            Self::ShareOfAllowed => format!("{} %", limits::plain(100.0 * level)),
        }
    }

    /// In a table, with its unit and the other system's.
    fn long(self, level: f64) -> String {
        match self {
            Self::Megapascal => units::stress(level),
            Self::ShareOfAllowed => format!("{} % of what is allowed", limits::plain(100.0 * level)),
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Megapascal => "MPa",
            Self::ShareOfAllowed => "% of what is allowed",
        }
    }
}
