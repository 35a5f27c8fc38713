//! Random sheets: whatever is written reads back right. `GUSSET_CASES` sets how many, for a long soak.

use cut::gcode::{ArcCentres, ArcPieces, Compensation, Dialect, ProgramUnit};
use plane::{Outline, Point, Region, Vector};
use proptest::prelude::*;

use crate::sheet::{Lead, Sheet, rounded_rectangle};

/// A part within a cell of 120 mm about its middle.
fn part() -> impl Strategy<Value = Region> {
    let disc = (40.0..90.0_f64, 6.0..30.0_f64, -2.0..2.0_f64).prop_map(|(dia, hole, off)| {
        let outer = Outline::circle(Point::origin(), dia).expect("a disc");
        let hole = Outline::circle(Point::new(off, -off), hole).expect("a hole");
        Region::new(outer, vec![hole]).expect("a ring")
    });
    let plate = (
        30.0..100.0_f64,
        40.0..100.0_f64,
        0.5..12.0_f64,
        5.0..12.0_f64,
        0.1..3.0_f64,
    )
        .prop_map(|(width, height, radius, hole, slant)| {
            let (x, y) = (width / 2.0, height / 2.0);
            let outer = rounded_rectangle(Point::new(-x, -y), Point::new(x, y), radius);
            let slot = Outline::slot(
                Point::new(-4.0, 8.0 - slant),
                Point::new(4.0, 8.0 + slant),
                hole / 2.0 + 3.0,
            );
            let round = Outline::circle(Point::new(0.0, -8.0), hole).expect("a hole");
            Region::new(outer, vec![slot.expect("a slot"), round]).expect("a plate")
        });
    let bar = (
        10.0..40.0_f64,
        20.0..40.0_f64,
        0.0..std::f64::consts::TAU,
        4.0..15.0_f64,
    )
        .prop_map(|(half, width, turn, hole)| {
            let along = Vector::new(turn.cos(), turn.sin()) * half;
            let outer =
                Outline::slot(Point::origin() - along, Point::origin() + along, width).expect("a bar");
            let hole = Outline::circle(Point::origin() + along, hole).expect("a hole");
            Region::new(outer, vec![hole]).expect("a bar")
        });
    let angle = (20.0..60.0_f64, 15.0..30.0_f64, 0.0..std::f64::consts::TAU).prop_map(|(leg, wide, turn)| {
        let points: Vec<Point> = [
            (0.0, 0.0),
            (leg + wide, 0.0),
            (leg + wide, wide),
            (wide, wide),
            (wide, leg + wide),
            (0.0, leg + wide),
        ]
        .into_iter()
        .map(|(x, y)| Point::new(x - leg / 2.0, y - leg / 2.0))
        .collect();
        let outer = Outline::polygon(&points).expect("an angle");
        Region::solid(outer).transformed(&nalgebra::Isometry2::rotation(turn))
    });
    prop_oneof![disc, plate, bar, angle]
}

pub fn sheet() -> impl Strategy<Value = Sheet> {
    let parts = prop::collection::vec(part(), 1..7);
    (parts, 0.4..2.4_f64, any::<bool>(), -50.0..1300.0_f64).prop_map(|(parts, kerf_mm, arc, zero)| {
        let placed = parts
            .into_iter()
            .enumerate()
            .map(|(i, part)| {
                let (column, row) = (i % 3, i / 3);
                part.translated(Vector::new(
                    110.0 + 170.0 * column as f64,
                    110.0 + 170.0 * row as f64,
                ))
            })
            .collect();
        let mut sheet = Sheet::new(placed, kerf_mm, if arc { Lead::Arc } else { Lead::Line });
        sheet.zero = Point::new(zero, -zero / 3.0);
        sheet
    })
}

pub fn count() -> u32 {
    const IN_A_PLAIN_RUN: u32 = 48;
    std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(IN_A_PLAIN_RUN)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(count()))]

    #[test]
    fn every_sheet_reads_back_right(sheet in sheet(), form in 0..4_u8) {
        let plain = Dialect::default();
        let dialect = match form {
            0 => plain,
            1 => Dialect { unit: ProgramUnit::Inch, decimals_n: 5, ..plain },
            2 => Dialect { arc_centres: ArcCentres::Absolute, arc_pieces: ArcPieces::QuarterTurns, ..plain },
            // A lead that is no straight line is no shift: such cuts are shifted here.
            _ => Dialect { compensation: Compensation::MachineWidth, ..plain },
        };
        let checked = cut::gcode::checked_program(&sheet.work(), &dialect, &sheet.on());
        prop_assert!(checked.is_ok(), "{:#?}\n{}", checked, cut::gcode::write_program(&sheet.work(), &dialect)?.text);
    }

    #[test]
    fn a_cut_that_is_moved_turned_or_wider_is_never_let_through(
        sheet in sheet(),
        which in any::<prop::sample::Index>(),
        how in 0..4_u8,
        by_mm in 0.03..9.0_f64,
        toward in 0.0..std::f64::consts::TAU,
    ) {
        let mut worse = sheet;
        let cut = which.index(worse.cuts.len());
        let cut = &mut worse.cuts[cut];
        let box_of = |cut: &cut::Cut| {
            let edges = cut.track.segments().map(|edge| edge.bounds());
            edges
                .reduce(|(low, high), (l, h)| {
                    (Point::new(low.x.min(l.x), low.y.min(l.y)), Point::new(high.x.max(h.x), high.y.max(h.y)))
                })
                .expect("a track has edges")
        };
        let (low, high) = box_of(cut);
        let middle = nalgebra::center(&low, &high);
        let along = Vector::new(toward.cos(), toward.sin());
        for vertex in &mut cut.track.vertices {
            match how {
                // Moved as a whole.
                0 => vertex.at += along * by_mm,
                // Larger or smaller about its middle.
                1 => vertex.at += (vertex.at - middle) * (by_mm / 100.0),
                2 => vertex.at -= (vertex.at - middle) * (by_mm / 100.0),
                // Mirrored, so that it runs the other way and leads in on the other side, and moved: farther than a lead in
                // its box could make up for, because a mirrored circle is a circle.
                _ => {
                    vertex.at.x = 2.0 * middle.x - vertex.at.x + by_mm + 6.0;
                    vertex.bulge = -vertex.bulge;
                }
            }
        }
        let size = high - low;
        let seen_mm = match how {
            1 | 2 => size.x.min(size.y) / 2.0 * by_mm / 100.0,
            _ => by_mm,
        };
        // Under the tolerance it is no damage.
        if seen_mm <= 0.025 {
            return Ok(());
        }
        let checked = cut::gcode::checked_program(&worse.work(), &Dialect::default(), &worse.on());
        prop_assert!(checked.is_err(), "{}", checked.map(|program| program.text).unwrap_or_default());
    }
}
