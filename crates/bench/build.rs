//! Builds the page with npm, where Node is there, and lists its files for the program.

#[path = "build/web.rs"]
mod web;

use std::env;
use std::fmt::Write as _;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Not among the sources of the page: what was installed beside them by hand, and their tests.
const LEFT_OUT: [&str; 2] = ["node_modules", "tests"];

fn main() -> io::Result<()> {
    // As it is run, not as it was compiled: who moves the folder of the project moves what was built with it.
    let told = |name| env::var_os(name).map(PathBuf::from);
    let not_told = || io::Error::other("cargo says where to read and where to write");
    let out = told("OUT_DIR").ok_or_else(not_told)?;
    let sources = told("CARGO_MANIFEST_DIR").ok_or_else(not_told)?.join("web");
    for kept in [
        "src",
        "public",
        "index.html",
        "package.json",
        "package-lock.json",
        "vite.config.ts",
        "tsconfig.json",
    ] {
        println!("cargo::rerun-if-changed=web/{kept}");
    }
    println!("cargo::rerun-if-changed=build/web.rs");
    println!("cargo::rerun-if-env-changed=PATH");
    let built = out.join("page");
    if let Err(why) = build(&sources, &out, &built) {
        println!("cargo::warning=the page of `gusset bench` is not built: {why}");
        // An older page would not go with this server.
        let _ = fs::remove_dir_all(&built);
    }
    fs::write(out.join("assets.rs"), listed(&built))
}

/// Installs what the page needs beside the build, and builds it there: nothing is written among the sources.
fn build(sources: &Path, out: &Path, built: &Path) -> Result<(), String> {
    web::node()?;
    let work = out.join("web");
    web::copied(sources, &work, &LEFT_OUT)
        .map_err(|error| format!("its sources cannot be copied: {error}"))?;
    let lock = fs::read(work.join("package-lock.json")).unwrap_or_default();
    let installed = work.join("node_modules").join(".installed");
    if fs::read(&installed).ok().as_ref() != Some(&lock) {
        let mut install = web::npm();
        install.args(["ci", "--no-audit", "--no-fund", "--ignore-scripts"]);
        run(install.current_dir(&work))?;
        fs::write(&installed, &lock).map_err(|error| error.to_string())?;
    }
    let mut build = web::npm();
    build
        .args(["run", "build", "--", "--emptyOutDir", "--outDir"])
        .arg(built);
    run(build.current_dir(&work))
}

fn run(command: &mut Command) -> Result<(), String> {
    let what = command.get_program().to_string_lossy().into_owned();
    let output = command.output().map_err(|error| format!("{what}: {error}"))?;
    if output.status.success() {
        return Ok(());
    }
    let said = [output.stdout, output.stderr].concat();
    let said = String::from_utf8_lossy(&said).into_owned();
    let lines: Vec<&str> = said.lines().filter(|line| !line.trim().is_empty()).collect();
    let last = lines.len().saturating_sub(4);
    Err(format!("{what} failed: {}", lines[last..].join(" / ")))
}

/// The files of the page as Rust.
fn listed(built: &Path) -> String {
    let mut paths: Vec<PathBuf> = fs::read_dir(built)
        .map(|entries| {
            entries
                .flatten()
                .map(|entry| entry.path())
                .filter(|path| path.is_file())
                .collect()
        })
        .unwrap_or_default();
    paths.sort();
    let mut list = String::from("static ASSETS: &[Asset] = &[\n");
    for path in paths {
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let kind = match path.extension().and_then(|end| end.to_str()) {
            Some("html") => "text/html; charset=utf-8",
            Some("js") => "text/javascript; charset=utf-8",
            Some("css") => "text/css; charset=utf-8",
            Some("svg") => "image/svg+xml",
            _ => "application/octet-stream",
        };
        // A line of our own text: it cannot fail.
        let _ = writeln!(
            list,
            "    ({name:?}, {kind:?}, include_bytes!({:?})),",
            path.display().to_string()
        );
    }
    list.push_str("];\n");
    list
}
