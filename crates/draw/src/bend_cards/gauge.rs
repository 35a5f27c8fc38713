//! A gauge of the finished angle, at full size, to be cut out in card.

use plane::{Point, Vector};

use super::{BendStep, GaugeSide};
use crate::canvas::{Canvas, run};
use crate::figures;
use crate::frame::Frame;
use crate::ink::{Ink, KRAFT};
use crate::lettering::{Anchor, Lettering};
use crate::table::paragraph;

/// The bar by which the printer is checked, mm.
pub(super) const BAR_MM: f64 = 50.0;
/// A gauge's arms are this long where there is room, mm: long enough to lie on a leg, short enough for a card.
const ARM_MM: f64 = 58.0;
/// Card past the notch of an outside gauge, mm.
const RIM_MM: f64 = 9.0;
/// The tip stays this far off the round inside the bend, mm.
const TIP_MM: f64 = 1.0;
/// Angles closer than this to flat, or to closed, have no gauge.
const LEAST_RAD: f64 = 0.05;

/// Draws the gauge with its words in `frame`.
pub(super) fn draw(page: &mut Canvas, frame: Frame, step: &BendStep) {
    let between_rad = std::f64::consts::PI - step.released_rad;
    let set = Lettering::SMALL;
    page.rectangle(frame, Ink::Thin, None);
    let inside = Frame::new(
        frame.left + 2.5,
        frame.top + 2.0,
        frame.width - 5.0,
        frame.height - 4.0,
    );
    let side = match step.gauge_side {
        GaugeSide::Inside => "hold it into the bend",
        GaugeSide::Outside => "hold it over the bend",
    };
    let words = format!(
        "Gauge, full size: {}. Stick it on card, cut along the line, and {side}.",
        figures::bend_angles(step.released_rad).join(", ")
    );
    let y = paragraph(
        page,
        Point::new(inside.left, inside.top),
        inside.width,
        &words,
        set,
    );
    let foot_mm = 7.5;
    let room = Frame::new(
        inside.left,
        y + 0.5,
        inside.width,
        inside.bottom() - foot_mm - y - 0.5,
    );
    if !(LEAST_RAD..=std::f64::consts::PI - LEAST_RAD).contains(&between_rad) {
        let at = Point::new(inside.left, room.top + 4.0);
        page.words(at, "No gauge: the legs lie together, or in one line.", set);
        return;
    }
    page.open("gauge");
    let shape = match step.gauge_side {
        GaugeSide::Inside => wedge(room, between_rad, step.radius_mm),
        GaugeSide::Outside => notch(room, between_rad),
    };
    page.path(&run(&shape, true), Ink::Edge, Some(KRAFT));
    page.close();
    bar(page, Point::new(inside.left, inside.bottom() - 2.0));
    let at = Point::new(inside.right(), inside.bottom() - 0.6);
    page.words(at, "must be 50.0 mm", set.anchored(Anchor::End));
}

/// The bar with its end strokes.
fn bar(page: &mut Canvas, at: Point) {
    let end = at + Vector::new(BAR_MM, 0.0);
    page.open("bar");
    page.line(at, end, Ink::Edge);
    for tick in [at, end] {
        let half = Vector::new(0.0, 1.8);
        page.line(tick - half, tick + half, Ink::Edge);
    }
    page.close();
}

/// How long the arms of an angle may be to stay in the room, its middle line upright.
fn arm(room: Frame, between_rad: f64) -> f64 {
    let half = between_rad / 2.0;
    ARM_MM
        .min(room.width / (2.0 * half.sin()))
        .min(room.height / half.cos().max(1e-6))
}

/// A wedge that fits between the legs, point down, its tip cut off where the bend is round.
fn wedge(room: Frame, between_rad: f64, radius_mm: f64) -> Vec<Point> {
    let half = between_rad / 2.0;
    let arm_mm = arm(room, between_rad);
    // The round touches the legs so far from where they would meet.
    let touches_mm = radius_mm / half.tan();
    let from_mm = (touches_mm + TIP_MM).min(arm_mm * 0.6);
    let tip = Point::new(
        room.centre().x,
        room.top + (room.height + arm_mm * half.cos()) / 2.0,
    );
    let on = |side: f64, along_mm: f64| tip + Vector::new(side * half.sin(), -half.cos()) * along_mm;
    vec![
        on(-1.0, from_mm),
        on(1.0, from_mm),
        on(1.0, arm_mm),
        on(-1.0, arm_mm),
    ]
}

/// A card with a notch that fits over the legs, point up.
fn notch(room: Frame, between_rad: f64) -> Vec<Point> {
    let half = between_rad / 2.0;
    let inner = Frame::new(
        room.left + RIM_MM,
        room.top + RIM_MM,
        room.width - 2.0 * RIM_MM,
        room.height - RIM_MM,
    );
    let arm_mm = arm(inner, between_rad);
    let (wide, high) = (arm_mm * half.sin(), arm_mm * half.cos());
    let low = room.centre().y + (high + RIM_MM) / 2.0;
    let middle = room.centre().x;
    vec![
        Point::new(middle - wide - RIM_MM, low),
        Point::new(middle - wide, low),
        Point::new(middle, low - high),
        Point::new(middle + wide, low),
        Point::new(middle + wide + RIM_MM, low),
        Point::new(middle + wide + RIM_MM, low - high - RIM_MM),
        Point::new(middle - wide - RIM_MM, low - high - RIM_MM),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn angle_at(corner: Point, one: Point, two: Point) -> f64 {
        (one - corner).angle(&(two - corner))
    }

    #[test]
    fn a_wedge_and_a_notch_have_the_angle_between_the_legs_and_stay_in_their_room() {
        let room = Frame::new(10.0, 20.0, 95.0, 44.0);
        for between_deg in [10.0_f64, 45.0, 90.0, 118.0, 150.0, 172.0] {
            let between = between_deg.to_radians();
            let notch = notch(room, between);
            assert!((angle_at(notch[2], notch[1], notch[3]) - between).abs() < 1e-9);
            let wedge = wedge(room, between, 3.0);
            let sides = (wedge[2] - wedge[1]).angle(&(wedge[3] - wedge[0]));
            assert!((sides - between).abs() < 1e-9);
            for at in notch.iter().chain(&wedge) {
                assert!(room.grown(1e-6).holds_point(*at), "{between_deg}: {at}");
            }
        }
    }

    #[test]
    fn the_tip_of_a_wedge_clears_the_round_of_the_bend() {
        let room = Frame::new(0.0, 0.0, 95.0, 60.0);
        let (between, radius_mm) = (90.0_f64.to_radians(), 6.0);
        let wedge = wedge(room, between, radius_mm);
        // The sides run on to where the legs would meet; the centre of the round is r / sin(half) from there.
        let half = between / 2.0;
        let tip_y = wedge[1].y + (wedge[1].x - room.centre().x) / half.tan();
        let centre = Point::new(room.centre().x, tip_y - radius_mm / half.sin());
        for corner in [wedge[0], wedge[1]] {
            assert!(corner.y < tip_y);
            // Farther along the leg than where the round touches it: the leg is straight there.
            assert!((corner - centre).norm() >= radius_mm - 1e-9);
        }
    }
}
