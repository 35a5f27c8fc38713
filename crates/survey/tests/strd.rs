//! Nonlinear regression against the certified values of the NIST Statistical Reference Datasets, from both of NIST's
//! starts, with the search that adjusts readings. Data from memory, confirmed by the certified residual sums.

use survey::least_squares::{Fitted, Model, Row, Search, minimise};

/// One data set: its function of the parameters with slopes, and its two starts.
struct Set {
    name: &'static str,
    text: &'static str,
    starts: [&'static [f64]; 2],
    function: fn(&[f64], f64) -> (f64, Vec<f64>),
}

fn rise(b: &[f64], x: f64) -> (f64, Vec<f64>) {
    let e = (-b[1] * x).exp();
    (b[0] * (1.0 - e), vec![1.0 - e, b[0] * x * e])
}

fn power(b: &[f64], x: f64) -> (f64, Vec<f64>) {
    let p = x.powf(b[1]);
    (b[0] * p, vec![p, b[0] * p * x.ln()])
}

fn growth(b: &[f64], x: f64) -> (f64, Vec<f64>) {
    let e = (b[1] - b[2] * x).exp();
    let shrink = (1.0 + e).powf(-1.0 / b[3]);
    let by_e = -b[0] / b[3] * shrink / (1.0 + e) * e;
    let by_b4 = b[0] * shrink * (1.0 + e).ln() / (b[3] * b[3]);
    (b[0] * shrink, vec![shrink, by_e, -x * by_e, by_b4])
}

fn ratio(b: &[f64], x: f64) -> (f64, Vec<f64>) {
    let (top, bottom) = (x * x + b[1] * x, x * x + b[2] * x + b[3]);
    let y = b[0] * top / bottom;
    (
        y,
        vec![top / bottom, b[0] * x / bottom, -y * x / bottom, -y / bottom],
    )
}

const SETS: [Set; 5] = [
    Set {
        name: "Misra1a",
        text: include_str!("data/misra1a.csv"),
        starts: [&[500.0, 0.0001], &[250.0, 0.0005]],
        function: rise,
    },
    Set {
        name: "DanWood",
        text: include_str!("data/danwood.csv"),
        starts: [&[1.0, 5.0], &[0.7, 4.0]],
        function: power,
    },
    Set {
        name: "BoxBOD",
        text: include_str!("data/boxbod.csv"),
        starts: [&[1.0, 1.0], &[100.0, 0.75]],
        function: rise,
    },
    Set {
        name: "Rat43",
        text: include_str!("data/rat43.csv"),
        starts: [&[100.0, 10.0, 1.0, 1.0], &[700.0, 5.0, 0.75, 1.3]],
        function: growth,
    },
    Set {
        name: "MGH09",
        text: include_str!("data/mgh09.csv"),
        starts: [&[25.0, 39.0, 41.5, 39.0], &[0.25, 0.39, 0.415, 0.39]],
        function: ratio,
    },
];

struct Regression {
    pairs: Vec<(f64, f64)>,
    unknowns: usize,
    function: fn(&[f64], f64) -> (f64, Vec<f64>),
}

impl Model for Regression {
    fn unknowns(&self) -> usize {
        self.unknowns
    }
    fn rows(&self, at: &[f64]) -> Option<Vec<Row>> {
        Some(
            self.pairs
                .iter()
                .map(|&(y, x)| {
                    let (value, slopes) = (self.function)(at, x);
                    Row {
                        misfit: value - y,
                        weight: 1.0,
                        slopes: slopes.into_iter().enumerate().collect(),
                    }
                })
                .collect(),
        )
    }
    fn weights_are_known(&self) -> bool {
        false
    }
}

/// NIST's first starts are far off on purpose: begin with short steps. From (1, 1) the first full step of BoxBOD would
/// land where the curve is flat and no slope leads back.
const FAR_START: f64 = 100.0;

fn fits(set: &Set) -> Vec<Fitted> {
    let pairs = set
        .text
        .lines()
        .filter(|line| !line.starts_with(['#', 'y']))
        .map(|line| {
            let (y, x) = line.split_once(',').expect("two columns");
            (y.parse().expect("a number"), x.parse().expect("a number"))
        })
        .collect();
    let model = Regression {
        pairs,
        unknowns: set.starts[0].len(),
        function: set.function,
    };
    let search = Search {
        steps: 2000,
        damping: FAR_START,
    };
    set.starts
        .iter()
        .map(|start| {
            minimise(&model, start, search).unwrap_or_else(|e| panic!("{} from {start:?}: {e}", set.name))
        })
        .collect()
}

#[test]
fn certified_parameters_sums_and_deviations_come_out_from_both_starts() {
    let mut checked = 0;
    for set in &SETS {
        let fits = fits(set);
        for row in published::rows("nonlinear least squares StRD") {
            if row.text("dataset") != set.name {
                continue;
            }
            checked += 1;
            let what = row.text("param");
            let number = |b: &str| -> usize { b[1..].parse::<usize>().expect("b1 to b4") - 1 };
            for fit in &fits {
                row.check(if what == "RSS" {
                    fit.sum
                } else if let Some(parameter) = what.strip_prefix("sd ") {
                    (fit.cofactor(number(parameter)) * fit.sum / fit.freedom as f64).sqrt()
                } else {
                    fit.at[number(what)]
                });
            }
        }
    }
    assert_eq!(checked, 16);
}
