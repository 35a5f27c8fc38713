//! Any bytes, damaged drawings and groups in any order; and a plate drawn in any order.

use proptest::prelude::*;

use super::*;

/// A drawing with one of everything.
fn one_of_each() -> String {
    in_mm(
        &[
            rectangle(0.0, 0.0, 100.0, 80.0),
            circle(20.0, 20.0, 8.0),
            polyline(
                &[
                    (40.0, 10.0, 0.0),
                    (60.0, 10.0, 1.0),
                    (60.0, 20.0, 0.0),
                    (40.0, 20.0, 1.0),
                ],
                true,
            ),
            entity(
                "ELLIPSE",
                &[(10, 50.0), (20, 60.0), (11, 10.0), (21, 0.0), (40, 0.5)],
            ),
            arc(20.0, 60.0, 5.0, 0.0, 180.0),
            line((15.0, 60.0), (25.0, 60.0)),
        ]
        .concat(),
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn any_bytes_give_an_answer_or_an_error(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = import_dxf(&bytes, &ImportOptions::default());
    }

    #[test]
    fn a_damaged_drawing_gives_an_answer_or_an_error(
        at in 0.0..1.0_f64, length in 0..30_usize, with in "[ -~\n]{0,12}",
    ) {
        let text = one_of_each();
        let from = (text.len() as f64 * at) as usize;
        let to = (from + length).min(text.len());
        let damaged = format!("{}{with}{}", &text[..from], &text[to..]);
        let _ = import_dxf(damaged.as_bytes(), &ImportOptions::default());
    }

    #[test]
    fn any_groups_give_an_answer_or_an_error(
        entities in prop::collection::vec(
            (
                prop::sample::select(vec!["LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", "VERTEX", "SEQEND", "SPLINE", "ELLIPSE", "INSERT", "TEXT"]),
                prop::collection::vec(
                    (prop::sample::select(vec![2, 10, 20, 11, 21, 40, 41, 42, 44, 45, 50, 51, 70, 71, 210, 230]),
                     prop_oneof![(-50..50_i32).prop_map(|n| n.to_string()), any::<f64>().prop_map(|x| x.to_string()), Just("A".to_owned())]),
                    0..16,
                ),
            ),
            0..12,
        ),
    ) {
        let body: String = entities
            .iter()
            .map(|(kind, groups)| {
                let groups: String = groups.iter().map(|(code, value)| format!("{code}\n{value}\n")).collect();
                format!("0\n{kind}\n{groups}")
            })
            .collect();
        let blocks = format!("0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n2\nA\n{}0\nENDBLK\n0\nENDSEC\n", body);
        let _ = import_dxf(in_mm(&body).as_bytes(), &ImportOptions::default());
        let _ = import_dxf(format!("{}{blocks}{}", header(4), bare(&body)).as_bytes(), &ImportOptions::default());
    }

    #[test]
    fn a_plate_in_any_order_any_way_round_and_any_place_is_the_same_plate(
        order in Just((0..8_usize).collect::<Vec<_>>()).prop_shuffle(),
        backward in prop::collection::vec(any::<bool>(), 8),
        x in -900.0..900.0_f64,
        y in -900.0..900.0_f64,
    ) {
        let corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (40.0, 20.0), (40.0, 50.0), (20.0, 50.0), (20.0, 20.0), (0.0, 20.0)];
        let text: String = order
            .iter()
            .map(|&i| {
                let at = |i: usize| (corners[i % 8].0 + x, corners[i % 8].1 + y);
                // As many drawings are written: three decimals.
                let rounded = |(x, y): (f64, f64)| ((x * 1e3).round() / 1e3, (y * 1e3).round() / 1e3);
                let (from, to) = (rounded(at(i)), rounded(at(i + 1)));
                if backward[i] { line(to, from) } else { line(from, to) }
            })
            .collect();
        let read = imported(&in_mm(&text));
        prop_assert_eq!(read.regions.len(), 1);
        prop_assert!((area_mm2(&read) - 1800.0).abs() < 0.2);
        prop_assert!(read.notes.is_empty());
    }
}
