//! What the program says and does where something around it is missing: the tools it builds the
//! site with, or somebody who reads its output.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]
#![cfg(unix)]

use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn jobtorque() -> Command {
    Command::new(env!("CARGO_BIN_EXE_jobtorque"))
}

/// Runs `page` where these shell scripts are the only programs on the path.
fn page_with(programs: &[(&str, &str)]) -> Output {
    let around = tempfile::tempdir().unwrap();
    let path = around.path().join("bin");
    std::fs::create_dir(&path).unwrap();
    for (name, script) in programs {
        let file = path.join(name);
        std::fs::write(&file, format!("#!/bin/sh\n{script}\n")).unwrap();
        std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o755)).unwrap();
    }
    let mut page = jobtorque();
    page.args(["page", "--out"]).arg(around.path().join("site"));
    for name in ["CARGO", "RUSTC", "RUSTUP", "RUSTUP_TOOLCHAIN"] {
        page.env_remove(name);
    }
    let output = page
        .env("PATH", &path)
        .env("CARGO_TARGET_DIR", around.path().join("target"))
        .output()
        .unwrap();
    let left: Vec<_> = std::fs::read_dir(around.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "nothing is written: {left:?}");
    output
}

#[test]
fn what_the_site_needs_and_is_missing_is_said_in_one_line() {
    const NO_TARGET: &str = "echo /gone";
    const TARGET: &str = "echo /";
    const OFFLINE: &str = "echo 'error: could not download file from some address' >&2; exit 1";
    const NO_CRATE: &str = "echo 'error: failed to download `tsify v0.5.8`' >&2; exit 101";
    for (programs, words) in [
        (&[][..], "rustc is missing"),
        (
            &[("rustc", NO_TARGET)],
            "target wasm32-unknown-unknown is missing and there is no rustup",
        ),
        (
            &[("rustc", NO_TARGET), ("rustup", OFFLINE)],
            "rustup cannot install it (could not download file from some address)",
        ),
        (&[("rustc", TARGET)], "cargo is missing"),
        (
            &[("rustc", TARGET), ("cargo", NO_CRATE)],
            "cannot be downloaded (failed to download `tsify v0.5.8`)",
        ),
    ] {
        let output = page_with(programs);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(said.contains(words), "{programs:?}: {said}");
        assert_eq!(said.trim_end().lines().count(), 1, "{said}");
        assert!(
            said.contains("all commands but `page` and `serve` work without it"),
            "what still works: {said}"
        );
        assert!(output.stdout.is_empty());
    }
}

#[test]
fn errors_of_the_source_are_told_in_cargo_s_words() {
    let fault = "echo 'error[E0425]: cannot find value' >&2; exit 101";
    let output = page_with(&[("rustc", "echo /"), ("cargo", fault)]);
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(
        said.starts_with("error[E0425]: cannot find value\n"),
        "{said}"
    );
    assert!(said.contains("cannot compile the module"), "{said}");
}

/// A pipe that nobody reads any more.
fn unread() -> Stdio {
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    writer.into()
}

#[test]
fn a_closed_pipe_ends_every_command_quietly() {
    let healthy = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/healthy.json");
    let pair = ["--tool", "sorrel-18-medium", "--pack", "slim-4-0"];
    let with = ["--with-tool", "sorrel-18-medium", "--with-pack", "slim-2-5"];
    let of_pair = |command: &'static str| [&[command][..], &pair].concat();
    for arguments in [
        vec!["--help"],
        vec!["ask", "--job", "650 N·m"],
        vec!["ask", "--job", "650 N·m", "--json"],
        vec!["rank"],
        vec!["rank", "--csv"],
        vec!["choices", "--job", "650 N·m"],
        [&of_pair("compare")[..], &with].concat(),
        vec!["packs", "--tool", "sorrel-18-medium"],
        of_pair("runs"),
        vec!["check", healthy],
        vec!["schema"],
        vec!["completions", "bash"],
    ] {
        let output = jobtorque()
            .args(&arguments)
            .stdout(unread())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
            .wait_with_output()
            .unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(
            (output.status.code(), said.as_str()),
            (Some(0), ""),
            "{arguments:?}"
        );
    }
}

#[test]
fn an_error_that_nobody_reads_keeps_its_exit_code() {
    let faulty = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/unknown-tool.json");
    for (arguments, code) in [
        (&["ask", "gone.json", "--job", "650 N·m"][..], 2),
        (&["ask", "--job", "650 lbs"], 2),
        (&["ask", faulty, "--job", "650 N·m"], 1),
        (&["frobnicate"], 2),
    ] {
        let ended = jobtorque()
            .args(arguments)
            .stdout(unread())
            .stderr(unread())
            .status()
            .unwrap();
        assert_eq!(ended.code(), Some(code), "{arguments:?}");
    }
}

#[test]
fn a_port_that_is_taken_is_told_before_anything_is_built() {
    let taken = std::net::TcpListener::bind(("127.0.0.1", 0)).unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    // Nothing is on the path, so that a build would say so.
    let output = jobtorque()
        .args(["serve", "--port", &port])
        .env("PATH", Path::new("/gone"))
        .output()
        .unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(
        said.contains(&format!("cannot serve on port {port}")),
        "{said}"
    );
}

#[test]
fn what_must_not_be_replaced_is_told_before_anything_is_built() {
    let around = tempfile::tempdir().unwrap();
    let folder = around.path();
    // Published on the last day of its runs, which `page` asks for.
    let healthy = include_str!("cases/healthy.json").replacen(
        "\"edition\": 1, \"date\": \"2026-03-02\"",
        "\"edition\": 1, \"date\": \"2026-03-03\"",
        1,
    );
    let raw = folder.join("results.json");
    std::fs::write(&raw, &healthy).unwrap();
    std::fs::write(folder.join("index.html"), "<h1>Mine</h1>").unwrap();
    let out = folder.to_str().unwrap();
    let page = |more: &[&str]| {
        let output = jobtorque()
            .args(["page", "--out", out])
            .args(more)
            .env("PATH", Path::new("/gone"))
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2));
        String::from_utf8(output.stderr).unwrap()
    };
    let data = ["--data", raw.to_str().unwrap()];
    let said = page(&data);
    assert!(
        said.contains("results.json: the site is made from it"),
        "{said}"
    );
    assert!(said.contains("--force index.html replaces it"), "{said}");
    let forced = ["--force", "index.html", "--force", "results.json"];
    let said = page(&[&data[..], &forced].concat());
    assert!(
        said.contains("results.json: the site is made from it"),
        "{said}"
    );
    let said = page(&["--force", "notes.txt"]);
    assert!(
        said.contains("the site has no file \"notes.txt\""),
        "{said}"
    );
    assert_eq!(std::fs::read_to_string(&raw).unwrap(), healthy);
    assert_eq!(
        std::fs::read(folder.join("index.html")).unwrap(),
        b"<h1>Mine</h1>"
    );
}

#[test]
fn a_site_in_a_bench_folder_may_be_written_again_but_not_among_its_logs() {
    use jobtorque::site::mark::{Version, script, sealed};
    let around = tempfile::tempdir().unwrap();
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/data/demo.json");
    let bench = around.path().join("unbundled");
    let made = jobtorque()
        .args(["unbundle", demo, "--out"])
        .arg(&bench)
        .output()
        .unwrap();
    assert!(made.status.success(), "{made:?}");
    let page = |out: &Path| {
        let output = jobtorque()
            .arg("page")
            .arg(&bench)
            .arg("--out")
            .arg(out)
            .env("PATH", Path::new("/gone"))
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2));
        String::from_utf8(output.stderr).unwrap()
    };
    let site = bench.join("site");
    let first = page(&site);
    assert!(!first.contains("nothing is written"), "{first}");
    std::fs::create_dir(&site).unwrap();
    let old = sealed(script(&Version::of_program(), "old").into_bytes());
    std::fs::write(site.join("embed.js"), old).unwrap();
    assert_eq!(page(&site), first, "what lies there is the program's own");
    std::fs::write(site.join("index.html"), "<h1>Mine</h1>").unwrap();
    let said = page(&site);
    assert!(said.contains("--force index.html replaces it"), "{said}");
    let said = page(&bench);
    assert!(said.contains("write the site to another folder"), "{said}");
    for below in ["logs", "logs/site/new"] {
        let said = page(&bench.join(below));
        assert!(
            said.contains("--out: ") && said.contains("lies among the logs"),
            "{said}"
        );
    }
    assert!(!bench.join("logs/site").exists());
}
