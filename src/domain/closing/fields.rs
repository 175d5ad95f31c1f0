//! The fields that close a sheet: their keys, their words, and what a text at one of them means.

use super::{Answer, Direction, MOVEMENTS_MAX, OTHERS_MAX, PARTS_MAX};
use crate::domain::form::{cents, date, number};
use crate::domain::price_list::{OTHER, is_key};

/// The longest words of a part or of a free proposal.
const WORDS_LETTERS_MAX: usize = 200;
/// The longest name of a cylinder.
const CYLINDER_LETTERS_MAX: usize = 60;
/// Of one part on one line at most.
const PART_COUNT_MAX: i64 = 999;
/// Pounds and ounces of one line at most, in tenths: no system of this trade holds 200 lb, and
/// sixteen ounces are a pound (definition).
const POUND_TENTHS_MAX: i64 = 2_000;
const OUNCE_TENTHS_MAX: i64 = 159;

/// Kinds of fields that are ours, with the words of each; `#` stands for the line.
const KINDS: &[(&str, &str)] = &[
    ("proposal", "Proposal #"),
    ("proposal_until", "Deferred until: proposal #"),
    ("proposal_words", "What is proposed: proposal #"),
    ("proposal_price", "Price: proposal #"),
    ("part", "Part #"),
    ("part_count", "Count of part #"),
    ("moved", "Refrigerant #"),
    ("moved_lb", "Pounds of refrigerant #"),
    ("moved_oz", "Ounces of refrigerant #"),
    ("moved_cylinder", "Cylinder of refrigerant #"),
];

/// The kind of a field of ours and its line or item; none if it isn't one.
fn split(field: &str) -> Option<(&'static str, &str)> {
    let (kind, key) = field.split_once('.')?;
    let kind = KINDS.iter().find(|it| it.0 == kind)?.0;
    let most = match kind {
        "proposal" | "proposal_until" if is_key(key) => return Some((kind, key)),
        "part" | "part_count" => PARTS_MAX,
        "moved" | "moved_lb" | "moved_oz" | "moved_cylinder" => MOVEMENTS_MAX,
        _ => OTHERS_MAX,
    };
    let line = if kind.starts_with("proposal") { key.strip_prefix(OTHER)? } else { key };
    // `1` and no `01`: one line has one name.
    (1..=most).any(|it| it.to_string() == line).then_some((kind, key))
}

/// Whether a field is one of these.
#[must_use]
pub fn is_field(field: &str) -> bool {
    split(field).is_some()
}

/// What a text at a field comes to: none if the field isn't one of these; else the word to keep,
/// empty where it was taken back, or why it can't be.
#[must_use]
pub fn meaning(field: &str, text: &str) -> Option<Result<String, String>> {
    let (kind, _) = split(field)?;
    let text = text.trim();
    if text.is_empty() {
        return Some(Ok(String::new()));
    }
    let label = label(field).unwrap_or_default();
    Some(match kind {
        "proposal" => word(&label, text, &Answer::ALL.map(Answer::key)),
        "moved" => word(&label, text, &Direction::ALL.map(Direction::key)),
        "proposal_until" => date(text)
            .map(|day| day.to_string())
            .ok_or_else(|| format!("{label}: “{text}” is not a day, such as 2026-05-14.")),
        "proposal_price" => price(text).map(plain_price).ok_or_else(|| {
            format!("{label}: “{text}” is no amount; dollars such as 189 or 189.50 are accepted.")
        }),
        "part_count" => text
            .parse::<i64>()
            .ok()
            .filter(|count| (1..=PART_COUNT_MAX).contains(count))
            .map(|count| count.to_string())
            .ok_or_else(|| {
                format!("{label}: “{text}” can't be; a whole number from 1 to {PART_COUNT_MAX}.")
            }),
        "moved_lb" => tenths(&label, text, POUND_TENTHS_MAX, "lb"),
        "moved_oz" => tenths(&label, text, OUNCE_TENTHS_MAX, "oz"),
        "moved_cylinder" => short(&label, text, CYLINDER_LETTERS_MAX),
        _ => short(&label, text, WORDS_LETTERS_MAX),
    })
}

fn word(label: &str, text: &str, accepted: &[&str]) -> Result<String, String> {
    if accepted.contains(&text) {
        return Ok(text.to_owned());
    }
    Err(format!("{label}: “{text}” can't be; {} is accepted.", accepted.join(", ")))
}

fn short(label: &str, text: &str, most: usize) -> Result<String, String> {
    let letters = text.chars().count();
    if letters <= most {
        return Ok(text.to_owned());
    }
    Err(format!("{label}: {letters} characters were given; at most {most} are accepted."))
}

/// A number of at most one decimal from nothing to so many tenths.
fn tenths(label: &str, text: &str, most: i64, unit: &str) -> Result<String, String> {
    let accepted = format!("0 to {} {unit} is accepted, with one decimal", shown(most));
    match read_tenths(text) {
        Some(value) if (0..=most).contains(&value) => Ok(shown(value)),
        Some(_) => Err(format!("{label}: {text} can't be; {accepted}.")),
        None => Err(format!("{label}: “{text}” can't be; {accepted}, such as 2.5.")),
    }
}

/// Tenths from a text of at most one decimal.
pub(super) fn read_tenths(text: &str) -> Option<i64> {
    let text = text.replace(',', ".");
    let decimals = text.split_once('.').map_or(0, |it| it.1.len());
    let value = number(&text).filter(|it| decimals <= 1 && it.abs() < 1e6)?;
    #[expect(clippy::cast_possible_truncation, reason = "below ten million")]
    let tenths = (value * 10.0).round() as i64;
    Some(tenths)
}

/// Tenths as a number: `2`, `2.5`.
pub(super) fn shown(tenths: i64) -> String {
    let (whole, rest) = (tenths / 10, tenths % 10);
    if rest == 0 { whole.to_string() } else { format!("{whole}.{rest}") }
}

/// Dollars with or without cents (`189`, `189.50`, `189.5`).
pub(super) fn price(text: &str) -> Option<i64> {
    let is_short = text.split_once('.').is_some_and(|it| it.1.len() == 1);
    if is_short { cents(&format!("{text}0")) } else { cents(text) }
}

fn plain_price(cents: i64) -> String {
    format!("{}.{:02}", cents / 100, cents % 100)
}

/// A field in words: `Part 1`, `Proposal: run capacitor` (the item's key, for whoever has no list).
#[must_use]
pub fn label(field: &str) -> Option<String> {
    let (kind, key) = split(field)?;
    let words = KINDS.iter().find(|it| it.0 == kind)?.1;
    let line = key.strip_prefix(OTHER).map_or_else(|| key.replace('_', " "), str::to_owned);
    let is_item = kind.starts_with("proposal") && !key.starts_with(OTHER);
    Some(words.replace('#', &if is_item { format!("“{line}”") } else { line }))
}

/// Every field of the lines, and those of the items with these keys, in the order of the page.
#[must_use]
pub fn fields<'a>(items: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let mut all = Vec::new();
    for item in items {
        all.extend([format!("proposal.{item}"), format!("proposal_until.{item}")]);
    }
    for line in 1..=OTHERS_MAX {
        let kinds = ["proposal_words", "proposal_price", "proposal", "proposal_until"];
        all.extend(kinds.map(|kind| format!("{kind}.{OTHER}{line}")));
    }
    for line in 1..=PARTS_MAX {
        all.extend(["part", "part_count"].map(|kind| format!("{kind}.{line}")));
    }
    for line in 1..=MOVEMENTS_MAX {
        let kinds = ["moved", "moved_lb", "moved_oz", "moved_cylinder"];
        all.extend(kinds.map(|kind| format!("{kind}.{line}")));
    }
    all
}
