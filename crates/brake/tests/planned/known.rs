//! Parts whose answer a fabricator knows.

use brake::order::{Block, Outcome, What};
use brake::sweep::ToolSolid;
use brake::tooling::Tooling;

use crate::card::{order, pan, planned, strip, work};

#[test]
fn the_starter_tools_are_sound() {
    assert_eq!(Tooling::starter().check(), []);
}

#[test]
fn show() {
    for (name, legs, bends) in [
        ("angle", vec![40.0, 40.0], vec![90.0]),
        ("channel", vec![40.0, 60.0, 40.0], vec![90.0, 90.0]),
        ("narrow channel", vec![60.0, 30.0, 60.0], vec![90.0, 90.0]),
        ("hat", vec![30.0, 40.0, 60.0, 40.0, 30.0], vec![-90.0, 90.0, 90.0, -90.0]),
        ("zed", vec![40.0, 40.0, 40.0], vec![90.0, -90.0]),
        ("offset", vec![60.0, 20.0, 60.0], vec![45.0, -45.0]),
        ("returns", vec![15.0, 40.0, 100.0, 40.0, 15.0], vec![90.0, 90.0, 90.0, 90.0]),
        ("box tube", vec![40.0, 60.0, 60.0, 60.0, 15.0], vec![90.0, 90.0, 90.0, 90.0]),
    ] {
        let work = work(&strip(100.0, &legs, &bends));
        let outcome = planned(&work, &Tooling::starter_brake());
        println!("{name}: {:?}", order(&work, &outcome));
        match &outcome {
            Outcome::Plan(plan) => for step in &plan.steps { println!("   {:?} {:?} {:?} {:?} clear {:?} gauge {:?} {:?}", step.lines, step.means, step.tool_mm, step.round, step.clearance, step.gauge, step.effort); },
            Outcome::None(none) => { println!("   {:?}", none.proof); for b in &none.blocked { println!("   {b:?}"); } }
        }
    }
    let work = work(&pan(120.0, 80.0, 25.0));
    for tooling in [Tooling::starter_brake(), Tooling::starter_folder(), Tooling::starter_vice()] {
        let outcome = planned(&work, &tooling);
        println!("pan: {:?}", order(&work, &outcome));
        match &outcome {
            Outcome::Plan(plan) => for step in &plan.steps { println!("   {:?} {:?} {:?} {:?} clear {:?} {:?}", step.lines, step.means, step.tool_mm, step.round, step.clearance, step.effort); },
            Outcome::None(none) => { println!("   {:?}", none.proof); for b in &none.blocked { println!("   {b:?}"); } }
        }
    }
    let _ = (What::Tool(ToolSolid::Punch), Block::NoTools);
}
