//! What closes a visit, from the marks of its sheet: proposals with the customer's answers, parts
//! used, refrigerant moved; what their texts mean, and what doesn't fit together at hand-in.

mod fields;

use time::Date;

use self::fields::{price, read_tenths, shown};
use super::form::date;
use super::price_list::{OTHER, is_key};

pub use fields::{fields, is_field, label, meaning};

/// Lines for parts on a sheet.
pub const PARTS_MAX: i64 = 8;
/// Lines for refrigerant on a sheet.
pub const MOVEMENTS_MAX: i64 = 4;
/// Proposals on a sheet that are on no price list.
pub const OTHERS_MAX: i64 = 4;
/// Ounces of a pound (definition).
const OUNCES_A_POUND: i64 = 16;
/// How the mark begins that says why something needed is missing; the form's name follows.
pub const MISSING: &str = "missing.as_found.";

/// What the customer said of a proposal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Nothing yet.
    Open,
    /// Yes.
    Accepted,
    /// No.
    Declined,
    /// Later.
    Deferred,
}

impl Answer {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Open, Self::Accepted, Self::Declined, Self::Deferred];

    /// The word in the store and in forms.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Accepted => "accepted",
            Self::Declined => "declined",
            Self::Deferred => "deferred",
        }
    }

    /// The word for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Open => "Open",
            Self::Accepted => "Accepted",
            Self::Declined => "Declined",
            Self::Deferred => "Deferred",
        }
    }

    /// The answer of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|it| it.key() == key)
    }
}

/// Which way refrigerant went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Into the system.
    Added,
    /// Out of it.
    Recovered,
}

impl Direction {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Added, Self::Recovered];

    /// The word in the store and in forms.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Added => "added",
            Self::Recovered => "recovered",
        }
    }

    /// The word for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Added => "Added",
            Self::Recovered => "Recovered",
        }
    }

    /// The direction of that word.
    #[must_use]
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|it| it.key() == key)
    }
}

/// A proposal as the sheet has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposal {
    /// An item of the price list, or a free line (`other_1`).
    pub item: String,
    /// The words of a free line; empty for an item of the list, which has its own.
    pub words: String,
    /// The price of a free line as it was told; none where none was named.
    pub cents: Option<i64>,
    /// What the customer said.
    pub answer: Answer,
    /// Until when it was deferred.
    pub until: Option<Date>,
}

/// A part that was used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartUsed {
    /// The line of the sheet, from 1.
    pub line: i64,
    /// What it is.
    pub words: String,
    /// How many.
    pub count: i64,
}

/// Refrigerant that went into the system or out of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Movement {
    /// The line of the sheet, from 1.
    pub line: i64,
    /// Which way.
    pub direction: Direction,
    /// How much, in tenths of an ounce.
    pub ounce_tenths: i64,
    /// From or into which cylinder; empty where a reason is given why it is not known.
    pub cylinder: String,
}

/// A mark as this file needs it: the field, and what it came to.
pub type Marked<'a> = (&'a str, &'a str);

fn value<'a>(marks: &[Marked<'a>], field: &str) -> &'a str {
    marks.iter().rev().find(|it| it.0 == field).map_or("", |it| it.1)
}

/// What was proposed, by the items' keys, then the free lines. One of these counts once it has words, a price or
/// an answer.
#[must_use]
pub fn proposals(marks: &[Marked<'_>]) -> Vec<Proposal> {
    let of = |item: &str| {
        let field = |kind: &str| value(marks, &format!("{kind}.{item}"));
        let (words, cents) = (field("proposal_words"), price(field("proposal_price")));
        let said = Answer::of_key(field("proposal"));
        let is_free = item.starts_with(OTHER);
        let is_begun = is_free && (!words.is_empty() || cents.is_some());
        let answer = said.or(is_begun.then_some(Answer::Open))?;
        Some(Proposal {
            item: item.to_owned(),
            words: if is_free { words.to_owned() } else { String::new() },
            cents: cents.filter(|_| is_free),
            answer,
            until: date(field("proposal_until")).filter(|_| answer == Answer::Deferred),
        })
    };
    let listed = marks.iter().filter_map(|it| it.0.strip_prefix("proposal."));
    let mut items: Vec<&str> = listed.filter(|it| is_key(it)).collect();
    items.sort_unstable();
    items.dedup();
    let others: Vec<String> = (1..=OTHERS_MAX).map(|line| format!("{OTHER}{line}")).collect();
    items.into_iter().chain(others.iter().map(String::as_str)).filter_map(of).collect()
}

/// The parts that were used: a line with a count but no words is none, one without a count is one.
#[must_use]
pub fn parts(marks: &[Marked<'_>]) -> Vec<PartUsed> {
    let of = |line: i64| {
        let words = value(marks, &format!("part.{line}"));
        let count = value(marks, &format!("part_count.{line}")).parse().unwrap_or(1);
        let words = words.to_owned();
        (!words.is_empty()).then_some(PartUsed { line, words, count })
    };
    (1..=PARTS_MAX).filter_map(of).collect()
}

/// How much a line says, in tenths of an ounce; none if nothing.
fn amount(marks: &[Marked<'_>], line: i64) -> Option<i64> {
    let tenths = |kind: &str| read_tenths(value(marks, &format!("{kind}.{line}")));
    let (pounds, ounces) = (tenths("moved_lb"), tenths("moved_oz"));
    let sum = OUNCES_A_POUND * pounds.unwrap_or(0) + ounces.unwrap_or(0);
    (0 < sum).then_some(sum)
}

/// Refrigerant that was moved: lines with a direction and an amount.
#[must_use]
pub fn movements(marks: &[Marked<'_>]) -> Vec<Movement> {
    let of = |line: i64| {
        let direction = Direction::of_key(value(marks, &format!("moved.{line}")))?;
        let cylinder = value(marks, &format!("moved_cylinder.{line}")).to_owned();
        Some(Movement { line, direction, ounce_tenths: amount(marks, line)?, cylinder })
    };
    (1..=MOVEMENTS_MAX).filter_map(of).collect()
}

/// What doesn't fit together, by field: refrigerant without direction, amount or cylinder, what is
/// deferred without a day, a free proposal without words or price, a count without its part. Where
/// a reason why it is missing is given, it is no fault.
#[must_use]
pub fn faults(marks: &[Marked<'_>]) -> Vec<(String, String)> {
    let mut faults = Vec::new();
    let mut lacks = |field: String, what: &str| {
        if value(marks, &format!("{MISSING}{field}")).is_empty() {
            let label = label(&field).unwrap_or_default();
            faults.push((field, format!("{label}: {what}")));
        }
    };
    let has = |kind: &str, key: &str| !value(marks, &format!("{kind}.{key}")).is_empty();
    for it in proposals(marks) {
        let item = &it.item;
        if it.answer == Answer::Deferred && it.until.is_none() {
            lacks(format!("proposal_until.{item}"), "nothing was given; say until which day.");
        }
        if item.starts_with(OTHER) && it.words.is_empty() {
            lacks(format!("proposal_words.{item}"), "nothing was given; say what is proposed.");
        }
        if item.starts_with(OTHER) && it.cents.is_none() {
            lacks(format!("proposal_price.{item}"), "nothing was given; dollars such as 189.50.");
        }
    }
    for line in (1..=PARTS_MAX).map(|it| it.to_string()) {
        if has("part_count", &line) && !has("part", &line) {
            lacks(format!("part.{line}"), "a count was given, but not of what.");
        }
    }
    for line in 1..=MOVEMENTS_MAX {
        let key = line.to_string();
        let kinds = ["moved", "moved_lb", "moved_oz", "moved_cylinder"];
        if !kinds.into_iter().any(|kind| has(kind, &key)) {
            continue;
        }
        if !has("moved", &key) {
            lacks(format!("moved.{key}"), "say whether it was added or recovered.");
        }
        if amount(marks, line).is_none() {
            lacks(format!("moved_lb.{key}"), "no amount was given; pounds, ounces or both.");
        }
        if !has("moved_cylinder", &key) {
            lacks(format!("moved_cylinder.{key}"), "say from or into which cylinder.");
        }
    }
    faults
}

/// Tenths of an ounce for people: `2 lb 4.5 oz`, `8 oz`.
#[must_use]
pub fn pounds_and_ounces(ounce_tenths: i64) -> String {
    let sign = if ounce_tenths < 0 { "−" } else { "" };
    let tenths = ounce_tenths.abs();
    let (pounds, rest) = (tenths / (10 * OUNCES_A_POUND), tenths % (10 * OUNCES_A_POUND));
    match (pounds, rest) {
        (0, rest) => format!("{sign}{} oz", shown(rest)),
        (pounds, 0) => format!("{sign}{pounds} lb"),
        (pounds, rest) => format!("{sign}{pounds} lb {} oz", shown(rest)),
    }
}
