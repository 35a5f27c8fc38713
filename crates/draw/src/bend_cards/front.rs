//! The first page: what to have ready, and the steps at a glance.

use plane::Point;

use super::BendCards;
use crate::bench_pages::{BenchPages, Listed};
use crate::bench_paper::{MARGIN_MM, PLAIN, cautions, lines};
use crate::figures;
use crate::table::Table;

/// Draws it, and goes on to further pages when the list is long.
pub(super) fn draw(pages: &mut BenchPages, told: &BendCards) {
    let inner_mm = pages.inner_mm();
    let at = Point::new(MARGIN_MM, pages.y);
    pages.y = lines(&mut pages.page, at, inner_mm, &told.stock, PLAIN) + 2.0;
    let at = Point::new(MARGIN_MM, pages.y);
    pages.y = cautions(&mut pages.page, at, inner_mm, &told.cautions);
    pages.list("Have ready", &told.ready, Listed::Plain);
    pages.table("Steps in order", &steps(told, inner_mm));
    if told.steps.is_empty() {
        let words = ["Nothing is bent.".to_owned()];
        pages.list("Steps in order", &words, Listed::Plain);
    }
    pages.list("Notes", &told.notes, Listed::Plain);
}

fn steps(told: &BendCards, inner_mm: f64) -> Table {
    let columns = [("step", 13.0), ("bend", 18.0), ("gauge", 35.0), ("angle", 42.0)];
    let left_mm = inner_mm - columns.iter().map(|(_, wide)| wide).sum::<f64>();
    let mut table = Table::new(&[
        columns[0],
        columns[1],
        ("tool", left_mm / 2.0),
        ("face and way round", left_mm / 2.0),
        columns[2],
        columns[3],
    ])
    .sized(3.7);
    for (index, step) in told.steps.iter().enumerate() {
        let mut lies = step.first.clone();
        lies.extend([step.face_up.clone(), step.round.clone()]);
        table.row(vec![
            vec![(index + 1).to_string()],
            vec![step.bend.clone()],
            step.tool.clone(),
            lies,
            step.stop.map_or_else(
                || vec!["to a mark".to_owned()],
                |stop| {
                    vec![
                        format!("{} mm", figures::mm(stop.distance_mm)),
                        format!("{} in", figures::inch(stop.distance_mm)),
                        super::flat::line_word(stop.to).to_owned(),
                    ]
                },
            ),
            figures::bend_angles(step.released_rad).to_vec(),
        ]);
    }
    table
}
