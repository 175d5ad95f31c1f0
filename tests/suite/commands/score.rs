//! `score` as a shell sees it: input, output, exit code.

use std::fs;
use std::io::Write as _;
use std::process::{Child, Command, Output, Stdio};

use serde_json::{Value, json};

fn start(arguments: &[&str], told: Stdio) -> Child {
    Command::new(env!("CARGO_BIN_EXE_fairweather"))
        .arg("score")
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(told)
        .spawn()
        .expect("the program")
}

fn score(arguments: &[&str], input: &str) -> Output {
    let mut child = start(arguments, Stdio::piped());
    let mut stdin = child.stdin.take().expect("its input");
    // A program that refuses early may close its input before all of it is written.
    let _ = stdin.write_all(input.as_bytes());
    drop(stdin);
    child.wait_with_output().expect("its output")
}

/// A visit with a truth; `null` for none.
fn visit(id: &str, truth: &Value) -> String {
    let system = json!({"kind": "split_heat_pump", "refrigerant": "R-32", "metering": "capillary"});
    json!({"id": id, "system": system, "truth": truth}).to_string()
}

fn array(visits: &[String]) -> String {
    format!("[{}]", visits.join(",\n"))
}

fn told(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn result(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).expect("JSON")
}

#[test]
fn documents_that_all_carry_a_truth_end_with_zero_and_a_table() {
    let visits = [visit("a", &json!("low_charge")), visit("b", &json!({"cause": "no_fault"}))];
    let output = score(&["-"], &array(&visits));
    assert_eq!((output.status.code(), told(&output).as_str()), (Some(0), ""));
    let table = String::from_utf8(output.stdout).unwrap();
    assert!(table.starts_with("Documents scored: 2. Operating conditions: 1. Engine"), "{table}");
    assert!(table.contains("\nHeadline "), "{table}");
}

#[test]
fn calibration_is_printed_as_json_with_and_without_what_costs_little() {
    let tiny = json!({"cause": "low_charge", "capacity_ratio": 0.99});
    let output = score(&["-", "--json"], &array(&[visit("a", &tiny)]));
    for curve in ["reliability", "reliability_of_costly"] {
        assert!(result(&output)["score"][curve]["answers"].is_u64(), "{curve}");
    }
}

#[test]
fn what_can_not_be_scored_is_told_and_counted_and_ends_with_one() {
    let visits = [
        visit("good", &json!("low_charge")),
        visit("none", &Value::Null),
        visit("bent", &json!({"cause": "lowcharge"})),
        r#"{"id": "odd", "colour": 1}"#.to_owned(),
    ];
    let output = score(&["-", "--json"], &array(&visits));
    assert_eq!(output.status.code(), Some(1));
    let told = told(&output);
    let sentences: Vec<&str> = told.lines().collect();
    for (sentence, parts) in sentences.iter().zip([
        ["document 2 (\"none\") carries no truth", "accepted: \"truth\" with the word"],
        ["document 3 (\"bent\") is left out: truth.cause: \"lowcharge\"", "accepted: the word"],
        ["document 4 (\"odd\") could not be read: colour", "accepted: id, mode"],
    ]) {
        assert!(parts.iter().all(|it| sentence.contains(it)), "{sentence}");
    }
    assert_eq!(sentences.len(), 3, "{told}");
    let counts = json!({"scored": 1, "without_truth": 1, "unreadable_truth": 1, "refused": 1});
    let result = result(&output);
    assert_eq!(result["documents"], counts);
    assert_eq!(result["score"]["cases"], 1);
}

#[test]
fn a_field_that_the_score_makes_no_use_of_is_named_once_and_harms_nothing() {
    let truth = json!({"cause": "low_charge", "simulator": "mine"});
    let output = score(&["-"], &array(&[visit("a", &truth), visit("b", &truth)]));
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(told(&output).matches("simulator").count(), 1);
}

#[test]
fn one_document_an_array_and_a_document_a_line_are_scored_alike() {
    let visits: Vec<String> =
        (0..700).map(|it| visit(&it.to_string(), &json!("low_charge"))).collect();
    let by_array = score(&["-"], &array(&visits));
    let by_line = score(&["-"], &visits.join("\n"));
    assert_eq!(by_array.status.code(), Some(0));
    assert_eq!(by_array.stdout, by_line.stdout);
    let one = score(&["-", "--json"], &visits[0]);
    assert_eq!(result(&one)["documents"]["scored"], 1);
    let mut file = tempfile::NamedTempFile::new().unwrap();
    file.write_all(visits.join("\n").as_bytes()).unwrap();
    assert_eq!(score(&[file.path().to_str().unwrap()], "").stdout, by_array.stdout);
}

#[test]
fn text_that_is_no_document_ends_with_two_and_prints_nothing() {
    for text in ["nonsense", "7", "[{}] {}", "[7]", ""] {
        let output = score(&["-"], text);
        assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0), "{text}");
        assert!(told(&output).contains("this is"), "{text}: {}", told(&output));
    }
    assert_eq!(score(&["/nowhere/visits.json"], "").status.code(), Some(2));
}

#[test]
fn the_drawing_goes_into_the_file_that_was_named() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("score.svg");
    let visits = array(&[visit("a", &json!("low_charge"))]);
    let output = score(&["-", "--svg", path.to_str().unwrap()], &visits);
    assert_eq!(output.status.code(), Some(0));
    let svg = fs::read_to_string(&path).unwrap();
    assert!(svg.starts_with("<svg ") && svg.trim_end().ends_with("</svg>"));
}

#[test]
fn a_drawing_that_can_not_be_written_ends_with_two_and_loses_no_table() {
    let visits = array(&[visit("a", &json!("low_charge"))]);
    let output = score(&["-", "--svg", "/nowhere/score.svg"], &visits);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.starts_with(b"Documents scored: 1."));
    assert!(told(&output).contains("/nowhere/score.svg could not be written"));
}

/// The most memory that it ever held, in kB, asked when it has read almost everything.
fn peak_memory_kb(length: usize) -> u64 {
    let truth = json!({"cause": "low_charge", "conditions": "one"});
    let scored = visit("scored", &truth);
    // Mostly refusals, which are quick, with an id that makes them long.
    let long = visit(&"long".repeat(500), &json!(7));
    let documents = (0..length).map(|number| if number % 50 == 0 { &scored } else { &long });
    let documents: Vec<&str> = documents.map(String::as_str).collect();
    let mut child = start(&["-"], Stdio::null());
    let mut stdin = child.stdin.take().expect("its input");
    stdin.write_all(documents.join("\n").as_bytes()).unwrap();
    let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap();
    let peak = status.lines().find_map(|it| it.strip_prefix("VmHWM:")).expect("a peak");
    let peak = peak.trim().trim_end_matches(" kB").parse().unwrap();
    drop(stdin);
    let output = child.wait_with_output().unwrap();
    let first = format!("Documents scored: {}. Operating conditions: 1.", length.div_ceil(50));
    assert!(String::from_utf8(output.stdout).unwrap().starts_with(&first));
    peak
}

#[test]
fn ten_times_the_documents_take_no_more_memory() {
    let (few, many) = (peak_memory_kb(2000), peak_memory_kb(20_000));
    assert!(many * 4 <= few * 5, "{few} kB for 2,000 documents, {many} kB for 20,000");
}
