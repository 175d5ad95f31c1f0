//! The schema itself: what points at something is a foreign key and has an index.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

/// Ids that point at nothing by design: an event is about any noun.
const FREE: &[&str] = &["event.noun_id"];

#[test]
fn every_column_that_points_at_something_is_a_foreign_key_with_an_index() {
    let mut tables: BTreeMap<String, String> = BTreeMap::new();
    let mut indexed: BTreeSet<String> = BTreeSet::new();
    for entry in fs::read_dir("migrations").unwrap() {
        let text = fs::read_to_string(entry.unwrap().path()).unwrap();
        let code: String = text
            .lines()
            .filter(|line| !line.trim_start().starts_with("--"))
            .collect::<Vec<_>>()
            .join("\n");
        for statement in code.split(';').map(str::trim) {
            if let Some(table) = statement.strip_prefix("CREATE TABLE ") {
                let (name, body) = table.split_once(" (").unwrap();
                tables.insert(name.to_owned(), body.to_owned());
            } else if let Some((_, on)) = statement.split_once(" ON ") {
                let (table, columns) = on.split_once(" (").unwrap();
                let first = columns.split([',', ')']).next().unwrap().trim();
                indexed.insert(format!("{table}.{first}"));
            }
        }
    }
    let mut faults = Vec::new();
    for (table, body) in &tables {
        let key = |line: &str| {
            let columns = line.split_once('(').map_or("", |it| it.1);
            columns.split([',', ')']).next().unwrap_or("").trim().to_owned()
        };
        for line in body.lines().map(str::trim) {
            if line.starts_with("PRIMARY KEY") || line.starts_with("UNIQUE") {
                indexed.insert(format!("{table}.{}", key(line)));
            }
        }
        for line in body.lines().map(str::trim) {
            let column = line.split_whitespace().next().unwrap_or("");
            let whole = format!("{table}.{column}");
            if !column.ends_with("_id") || FREE.contains(&whole.as_str()) {
                continue;
            }
            let composite = body.contains(&format!("FOREIGN KEY ({column},"));
            if !line.contains("REFERENCES") && !composite {
                faults.push(format!("{whole}: no foreign key"));
            }
            if !line.contains("PRIMARY KEY") && !indexed.contains(&whole) {
                faults.push(format!("{whole}: no index"));
            }
        }
    }
    assert!(tables.len() > 15, "only {} tables were read", tables.len());
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
}
