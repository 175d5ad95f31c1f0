//! `assess` as a shell sees it: input, output, exit code.

use std::io::Write as _;
use std::process::{Command, Output, Stdio};

const GOOD: &str = r#"{"id": "a",
    "system": {"kind": "split_heat_pump", "refrigerant": "R-32", "metering": "capillary"}}"#;

fn assess(arguments: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_fairweather"))
        .arg("assess")
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program");
    let mut stdin = child.stdin.take().expect("its input");
    // A program that refuses early may close its input before all of it is written.
    let _ = stdin.write_all(input.as_bytes());
    drop(stdin);
    child.wait_with_output().expect("its output")
}

#[test]
fn a_readable_document_ends_with_zero() {
    let output = assess(&["-"], GOOD);
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stdout.starts_with(b"{"));
    assert_eq!(output.stderr, b"");
}

#[test]
fn a_refused_document_ends_with_one_and_is_answered() {
    let output = assess(&["-"], &format!(r#"[{GOOD}, {{"id": "b"}}]"#));
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8(output.stdout).unwrap().contains(r#""field": "system""#));
}

#[test]
fn text_that_is_not_json_ends_with_two_and_prints_nothing() {
    let output = assess(&["-"], "nonsense");
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(output.stdout, b"");
    assert!(String::from_utf8(output.stderr).unwrap().contains("not JSON"));
}

#[test]
fn a_file_that_is_not_there_ends_with_two() {
    assert_eq!(assess(&["/nowhere/visit.json"], "").status.code(), Some(2));
}

#[test]
fn a_person_can_ask_for_text() {
    let output = assess(&["-", "--text", "--no-causes"], GOOD);
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stdout.starts_with(b"Visit a"));
}
