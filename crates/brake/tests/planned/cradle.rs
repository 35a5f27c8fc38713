//! The plate of the camera cradle as its job finds it, 3 mm 5052-H32: its first form has a lip that no die of the starter
//! brake holds.

use brake::needs::{Practice, Stop};
use brake::order::{Block, Outcome, Weights, plan};
use brake::tooling::Tooling;
use brake::why_not::{Change, Explanation, Offered, explain, repairs};
use brake::work::{Stock, Work};
use handbook::Handbook;
use plane::Point;
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Relief, Way};

use crate::card::card;

fn cradle(lip_mm: f64) -> Mockup {
    let front = 32.0;
    let corners = [
        (-72.0, -32.0),
        (42.0, -32.0),
        (43.1244, -58.459),
        (14.1367, -166.6427),
        (74.0241, -182.6894),
        (103.0118, -74.5058),
        (104.0, -32.0),
        (108.0, -32.0),
        (108.0, front),
        (100.0, front),
        (100.0, front + lip_mm),
        (-30.0, front + lip_mm),
        (-30.0, front),
        (-72.0, front),
        (-72.0, 30.0),
        (-138.0, 30.0),
        (-138.0, -30.0),
        (-72.0, -30.0),
    ];
    let bend = |name: &str, from: (f64, f64), to: (f64, f64), way| Crease {
        name: name.to_owned(),
        from: Point::new(from.0, from.1),
        to: Point::new(to.0, to.1),
        bent_rad: 90f64.to_radians(),
        way,
        radius_mm: 4.5,
        neutral_share: 0.369,
        relief: Relief::Auto { least_width_mm: 1.0 },
    };
    let creases = vec![
        bend("wall", (-72.0, -30.0), (-72.0, 30.0), Way::Up),
        bend("lip", (-30.0, front), (100.0, front), Way::Up),
        bend("rear", (42.0, -32.0), (104.0, -32.0), Way::Down),
        bend("trough", (43.1244, -58.459), (103.0118, -74.5058), Way::Up),
    ];
    let door = plane::Outline::rectangle(Point::new(8.0, -11.75), Point::new(42.0, 11.75)).expect("the door");
    Mockup {
        lines_on: Face::Marked,
        openings: vec![Opening {
            name: "door".to_owned(),
            shape: OpeningShape::Window(door),
        }],
        ..card(&corners, creases, Some((0.0, 0.0)))
    }
}

fn work(lip_mm: f64) -> Work {
    let book = Handbook::builtin();
    let part = sheet::develop(&cradle(lip_mm), 3.0).unwrap_or_else(|fault| panic!("{fault}"));
    let stock = Stock::of(&book, "5052-H32", 3.0).expect("a metal of the handbook");
    Work::of(&part, Some(stock), Practice::of(&book).closed_past_rad.value).expect("work")
}

#[test]
fn the_first_form_cannot_be_bent_at_its_lip_of_6_mm_and_is_mended_by_lengthening_it() {
    let (work, tooling, practice) = (
        work(6.0),
        Tooling::starter_brake(),
        Practice::of(&Handbook::builtin()),
    );
    let Ok(Outcome::None(none)) = plan(&work, &tooling, &practice, &Weights::default()) else {
        panic!("a lip of 6 mm on 3 mm plate is bent on the starter brake");
    };
    let why = explain(&work, &tooling, &practice, &none);
    let Explanation::Alone(blocked) = &why else {
        panic!("{why:?}")
    };
    assert_eq!(work.lines[blocked.line].name, "lip");
    assert!(
        matches!(blocked.why, Block::Stop(Stop::Leg { .. })),
        "{blocked:?}"
    );
    let found = repairs(
        &work,
        &tooling,
        &practice,
        &Weights::default(),
        &why,
        &Offered::starter(),
    )
    .repairs;
    let longer = found.iter().find_map(|repair| match repair.change {
        Change::Leg { by_mm, panel, .. } if work.lines[blocked.line].moving == panel => Some(by_mm),
        _ => None,
    });
    assert!(
        longer.is_some_and(|by_mm| by_mm > 0.0 && by_mm < 8.0),
        "{:?}",
        found.iter().map(|f| &f.change).collect::<Vec<_>>()
    );
}

#[test]
fn the_second_form_with_a_lip_of_15_mm_is_bent() {
    let (work, practice) = (work(15.0), Practice::of(&Handbook::builtin()));
    let outcome =
        plan(&work, &Tooling::starter_brake(), &practice, &Weights::default()).expect("sound tools");
    let plan = outcome.plan().unwrap_or_else(|| panic!("{outcome:?}"));
    assert_eq!(plan.steps.len(), 4);
    assert!(plan.steps.iter().all(|step| step.loaded_rad > step.to_rad));
}
