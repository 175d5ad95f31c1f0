//! Nothing that the program says tells anybody to handle refrigerant: causes are advice to a
//! qualified technician, and what to do about a charge is theirs to decide.

use std::fs;
use std::path::{Path, PathBuf};

use fairweather::engine::likely::CAUTION;
use fairweather::engine::limits::LimitBook;
use fairweather::formats::assess_file::{Causes, answer};

use crate::engine::causes::simulated;

/// What would be an instruction. “Charge” by itself is the noun, and allowed.
const INSTRUCTIONS: &[&str] = &[
    "add refrigerant",
    "add charge",
    "add gas",
    "add more",
    "add ounces",
    "add pounds",
    "adding refrigerant",
    "needs refrigerant",
    "needs charge",
    "needs charging",
    "needs more",
    "top up",
    "top off",
    "top it",
    "recharge",
    "charge it",
    "charge the system",
    "charge the unit",
    "charge the circuit",
    "charge until",
    "charge up",
    "must be charged",
    "should be charged",
    "has to be charged",
    "fill the system",
    "fill it with",
    "raise the charge",
    "lower the charge",
    "increase the charge",
    "reduce the charge",
    "correct the charge",
    "adjust the charge",
    "set the charge",
    "remove refrigerant",
    "remove charge",
    "remove the refrigerant",
    "removing refrigerant",
    "recover refrigerant",
    "recover charge",
    "recover the refrigerant",
    "recover the charge",
    "recover it",
    "take out refrigerant",
    "take refrigerant",
    "draw off",
    "let out",
    "let off",
    "bleed",
    "release refrigerant",
    "release the refrigerant",
    "release the gas",
    "blow off",
    "vent refrigerant",
    "vent the",
    "vent it",
    "vent some",
    "purge",
    "evacuate",
    "pump down",
    "pump it down",
    "weigh in",
    "weigh out",
];

/// Words and marks one by one, so that a phrase is not read across a comma or out of a longer word.
fn words(text: &str) -> Vec<String> {
    let mut all = vec![String::new()];
    for letter in text.to_lowercase().chars() {
        if letter.is_alphanumeric() || matches!(letter, '_' | '\'') {
            all.last_mut().expect("a word").push(letter);
        } else {
            // A line that goes on is no mark.
            let is_mark = !letter.is_whitespace() && letter != '\\';
            all.extend(is_mark.then(|| letter.to_string()));
            all.push(String::new());
        }
    }
    all.retain(|it| !it.is_empty());
    all
}

/// The instructions in a text.
fn instructions(text: &str) -> Vec<&'static str> {
    let words = words(text);
    let is_in = |phrase: &&&str| {
        let wanted: Vec<&str> = phrase.split(' ').collect();
        words.windows(wanted.len()).any(|some| some == wanted)
    };
    INSTRUCTIONS.iter().filter(is_in).copied().collect()
}

/// The files of a folder with this ending.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).expect("a folder").map(|it| it.expect("an entry").path());
    let all = entries.flat_map(|path| {
        if path.is_dir() {
            files(&path, ending)
        } else if path.extension().is_some_and(|it| it == ending) {
            vec![path]
        } else {
            Vec::new()
        }
    });
    all.collect()
}

#[test]
fn an_instruction_is_known_when_it_is_read_and_the_noun_is_not_taken_for_one() {
    for text in
        ["Add refrigerant until", "then recover the\n  charge.", "top-off? Top off!", "VENT IT"]
    {
        assert_ne!(instructions(text), [""; 0], "{text}");
    }
    for text in [
        CAUTION,
        "about 22 % of the charge short",
        "airflow before charge, the system runs",
        "if let Some(out) = event",
        "discharge it",
    ] {
        assert_eq!(instructions(text), [""; 0], "{text}");
    }
}

#[test]
fn no_text_of_a_page_or_of_the_engine_tells_to_add_or_remove_refrigerant() {
    let mut faults = Vec::new();
    let mut sources = files(Path::new("src"), "rs");
    sources.extend(files(Path::new("templates"), "html"));
    sources.extend(files(Path::new("static"), "js"));
    assert!(250 < sources.len(), "only {} files", sources.len());
    for path in sources {
        let text = fs::read_to_string(&path).expect("text");
        let code = text.lines().filter(|line| !line.trim_start().starts_with("//"));
        let code: Vec<&str> = code.collect();
        for phrase in instructions(&code.join("\n")) {
            faults.push(format!("{}: “{phrase}”", path.display()));
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn nothing_that_is_said_of_any_planted_fault_tells_so_either() {
    let mut errors = simulated::Errors::new(simulated::GOOD, 7);
    for row in simulated::rows() {
        let mut visit = errors.visit(&row, &simulated::readings(&row));
        visit["as_left"] = visit["as_found"].clone();
        let answers = answer(&visit.to_string(), &LimitBook::default(), Causes::Named);
        let text = answers.expect("a document").text();
        assert_eq!(instructions(&text), [""; 0], "{text}");
        assert!(text.contains(CAUTION), "{text}");
    }
}
