//! A starter set of generic shapes, our own round figures: common practice, no source. A shop writes its own.

use handbook::Family;
use plane::{Outline, Point};

use super::{
    Away, Capacity, Die, Folder, JawsOpen, Lengths, Press, Punch, Tooling, Vice, ViceBody, plain_die,
};

/// The sections that a sectioned tool is cut into, mm.
const SECTIONS_MM: [f64; 8] = [10.0, 15.0, 20.0, 40.0, 50.0, 100.0, 200.0, 300.0];
/// Nose to seat of every starter punch, mm.
const PUNCH_MM: f64 = 100.0;
/// Top to foot of every starter die, mm.
const DIE_MM: f64 = 60.0;
const SHOULDER_MM: f64 = 1.5;

impl Tooling {
    /// A press brake of 300 kN and 1.25 m with a straight and an acute punch and dies of V 8 to 40 mm.
    pub fn starter_brake() -> Tooling {
        let mut dies: Vec<Die> = [8.0, 12.0, 16.0, 24.0, 40.0]
            .map(|opening_mm| vee(opening_mm, 85.0))
            .into();
        dies.push(vee(16.0, 30.0));
        Tooling {
            presses: vec![Press {
                name: "small brake".to_owned(),
                length_mm: 1250.0,
                between_uprights_mm: 1050.0,
                throat_mm: 200.0,
                force_n: 300e3,
                daylight_mm: 320.0,
                stroke_mm: 100.0,
                ram: polygon(&[
                    (-30.0, 0.0),
                    (30.0, 0.0),
                    (30.0, 120.0),
                    (60.0, 120.0),
                    (60.0, 400.0),
                    (-30.0, 400.0),
                ]),
                // A rail as narrow as the dies, so that a leg that is already down hangs beside it.
                bed: polygon(&[
                    (-14.0, 0.0),
                    (-14.0, -80.0),
                    (-60.0, -80.0),
                    (-60.0, -600.0),
                    (60.0, -600.0),
                    (60.0, -80.0),
                    (14.0, -80.0),
                    (14.0, 0.0),
                ]),
                gauge_mm: [6.0, 500.0],
            }],
            punches: vec![straight_punch(), acute_punch()],
            dies,
            ..Tooling::default()
        }
    }

    /// The punch to ask for when a leg that is already up meets the straight one: its front is cut away.
    pub fn relieved_punch() -> Punch {
        Punch {
            name: "relieved punch 80".to_owned(),
            // The nose carries on a neck that leans back and comes forward again under the seat.
            profile: polygon(&[
                (0.0, 0.0),
                (2.52, 3.0),
                (12.0, 14.3),
                (38.0, 40.0),
                (38.0, 66.0),
                (13.0, 86.0),
                (13.0, 100.0),
                (-13.0, 100.0),
                (-13.0, 86.0),
                (12.0, 62.0),
                (12.0, 44.0),
                (-2.52, 3.0),
            ]),
            angle_rad: 80f64.to_radians(),
            nose_mm: 0.8,
            height_mm: PUNCH_MM,
            lengths: sections(),
            most_n_per_mm: 400.0,
        }
    }

    /// Dies to ask for when a leg is too short for those that are there: narrow, with sharp shoulders, and a thin wall beside
    /// the V.
    pub fn narrow_dies() -> [Die; 2] {
        const SHARP_MM: f64 = 0.5;
        const WALL_MM: f64 = 3.0;
        [6.0, 8.0].map(|opening_mm| {
            let half_mm = opening_mm / 2.0 + WALL_MM;
            Die {
                name: format!("V {opening_mm} die, narrow"),
                profile: plain(2.0 * half_mm),
                shoulder_mm: SHARP_MM,
                most_n_per_mm: 600.0,
                ..vee(opening_mm, 85.0)
            }
        })
    }

    /// A box-and-pan folder of 600 mm for thin plate.
    pub fn starter_folder() -> Tooling {
        Tooling {
            folders: vec![Folder {
                name: "box folder".to_owned(),
                length_mm: 610.0,
                fingers: Lengths::Sections(vec![25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 125.0, 165.0]),
                finger: polygon(&[(0.0, 0.0), (90.0, 0.0), (90.0, 100.0), (68.0, 100.0), (0.8, 2.0)]),
                finger_depth_mm: 100.0,
                beam: polygon(&[(60.0, 100.0), (150.0, 100.0), (150.0, 200.0), (120.0, 200.0)]),
                bed: polygon(&[
                    (0.0, 0.0),
                    (0.0, -30.0),
                    (20.0, -200.0),
                    (300.0, -200.0),
                    (300.0, 0.0),
                ]),
                apron: polygon(&[(-0.5, 0.0), (-110.0, 0.0), (-110.0, -12.0), (-0.5, -12.0)]),
                clamp_lift_mm: 45.0,
                nose_mm: 1.0,
                swing_rad: 120f64.to_radians(),
                capacity: capacity(1.5, 2.0, 1.0),
                least_clamped_mm: 12.0,
                least_swung_mm: 8.0,
            }],
            ..Tooling::default()
        }
    }

    /// A bench vice with angle jaws and blocks of up to 160 mm.
    pub fn starter_vice() -> Tooling {
        Tooling {
            vices: vec![Vice {
                name: "bench vice".to_owned(),
                jaws: Lengths::Sections(vec![30.0, 50.0, 80.0]),
                opens: JawsOpen::Sideways,
                deep_mm: 80.0,
                body: Some(Tooling::vice_body()),
                inner: polygon(&[(0.0, 0.0), (40.0, 0.0), (40.0, 25.0), (6.0, 25.0), (0.0, 6.0)]),
                outer: polygon(&[(2.0, 0.0), (2.0, -25.0), (40.0, -25.0), (40.0, 0.0)]),
                nose_mm: 2.0,
                swing_rad: 100f64.to_radians(),
                capacity: capacity(3.2, 5.0, 2.0),
                drawn_mm: 75.0,
                least_clamped_mm: 15.0,
                least_drawn_mm: 15.0,
            }],
            ..Tooling::default()
        }
    }

    /// The body and the screw of a bench vice of 125 mm, for one that nobody has measured.
    pub fn vice_body() -> ViceBody {
        ViceBody {
            wide_mm: 125.0,
            out_mm: 60.0,
            under_mm: 12.0,
            screw_mm: 40.0,
        }
    }

    /// Two flat bars bolted together at their ends with the plate between, one of them held in the vice: made in any shop,
    /// and thin enough to stand within a shape that is nearly closed, from which they are drawn off along the bend.
    pub fn fold_bars() -> Vice {
        Vice {
            name: "fold bars".to_owned(),
            jaws: Lengths::Whole(200.0),
            // A bolt of 8 mm with its washer, and a little beside it.
            opens: JawsOpen::Unbolted { end_mm: 20.0 },
            deep_mm: 20.0,
            // One of them stands out past the plate, and is held there.
            body: None,
            inner: polygon(&[(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (3.0, 10.0), (0.0, 5.0)]),
            outer: polygon(&[(2.0, 0.0), (2.0, -10.0), (20.0, -10.0), (20.0, 0.0)]),
            nose_mm: 2.0,
            swing_rad: 120f64.to_radians(),
            capacity: capacity(2.0, 3.0, 1.5),
            drawn_mm: 100.0,
            least_clamped_mm: 8.0,
            least_drawn_mm: 10.0,
        }
    }

    /// What a shop with a large brake usually takes in.
    pub fn starter_away() -> Away {
        Away {
            length_mm: 2500.0,
            capacity: capacity(10.0, 10.0, 8.0),
            least_leg_x_t: 4.0,
            largest_bend_rad: 150f64.to_radians(),
        }
    }
}

fn capacity(steel_mm: f64, aluminium_mm: f64, stainless_mm: f64) -> Vec<Capacity> {
    [
        (Family::Steel, steel_mm),
        (Family::Aluminium, aluminium_mm),
        (Family::Stainless, stainless_mm),
    ]
    .map(|(family, thickest_mm)| Capacity { family, thickest_mm })
    .into()
}

fn sections() -> Lengths {
    Lengths::Sections(SECTIONS_MM.to_vec())
}

/// Shoulders 26 mm across, a flank of 85 degrees down to the nose.
fn straight_punch() -> Punch {
    Punch {
        name: "straight punch 85".to_owned(),
        profile: polygon(&[
            (0.0, 0.0),
            (5.5, 6.0),
            (5.5, 60.0),
            (13.0, 75.0),
            (13.0, 100.0),
            (-13.0, 100.0),
            (-13.0, 75.0),
            (-5.5, 60.0),
            (-5.5, 6.0),
        ]),
        angle_rad: 85f64.to_radians(),
        nose_mm: 1.0,
        height_mm: PUNCH_MM,
        lengths: sections(),
        most_n_per_mm: 1000.0,
    }
}

fn acute_punch() -> Punch {
    Punch {
        name: "acute punch 28".to_owned(),
        profile: polygon(&[
            (0.0, 0.0),
            (1.0, 4.0),
            (13.0, 52.0),
            (13.0, 100.0),
            (-13.0, 100.0),
            (-13.0, 52.0),
            (-1.0, 4.0),
        ]),
        angle_rad: 28.5f64.to_radians(),
        nose_mm: 1.0,
        height_mm: PUNCH_MM,
        lengths: sections(),
        most_n_per_mm: 600.0,
    }
}

fn vee(opening_mm: f64, angle_deg: f64) -> Die {
    // A wall beside the V of a quarter of its opening, 5 mm at least.
    let half_mm = opening_mm / 2.0 + (opening_mm / 4.0).max(5.0);
    let acute = if angle_deg < 60.0 { " acute" } else { "" };
    Die {
        name: format!("V {opening_mm} die{acute}"),
        profile: plain(2.0 * half_mm),
        opening_mm,
        angle_rad: angle_deg.to_radians(),
        shoulder_mm: SHOULDER_MM,
        height_mm: DIE_MM,
        lengths: sections(),
        most_n_per_mm: if angle_deg < 60.0 { 600.0 } else { 1000.0 },
    }
}

/// A die's outline, the bar without its V.
fn plain(width_mm: f64) -> Outline {
    sound(plain_die(width_mm, DIE_MM))
}

/// Punches, finger and jaws are drawn by their corners: they differ from the common sections of [`super::shapes`] by more than
/// 0.01 mm, as their noses are drawn as the edge that the flanks would meet in, set a little back, and a finger's tip is cut off.
fn polygon(corners: &[(f64, f64)]) -> Outline {
    let corners: Vec<Point> = corners.iter().map(|(x, y)| Point::new(*x, *y)).collect();
    sound(Outline::polygon(&corners))
}

fn sound<E: std::fmt::Display>(made: Result<Outline, E>) -> Outline {
    match made {
        Ok(outline) => outline,
        Err(fault) => unreachable!("the starter shapes are sound: {fault}"),
    }
}
