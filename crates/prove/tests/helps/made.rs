//! Changes made to the forearm plate.

use std::collections::BTreeMap;

use nalgebra::{Point3, Unit, Vector3};
use prove::helps::{CannotChange, Change, Changed, FreeMount, Kind, WindowTo, apply, candidates};

use crate::hoe;

fn made() -> Vec<(Change, Result<Changed, CannotChange>)> {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let changes = candidates(&card, &bracket, &shelf);
    changes
        .into_iter()
        .map(|change| {
            let made = apply(&change, &card, &bracket, &shelf);
            (change, made)
        })
        .collect()
}

#[test]
fn the_forearm_plate_has_changes_of_every_kind_that_can_be_made() {
    let made = made();
    let mut kinds: BTreeMap<Kind, [usize; 2]> = BTreeMap::new();
    for (change, made) in &made {
        kinds.entry(change.kind()).or_default()[usize::from(made.is_ok())] += 1;
    }
    println!("{} changes, refused and made: {kinds:?}", made.len());
    for (change, why) in made
        .iter()
        .filter_map(|(change, made)| Some((change, made.as_ref().err()?)))
    {
        println!("{change:?}: {why}");
    }
    let wanted = [
        Kind::Stock,
        Kind::Lip,
        Kind::Channel,
        Kind::Closed,
        Kind::Wider,
        Kind::Window,
        Kind::Bar,
        Kind::Gussets,
    ];
    for kind in wanted {
        assert!(
            kinds.get(&kind).is_some_and(|[_, made]| *made > 0),
            "{kind:?}: {kinds:?}"
        );
    }
    assert!((100..=260).contains(&made.len()), "{}", made.len());
}

#[test]
fn a_changed_plate_keeps_its_bolt_holes_where_they_were() {
    let part = hoe::part();
    let before = hoe::bracket(&part);
    for (change, made) in made() {
        let Ok(changed) = made else { continue };
        let after = changed.bracket(&before);
        assert_eq!(after.mounts.len(), before.mounts.len(), "{change:?}");
        for (now, mount) in after.mounts.iter().zip(&before.mounts) {
            let far = |bracket: &prove::Bracket<'_>, opening| {
                bracket.pose
                    * bracket
                        .part
                        .opening_in_space(opening)
                        .expect("a bolt hole lies in a panel")
                        .at
            };
            // The card is on the far face, which lies on the seats.
            let off_mm = (far(&after, now.opening) - far(&before, mount.opening)).norm();
            assert!(off_mm < 1e-9, "{change:?}: {} moved {off_mm}", mount.name);
        }
    }
}

#[test]
fn a_window_that_is_not_cut_saves_its_edge_and_costs_its_mass() {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let gone = Change::Window {
        opening: 5,
        to: WindowTo::Gone,
    };
    let changed = apply(&gone, &card, &bracket, &shelf).expect("the window holds nothing");
    let edge = part.openings[5]
        .shape
        .outline()
        .expect("the window is an outline");
    let grams = edge.area_mm2() * part.thickness_mm * 2680e-6;
    assert!((changed.costs.grams - grams).abs() < 1e-6);
    assert!((changed.costs.cut_mm + edge.length_mm()).abs() < 1e-6);
    assert_eq!(
        changed.openings_now,
        [Some(0), Some(1), Some(2), Some(3), Some(4), None]
    );
}

#[test]
fn a_bolt_hole_is_not_taken_for_a_window() {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let gone = Change::Window {
        opening: 0,
        to: WindowTo::Gone,
    };
    let made = apply(&gone, &card, &bracket, &shelf);
    assert_eq!(
        made,
        Err(CannotChange::InUse {
            opening: "h1".to_owned()
        })
    );
}

#[test]
fn a_lip_stands_as_high_as_its_leg() {
    let mut lips = 0;
    for (change, made) in made() {
        let (Change::Lip(lip), Ok(changed)) = (&change, made) else {
            continue;
        };
        let panel = changed.part.bends.last().expect("the lip is a bend").moving;
        let fixed = changed.part.bends.last().expect("the lip is a bend").fixed;
        let back = changed.part.panels[fixed].to_folded.inverse();
        let z_range = changed.part.z_range();
        let heights = changed.part.panels[panel]
            .flat
            .outer
            .vertices()
            .iter()
            .flat_map(|corner| {
                z_range.map(|height_mm| (back * changed.part.folded_point(panel, corner.at, height_mm)).z)
            });
        let outside_mm = match lip.way {
            sheet::Way::Up => heights.fold(f64::MIN, f64::max) - z_range[0],
            sheet::Way::Down => z_range[1] - heights.fold(f64::MAX, f64::min),
        };
        assert!((outside_mm - lip.leg_mm).abs() < 1e-6, "{change:?}: {outside_mm}");
        lips += 1;
    }
    assert!(lips > 10, "{lips}");
}

#[test]
fn a_further_mount_gets_a_hole_where_the_plate_lies_on_its_seat() {
    let (card, part, mut shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let free = |y_mm: f64, z_mm: f64| FreeMount {
        mount: prove::Mount {
            name: "spare".to_owned(),
            ..bracket.mounts[0].clone()
        },
        at: Point3::new(40.0, y_mm, z_mm),
        hole_mm: 8.7,
        gap_mm: 0.5,
        tilt_rad: 1_f64.to_radians(),
    };
    // On the side plate; over it; near its lower edge; and below that edge, which slopes down from 24 to 60 mm.
    shelf.free_mounts = vec![
        free(0.0, -30.0),
        free(3.0, -30.0),
        free(0.0, -44.0),
        free(0.0, -60.0),
    ];
    let changes = candidates(&card, &bracket, &shelf);
    assert!(changes.contains(&Change::Mount(0)) && changes.contains(&Change::Mount(1)));
    let changed = apply(&Change::Mount(0), &card, &bracket, &shelf).expect("the side plate lies on the seat");
    let after = changed.bracket(&bracket);
    assert_eq!(after.mounts.len(), 4);
    let at = after.pose
        * changed
            .part
            .opening_in_space(after.mounts[3].opening)
            .expect("it lies in a panel")
            .at;
    assert!((at - Point3::new(40.0, 0.0, -30.0)).norm() < 1e-9);
    let refused = |free| {
        apply(&Change::Mount(free), &card, &bracket, &shelf)
            .expect_err("there is no plate")
            .to_string()
    };
    assert_eq!(refused(1), "no panel lies flat on the seat of mount spare");
    assert_eq!(
        refused(2),
        "panel side reaches 4.6 mm beyond the bolt, and must reach 10.4 mm for the hole of mount spare"
    );
    assert_eq!(
        refused(3),
        "panel side ends 10.8 mm short of the bolt, and must reach 10.4 mm beyond it for the hole of mount spare"
    );
    // An opening of the same name is another: the new one is told apart.
    let mut named = card.clone();
    named.openings[0].name = "spare".to_owned();
    let changed = apply(&Change::Mount(0), &named, &bracket, &shelf).expect("the seat is the same");
    assert_eq!(
        changed.part.openings.last().map(|opening| opening.name.as_str()),
        Some("spare_2")
    );
}

#[test]
fn a_bolt_moves_along_its_slot_and_no_other_does() {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let mut bracket = hoe::bracket(&part);
    let bolts = |bracket: &prove::Bracket<'_>| -> Vec<Change> {
        let all = candidates(&card, bracket, &shelf).into_iter();
        all.filter(|change| change.kind() == Kind::Bolt).collect()
    };
    assert!(bolts(&bracket).is_empty());
    bracket.mounts[1].slides = Some(Unit::new_normalize(Vector3::x()));
    let moved = bolts(&bracket);
    assert_eq!(moved.len(), 2);
    let changed = apply(&moved[0], &card, &bracket, &shelf).expect("there is room along the slot");
    let at = |part: &sheet::Part, opening: usize| {
        bracket.pose * part.opening_in_space(opening).expect("a bolt hole").at
    };
    let by = at(&changed.part, 1) - at(&part, 1);
    assert!(
        (by.norm() - 8.0).abs() < 1e-9 && by.cross(&Vector3::x()).norm() < 1e-9,
        "{by:?}"
    );
}

#[test]
fn several_changes_in_one_part_cost_what_they_cost_alone_and_keep_their_indices() {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let changes = candidates(&card, &bracket, &shelf);
    let of = |kind: Kind| {
        changes
            .iter()
            .find(|change| change.kind() == kind)
            .expect("one of each")
            .clone()
    };
    let gone = Change::Window {
        opening: 5,
        to: WindowTo::Gone,
    };
    let both = Change::Together(vec![gone.clone(), of(Kind::Lip), of(Kind::Gussets)]);
    let made = |change: &Change| apply(change, &card, &bracket, &shelf).expect("it can be made");
    let alone: f64 = both
        .single()
        .into_iter()
        .map(|single| made(single).costs.grams)
        .sum();
    let together = made(&both);
    assert!(
        (together.costs.grams - alone).abs() < 1e-6,
        "{} {alone}",
        together.costs.grams
    );
    assert_eq!((together.costs.bends, together.costs.plates), (1, 1));
    assert_eq!(together.openings_now[5], None);
}
