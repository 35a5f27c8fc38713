//! Changes that would help, in words.

use plane::Point;
use prove::ProveError;
use prove::helps::{CannotChange, Change, Changed, Dropped, Held, Shelf, Sides, Stands, Welds, WindowTo};
use sheet::{Part, Way};

use super::NotPossible;

pub(super) fn word(stands: Stands) -> &'static str {
    match stands {
        Stands::Yes => "yes",
        Stands::Care => "care",
        Stands::No => "no",
        Stands::NotChecked => "not checked",
    }
}

/// "a lip of 20 mm, up, along the edge of "side" from -34, 40 to 48, -24 mm on the card".
pub(super) fn change_words(part: &Part, shelf: &Shelf, changed: &Changed, change: &Change) -> String {
    let way = |way: Way| match way {
        Way::Up => "up",
        Way::Down => "down",
    };
    let along = |edge: [Point; 2]| {
        let middle = nalgebra::center(&edge[0], &edge[1]);
        let nearest = part.panels.iter().min_by(|a, b| {
            let off = |panel: &sheet::Panel| panel.as_marked.distance_to(middle).0;
            off(a).total_cmp(&off(b))
        });
        let name = nearest.map_or("", |panel| panel.name.as_str());
        format!(
            "\"{name}\" from {:.0}, {:.0} to {:.0}, {:.0} mm on the card",
            edge[0].x, edge[0].y, edge[1].x, edge[1].y
        )
    };
    let opening = |index: usize| {
        part.openings
            .get(index)
            .map_or("", |opening| opening.name.as_str())
    };
    match change {
        Change::Stock(plate) => {
            let name = shelf.plates.get(*plate).map_or("", |stock| stock.name.as_str());
            format!("other plate: {name}")
        }
        Change::Lip(lip) => format!(
            "a lip of {:.0} mm bent {} along the edge of {}",
            lip.leg_mm,
            way(lip.way),
            along(lip.edge)
        ),
        Change::Channel([one, other]) => format!(
            "two lips of {:.0} mm bent {}, along the edges of {}, and facing it, of {}",
            one.leg_mm,
            way(one.way),
            along(one.edge),
            along(other.edge)
        ),
        Change::Closed([one, other]) => format!(
            "two lips of {:.0} mm bent {}, closed by a flat strip welded between them, along the edges of {}, and facing it, \
             of {}",
            one.leg_mm,
            way(one.way),
            along(one.edge),
            along(other.edge)
        ),
        Change::Wider { edge, by_mm } => format!("{by_mm:.0} mm wider at the edge of {}", along(*edge)),
        Change::Window { opening: window, to } => match to {
            WindowTo::Gone => format!("the window {} not cut", opening(*window)),
            WindowTo::Smaller(by_mm) => format!(
                "the window {} smaller by {by_mm:.0} mm all round",
                opening(*window)
            ),
            WindowTo::Larger(by_mm) => format!(
                "the window {} larger by {by_mm:.0} mm all round",
                opening(*window)
            ),
        },
        Change::Bar(bar) => format!(
            "a flat bar on edge, {:.0} mm high, welded to the {} face of {}",
            bar.height_mm,
            match bar.way {
                Way::Up => "marked",
                Way::Down => "far",
            },
            along(bar.line)
        ),
        Change::Gussets(gussets) => {
            let bend = part.bends.get(gussets.bend).map_or("", |bend| bend.name.as_str());
            let many = if gussets.at.len() == 1 {
                "a gusset plate".to_owned()
            } else {
                format!("{} gusset plates", gussets.at.len())
            };
            format!(
                "{many} welded into the inside of bend {bend}, legs {:.0} and {:.0} mm",
                gussets.legs_mm[0], gussets.legs_mm[1]
            )
        }
        Change::Bolt { opening: hole, by } => {
            format!(
                "the bolt of {} moved by {:.0}, {:.0} mm on the card",
                opening(*hole),
                by.x,
                by.y
            )
        }
        Change::Mount(free) => mount_words(shelf, changed, *free),
        Change::Together(all) => {
            let each: Vec<String> = all
                .iter()
                .map(|one| change_words(part, shelf, changed, one))
                .collect();
            each.join("; and ")
        }
    }
}

/// "a further bolt, at mount "third", through a hole of 8.7 mm at 12, 34 mm on the card".
fn mount_words(shelf: &Shelf, changed: &Changed, free: usize) -> String {
    let Some(free) = shelf.free_mounts.get(free) else {
        return String::new();
    };
    let name = &free.mount.name;
    let made = changed.mounts.iter().find(|mount| mount.name == *name);
    let at = made
        .and_then(|mount| changed.mockup.openings.get(mount.opening))
        .map_or(String::new(), |opening| {
            let at = opening.shape.middle();
            format!(" at {:.0}, {:.0} mm on the card", at.x, at.y)
        });
    format!(
        "a further bolt, at mount \"{name}\", through a hole of {:.1} mm{at}",
        free.hole_mm
    )
}

/// "fillets of 3.5 mm on both sides: at most 12 MPa in the throat, under "push"; breaks at 9.1 times the load, 55 % of the
/// limit"; none when nothing is welded on.
pub(super) fn weld_words(held: &Held, changed: &Changed) -> Option<String> {
    let sides = |wanted: Sides| {
        let mut welds = changed.extra.iter().flat_map(|plate| &plate.welds);
        welds.any(|weld| weld.sides == wanted)
    };
    let on = match (sides(Sides::Both), sides(Sides::One)) {
        (true, true) => "on both sides, and on one where the other cannot be reached",
        (true, false) => "on both sides",
        (false, _) => "on one side",
    };
    let tightest = held.tightest_weld();
    match (held.welds, tightest) {
        (Welds::None, _) => None,
        (Welds::NotKnown, _) | (Welds::Checked, None) => {
            Some("its welds are not checked: too little is known of welds of this metal".to_owned())
        }
        (Welds::Checked, Some((load, weld))) => Some(format!(
            "fillets of {:.1} mm leg {on}: {} in the throat at most, under \"{load}\"; breaks at {:.1} times the load, {:.0} % of the limit",
            weld.leg_mm,
            units::stress(weld.throat.mises_mpa()),
            weld.breaks_at,
            100.0 * weld.used
        )),
    }
}

/// A mount that the part cannot use as it is; a pair of changes is not told again.
pub(super) fn no_mount(shelf: &Shelf, dropped: &Dropped<ProveError>) -> Option<NotPossible> {
    let (change, why, fix) = match dropped {
        Dropped::Cannot(change, why) => (change, why.to_string(), cannot_fix(why)),
        Dropped::Unsolved(change, why) => (
            change,
            why.to_string(),
            "take the mount out of the fit, or draw its hole into the part and see what is said of it",
        ),
    };
    let Change::Mount(free) = change else { return None };
    let name = &shelf.free_mounts.get(*free)?.mount.name;
    Some(NotPossible {
        change: format!("a further bolt, at mount \"{name}\""),
        why,
        fix: fix.to_owned(),
    })
}

fn cannot_fix(why: &CannotChange) -> &'static str {
    match why {
        CannotChange::NoPlate { .. } => "draw the panel out to it, with plate all round the hole",
        CannotChange::OpeningNear { .. } => {
            "move the opening aside, or, when its hole comes there already, give the mount that hole in place of unused"
        }
        CannotChange::OffSeat { .. } => {
            "if it does lie there, check at and axis of the mount; else bring a panel to it, or take the mount out of the fit"
        }
        _ => "draw its hole into the part, and see what is said of it",
    }
}
