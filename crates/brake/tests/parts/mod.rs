//! Parts made by hand: a strip of plate along x, bent across at given places, with openings where they are put.

use nalgebra::{Isometry3, Point3, Rotation2, Vector3};
use plane::{Outline, Point, Region, Vector, Vertex};
use sheet::{Bend, Blank, Face, Opening, OpeningShape, Panel, Part, Strip, Way};

/// K of every bend here: it only sets how wide the strips are.
const NEUTRAL_SHARE: f64 = 0.4;
/// Each panel's mock-up lies this much farther along than its blank, per panel: so that a rule that forgets the slide
/// between the two finds nothing where it looks.
const SLIDE_MM: f64 = 3.0;

/// An opening, where it lies on the blank and in which panel.
#[derive(Debug, Clone)]
pub struct Cut {
    panel: usize,
    opening: Opening,
}

pub fn hole(name: &str, panel: usize, at: Point, dia_mm: f64) -> Cut {
    cut(name, panel, OpeningShape::Round { at, dia_mm })
}

pub fn slot(name: &str, panel: usize, from: Point, to: Point, width_mm: f64) -> Cut {
    cut(name, panel, OpeningShape::Slot { from, to, width_mm })
}

pub fn window(name: &str, panel: usize, low: Point, high: Point) -> Cut {
    cut(
        name,
        panel,
        OpeningShape::Window(Outline::rectangle(low, high).expect("a window of the test")),
    )
}

fn cut(name: &str, panel: usize, shape: OpeningShape) -> Cut {
    Cut {
        panel,
        opening: Opening {
            name: name.to_owned(),
            shape,
        },
    }
}

/// The strip in the making.
#[derive(Debug, Clone)]
pub struct Strips {
    t_mm: f64,
    wide_mm: f64,
    legs_mm: Vec<f64>,
    bends: Vec<(f64, f64)>,
    cuts: Vec<Cut>,
    taper: Option<(f64, f64)>,
    rounded_mm: f64,
    moving_between: Option<(f64, f64)>,
    relief: Option<(f64, f64)>,
    turned_deg: f64,
}

impl Strips {
    /// Flat panels this long along x, all `wide_mm` along y, and between them bends by (degrees, inside radius).
    pub fn new(t_mm: f64, wide_mm: f64, legs_mm: &[f64], bends: &[(f64, f64)]) -> Self {
        assert_eq!(legs_mm.len(), bends.len() + 1);
        Strips {
            t_mm,
            wide_mm,
            legs_mm: legs_mm.to_vec(),
            bends: bends.to_vec(),
            cuts: Vec::new(),
            taper: None,
            rounded_mm: 0.0,
            moving_between: None,
            relief: None,
            turned_deg: 0.0,
        }
    }

    pub fn with(mut self, cut: Cut) -> Self {
        self.cuts.push(cut);
        self
    }

    /// The last panel this long at y = 0 and that long at its other side.
    pub fn tapered_to(mut self, at_0_mm: f64, at_wide_mm: f64) -> Self {
        self.taper = Some((at_0_mm, at_wide_mm));
        self
    }

    pub fn corners_rounded(mut self, radius_mm: f64) -> Self {
        self.rounded_mm = radius_mm;
        self
    }

    /// Bend and last panel only between two heights: a tab on a wider plate whose edge is half way across the strip.
    pub fn moving_only_between(mut self, low_mm: f64, high_mm: f64) -> Self {
        self.moving_between = Some((low_mm, high_mm));
        self
    }

    /// Slots beside the tab.
    pub fn relieved(mut self, width_mm: f64, past_mm: f64) -> Self {
        self.relief = Some((width_mm, past_mm));
        self
    }

    pub fn turned(mut self, degrees: f64) -> Self {
        self.turned_deg = degrees;
        self
    }

    fn place(&self, x: f64, y: f64) -> Point {
        Rotation2::new(self.turned_deg.to_radians()) * Point::new(x, y)
    }

    fn polygon(&self, corners: &[(f64, f64)]) -> Outline {
        let corners: Vec<Point> = corners.iter().map(|(x, y)| self.place(*x, *y)).collect();
        Outline::polygon(&corners).expect("an outline of the test")
    }

    pub fn part(self) -> Part {
        let count = self.legs_mm.len();
        let (low, high) = self.moving_between.unwrap_or((0.0, self.wide_mm));
        let mut x = 0.0;
        let mut edges = Vec::new();
        let mut bends = Vec::new();
        for i in 0..count {
            let from = x;
            x += self.legs_mm[i];
            edges.push((from, x));
            if let Some(&(bent_deg, radius_mm)) = self.bends.get(i) {
                let bent_rad = bent_deg.to_radians();
                let allowance_mm = bent_rad * (radius_mm + NEUTRAL_SHARE * self.t_mm);
                // The moving panel lies toward +x, to the left of a bend that runs down.
                let strip = Strip {
                    fixed: [self.place(x, high), self.place(x, low)],
                    moving: [
                        self.place(x + allowance_mm, high),
                        self.place(x + allowance_mm, low),
                    ],
                };
                bends.push(Bend {
                    name: format!("b{}", i + 1),
                    fixed: i,
                    moving: i + 1,
                    bent_rad,
                    way: Way::Up,
                    radius_mm,
                    neutral_share: NEUTRAL_SHARE,
                    set_back_mm: 0.0,
                    allowance_mm,
                    deduction_mm: 0.0,
                    strips: vec![strip],
                    along: Rotation2::new(self.turned_deg.to_radians()) * Vector::new(0.0, -1.0),
                    axis_at: Point3::origin(),
                    axis: Vector3::x_axis(),
                });
                x += allowance_mm;
            }
        }
        let panels = (0..count)
            .map(|i| {
                let slide = Vector::new(SLIDE_MM * i as f64, SLIDE_MM / 2.0);
                let flat = self.flat(i, edges[i]).translated(slide);
                Panel {
                    name: format!("p{i}"),
                    hangs_on: i.checked_sub(1),
                    as_marked: flat.clone(),
                    flat: Region::solid(flat),
                    to_blank: -slide,
                    to_folded: Isometry3::identity(),
                    openings: (0..self.cuts.len())
                        .filter(|&c| self.cuts[c].panel == i)
                        .collect(),
                    marks: Vec::new(),
                }
            })
            .collect();
        let shapes: Vec<OpeningShape> = self
            .cuts
            .iter()
            .map(|cut| self.placed(&cut.opening.shape))
            .collect();
        let holes = shapes.iter().map(outline_of).collect();
        Part {
            thickness_mm: self.t_mm,
            lines_on: Face::Marked,
            panels,
            bends,
            openings: self.cuts.iter().map(|cut| cut.opening.clone()).collect(),
            marks: Vec::new(),
            seams: Vec::new(),
            reliefs: Vec::new(),
            blank: Blank {
                region: Region::new(self.outer(&edges), holes).expect("a region of the test"),
                openings: shapes.into_iter().map(Some).collect(),
                marks: Vec::new(),
            },
        }
    }

    fn placed(&self, shape: &OpeningShape) -> OpeningShape {
        let place = |p: &Point| self.place(p.x, p.y);
        match shape {
            OpeningShape::Round { at, dia_mm } => OpeningShape::Round {
                at: place(at),
                dia_mm: *dia_mm,
            },
            OpeningShape::Slot { from, to, width_mm } => OpeningShape::Slot {
                from: place(from),
                to: place(to),
                width_mm: *width_mm,
            },
            OpeningShape::Window(outline) => {
                let corners: Vec<(f64, f64)> = outline.vertices().iter().map(|v| (v.at.x, v.at.y)).collect();
                OpeningShape::Window(self.polygon(&corners))
            }
        }
    }

    /// Panel i on the blank.
    fn flat(&self, i: usize, (from, to): (f64, f64)) -> Outline {
        let (low, high) = if i == 0 {
            (0.0, self.wide_mm)
        } else {
            self.moving_between.unwrap_or((0.0, self.wide_mm))
        };
        if i + 1 == self.legs_mm.len() {
            if let Some((at_0, at_wide)) = self.taper {
                let mut corners = vec![(from, low)];
                corners.extend((at_0 > 0.0).then_some((from + at_0, low)));
                corners.extend([(from + at_wide, high), (from, high)]);
                return self.polygon(&corners);
            }
            if self.rounded_mm > 0.0 {
                let r = self.rounded_mm;
                let quarter = (std::f64::consts::FRAC_PI_8).tan();
                let corner = |x: f64, y: f64, bulge: f64| Vertex {
                    at: self.place(x, y),
                    bulge,
                };
                return Outline::new(vec![
                    corner(from, low, 0.0),
                    corner(to - r, low, quarter),
                    corner(to, low + r, 0.0),
                    corner(to, high - r, quarter),
                    corner(to - r, high, 0.0),
                    corner(from, high, 0.0),
                ])
                .expect("an outline of the test");
            }
        }
        self.polygon(&[(from, low), (to, low), (to, high), (from, high)])
    }

    /// The blank's outside edge. Tapers and roundings are left square here: no rule reads the outer edge but by what
    /// lies beside a bend's ends.
    fn outer(&self, edges: &[(f64, f64)]) -> Outline {
        let end = edges[edges.len() - 1].1;
        let Some((low, high)) = self.moving_between else {
            return self.polygon(&[(0.0, 0.0), (end, 0.0), (end, self.wide_mm), (0.0, self.wide_mm)]);
        };
        let tangent = edges[0].1;
        let edge = (tangent + edges[1].0) / 2.0;
        let (width, past) = self.relief.unwrap_or((0.0, 0.0));
        let mut corners = vec![(0.0, 0.0), (edge, 0.0)];
        if width > 0.0 {
            corners.extend([
                (edge, low - width),
                (tangent - past, low - width),
                (tangent - past, low),
            ]);
        } else {
            corners.push((edge, low));
        }
        corners.extend([(end, low), (end, high)]);
        if width > 0.0 {
            corners.extend([
                (tangent - past, high),
                (tangent - past, high + width),
                (edge, high + width),
            ]);
        } else {
            corners.push((edge, high));
        }
        corners.extend([(edge, self.wide_mm), (0.0, self.wide_mm)]);
        self.polygon(&corners)
    }
}

fn outline_of(shape: &OpeningShape) -> Outline {
    match shape {
        OpeningShape::Round { at, dia_mm } => Outline::circle(*at, *dia_mm).expect("a hole of the test"),
        OpeningShape::Slot { from, to, width_mm } => {
            Outline::slot(*from, *to, *width_mm).expect("a slot of the test")
        }
        OpeningShape::Window(outline) => outline.clone(),
    }
}
