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
    let work = work(&pan(120.0, 80.0, 25.0));
    for tooling in [
        Tooling::starter_brake(),
        Tooling::starter_folder(),
        Tooling::starter_vice(),
    ] {
        let outcome = planned(&work, &tooling);
        println!("pan: {:?}", order(&work, &outcome));
        match &outcome {
            Outcome::Plan(plan) => {
                for step in &plan.steps {
                    println!(
                        "   {:?} {:?} {:?} {:?} clear {:?} {:?}",
                        step.lines, step.means, step.tool_mm, step.round, step.clearance, step.effort
                    );
                }
            }
            Outcome::None(none) => {
                println!("   {:?}", none.proof);
                for b in &none.blocked {
                    println!("   {b:?}");
                }
            }
        }
    }
    let _ = (What::Tool(ToolSolid::Punch), Block::NoTools);
}
