//! Files that give no outline: told with their line, in bounded time.

use std::f64::consts::PI;

use super::*;

#[test]
fn what_gives_no_outline_is_told_with_its_line() {
    assert!(matches!(
        refused("zero\nSECTION\n"),
        ImportError::Grain(GrainError::NoCode { line: 1, .. })
    ));
    assert!(matches!(
        refused("  0\n"),
        ImportError::Grain(GrainError::EndsEarly { line: 1 })
    ));
    assert!(matches!(refused(""), ImportError::NoEntities));
    assert!(matches!(
        refused("  0\nSECTION\n  2\nENTITIES\n"),
        ImportError::Grain(GrainError::EndsEarly { line: 4 })
    ));
    assert!(matches!(refused(&in_mm("")), ImportError::NothingDrawn));
    assert!(matches!(
        refused(&in_mm("  0\nLINE\n 10\nx\n")),
        ImportError::Grain(GrainError::NoNumber {
            code: 10,
            line: 18,
            ..
        })
    ));
    assert!(matches!(
        refused(&in_mm("  0\nLINE\n 10\n1.0\n")),
        ImportError::Missing {
            code: 20,
            line: 16,
            ..
        }
    ));
    assert!(matches!(
        refused(&in_mm("  0\nLINE\n 10\n1e300\n")),
        ImportError::Grain(GrainError::NoNumber { .. })
    ));
    assert!(matches!(
        refused(&in_mm("  0\nVERTEX\n  8\n0\n")),
        ImportError::Grain(GrainError::OutOfPlace { .. })
    ));
    let bow_tie = polyline(
        &[
            (0.0, 0.0, 0.0),
            (50.0, 30.0, 0.0),
            (50.0, 0.0, 0.0),
            (0.0, 30.0, 0.0),
        ],
        true,
    );
    assert!(matches!(
        refused(&in_mm(&bow_tie)),
        ImportError::CrossesItself { line: 16, .. }
    ));
    let overlap = [circle(0.0, 0.0, 20.0), circle(15.0, 0.0, 20.0)].concat();
    assert!(matches!(
        refused(&in_mm(&overlap)),
        ImportError::OutlinesMeet {
            first: 16,
            second: 26,
            ..
        }
    ));
    let fork = [rectangle(0.0, 0.0, 50.0, 30.0), line((0.0, 0.0), (-20.0, 0.0))].concat();
    assert!(matches!(
        refused(&in_mm(&fork)),
        ImportError::Branches { ends: 3, .. }
    ));
    assert_eq!(
        import_dxf(b"ab\0c", &ImportOptions::default()),
        Err(ImportError::NotText)
    );
    assert!(matches!(
        import_dxf(
            in_mm(&circle(0.0, 0.0, 20.0)).as_bytes(),
            &ImportOptions {
                flatten_mm: 0.0,
                ..ImportOptions::default()
            }
        ),
        Err(ImportError::NoTolerance { .. })
    ));
}

#[test]
fn blocks_without_end_and_without_measure_are_refused() {
    let insert =
        |name: &str, more: &str| format!("  0\nINSERT\n  8\n0\n  2\n{name}\n 10\n0.0\n 20\n0.0\n{more}");
    let block = |name: &str, body: &str| format!("  0\nBLOCK\n  8\n0\n  2\n{name}\n{body}  0\nENDBLK\n");
    let file = |blocks: &str| {
        format!(
            "{}  0\nSECTION\n  2\nBLOCKS\n{blocks}  0\nENDSEC\n{}",
            header(4),
            bare(&insert("A", ""))
        )
    };
    assert!(matches!(
        refused(&file(&block("A", &insert("A", "")))),
        ImportError::TooDeep { .. }
    ));
    // Ten of ten of ten and so on, of nothing.
    let doubling: String = (0..12)
        .map(|i| {
            let name = char::from(b'A' + i).to_string();
            let next = char::from(b'B' + i).to_string();
            block(&name, &insert(&next, " 70\n10\n 71\n10\n"))
        })
        .chain([block("M", "")])
        .collect();
    assert!(matches!(refused(&file(&doubling)), ImportError::TooMany { .. }));
    let wide = block("A", &insert("B", " 70\n999999999\n 71\n999999999\n")) + &block("B", "");
    assert!(matches!(refused(&file(&wide)), ImportError::TooMany { .. }));
    let many = block("A", &insert("B", " 70\n900\n 71\n900\n")) + &block("B", &circle(0.0, 0.0, 10.0));
    assert!(matches!(refused(&file(&many)), ImportError::TooMany { .. }));
}

#[test]
fn a_tangle_is_refused() {
    // Every line crosses every other.
    let tangle: String = (0..10_000)
        .map(|i| {
            let turn = f64::from(i) / 10_000.0 * PI;
            let (x, y) = (100.0 * turn.cos(), 100.0 * turn.sin());
            let (right, up) = (-0.5 * turn.sin(), 0.5 * turn.cos());
            polyline(&[(x, y, 0.0), (-x, -y, 0.0), (-x + right, -y + up, 0.0)], true)
        })
        .collect();
    let why = refused(&in_mm(&tangle));
    assert!(
        matches!(why, ImportError::TooTangled | ImportError::OutlinesMeet { .. }),
        "{why:?}"
    );
}

#[test]
fn circles_within_circles_by_the_hundred_are_rings() {
    let circles: String = (0..500)
        .map(|i| circle(0.0, 0.0, 10.0 + 0.05 * f64::from(i)))
        .collect();
    let imported = imported(&in_mm(&circles));
    assert_eq!(imported.regions.len(), 250, "every second is a hole");
}

#[test]
fn boxes_that_all_lie_over_each_other_are_given_up() {
    let one = (plane::Point::new(0.0, 0.0), plane::Point::new(1.0, 1.0));
    let given_up = sweep::each_near_pair(&vec![one; 30_000], 0.0, &mut sweep::Looks::default(), |_, _| {
        Ok(())
    });
    assert_eq!(given_up, Err(ImportError::TooTangled));
}
