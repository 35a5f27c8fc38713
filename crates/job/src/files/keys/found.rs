//! What a place of a file takes, found by its way in the tables.

use super::{DESIGN, FIT, Key, SHOP, Takes};
use crate::files::model::FileKind;
use crate::revise::Step;

/// All that the value at a place may be, each told by its type; nothing where no such place is.
pub(crate) fn takes_at(kind: FileKind, way: &[Step]) -> Vec<&'static Takes> {
    let keys: &'static [Key] = match kind {
        FileKind::Design => DESIGN,
        FileKind::Fit => FIT,
        FileKind::Shop => SHOP,
    };
    let Some((Step::Key(first), way)) = way.split_first() else {
        return Vec::new();
    };
    let mut here = Vec::new();
    named(keys, first, &mut here);
    for step in way {
        let mut next = Vec::new();
        for takes in here {
            follow(takes, step, &mut next);
        }
        here = next;
    }
    let mut told = Vec::new();
    for takes in here {
        told_apart(takes, &mut told);
    }
    told
}

fn named(keys: &'static [Key], name: &str, found: &mut Vec<&'static Takes>) {
    found.extend(keys.iter().filter(|key| key.name == name).map(|key| &key.takes));
}

fn follow(takes: &'static Takes, step: &Step, found: &mut Vec<&'static Takes>) {
    match (takes, step) {
        (Takes::Table(keys), Step::Key(name)) => named(keys, name, found),
        (Takes::Shapes(shapes), Step::Key(name)) => {
            for shape in *shapes {
                named(shape.keys, name, found);
            }
        }
        (Takes::Named { of, .. }, Step::Key(_)) | (Takes::List { of, .. }, Step::Row(_)) => found.push(*of),
        (Takes::Pair(first, _), Step::Row(0)) => found.push(*first),
        (Takes::Pair(_, second), Step::Row(1)) => found.push(*second),
        (Takes::Either(any), step) => {
            for takes in *any {
                follow(takes, step, found);
            }
        }
        _ => {}
    }
}

fn told_apart(takes: &'static Takes, told: &mut Vec<&'static Takes>) {
    match takes {
        Takes::Either(any) => {
            for takes in *any {
                told_apart(takes, told);
            }
        }
        other => told.push(other),
    }
}
