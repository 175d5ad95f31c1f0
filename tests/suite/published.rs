//! Reads the published tables that stand beside the tests.

use std::path::Path;

/// Rows of a table by column, without comments and heading; a blank cell is nothing.
pub(crate) fn rows(name: &str) -> Vec<Vec<Option<f64>>> {
    text_rows(name)
        .into_iter()
        .map(|row| row.iter().map(|cell| cell.parse().ok()).collect())
        .collect()
}

/// The heading of a table.
pub(crate) fn heading(name: &str) -> Vec<String> {
    split(lines(name).first().expect("a heading"))
}

/// The same rows as they are written.
pub(crate) fn text_rows(name: &str) -> Vec<Vec<String>> {
    lines(name).iter().skip(1).map(|line| split(line)).collect()
}

fn lines(name: &str) -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published").join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|it| panic!("{name}: {it}"));
    let kept = text.lines().filter(|line| !line.starts_with('#') && !line.is_empty());
    kept.map(str::to_owned).collect()
}

fn split(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut is_quoted = false;
    for letter in line.trim_end().chars() {
        match letter {
            '"' => is_quoted = !is_quoted,
            ',' if !is_quoted => cells.push(String::new()),
            other => cells.last_mut().expect("a cell").push(other),
        }
    }
    cells
}
