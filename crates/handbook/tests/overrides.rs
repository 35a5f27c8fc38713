//! A shop changes one value of the handbook and finds it changed, said to be its own; a slip in the asking is named.

use handbook::{Handbook, Limit, OverrideError, Status, Wanted};

#[test]
fn a_changed_value_is_the_shops_own_and_its_neighbours_are_not() {
    let book = Handbook::builtin()
        .with_override(
            "clearance_holes_inch",
            "5/16",
            "normal_in",
            "0.3390",
            "our drill index",
        )
        .expect("a row of the handbook");
    let hole = |clearance| {
        book.clearance_dia_mm("5/16-18", 7.9375, clearance)
            .expect("a row")
    };
    let normal = hole(handbook::Clearance::Normal);
    assert!((normal.value - 0.339 * 25.4).abs() < 1e-12);
    assert_eq!(
        (normal.status, normal.source.as_str()),
        (Status::Shop, "our drill index")
    );
    assert_eq!(hole(handbook::Clearance::Close).status, Status::FromMemory);
    let table = book
        .tables()
        .iter()
        .find(|table| table.name() == "clearance_holes_inch")
        .expect("the table");
    assert_eq!(
        table.changed().collect::<Vec<_>>(),
        [("5/16", "normal_in", "our drill index")]
    );
}

#[test]
fn a_limit_is_changed_in_the_unit_of_its_row() {
    let book = Handbook::builtin()
        .with_override("limits", "Seat tilt", "value", "1/2", "level by eye")
        .expect("a row of the handbook");
    assert_eq!(book.limit(Limit::SeatTilt).value, 0.5f64.to_radians());
}

#[test]
fn what_rests_on_a_changed_value_is_the_shops_own_too() {
    let book = Handbook::builtin()
        .with_override(
            "process properties",
            "plasma least_hole",
            "value",
            "1.25",
            "tried on 3/16",
        )
        .expect("a row of the handbook");
    let plasma = book.process("plasma").expect("plasma");
    assert_eq!(
        (plasma.least_hole_x_t.value, plasma.least_hole_x_t.status),
        (1.25, Status::Shop)
    );
}

#[test]
fn an_unknown_table_row_or_column_names_the_nearest() {
    let book = Handbook::builtin();
    let nearest = |table, row, column| match book.with_override(table, row, column, "1", "") {
        Err(
            OverrideError::UnknownTable { nearest, .. }
            | OverrideError::UnknownRow { nearest, .. }
            | OverrideError::UnknownColumn { nearest, .. },
        ) => nearest,
        other => panic!("{other:?}"),
    };
    assert_eq!(nearest("least_radius", "", "").as_deref(), Some("least_radii"));
    assert_eq!(nearest("gauges", "31", "steel_mm").as_deref(), None);
    assert_eq!(nearest("gauges", "11", "steel_in").as_deref(), Some("steel_mm"));
    assert_eq!(
        nearest("least_radii", "5052-H32 3/16", "radius_x_t").as_deref(),
        Some("5052-H32 3/16 in")
    );
}

#[test]
fn a_value_that_is_none_is_refused_with_what_was_wanted() {
    let book = Handbook::builtin();
    let refused = |table, row, column, value| match book.with_override(table, row, column, value, "") {
        Err(OverrideError::BadValue(cell)) => cell.wanted,
        other => panic!("{table} {row} {column} = {value}: {other:?}"),
    };
    assert_eq!(refused("gauges", "11", "steel_mm", "three"), Wanted::Positive);
    assert_eq!(refused("gauges", "11", "steel_mm", "0"), Wanted::Positive);
    assert_eq!(refused("limits", "seat gap", "value", "-1"), Wanted::Number);
    assert_eq!(refused("limits", "seat gap", "value", "NaN"), Wanted::Number);
    assert_eq!(refused("limits", "seat gap", "value", "1/0"), Wanted::Number);
    assert!(matches!(
        refused("metals", "A36", "family", "iron"),
        Wanted::Word(_)
    ));
    assert!(matches!(
        refused("instruments", "tape", "tape_class", "IV"),
        Wanted::Word(_)
    ));
    assert!(matches!(
        book.with_override("gauges", "11", "source", "me", ""),
        Err(OverrideError::FixedColumn { .. })
    ));
}

/// All rows of a table are read alike: every seventh shows that its columns take what they hold.
const EVERY_NTH_ROW: usize = 7;

#[test]
fn every_column_of_every_table_can_be_set_to_what_it_is() {
    let book = Handbook::builtin();
    for table in book.tables() {
        for row in table.rows().step_by(EVERY_NTH_ROW) {
            for (column, text) in table.columns().iter().zip(&row) {
                if !["row", "source", "status"].contains(&column.as_str()) {
                    let set = book.with_override(table.name(), row[0], column, text, "as it was");
                    assert!(set.is_ok(), "{} {} {column}: {set:?}", table.name(), row[0]);
                }
            }
        }
    }
}
