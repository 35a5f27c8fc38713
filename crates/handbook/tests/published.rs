//! The handbook answers as published: every row of the check values that a lookup can serve, by the lookup itself.

use handbook::{
    Bolt, Clearance, Family, GeneralClass, Handbook, Hardness, Limit, Metal, Sourced, Status,
    din_6935_compensation_mm, din_6935_k, standard_from_largest, stress_area_mm2,
};
use published::{Row, row, rows, rows_between, rows_starting};

const MM_PER_IN: f64 = 25.4;
const MPA_PER_KSI: f64 = 6.894_757_293_168_361;

/// What is known only from memory must be told as such, and what is confirmed must not be told as less.
#[track_caller]
fn check_as_sure<T>(row: &Row, answer: &Sourced<T>) {
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

#[track_caller]
fn check(row: &Row, answer: Sourced<f64>) {
    row.check(answer.value);
    check_as_sure(row, &answer);
}

fn metal<'a>(book: &'a Handbook, row: &Row, name: &str) -> &'a Metal {
    book.metal(name).unwrap_or_else(|error| panic!("{row}: {error}"))
}

fn t_mm(row: &Row) -> f64 {
    row.number("t_in") * MM_PER_IN
}

#[test]
fn setback_factors() {
    let book = Handbook::builtin();
    for row in rows("setback K = tan(bend/2)") {
        let bent_deg = row.number("bend_deg");
        let factor = book
            .setback_factor(bent_deg)
            .unwrap_or_else(|| panic!("{row}: no factor"));
        check(&row, factor);
        row.check((bent_deg.to_radians() / 2.0).tan());
    }
    for row in rows_starting("setback for 1") {
        let factor = book
            .setback_factor(row.number("bend_deg"))
            .unwrap_or_else(|| panic!("{row}: no factor"));
        row.check(factor.value * (row.number("r") + row.number("t")));
    }
}

#[test]
fn din_6935() {
    for row in rows_starting("DIN 6935 k ") {
        let answer = din_6935_k(row.number("r_over_s"));
        check(&row, answer.map(|din| din.k));
    }
    for row in rows("K-factor = k/2") {
        check(
            &row,
            din_6935_k(row.number("r_over_s")).map(|din| din.neutral_share),
        );
    }
    for row in rows("DIN 6935 compensation v (L=a+b+v)") {
        let opening_rad = row.number("opening_angle").to_radians();
        check(
            &row,
            din_6935_compensation_mm(opening_rad, row.number("r"), row.number("s")),
        );
    }
}

#[test]
fn generic_neutral_share() {
    let book = Handbook::builtin();
    for row in rows("generic air-bend K-factor") {
        let hardness = match row.text("material") {
            "soft" => Hardness::Soft,
            "medium" => Hardness::Medium,
            "hard" => Hardness::Hard,
            other => panic!("{row}: {other}"),
        };
        // The band's inside and its closed end, in a plate 3 mm thick.
        let radii_mm = match row.inputs.split(';').next() {
            Some("radius_band=0<r<=t") => [1.5, 3.0],
            Some("radius_band=t<r<=3t") => [3.1, 9.0],
            Some("radius_band=r>3t") => [9.1, 90.0],
            other => panic!("{row}: {other:?}"),
        };
        for r_mm in radii_mm {
            check(
                &row,
                book.generic_k_of(hardness, r_mm, 3.0)
                    .unwrap_or_else(|e| panic!("{row}: {e}")),
            );
        }
    }
}

#[test]
fn least_inside_radii() {
    let book = Handbook::builtin();
    for row in rows_starting("min inside radius, 90 deg cold bend") {
        let least = book.least_radius_mm(row.text("alloy"), t_mm(&row));
        check(
            &row,
            least
                .unwrap_or_else(|e| panic!("{row}: {e}"))
                .map(|r_mm| r_mm / t_mm(&row)),
        );
    }
    for row in rows_starting("recommended radius range") {
        let range = book.recommended_radii_mm(row.text("alloy"), t_mm(&row));
        let range = range.unwrap_or_else(|e| panic!("{row}: {e}"));
        let end = |(lower, upper)| {
            if row.topic.ends_with("lower") {
                lower
            } else {
                upper
            }
        };
        check(&row, range.map(|range| end(range) / t_mm(&row)));
    }
    let metals = ["6061-T6", "5052-H32"];
    for row in rows("standard inside bend radius (design book)") {
        // The two aluminium rows of the design book: the least radii above must not ask for more than it.
        if metals.contains(&row.text("material")) {
            let least = book.least_radius_mm(row.text("material"), t_mm(&row));
            let least = least.unwrap_or_else(|e| panic!("{row}: {e}")).value / MM_PER_IN;
            assert!(least <= row.expected_number() + 1e-9, "{row}: least {least} in");
            continue;
        }
        for name in row.text("material").split('/') {
            let standard = book.standard_radius_mm(name, t_mm(&row));
            check(
                &row,
                standard
                    .unwrap_or_else(|e| panic!("{row}: {e}"))
                    .map(|r_mm| r_mm / MM_PER_IN),
            );
        }
    }
}

#[test]
fn v_dies() {
    let book = Handbook::builtin();
    for row in rows("V-die opening / t") {
        for t_mm in [row.number("t_from"), row.number("t_to")] {
            let opening = book
                .vdie_opening_mm(t_mm)
                .unwrap_or_else(|e| panic!("{row}: {e}"));
            check(&row, opening.map(|v_mm| v_mm / t_mm));
        }
    }
    let steel = row("A091");
    check(
        &steel,
        book.air_radius_mm(Family::Steel, steel.number("V"))
            .expect("steel has a share"),
    );
    let soft = row("A092");
    let radius = book.air_radius_mm(Family::Aluminium, soft.number("V_in") * MM_PER_IN);
    check(
        &soft,
        radius
            .expect("aluminium has a share")
            .map(|r_mm| r_mm / MM_PER_IN),
    );
}

#[test]
fn bending_limits() {
    let book = Handbook::builtin();
    let least = |row: &Row, limit| {
        book.limit(limit)
            .map(|x_t| x_t * row.number("t") + row.number("r"))
    };
    check(&row("A115"), least(&row("A115"), Limit::HoleToBend));
    check(&row("A116"), least(&row("A116"), Limit::LegPerThickness));
    check(&row("A117"), book.least_leg_mm(row("A117").number("V")));
    check(
        &row("A118"),
        book.limit(Limit::ReliefWidth)
            .map(|x_t| x_t * row("A118").number("t")),
    );
    check(&row("A119"), book.limit(Limit::BendAngle).map(f64::to_degrees));
    check(&row("A120"), book.limit(Limit::BendToEdge));
    check(
        &row("C084"),
        book.limit(Limit::BoltEndDistance)
            .map(|x_d| x_d * row("C084").number("d0")),
    );
}

#[test]
fn iso_9013() {
    let book = Handbook::builtin();
    for row in rows("ISO 9013 perpendicularity u") {
        let range = row.text("range").parse().unwrap_or_else(|e| panic!("{row}: {e}"));
        check(
            &row,
            book.iso_9013_u_mm(row.number("a"), range)
                .unwrap_or_else(|e| panic!("{row}: {e}")),
        );
    }
    for (class, topic) in [
        (1, "ISO 9013 limit deviation class 1"),
        (2, "ISO 9013 limit deviation class 2"),
    ] {
        for row in rows(topic) {
            let (over, to) = row.band("a");
            let (from_mm, to_mm) = row.band("nominal");
            for (a_mm, nominal_mm) in [((over + to) / 2.0, (from_mm + to_mm) / 2.0), (to, to_mm)] {
                let deviation = book.iso_9013_deviation_mm(class, a_mm, nominal_mm);
                check(&row, deviation.unwrap_or_else(|e| panic!("{row}: {e}")));
            }
        }
    }
}

#[test]
fn iso_2768() {
    let book = Handbook::builtin();
    let class = |row: &Row| match row.topic.chars().last() {
        Some('m') => GeneralClass::Medium,
        Some('c') => GeneralClass::Coarse,
        other => panic!("{row}: {other:?}"),
    };
    for row in rows_starting("ISO 2768-1 linear") {
        let (from_mm, to_mm) = row.band("band");
        for size_mm in [(from_mm + to_mm) / 2.0, to_mm] {
            let deviation = book.iso_2768_mm(class(&row), size_mm);
            check(&row, deviation.unwrap_or_else(|e| panic!("{row}: {e}")));
        }
    }
    for row in rows_starting("ISO 2768-1 angular") {
        let (from_mm, to_mm) = row.band("short_side");
        let deviation = book.iso_2768_rad(class(&row), (from_mm + to_mm) / 2.0);
        let deviation = deviation
            .unwrap_or_else(|e| panic!("{row}: {e}"))
            .map(f64::to_degrees);
        // The table keeps a third of a degree; the row prints four digits of it.
        row.check_within(deviation.value, 5e-5);
        check_as_sure(&row, &deviation);
    }
}

#[test]
fn plasma() {
    let plasma = Handbook::builtin().process("plasma").expect("plasma").clone();
    check(&row("B041"), plasma.tolerance_class.map(f64::from));
    check(
        &row("B042"),
        plasma.least_hole_x_t.map(|x_t| x_t * row("B042").number("t")),
    );
    check(&row("B043"), plasma.part_spacing_mm);
    check(&row("B044"), plasma.kerf_range_mm.clone().map(|(low, _)| low));
    check(&row("B045"), plasma.kerf_range_mm.map(|(_, high)| high));
}

#[test]
fn bolts() {
    let book = Handbook::builtin();
    let bolt = |row: &Row| -> Bolt {
        book.bolt(row.text("size"))
            .unwrap_or_else(|e| panic!("{row}: {e}"))
            .clone()
    };
    for row in rows("tensile stress area coarse") {
        check(&row, bolt(&row).stress_area_mm2);
    }
    for row in rows("tensile stress area inch") {
        check(
            &row,
            bolt(&row)
                .stress_area_mm2
                .map(|mm2| mm2 / (MM_PER_IN * MM_PER_IN)),
        );
    }
    let formula = row("C007");
    formula.check(stress_area_mm2(formula.number("d"), formula.number("P")));
    type Load = fn(Bolt) -> Option<Sourced<f64>>;
    let loads: [(&str, Load); 3] = [
        ("min ultimate tensile load 8.8", |bolt| bolt.ultimate_8_8_n),
        ("proof load 8.8", |bolt| bolt.proof_8_8_n),
        ("proof load 10.9", |bolt| bolt.proof_10_9_n),
    ];
    for (topic, load) in loads {
        for row in rows(topic) {
            check(&row, load(bolt(&row)).unwrap_or_else(|| panic!("{row}: no load")));
        }
    }
}

#[test]
fn clearance_holes_and_washers() {
    let book = Handbook::builtin();
    let hole_mm = |row: &Row, clearance| {
        let size = row.text("size");
        let diameter_mm = book
            .bolt(size)
            .unwrap_or_else(|e| panic!("{row}: {e}"))
            .diameter_mm;
        book.clearance_dia_mm(size, diameter_mm, clearance)
            .unwrap_or_else(|e| panic!("{row}: {e}"))
    };
    for (topic, clearance) in [
        ("clearance hole fine", Clearance::Close),
        ("clearance hole medium", Clearance::Normal),
        ("clearance hole coarse", Clearance::Loose),
    ] {
        for row in rows(topic) {
            check(&row, hole_mm(&row, clearance));
        }
    }
    for (topic, clearance) in [
        ("clearance hole inch close", Clearance::Close),
        ("clearance hole inch normal", Clearance::Normal),
    ] {
        for row in rows(topic) {
            check(&row, hole_mm(&row, clearance).map(|mm| mm / MM_PER_IN));
        }
    }
    let washer = |row: &Row| {
        book.washer(row.text("size"))
            .unwrap_or_else(|e| panic!("{row}: {e}"))
    };
    for row in rows("washer OD") {
        check(&row, washer(&row).map(|washer| washer.outside_mm));
    }
    for row in rows("washer thickness") {
        check(&row, washer(&row).map(|washer| washer.thick_mm));
    }
}

#[test]
fn metals() {
    let book = Handbook::builtin();
    for row in rows("material property") {
        let (name, what) = match row.inputs.as_str() {
            "A36 yield" => ("A36", "yield_least"),
            "A36 ultimate" => ("A36", "ultimate_least"),
            "structural steel E" => ("S235", "E"),
            "structural steel nu" => ("S355", "nu"),
            "structural steel G" => ("S235", "G"),
            "S235 fy t<=16" => ("S235", "yield_least"),
            "S355 fy t<=16" => ("S355", "yield_least"),
            "4130N sheet <=0.187 in Fty" => ("4130-normalized", "yield_least"),
            "4130N sheet <=0.187 in Ftu" => ("4130-normalized", "ultimate_least"),
            "6061-T6 design minimum Ftu" => ("6061-T6", "ultimate_least"),
            "6061-T6 design minimum Fty" => ("6061-T6", "yield_least"),
            "steel density" => ("A36", "density"),
            "aluminium 6061 density" => ("6061-T6", "density"),
            other => match other.split_once(' ') {
                Some((name, "typical yield")) => (name, "yield_typical"),
                Some((name, "typical ultimate")) => (name, "ultimate_typical"),
                Some((name, "min yield")) => (name, "yield_least"),
                Some((name, "min ultimate")) => (name, "ultimate_least"),
                Some((name, what)) => (name, what),
                None => panic!("{row}: not understood"),
            },
        };
        let metal = metal(&book, &row, name);
        let answer = match what {
            "yield_least" => metal.yield_least_mpa.clone(),
            "ultimate_least" => metal.ultimate_least_mpa.clone(),
            "yield_typical" => metal.yield_typical_mpa.clone(),
            "ultimate_typical" => metal.ultimate_typical_mpa.clone(),
            "E" => Some(metal.elastic_mpa.clone()),
            "nu" => Some(metal.poisson.clone()),
            "G" => Some(metal.shear_mpa()),
            "density" => Some(metal.density_kg_m3.clone()),
            other => panic!("{row}: {other} is not understood"),
        };
        let per_unit = if row.unit == "ksi" { MPA_PER_KSI } else { 1.0 };
        let answer = answer.unwrap_or_else(|| panic!("{row}: no value"));
        check(&row, answer.map(|value| value / per_unit));
    }
}

#[test]
fn gauges() {
    let book = Handbook::builtin();
    for row in rows("gauge to mm") {
        let gauge = row.text("gauge").parse().unwrap_or_else(|e| panic!("{row}: {e}"));
        let name = match row.text("material") {
            "steel" => "A36",
            "stainless" => "304",
            "aluminium" => "5052-H32",
            other => panic!("{row}: {other}"),
        };
        check(
            &row,
            book.gauge_mm(name, gauge)
                .unwrap_or_else(|e| panic!("{row}: {e}")),
        );
    }
}

#[test]
fn aluminium_gauges_follow_their_formula() {
    // 0.005 in x 92^((36 - n) / 39), the wire gauge that aluminium sheet is numbered by; charts print four decimals.
    let book = Handbook::builtin();
    for gauge in 7..=24u8 {
        if let Ok(thick) = book.family_gauge_mm(Family::Aluminium, gauge) {
            let by_formula = 0.005 * 92f64.powf((36.0 - f64::from(gauge)) / 39.0) * MM_PER_IN;
            assert!(
                (thick.value - by_formula).abs() < 0.003,
                "{gauge}: {} and {by_formula}",
                thick.value
            );
        }
    }
}

#[test]
fn tapes() {
    let book = Handbook::builtin();
    for row in rows_between("H019", "H031") {
        let length_mm = if row.inputs.contains("L_mm") {
            row.number("L_mm")
        } else {
            row.number("L_m") * 1000.0
        };
        let hook = row.topic.ends_with("hook end");
        let error = book.tape_error_mm(row.text("class"), length_mm, hook);
        check(&row, error.unwrap_or_else(|e| panic!("{row}: {e}")));
    }
    row("H032").check(standard_from_largest(row("H032").number("MPE")));
}
