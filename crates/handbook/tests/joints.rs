//! Tables of bolts, welds and fatigue answer as published: each row of the check values by the lookup that serves it.

use handbook::{
    FatigueDetail, FatigueGroup, Handbook, HeatRows, Limit, LoadKind, Margin, Sourced, Status, Welded,
};
use published::{Row, row, rows, rows_between};

const MPA_PER_KSI: f64 = 6.894_757_293_168_361;

#[track_caller]
fn check(row: &Row, answer: Sourced<f64>) {
    row.check(answer.value);
    let status = match row.status.as_str() {
        "confirmed" => Status::Confirmed,
        "common-practice" => Status::CommonPractice,
        _ => Status::FromMemory,
    };
    assert_eq!(
        answer.status, status,
        "{row}: {} says {}",
        answer.row, answer.status
    );
}

fn beside_weld(row: &Row, metal: &str, t_mm: f64, filler: Option<&str>, rows: HeatRows) -> [Sourced<f64>; 2] {
    match Handbook::builtin().welded(metal, t_mm, filler, rows) {
        Ok(Welded::Lowered {
            yield_mpa: Some(yields),
            ultimate_mpa: Some(breaks),
            ..
        }) => [yields, breaks],
        other => panic!("{row}: {other:?}"),
    }
}

#[test]
fn the_least_pitch_of_bolts() {
    let row = row("C085");
    let pitch = Handbook::builtin().limit(Limit::BoltPitch);
    check(&row, pitch.map(|x_d0| x_d0 * row.number("d0")));
}

#[test]
fn shear_shares_of_bolt_grades() {
    for (id, grade) in [("C074", "8.8"), ("C076", "10.9")] {
        let row = row(id);
        let grade = Handbook::builtin()
            .bolt_grade(grade, 10.0)
            .expect("a grade")
            .clone();
        assert_eq!(grade.shear_share.value, row.number("alpha_v"), "{row}");
        assert_eq!(grade.ultimate_mpa.value, row.number("fub"), "{row}");
        assert_eq!(grade.shear_share.status, Status::Confirmed);
    }
}

#[test]
fn nut_factors() {
    for row in rows("nut factor K typical") {
        let factor = Handbook::builtin().nut_factor(row.text("finish"));
        check(
            &row,
            factor.unwrap_or_else(|e| panic!("{row}: {e}")).map(|k| k.usual),
        );
    }
}

#[test]
fn least_fillets() {
    for row in rows("minimum fillet leg") {
        let (over_mm, to_mm) = row.band("thinner_part_mm");
        let inside = if to_mm.is_finite() {
            (over_mm + to_mm) / 2.0
        } else {
            over_mm + 1.0
        };
        for t_mm in [inside, to_mm.min(1e3)] {
            let leg = Handbook::builtin().least_fillet_leg_mm(t_mm);
            check(&row, leg.unwrap_or_else(|| panic!("{row}: no leg")));
        }
    }
}

#[test]
fn strength_beside_a_weld() {
    let of_6061 = |id: &str| -> [Option<Sourced<f64>>; 4] {
        match Handbook::builtin().welded("6061-T6", 10.0, None, HeatRows::Extrusion) {
            Ok(Welded::Lowered {
                yield_mpa,
                ultimate_mpa,
                parent_yield_mpa,
                parent_ultimate_mpa,
            }) => [parent_yield_mpa, parent_ultimate_mpa, yield_mpa, ultimate_mpa],
            other => panic!("{id}: {other:?}"),
        }
    };
    for (i, row) in rows_between("D040", "D043").iter().enumerate() {
        check(row, of_6061(&row.id)[i].clone().expect("a value"));
    }
    for (id, over, under) in [("D044", 2, 0), ("D045", 3, 1)] {
        let values = of_6061(id);
        let part = |i: usize| values[i].clone().expect("a value");
        check(&row(id), part(over).and(part(under), |over, under| over / under));
    }
    let ksi = |value: Sourced<f64>| value.map(|mpa| mpa / MPA_PER_KSI);
    for (id, metal, t_mm, filler, rows, which) in [
        ("D046", "6061-T6", 5.0, "5356", HeatRows::Least, 1),
        ("D047", "6061-T6", 12.0, "4043", HeatRows::Least, 0),
        ("D048", "6061-T6", 5.0, "5356", HeatRows::Least, 0),
        ("D049", "5052-H32", 5.0, "5356", HeatRows::Typical, 1),
        ("D050", "5052-H32", 5.0, "5356", HeatRows::Typical, 0),
        ("D051", "6061-T6", 5.0, "4043", HeatRows::Typical, 1),
        ("D052", "6061-T6", 5.0, "4043", HeatRows::Typical, 0),
    ] {
        let row = row(id);
        let [yields, breaks] = beside_weld(&row, metal, t_mm, Some(filler), rows);
        check(&row, ksi(if which == 0 { yields } else { breaks }));
    }
}

#[test]
fn fatigue_categories() {
    use FatigueDetail as D;
    use FatigueGroup::{Aluminium, Aluminium7000, Steel};
    for (id, group, detail) in [
        ("F013", Steel, D::Plate),
        ("F014", Steel, D::DressedCut),
        ("F015", Aluminium, D::Plate),
        ("F016", Aluminium7000, D::Plate),
        ("F017", Steel, D::PlasmaCut),
        ("F018", Steel, D::transverse(50.0)),
        ("F019", Steel, D::transverse(80.0)),
        ("F020", Steel, D::longitudinal(65.0)),
        ("F021", Steel, D::longitudinal(100.0)),
        ("F022", Steel, D::longitudinal(101.0)),
        ("F023", Steel, D::FilletRoot),
    ] {
        let row = row(id);
        let category = Handbook::builtin().fatigue_category(group, detail);
        let category = category.unwrap_or_else(|e| panic!("{row}: {e}"));
        check(&row, category.map(|category| category.category_mpa));
    }
    let slope = |detail| {
        Handbook::builtin()
            .fatigue_category(Steel, detail)
            .expect("steel")
            .value
            .slope
    };
    assert_eq!([slope(D::Plate), slope(D::DressedCut)], [5.0, 3.0]);
}

#[test]
fn a_shop_changes_a_margin_and_a_load() {
    let book = Handbook::builtin()
        .with_override("margins", "yield", "value", "4", "we weld by hand")
        .and_then(|book| book.with_override("load kinds", "jam", "force_n", "800", "a strong digger"))
        .expect("rows of the handbook");
    assert_eq!(book.margin(Margin::Yield).value, 4.0);
    assert_eq!(book.margin(Margin::Ultimate).value, 5.0);
    let jam: &LoadKind = book.load_kind("jam").expect("a jam");
    let force = jam.force_n.as_ref().expect("a force");
    assert_eq!((force.value, force.status), (800.0, Status::Shop));
}
