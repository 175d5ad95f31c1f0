//! `assess` as a shell sees it: input, output, exit code.

use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::process::{Child, ChildStdout, Command, Output, Stdio};
use std::thread;

use serde_json::Value;

const GOOD: &str = r#"{"id": "a",
    "system": {"kind": "split_heat_pump", "refrigerant": "R-32", "metering": "capillary"}}"#;

fn start(arguments: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_fairweather"))
        .arg("assess")
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program")
}

fn assess(arguments: &[&str], input: &str) -> Output {
    let mut child = start(arguments);
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
    assert!(String::from_utf8(output.stdout).unwrap().contains(r#""field":"system""#));
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

/// Some documents of which one in three can't be read.
fn array(length: usize) -> String {
    let documents = (0..length).map(|number| match number % 3 {
        0 => format!(r#"{{"id": "{number}"}}"#),
        _ => GOOD.replacen("\"a\"", &format!("\"{number}\""), 1),
    });
    format!("[{}]", documents.collect::<Vec<_>>().join(",\n"))
}

/// Starts it on a text that is written from behind, for neither pipe can hold all of it.
fn start_on(text: String, arguments: &[&str]) -> (Child, BufReader<ChildStdout>) {
    let mut child = start(arguments);
    let mut stdin = child.stdin.take().expect("its input");
    thread::spawn(move || stdin.write_all(text.as_bytes()));
    let stdout = BufReader::new(child.stdout.take().expect("its output"));
    (child, stdout)
}

#[test]
fn a_long_array_is_answered_in_order_one_compact_document_a_line() {
    let (mut child, mut stdout) = start_on(array(1000), &["-"]);
    let mut text = String::new();
    stdout.read_to_string(&mut text).unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(1));
    let lines: Vec<_> = text.lines().collect();
    assert_eq!((lines.len(), lines[0], lines[1001]), (1002, "[", "]"));
    for (number, line) in lines[1..1001].iter().enumerate() {
        let answer: Value = serde_json::from_str(line.trim_end_matches(',')).unwrap();
        let id = if number % 3 == 0 { &answer["error"]["field"] } else { &answer["id"] };
        let expected = if number % 3 == 0 { "system".to_owned() } else { number.to_string() };
        assert_eq!(id, &expected);
    }
    assert!(serde_json::from_str::<Value>(&text).unwrap().is_array());
}

#[test]
fn one_document_is_set_for_eyes_and_an_array_of_none_is_one_of_none() {
    let output = assess(&["-"], GOOD);
    assert!(output.stdout.starts_with(b"{\n  \"id\": \"a\",\n"));
    assert_eq!(assess(&["-"], " [ ] ").stdout, b"[\n]\n");
}

#[test]
fn a_fault_at_the_end_of_a_long_array_leaves_nothing_printed() {
    let sound = array(2000);
    let last = sound.lines().count().to_string();
    for (end, place) in [
        (", {\"id\": }]", "expected value at line L column"),
        (", 7 7]", "expected `,` or `]` at line L column"),
        (",]", "trailing comma at line L column"),
        ("", "while parsing a list at line L column"),
        ("] []", "trailing characters at line L column"),
    ] {
        let text = format!("{}{end}", sound.trim_end_matches(']'));
        let output = assess(&["-"], &text);
        assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0), "{end}");
        let message = String::from_utf8(output.stderr).unwrap();
        let place = place.replace('L', &last);
        assert!(message.contains("not JSON") && message.contains(&place), "{message}");
    }
}

#[test]
fn text_for_a_person_comes_document_by_document() {
    let output = assess(&["-", "--text"], &array(40));
    let text = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(1));
    let first = text.find("Visit without id").or(text.find("Visit 0: not read"));
    assert_eq!(first, Some(0), "{}", text.lines().next().unwrap());
    assert!(text.contains("\n\nVisit 38\n") && text.contains("\n\nVisit 39: not read."));
}

#[test]
fn a_file_is_answered_as_a_stream_is() {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(array(700).as_bytes()).unwrap();
    let by_file = assess(&[file.path().to_str().unwrap()], "");
    let by_stream = assess(&["-"], &array(700));
    assert_eq!(by_file.stdout, by_stream.stdout);
    assert_eq!(by_file.status.code(), Some(1));
}

#[test]
fn no_bar_is_drawn_where_nobody_watches() {
    assert_eq!(assess(&["-"], &array(700)).stderr, b"");
}

/// `script` lends a terminal to a command and prints what came to it.
#[test]
fn a_bar_is_drawn_on_a_terminal_and_taken_away() {
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(array(700).as_bytes()).unwrap();
    let program = env!("CARGO_BIN_EXE_fairweather");
    let command = format!("'{program}' assess '{}' > /dev/null", file.path().display());
    let output = Command::new("script")
        .args(["--quiet", "--return", "--command", &command, "/dev/null"])
        .env("TERM", "xterm")
        .output()
        .expect("script, of Debian's bsdutils");
    let drawn = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(1), "{drawn}");
    assert!(drawn.contains("judging"), "{drawn:?}");
    assert!(drawn.ends_with("\u{1b}[2K"), "{drawn:?}");
}

#[test]
fn a_reader_that_has_seen_enough_ends_it_quietly() {
    let (mut child, mut stdout) = start_on(array(3000), &["-"]);
    let mut line = String::new();
    stdout.read_line(&mut line).unwrap();
    drop(stdout);
    assert_eq!(child.wait().unwrap().code(), Some(0));
    let mut told = String::new();
    child.stderr.take().unwrap().read_to_string(&mut told).unwrap();
    assert_eq!((line.as_str(), told.as_str()), ("[\n", ""));
}

/// The most memory that it ever held, in kB, asked when it is almost done.
fn peak_memory_kb(length: usize) -> u64 {
    // Mostly refusals, which are quick, with an id that makes their answers long.
    let long = format!(r#"{{"id": "{}"}}"#, "long".repeat(500));
    let documents = (0..length).map(|number| if number % 50 == 0 { GOOD } else { &long });
    let text = format!("[{}]", documents.collect::<Vec<_>>().join(",\n"));
    let (mut child, stdout) = start_on(text, &["-", "--no-causes"]);
    let mut lines = stdout.lines();
    // What is still to come fills the pipe several times over, so that the program must wait.
    assert!(lines.nth(length - 300).unwrap().is_ok());
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap();
    let peak = status.lines().find_map(|it| it.strip_prefix("VmHWM:")).expect("a peak");
    assert_eq!(lines.count(), 301);
    assert_eq!(child.wait().unwrap().code(), Some(1));
    peak.trim().trim_end_matches(" kB").parse().unwrap()
}

#[test]
fn ten_times_the_visits_take_no_more_memory() {
    let (few, many) = (peak_memory_kb(2000), peak_memory_kb(20_000));
    assert!(many * 4 <= few * 5, "{few} kB for 2,000 visits, {many} kB for 20,000");
}
