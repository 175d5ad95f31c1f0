//! The dependency direction and the size limits, checked on the text of `src/`, and that what is
//! append-only is never updated or deleted.

use std::fs;
use std::path::{Path, PathBuf};

/// For each folder: what its files may never name.
const FORBIDDEN: &[(&str, &[&str])] = &[
    ("src/engine", &["crate::domain", "crate::formats", "crate::planning", "crate::review"]),
    ("src/engine", &["crate::scoring"]),
    ("src/engine", PAST_THE_PURE),
    ("src/scoring", &["crate::domain", "crate::formats", "crate::planning", "crate::review"]),
    ("src/scoring", PAST_THE_PURE),
    ("src/domain", &["crate::scoring", "crate::formats", "crate::planning", "crate::review"]),
    ("src/domain", PAST_THE_PURE),
    ("src/imaging", &["crate::"]),
    ("src/imaging", PAST_THE_PURE),
    ("src/planning", &["crate::formats", "crate::review"]),
    ("src/planning", PAST_THE_PURE),
    ("src/review", &["crate::formats", "crate::planning"]),
    ("src/review", PAST_THE_PURE),
    ("src/formats", &["crate::planning", "crate::review"]),
    ("src/formats", PAST_THE_PURE),
    (
        "src/store",
        &["crate::actions", "crate::demo", "crate::web", "crate::commands", "axum", "askama"],
    ),
    ("src/store", &["crate::outside", "crate::imaging"]),
    ("src/actions", &["crate::outside", "crate::imaging"]),
    ("src/demo", &["crate::outside", "crate::imaging"]),
    ("src/domain", &["crate::imaging", "crate::outside"]),
    ("src/actions", &["crate::demo", "crate::web", "crate::commands", "sqlx", "axum", "askama"]),
    ("src/demo", &["crate::web", "crate::commands", "sqlx", "axum", "askama"]),
    ("src/outside", &["crate::store", "crate::actions", "crate::demo", "crate::web"]),
    ("src/outside", &["crate::commands", "crate::domain", "sqlx", "axum", "askama"]),
    ("src/web", &["crate::demo", "crate::commands", "sqlx"]),
];

/// What no pure folder may name.
const PAST_THE_PURE: &[&str] = &[
    "crate::store",
    "crate::actions",
    "crate::demo",
    "crate::web",
    "crate::commands",
    "crate::config",
    "crate::clock",
    "crate::chance",
    "crate::secret",
    "sqlx",
    "axum",
    "askama",
    "tokio",
    "async fn",
    "std::fs",
    "std::env",
    "std::net",
    "SystemTime",
    "Instant::now",
    "now_utc",
    "rand::",
];

/// Long because they are data, not logic.
const TABLES: &[&str] = &["_table.rs", "_tables.rs", "src/domain/sheet.rs"];

const FILE_LINES_MAX: usize = 400;
const TEMPLATE_LINES_MAX: usize = 200;
const MIGRATION_LINES_MAX: usize = 150;
/// All our own JavaScript together has fewer lines than this.
const SCRIPT_LINES_END: usize = 900;
const SCRIPT_COLUMNS_MAX: usize = 110;
/// Scripts that others wrote.
const LIBRARIES: &[&str] = &["idb.js"];

/// Tables to which rows are only ever added.
const APPEND_ONLY: &[&str] = &[
    "entry",
    "reading",
    "mark",
    "assessment",
    "event",
    "remark",
    "limit_change",
    "confirmed_cause",
    "prior_version",
    "price_list_version",
    "price_item",
    "visit_price_list",
    "proposal_reason",
    "proposal_answer",
    "part_used",
    "refrigerant_movement",
    "sheet_requirement_version",
];

fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap_or_else(|_| panic!("{} is gone", folder.display()));
    let mut all: Vec<PathBuf> = entries
        .map(|entry| entry.unwrap().path())
        .flat_map(|path| {
            if path.is_dir() {
                files(&path, ending)
            } else if path.extension().is_some_and(|it| it == ending) {
                vec![path]
            } else {
                Vec::new()
            }
        })
        .collect();
    all.sort();
    all
}

fn code_lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines().enumerate().filter(|(_, line)| !line.trim_start().starts_with("//"))
}

#[test]
fn folders_name_only_what_they_may() {
    let mut faults = Vec::new();
    for (folder, words) in FORBIDDEN {
        for path in files(Path::new(folder), "rs") {
            let text = fs::read_to_string(&path).unwrap();
            for (number, line) in code_lines(&text) {
                for word in words.iter().filter(|word| line.contains(**word)) {
                    let place = format!("{}:{}", path.display(), number + 1);
                    faults.push(format!("{place}: {folder} may not name `{word}`"));
                }
            }
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn sql_and_drivers_are_named_in_the_store_only() {
    let mut faults = Vec::new();
    for path in files(Path::new("src"), "rs") {
        if path.starts_with("src/store") {
            continue;
        }
        let text = fs::read_to_string(&path).unwrap();
        for (number, line) in code_lines(&text) {
            let upper = ["SELECT ", "INSERT INTO ", "UPDATE ", "DELETE FROM "];
            if line.contains("sqlx::") || upper.iter().any(|word| line.contains(word)) {
                faults.push(format!("{}:{}: {}", path.display(), number + 1, line.trim()));
            }
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn some_crates_are_named_in_one_folder_only() {
    let only = [
        ("object_store", "src/outside"),
        ("rustls", "src/outside"),
        ("image::", "src/imaging"),
        ("askama", "src/web"),
    ];
    let mut faults = Vec::new();
    for path in files(Path::new("src"), "rs") {
        let text = fs::read_to_string(&path).unwrap();
        for (number, line) in code_lines(&text) {
            let named = |word: &str| {
                line.split(|it: char| !it.is_alphanumeric() && !"_:".contains(it))
                    .any(|it| it.starts_with(word))
            };
            for (word, folder) in only {
                if named(word) && !path.starts_with(folder) {
                    faults.push(format!("{}:{}: {word}", path.display(), number + 1));
                }
            }
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn no_module_lets_names_in_or_out_by_the_star() {
    for path in files(Path::new("src"), "rs") {
        let text = fs::read_to_string(&path).unwrap();
        for (number, line) in code_lines(&text) {
            let star = line.contains("::*;");
            assert!(!star, "{}:{}: {}", path.display(), number + 1, line.trim());
        }
    }
}

#[test]
fn files_are_short_and_say_what_they_are() {
    let mut faults = Vec::new();
    for path in files(Path::new("src"), "rs") {
        let text = fs::read_to_string(&path).unwrap();
        let name = path.display().to_string();
        let lines = text.lines().count();
        if lines > FILE_LINES_MAX && !TABLES.iter().any(|table| name.ends_with(table)) {
            faults.push(format!("{name}: {lines} lines, at most {FILE_LINES_MAX}"));
        }
        if !text.starts_with("//! ") {
            faults.push(format!("{name}: no module sentence"));
        }
    }
    for (folder, ending, most) in
        [("templates", "html", TEMPLATE_LINES_MAX), ("migrations", "sql", MIGRATION_LINES_MAX)]
    {
        for path in files(Path::new(folder), ending) {
            let lines = fs::read_to_string(&path).unwrap().lines().count();
            if lines > most {
                faults.push(format!("{}: {lines} lines, at most {most}", path.display()));
            }
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}

#[test]
fn our_own_javascript_stays_small() {
    let ours = files(Path::new("static"), "js");
    let ours = ours.into_iter().filter(|it| !LIBRARIES.iter().any(|name| it.ends_with(name)));
    let (mut all, mut faults) = (0, Vec::new());
    for path in ours {
        let text = fs::read_to_string(&path).unwrap();
        println!("{:5} {}", text.lines().count(), path.display());
        all += text.lines().count();
        for (number, line) in text.lines().enumerate() {
            if line.chars().count() > SCRIPT_COLUMNS_MAX {
                faults.push(format!("{}:{}: too long", path.display(), number + 1));
            }
        }
    }
    println!("{all:5} in all, fewer than {SCRIPT_LINES_END}");
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
    assert!(all < SCRIPT_LINES_END, "{all} lines");
}

#[test]
fn what_is_append_only_is_never_updated_or_deleted() {
    for path in files(Path::new("src/store"), "rs") {
        let text = fs::read_to_string(&path).unwrap();
        let words: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for table in APPEND_ONLY {
            for change in [format!("UPDATE {table} "), format!("DELETE FROM {table} ")] {
                assert!(!words.contains(&change), "{}: {change}", path.display());
            }
        }
    }
}

#[test]
fn templates_hold_no_script_and_no_style_of_their_own() {
    for path in files(Path::new("templates"), "html") {
        let text = fs::read_to_string(&path).unwrap();
        for word in ["style=", "<style", "onclick", "onchange", "javascript:"] {
            assert!(!text.contains(word), "{}: {word}", path.display());
        }
        let inline = text.split("<script").skip(1).any(|after| !after.starts_with(" src="));
        assert!(!inline, "{}: a script of its own", path.display());
    }
}
