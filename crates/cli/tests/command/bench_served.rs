//! `gusset bench` while it serves, asked over loopback.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::process::{Child, Stdio};

use crate::bench_of_work::command;

/// Whether the page is built in, without which nothing is served. Where it is not, what is not tried is told past what the test
/// harness keeps to itself, and with CI=true it is a failure.
pub fn is_page_there(what: &str) -> bool {
    let built = bench::page_is_built();
    if !built {
        let says = format!("not run: {what}: the page is not built in, as there was no Node");
        let strict = std::env::var("CI").is_ok_and(|ci| ci == "true");
        assert!(!strict, "{says}");
        // The harness shows what a test that passes printed to nobody.
        let _ = writeln!(std::io::stderr(), "{says}");
    }
    built
}

/// The command while it serves; it is killed with this.
pub struct Served {
    child: Child,
    at: String,
    pub key: String,
}

impl Served {
    pub fn start(arguments: &[&str]) -> Served {
        let mut child = command(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the command starts");
        let mut address = String::new();
        BufReader::new(child.stdout.take().expect("stdout is piped"))
            .read_line(&mut address)
            .expect("an address");
        let (at, key) = address
            .trim()
            .strip_prefix("http://")
            .and_then(|rest| rest.split_once("/#"))
            .unwrap_or_else(|| panic!("{address}"));
        Served {
            at: at.to_owned(),
            key: key.to_owned(),
            child,
        }
    }

    /// Asks, and waits for no answer.
    pub fn asked(&self, method: &str, path: &str, body: &str) -> TcpStream {
        let Served { at, key, .. } = self;
        let mut stream = TcpStream::connect(at).expect("it listens");
        let request = format!(
            "{method} {path} HTTP/1.1\r\nHost: {at}\r\nX-Gusset-Key: {key}\r\nContent-Type: application/json\r\n\
             Content-Length: {}\r\nConnection: close\r\n\r\n{body}",
            body.len()
        );
        stream.write_all(request.as_bytes()).expect("it is asked");
        stream
    }

    /// Asks, and gives what is answered.
    pub fn ask(&self, method: &str, path: &str, body: &str) -> String {
        let mut answer = String::new();
        let mut stream = self.asked(method, path, body);
        stream.read_to_string(&mut answer).expect("it answers");
        answer
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
