//! How long an outline takes to be checked, offset and combined. The limit that was set: 10,000 edges offset in under
//! 100 ms.

use plane::{Outline, Point, Region, Vertex, difference};

fn main() {
    divan::main();
}

/// A cogged wheel of so many edges, half of them arcs, cogs of about 2 mm.
fn cog_wheel(edges: usize) -> Outline {
    let radius_mm = edges as f64 / 3.0;
    let vertices = (0..edges)
        .map(|i| {
            let (sin, cos) = (std::f64::consts::TAU * i as f64 / edges as f64).sin_cos();
            let out_mm = radius_mm + if i % 4 < 2 { 1.0 } else { -1.0 };
            Vertex {
                at: Point::new(out_mm * cos, out_mm * sin),
                bulge: if i % 2 == 0 { 0.2 } else { 0.0 },
            }
        })
        .collect();
    Outline::new(vertices).expect("the wheel is sound")
}

#[divan::bench(args = [100, 1_000, 10_000])]
fn offset_outward(bencher: divan::Bencher, edges: usize) {
    let wheel = cog_wheel(edges);
    bencher.bench(|| wheel.offset(0.4).expect("the offset can be trusted"));
}

#[divan::bench(args = [100, 1_000, 10_000])]
fn offset_inward(bencher: divan::Bencher, edges: usize) {
    let wheel = cog_wheel(edges);
    bencher.bench(|| wheel.offset(-0.4).expect("the offset can be trusted"));
}

/// A rectangle whose sides are cut into many edges in line: the worst case for making them one again.
#[divan::bench(args = [100, 1_000, 10_000])]
fn offset_divided_sides(bencher: divan::Bencher, edges: usize) {
    let long = Outline::rectangle(Point::new(0.0, 0.0), Point::new(3000.0, 1000.0)).expect("a rectangle");
    let part = |edge: plane::Segment| {
        (0..edges / 4).map(move |i| Vertex::line(edge.point_at(i as f64 / (edges / 4) as f64)))
    };
    let divided = Outline::new(long.segments().flat_map(part).collect()).expect("the sides are in line");
    bencher.bench(|| divided.offset(2.0).expect("the offset can be trusted"));
}

#[divan::bench(args = [100, 1_000, 10_000])]
fn check(bencher: divan::Bencher, edges: usize) {
    let vertices = cog_wheel(edges).vertices().to_vec();
    bencher.bench(|| Outline::new(vertices.clone()));
}

#[divan::bench(args = [100, 1_000])]
fn cut_away(bencher: divan::Bencher, edges: usize) {
    let wheel = Region::solid(cog_wheel(edges));
    let half = Outline::rectangle(Point::new(0.0, -1e4), Point::new(1e4, 1e4)).expect("a rectangle");
    let half = [Region::solid(half)];
    bencher.bench(|| {
        difference(std::slice::from_ref(&wheel), &half).expect("the edges are clear of each other")
    });
}
