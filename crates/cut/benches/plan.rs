//! How long planning takes. The limits that were set: 16 contours of 6 pierces proven in 0.2 s, 100 contours searched in 1 s,
//! one part on a roomy sheet placed in 20 ms, ten parts in 2 s; the whole plan of a cradle, from blank to program read back, in 50 ms.

#[path = "../tests/sheets/mod.rs"]
mod sheets;

#[path = "../tests/blanks/mod.rs"]
mod blanks;

use cut::Track;
use cut::order::{Search, plan};
use cut::place::{Corner, Effort, Gaps, Part, Sheet, Turns, place};
use plane::{Outline, Point, Region, Vertex};

fn main() {
    divan::main();
}

/// Sixteen outlines with nothing inside: every order is allowed.
#[divan::bench(args = [0, 1, 2, 3], sample_count = 5, sample_size = 1)]
fn prove_sixteen_outlines(bencher: divan::Bencher, seed: u64) {
    let job = sheets::sheet(seed, 16, 0, 6);
    bencher.bench(|| plan(&job, Search::default()).expect("an order"));
}

#[divan::bench(args = [0, 1, 2, 3], sample_count = 5, sample_size = 1)]
fn prove_sixteen_with_openings(bencher: divan::Bencher, seed: u64) {
    let job = sheets::sheet(seed, 16, 3, 6);
    bencher.bench(|| plan(&job, Search::default()).expect("an order"));
}

#[divan::bench(args = [0, 1], sample_count = 5, sample_size = 1)]
fn search_a_hundred(bencher: divan::Bencher, seed: u64) {
    let job = sheets::sheet(seed, 100, 3, 6);
    bencher.bench(|| plan(&job, Search::default()).expect("an order"));
}

fn rectangle(w: f64, h: f64) -> Region {
    Region::solid(Outline::rectangle(Point::origin(), Point::new(w, h)).expect("a rectangle"))
}

const GAPS: Gaps = Gaps {
    edge_mm: 6.0,
    parts_mm: 5.0,
    clamps_mm: 15.0,
};

fn full(w: f64, h: f64) -> Sheet {
    Sheet {
        region: rectangle(w, h),
        clamps: Vec::new(),
        zero: Corner::LowerLeft,
    }
}

fn part(w: f64, h: f64) -> Part {
    Part {
        region: rectangle(w, h),
        turns: Turns::Listed(
            (0..4)
                .map(|k| f64::from(k) * std::f64::consts::FRAC_PI_2)
                .collect(),
        ),
    }
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn place_one_on_a_full_sheet(bencher: divan::Bencher) {
    let (parts, sheet) = ([part(180.0, 120.0)], full(1250.0, 2500.0));
    bencher.bench(|| place(&parts, &sheet, &GAPS, Effort::default()).expect("it goes on"));
}

#[divan::bench(sample_count = 3, sample_size = 1)]
fn place_ten(bencher: divan::Bencher) {
    let parts: Vec<Part> = (0..10)
        .map(|k| part(90.0 + 20.0 * f64::from(k), 230.0 - 15.0 * f64::from(k)))
        .collect();
    let sheet = full(800.0, 600.0);
    bencher.bench(|| place(&parts, &sheet, &GAPS, Effort::default()).expect("they go on"));
}

/// A sheet that was sawn into ten rectangles, which must go on again with little to spare: 5 mm between, 6 mm about.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn place_ten_sawn_rectangles(bencher: divan::Bencher) {
    let rows = [
        (200.0, vec![300.0, 150.0, 240.0]),
        (120.0, vec![100.0, 180.0, 220.0, 185.0]),
        (160.0, vec![345.0, 200.0, 145.0]),
    ];
    let sawn = rows
        .iter()
        .flat_map(|(h, widths)| widths.iter().map(|w| part(*w, *h)));
    let parts: Vec<Part> = sawn.collect();
    let sheet = full(760.0, 540.0);
    bencher.bench(|| place(&parts, &sheet, &GAPS, Effort::default()).expect("they go on"));
}

/// A track of ten thousand pieces, half of them arcs.
#[divan::bench(sample_count = 20, sample_size = 1)]
fn time_a_track_of_ten_thousand(bencher: divan::Bencher) {
    let vertices = (0..=10_000)
        .map(|i| Vertex {
            at: Point::new(f64::from(i), f64::from(i % 7)),
            bulge: if i % 2 == 0 { 0.3 } else { 0.0 },
        })
        .collect();
    let track = Track { vertices };
    let table = sheets::table();
    bencher.bench(|| table.track_time(&track, 3000.0).expect("a feed"));
}

/// From the blank of a cradle to its program, dry run and drawing, each read back.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn plan_a_cradle(bencher: divan::Bencher) {
    use cut::profile::{Process, Profile, Stock};
    use cut::whole::{Asked, Running, SheetPart, Zero};
    let book = handbook::Handbook::builtin();
    let profile = Profile::of(&book, Process::Laser).expect("a laser");
    let stock = Stock {
        name: "plate".into(),
        family: handbook::Family::Aluminium,
        thickness_mm: 3.0,
    };
    let line = profile.line_for(&stock).expect("a line of the chart");
    let running = Running::of(&profile, &line, &stock, &book).expect("how it runs");
    let blank = cut::tracks::Blank::of_part(&blanks::cradle(), "cradle", &[]);
    let avoid = blank.bend_ends(3.0, f64::INFINITY);
    let sheet = rectangle(1000.0, 1000.0);
    let parts = [SheetPart {
        blank: &blank,
        copies: 1,
        turns: Turns::Listed(vec![0.0, std::f64::consts::FRAC_PI_2]),
        avoid: &avoid,
    }];
    let asked = Asked {
        title: "Cradle",
        parts: &parts,
        sheet: &sheet,
        zero: Zero::Corner(Corner::LowerLeft),
        profile: &profile,
        stock: &stock,
        book: &book,
        running: &running,
        rates: None,
        cautions: &[],
        dxf: cut::dxf::DxfOptions::default(),
        effort: Effort::default(),
        search: Search::default(),
    };
    bencher.bench(|| {
        let plan = cut::whole::plan(&asked).expect("a plan");
        assert!(plan.program.is_ok());
        plan
    });
}
