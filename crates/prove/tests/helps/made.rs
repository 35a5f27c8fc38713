//! Changes made to the forearm plate.

use std::collections::BTreeMap;

use prove::helps::{CannotChange, Change, Changed, Kind, WindowTo, apply, candidates};

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
