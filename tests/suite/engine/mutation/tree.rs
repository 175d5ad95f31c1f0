//! A document as a tree in which anything can be put anywhere, what no value could hold as well:
//! a field twice, a number beyond all range, half a character.

use fairweather::engine::points::{POINTS, point};
use rand::Rng;
use rand::rngs::StdRng;
use rand::seq::IndexedRandom;
use serde_json::Value;

/// One node: a container, or the text of what holds nothing.
#[derive(Clone, Debug)]
pub(super) enum Node {
    Plain(String),
    List(Vec<Node>),
    Object(Vec<(String, Node)>),
}

/// Numbers at the edges of what a number can be, as text.
const NUMBERS: &[&str] = &[
    "0",
    "-0",
    "-0.0",
    "1",
    "-1",
    "0.5",
    "1e308",
    "-1e308",
    "1.7976931348623157e308",
    "1e999",
    "-1E400",
    "5e-324",
    "-5e-324",
    "2.2250738585072014e-308",
    "1e-999",
    "9007199254740993",
    "18446744073709551615",
    "18446744073709551616",
    "-9223372036854775808",
    "-9223372036854775809",
    "123456789012345678901234567890",
    "1.0",
    "100",
    "2.5000000000000000000000000000000001",
];

/// Texts that a careless reader trips over, as JSON.
const TEXTS: &[&str] = &[
    r#""""#,
    r#"" ""#,
    r#""\u0000""#,
    r#""\ud800""#,
    r#""\udc00\ud800""#,
    r#""\ud83d\ude00""#,
    r#""R-410A""#,
    r#""r-410a""#,
    r#""cooling""#,
    r#""cooling ""#,
    r#""208/230""#,
    r#""NaN""#,
    r#""1e999""#,
    r#""as_found""#,
    r#""attention""#,
    r#""return_wb_f""#,
    r#""\"\\\/\b\f\n\r\t""#,
    r#""$serde_json::private::Number""#,
    "\"\u{202e}\u{feff}é水\"",
];

const OTHERS: &[&str] = &["null", "true", "false", "[]", "{}", "[[]]", r#"{"": null}"#];

/// Names of fields, some of them known in other objects only.
const NAMES: &[&str] = &[
    "",
    "id",
    "system",
    "as_found",
    "as_left",
    "unchanged",
    "kind",
    "phases",
    "return_wb_f",
    "settled_min",
    "superheat_chart",
    "history",
    "priors",
    "truth",
    "circumstances",
    "observations",
    "duct_gaps",
    "elevation_ft",
    "colour",
    "AS_FOUND",
    "as_found ",
    "$serde_json::private::RawValue",
    "$serde_json::private::Number",
    "\u{0}",
];

const DEEP: usize = 300;
const LONG: usize = 20_000;

impl From<&Value> for Node {
    fn from(value: &Value) -> Self {
        match value {
            Value::Array(items) => Self::List(items.iter().map(Self::from).collect()),
            Value::Object(entries) => Self::Object(
                entries.iter().map(|(name, it)| (name.clone(), Self::from(it))).collect(),
            ),
            plain => Self::Plain(plain.to_string()),
        }
    }
}

impl Node {
    pub(super) fn text(&self) -> String {
        match self {
            Self::Plain(text) => text.clone(),
            Self::List(items) => {
                let items: Vec<_> = items.iter().map(Self::text).collect();
                format!("[{}]", items.join(", "))
            }
            Self::Object(entries) => {
                let entries: Vec<_> = entries
                    .iter()
                    .map(|(name, it)| format!("{}: {}", Value::from(name.as_str()), it.text()))
                    .collect();
                format!("{{{}}}", entries.join(", "))
            }
        }
    }

    /// Changes one thing somewhere.
    pub(super) fn mutate(&mut self, chance: &mut StdRng) {
        let other = self.any(chance).clone();
        let mut at = chance.random_range(0..self.size());
        if let Some((name, node)) = self.find(&mut at, "") {
            let name = name.to_owned();
            node.change(&name, other, chance);
        }
    }

    /// Changes this very node, which stands under a name.
    fn change(&mut self, name: &str, other: Self, chance: &mut StdRng) {
        match chance.random_range(0..10) {
            0 => *self = other,
            1 => *self = Self::List(vec![self.clone(); chance.random_range(1..4)]),
            2 => *self = Self::Object(vec![(any_of(NAMES, chance).to_owned(), self.clone())]),
            3 => *self = plain(OTHERS, chance),
            4 => *self = plain(TEXTS, chance),
            5 => *self = plain(NUMBERS, chance),
            6 if chance.random_bool(0.1) => {
                *self = Self::Plain(format!("{}{}", "[".repeat(DEEP), "]".repeat(DEEP)));
            }
            6 if chance.random_bool(0.1) => {
                *self = Self::Plain(format!("\"{}\"", "a".repeat(LONG)));
            }
            _ => self.change_by_kind(name, other, chance),
        }
    }

    fn change_by_kind(&mut self, name: &str, other: Self, chance: &mut StdRng) {
        match self {
            Self::Plain(text) => {
                *text = edge_of(name, chance).unwrap_or_else(|| any_of(NUMBERS, chance).to_owned());
            }
            Self::List(items) => change_items(items, other, chance),
            Self::Object(entries) => change_entries(entries, other, chance),
        }
    }

    fn size(&self) -> usize {
        1 + match self {
            Self::Plain(_) => 0,
            Self::List(items) => items.iter().map(Self::size).sum(),
            Self::Object(entries) => entries.iter().map(|(_, it)| it.size()).sum::<usize>(),
        }
    }

    fn any(&self, chance: &mut StdRng) -> &Self {
        let inner: Vec<&Self> = match self {
            Self::Plain(_) => return self,
            Self::List(items) => items.iter().collect(),
            Self::Object(entries) => entries.iter().map(|(_, it)| it).collect(),
        };
        match inner.choose(chance) {
            Some(it) if chance.random_bool(0.7) => it.any(chance),
            Some(it) => it,
            None => self,
        }
    }

    /// The node of this number, counted from above, with the name that it stands under.
    fn find<'a>(&'a mut self, at: &mut usize, name: &'a str) -> Option<(&'a str, &'a mut Self)> {
        if *at == 0 {
            return Some((name, self));
        }
        *at -= 1;
        match self {
            Self::Plain(_) => None,
            Self::List(items) => items.iter_mut().find_map(|it| it.find(at, name)),
            Self::Object(entries) => entries.iter_mut().find_map(|(name, it)| it.find(at, name)),
        }
    }
}

fn change_items(items: &mut Vec<Node>, other: Node, chance: &mut StdRng) {
    let index = chance.random_range(0..=items.len());
    match chance.random_range(0..3) {
        0 if index < items.len() => drop(items.remove(index)),
        1 => items.clear(),
        _ => items.insert(index, other),
    }
}

fn change_entries(entries: &mut Vec<(String, Node)>, other: Node, chance: &mut StdRng) {
    let index = chance.random_range(0..=entries.len());
    let kind = chance.random_range(0..7);
    let Some((name, node)) = entries.get(index).cloned() else {
        entries.push((any_of(NAMES, chance).to_owned(), other));
        return;
    };
    match kind {
        0 => drop(entries.remove(index)),
        1 => entries.push((name, node)),
        2 => entries.insert(index, (name, other)),
        3 => any_of(NAMES, chance).clone_into(&mut entries[index].0),
        4 => any_point(chance).clone_into(&mut entries[index].0),
        5 => {
            let with = chance.random_range(0..entries.len());
            let (one, two) = (entries[index].1.clone(), entries[with].1.clone());
            entries[index].1 = two;
            entries[with].1 = one;
        }
        _ => entries[index].1 = other,
    }
}

/// A number at the edge of a point's range, or just beyond it.
fn edge_of(name: &str, chance: &mut StdRng) -> Option<String> {
    let point = point(name)?;
    let (low, high) = (point.low, point.high);
    let edges = [low, high, low.next_down(), high.next_up(), low.next_up(), high.next_down()];
    edges.choose(chance).map(|it| format!("{it:?}"))
}

fn any_point(chance: &mut StdRng) -> &'static str {
    POINTS.choose(chance).map_or("", |it| it.key)
}

fn any_of(list: &[&'static str], chance: &mut StdRng) -> &'static str {
    list.choose(chance).copied().unwrap_or_default()
}

fn plain(list: &[&'static str], chance: &mut StdRng) -> Node {
    Node::Plain(any_of(list, chance).to_owned())
}
