//! A drawing of ten thousand edges, and a tangle, within their time.

use std::f64::consts::TAU;
use std::time::Instant;

use cut::import::{Answer, ImportError, ImportOptions, import_dxf};

fn line(from: (f64, f64), to: (f64, f64)) -> String {
    format!(
        "0\nLINE\n8\n0\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n",
        from.0, from.1, to.0, to.1
    )
}

fn circle(x: f64, y: f64, dia: f64) -> String {
    format!("0\nCIRCLE\n8\n0\n10\n{x}\n20\n{y}\n40\n{}\n", dia / 2.0)
}

fn through(corners: &[(f64, f64)]) -> String {
    (0..corners.len())
        .map(|i| line(corners[i], corners[(i + 1) % corners.len()]))
        .collect()
}

fn in_mm(entities: &str) -> String {
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    )
}

/// 1,200 holes of four lines, 1,300 of two half circles, and an outside of 2,600 short lines.
fn ten_thousand_edges() -> String {
    let place = |i: u32| (f64::from(i % 40), f64::from(i / 40));
    let windows: String = (0..1200)
        .map(|i| {
            let (x, y) = (20.0 + 20.0 * place(i).0, 20.0 + 20.0 * place(i).1);
            through(&[(x, y), (x + 8.0, y), (x + 8.0, y + 6.0), (x, y + 6.0)])
        })
        .collect();
    let rounds: String = (0..1300)
        .map(|i| circle(34.0 + 20.0 * place(i).0, 34.0 + 17.0 * place(i).1, 4.0))
        .collect();
    let around: Vec<(f64, f64)> = (0..2600)
        .map(|i| {
            let turn = f64::from(i) / 2600.0 * TAU;
            (410.0 + 700.0 * turn.cos(), 310.0 + 700.0 * turn.sin())
        })
        .collect();
    in_mm(&format!("{windows}{rounds}{}", through(&around)))
}

#[test]
fn ten_thousand_edges_come_in_within_half_a_second() {
    let text = ten_thousand_edges();
    let timed = || {
        let started = Instant::now();
        let answer = import_dxf(text.as_bytes(), &ImportOptions::default());
        (started.elapsed(), answer)
    };
    let (first, answer) = timed();
    let Ok(Answer::Outlines(imported)) = answer else {
        panic!("{answer:?}")
    };
    let edges: usize = imported
        .regions
        .iter()
        .flat_map(plane::Region::outlines)
        .map(plane::Outline::len)
        .sum();
    assert_eq!(edges, 10_000);
    // The best of three, because others may be at work on the same machine.
    let took = first.min(timed().0).min(timed().0);
    assert!(took.as_millis() < 500, "{took:?}");
}

#[test]
fn a_tangle_is_given_up_soon() {
    let tangle: String = (0..20_000)
        .map(|i| circle(0.0, 0.0, 10.0 + 0.05 * f64::from(i)))
        .collect();
    let started = Instant::now();
    let answer = import_dxf(in_mm(&tangle).as_bytes(), &ImportOptions::default());
    let took = started.elapsed();
    assert_eq!(answer, Err(ImportError::TooTangled));
    assert!(took.as_secs() < 20, "{took:?}");
}
