//! From an act to its answer, and to the drawings that go with it, over loopback: median and 95th percentile on a demo.
//! `cargo bench -p bench -- push-hoe 100`, or of one kind of act alone with its name after the count. Goals for push-hoe: 50 ms
//! without the proof, 150 ms with it at 15,000 unknowns.

use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::thread;
use std::time::{Duration, Instant};

use bench::Place;
use serde_json::{Value, json};

/// A page that asks over one connection.
struct Page {
    host: String,
    key: String,
    stream: BufReader<TcpStream>,
}

impl Page {
    fn open(address: &str) -> Page {
        let (host, key) = address
            .trim_start_matches("http://")
            .split_once("/#")
            .expect("an address with its key");
        let stream = TcpStream::connect(host).expect("the server listens");
        stream.set_nodelay(true).expect("a socket");
        Page {
            host: host.to_owned(),
            key: key.to_owned(),
            stream: BufReader::new(stream),
        }
    }

    /// The bytes of an answer.
    fn ask(&mut self, method: &str, path: &str, body: &str) -> Vec<u8> {
        let head = format!(
            "{method} {path} HTTP/1.1\r\nhost: {}\r\nx-gusset-key: {}\r\ncontent-type: application/json\r\n\
             content-length: {}\r\n\r\n{body}",
            self.host,
            self.key,
            body.len()
        );
        self.stream
            .get_mut()
            .write_all(head.as_bytes())
            .expect("it is sent");
        let mut length = 0;
        let mut first = String::new();
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line).expect("a head");
            if line.trim().is_empty() {
                break;
            }
            if let Some(said) = line.to_ascii_lowercase().strip_prefix("content-length:") {
                length = said.trim().parse().expect("a length");
            }
            if first.is_empty() {
                first = line;
            }
        }
        let mut bytes = vec![0; length];
        self.stream.read_exact(&mut bytes).expect("a body");
        assert!(
            first.contains(" 200 "),
            "{path}: {first}{}",
            String::from_utf8_lossy(&bytes)
        );
        bytes
    }

    fn json(&mut self, method: &str, path: &str, body: &str) -> Value {
        serde_json::from_slice(&self.ask(method, path, body)).expect("JSON")
    }

    /// Waits until the proof has come.
    fn settled(&mut self, mut job: Value) -> Value {
        while job["working"]
            .as_array()
            .is_some_and(|working| !working.is_empty())
        {
            let (stamp, worked) = (job["stamp"].as_str().expect("a stamp"), &job["worked"]);
            let path = format!("/api/changed?stamp={stamp}&worked={worked}");
            self.ask("GET", &path, "");
            job = self.json("GET", "/api/job", "");
        }
        job
    }
}

/// The share of the fastest, ms.
fn share(times: &mut [f64], share: f64) -> f64 {
    times.sort_by(f64::total_cmp);
    let last = times.len().saturating_sub(1);
    times
        .get((share * last as f64).round() as usize)
        .copied()
        .unwrap_or(f64::NAN)
}

fn told(what: &str, times: &mut [f64]) {
    println!(
        "{what:<44} {:>4} times, least {:>7.1}  median {:>7.1}  95th {:>7.1}  most {:>7.1} ms",
        times.len(),
        share(times, 0.0),
        share(times, 0.5),
        share(times, 0.95),
        share(times, 1.0)
    );
}

/// What is done on push-hoe: the file, the place, what it takes by turns.
fn acts() -> Vec<(&'static str, &'static str, Value, [Value; 2])> {
    vec![
        (
            "a point",
            "design",
            json!(["points", "T1", "at", 0]),
            [json!("-231 mm"), json!("-230 mm")],
        ),
        (
            "a corner",
            "design",
            json!(["outline", "corners", "U1"]),
            [json!("round 28 mm"), json!("round 30 mm")],
        ),
        (
            "a bend",
            "design",
            json!(["bends", "b3", "bent"]),
            [json!("44.9 deg"), json!("45 deg")],
        ),
        (
            "a hole",
            "design",
            json!(["holes", "p1", "for"]),
            [json!("M5"), json!("M6")],
        ),
        (
            "a title",
            "design",
            json!(["title"]),
            [json!("Hoe"), json!("Push-hoe forearm plate")],
        ),
        (
            "a mount",
            "fit",
            json!(["mounts", "frame", "at", 0]),
            [json!("189.4"), json!("189.3")],
        ),
    ]
}

fn main() {
    // Run among the tests it only shows that it runs.
    let measured = std::env::args().any(|word| word == "--bench");
    let mut asked = std::env::args().skip(1).filter(|word| !word.starts_with("--"));
    let demo = asked.next().unwrap_or_else(|| "push-hoe".into());
    let count: usize = asked.next().and_then(|count| count.parse().ok()).unwrap_or(60);
    let count = if measured { count } else { 1 };
    let only = asked.next();
    let root = std::env::temp_dir().join(format!("gusset-acts-{}", std::process::id()));
    write_demo(&demo, &root);
    let place = Place::open(Some(&root), &root, None).unwrap_or_else(|error| panic!("{error}"));
    let bound = bench::bind(place, 0).unwrap_or_else(|error| panic!("{error}"));
    let address = bound.address();
    thread::spawn(move || bound.serve(std::future::pending()));
    let mut page = Page::open(&address);

    let begin = Instant::now();
    let first = page.json("GET", "/api/job", "");
    println!(
        "{demo}: first answer after {:.1} ms, {} bytes",
        ms(begin),
        first.to_string().len()
    );
    let mut job = page.settled(first);
    println!(
        "{demo}: its proof after {:.1} ms, {} unknowns",
        ms(begin),
        job["answers"]["prove"]["dof"]
    );

    for (pause, waits) in [("after the proof", true), ("at once after the last", false)] {
        let mut all = Vec::new();
        let mut proofs = Vec::new();
        let mut drawn = Vec::new();
        let mut acts = acts();
        acts.retain(|(says, ..)| only.as_ref().is_none_or(|only| says == only));
        let mut each = vec![Vec::new(); acts.len()];
        for turn in 0..count {
            let of = turn % acts.len();
            let (says, file, way, to) = &acts[of];
            let to = &to[turn / acts.len() % 2];
            let body = json!({ "file": file, "acts": [{ "act": "set", "at": way, "to": to }], "says": says, "base": job["stamp"] });
            let begin = Instant::now();
            job = page.json("POST", "/api/act", &body.to_string());
            let took = ms(begin);
            all.push(took);
            each[of].push(took);
            for name in ["blank", "folded", "cut-sheet", "bend-cards"] {
                page.ask("GET", &format!("/api/picture/{name}"), "");
            }
            drawn.push(ms(begin));
            if waits {
                job = page.settled(job);
                proofs.push(ms(begin));
            }
        }
        told(&format!("an act {pause}"), &mut all);
        for ((says, ..), times) in acts.iter().zip(&mut each) {
            told(&format!("    {says}"), times);
        }
        told(&format!("an act and four drawings {pause}"), &mut drawn);
        if waits {
            told("an act and its proof", &mut proofs);
        }
        job = page.settled(job);
        thread::sleep(Duration::from_millis(200));
    }
    fs::remove_dir_all(root).expect("just made");
}

fn ms(since: Instant) -> f64 {
    since.elapsed().as_secs_f64() * 1e3
}

fn write_demo(demo: &str, root: &Path) {
    let (_, files) = job::DEMOS
        .iter()
        .find(|(name, _)| *name == demo)
        .expect("a demo of the program");
    for (path, text) in *files {
        let to = root.join(path);
        fs::create_dir_all(to.parent().expect("a folder")).expect("a temporary folder");
        fs::write(to, text).expect("it is written");
    }
}
