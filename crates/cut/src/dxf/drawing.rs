//! What the drawing holds: closed loops, circles, lines and words, each on its layer. Lengths mm.

use plane::{Point, Vector, Vertex};

/// What a line of the drawing is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    /// The outside edge: cut last.
    Outline,
    /// Holes, slots, windows, reliefs inside the plate: cut before the outside.
    Openings,
    /// Middle of a bend that goes toward the eye. Not cut.
    BendUp,
    /// Middle of a bend that goes away from the eye. Not cut.
    BendDown,
    /// Scribed words and lines. Not cut.
    Marks,
    /// Centres of round holes, for the centre punch and the drill. Not cut.
    DrillCentres,
}

impl Layer {
    /// Every layer, in the order in which they stand in the file.
    pub const ALL: [Layer; 6] = [
        Layer::Outline,
        Layer::Openings,
        Layer::BendUp,
        Layer::BendDown,
        Layer::Marks,
        Layer::DrillCentres,
    ];

    /// Its name in the file.
    pub fn name(self) -> &'static str {
        match self {
            Layer::Outline => "PLATE_EDGE",
            Layer::Openings => "PLATE_OPENING",
            Layer::BendUp => "FOLD_TOWARD_YOU",
            Layer::BendDown => "FOLD_AWAY",
            Layer::Marks => "SCRIBE",
            Layer::DrillCentres => "PUNCH_AND_DRILL",
        }
    }

    /// The layer of this name.
    pub fn named(name: &str) -> Option<Layer> {
        Layer::ALL.into_iter().find(|layer| layer.name() == name)
    }
}

/// A closed run of lines and arcs.
#[derive(Debug, Clone, PartialEq)]
pub struct Loop {
    /// Its layer.
    pub layer: Layer,
    /// Its corners; the last joins the first.
    pub vertices: Vec<Vertex>,
}

/// A full circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circle {
    /// Its layer.
    pub layer: Layer,
    /// Its centre.
    pub centre: Point,
    /// Its diameter.
    pub dia_mm: f64,
}

/// A straight line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Its layer.
    pub layer: Layer,
    /// Start.
    pub from: Point,
    /// End.
    pub to: Point,
}

/// One line of words.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// Their layer.
    pub layer: Layer,
    /// Lower left of the first letter.
    pub at: Point,
    /// Height of a capital.
    pub height_mm: f64,
    /// The words.
    pub text: String,
}

/// A flat drawing in mm.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drawing {
    /// Closed outlines, the outside edge first.
    pub loops: Vec<Loop>,
    /// Round holes.
    pub circles: Vec<Circle>,
    /// Bend lines and scribed lines.
    pub lines: Vec<Line>,
    /// Scribed words.
    pub words: Vec<Words>,
    /// Centres to punch and drill.
    pub centres: Vec<Point>,
}

impl Drawing {
    /// Lower left and upper right of everything that is cut, drawn or punched (words by their start), mm. Both zero for
    /// an empty drawing.
    pub fn extent_mm(&self) -> [Point; 2] {
        let mut extent = Extent::default();
        for outline in &self.loops {
            extent.take_in_loop(&outline.vertices);
        }
        for circle in &self.circles {
            let radius = circle.dia_mm / 2.0;
            extent.take_in(circle.centre - Vector::new(radius, radius));
            extent.take_in(circle.centre + Vector::new(radius, radius));
        }
        for line in &self.lines {
            extent.take_in(line.from);
            extent.take_in(line.to);
        }
        self.words.iter().for_each(|words| extent.take_in(words.at));
        self.centres.iter().for_each(|&centre| extent.take_in(centre));
        extent.corners.unwrap_or([Point::origin(); 2])
    }
}

#[derive(Default)]
struct Extent {
    corners: Option<[Point; 2]>,
}

impl Extent {
    fn take_in(&mut self, at: Point) {
        let [low, high] = self.corners.unwrap_or([at, at]);
        self.corners = Some([
            Point::new(low.x.min(at.x), low.y.min(at.y)),
            Point::new(high.x.max(at.x), high.y.max(at.y)),
        ]);
    }

    fn take_in_loop(&mut self, vertices: &[Vertex]) {
        for (i, vertex) in vertices.iter().enumerate() {
            self.take_in(vertex.at);
            let next = vertices[(i + 1) % vertices.len()].at;
            if vertex.bulge != 0.0 {
                self.take_in_arc(vertex.at, next, vertex.bulge);
            }
        }
    }

    /// The quarter points of the circle that lie on the arc.
    fn take_in_arc(&mut self, from: Point, to: Point, bulge: f64) {
        let chord = to - from;
        // From the middle of the chord to the centre, along the chord's left normal.
        let to_centre = (1.0 - bulge * bulge) / (4.0 * bulge);
        let centre = from + chord / 2.0 + Vector::new(-chord.y, chord.x) * to_centre;
        let radius = (from - centre).norm();
        let middle_side = -bulge.signum();
        for step in [Vector::x(), Vector::y(), -Vector::x(), -Vector::y()] {
            let quarter = centre + step * radius;
            // A point of the circle is on the arc when it lies on the arc's side of the chord.
            if chord.perp(&(quarter - from)) * middle_side > 0.0 {
                self.take_in(quarter);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_extent_takes_in_the_belly_of_an_arc() {
        // A slot 10 wide with round ends, from x = 0 to x = 30 between centres.
        let corner = |x: f64, y: f64, bulge: f64| Vertex {
            at: Point::new(x, y),
            bulge,
        };
        let slot = Loop {
            layer: Layer::Outline,
            vertices: vec![
                corner(0.0, -5.0, 0.0),
                corner(30.0, -5.0, 1.0),
                corner(30.0, 5.0, 0.0),
                corner(0.0, 5.0, 1.0),
            ],
        };
        let [low, high] = Drawing {
            loops: vec![slot],
            ..Drawing::default()
        }
        .extent_mm();
        assert!((low - Point::new(-5.0, -5.0)).norm() < 1e-12, "{low}");
        assert!((high - Point::new(35.0, 5.0)).norm() < 1e-12, "{high}");
    }

    #[test]
    fn layers_are_found_by_their_names_and_differ() {
        for layer in Layer::ALL {
            assert_eq!(Layer::named(layer.name()), Some(layer));
        }
        assert_eq!(Layer::named("0"), None);
    }
}
