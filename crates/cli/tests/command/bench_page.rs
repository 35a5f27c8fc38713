//! `gusset bench`.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::process::Stdio;

use crate::bench_of_work::{command, gusset, job_from, text};

#[test]
fn it_prints_the_address_and_answers_there_until_it_is_stopped() {
    if !bench::page_is_built() {
        eprintln!("not run: the page is not built in, as there was no Node");
        return;
    }
    let job = job_from("one-bend", "bench_page");
    let mut server = command(&["bench", text(&job), "--no-browser"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the command starts");
    let mut address = String::new();
    BufReader::new(server.stdout.take().expect("stdout is piped"))
        .read_line(&mut address)
        .expect("an address");
    let (at, key) = address
        .trim()
        .strip_prefix("http://")
        .and_then(|rest| rest.split_once("/#"))
        .unwrap_or_else(|| panic!("{address}"));
    let ask = |path: &str, key: &str| {
        let mut stream = TcpStream::connect(at).expect("it listens");
        let request =
            format!("GET {path} HTTP/1.1\r\nHost: {at}\r\nX-Gusset-Key: {key}\r\nConnection: close\r\n\r\n");
        stream.write_all(request.as_bytes()).expect("it is asked");
        let mut answer = String::new();
        stream.read_to_string(&mut answer).expect("it answers");
        answer
    };
    let answers = [ask("/", ""), ask("/api/job", key), ask("/api/job", "another")];
    let _ = server.kill();
    let _ = server.wait();
    assert!(answers[0].starts_with("HTTP/1.1 200") && answers[0].contains("id=\"sheet\""));
    assert!(answers[1].contains("Mallet holder angle"), "{}", answers[1]);
    assert!(answers[2].starts_with("HTTP/1.1 403"), "{}", answers[2]);
}

#[test]
fn a_folder_that_is_no_job_is_told_at_once() {
    if !bench::page_is_built() {
        return;
    }
    let run = gusset(&["bench", "no-such-folder", "--no-browser", "--json"]);
    assert_eq!(run.code, 2, "{}", run.err);
    assert!(run.err.contains("no folder"), "{}", run.err);
    assert!(run.json()["error"].is_string());
}
