//! The company's price list: what is proposed to customers, for how much, and what it puts right.

use super::refusal::Refusal;
use super::{finding, sheet};
use crate::engine::causes::{CAUSES, CauseName};

/// Items on a list at most: a sheet shows them all.
pub const ITEMS_MAX: usize = 80;
/// The longest words of an item.
pub const WORDS_LETTERS_MAX: usize = 120;
/// The longest key of an item.
const KEY_LETTERS_MAX: usize = 40;
/// How the key of a cause begins among what an item answers.
pub const CAUSE: &str = "cause.";
/// How the keys of free lines on a sheet begin; no item may look like one.
pub const OTHER: &str = "other_";

/// One thing that can be proposed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceItem {
    /// Stable from version to version.
    pub key: String,
    /// In words that a customer understands.
    pub words: String,
    /// The price without discount.
    pub cents: i64,
    /// What it puts right: keys of measures (`filter_drop_inwc`), observations
    /// (`observe.coil_face`) and causes (`cause.low_charge`).
    pub answers: Vec<String>,
}

/// The list as it stands in one version; number 0 before the first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PriceList {
    /// Its number.
    pub number: i64,
    /// Its items, in order.
    pub items: Vec<PriceItem>,
}

/// An item as the owner writes it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenItem {
    /// In words that a customer understands.
    pub words: String,
    /// The price without discount.
    pub cents: i64,
    /// What it puts right.
    pub answers: Vec<String>,
    /// Its place on the list, from 1; none for the end, or where it is.
    pub place: Option<usize>,
}

/// What the owner does to the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PriceChange {
    /// A new item.
    Add(WrittenItem),
    /// The item of that key is another by now.
    Change(String, WrittenItem),
    /// The item of that key is proposed no more.
    Retire(String),
}

/// What a change came to: the next list, and what was done to which item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// `add`, `change` or `retire`.
    pub change: &'static str,
    /// The item's key.
    pub item: String,
    /// The item's words.
    pub words: String,
    /// The whole list after it.
    pub items: Vec<PriceItem>,
}

impl PriceList {
    /// An item by its key.
    #[must_use]
    pub fn item(&self, key: &str) -> Option<&PriceItem> {
        self.items.iter().find(|it| it.key == key)
    }

    /// The list after a change; none where the change alters nothing. `taken` are the keys of all
    /// versions: one that was retired is not given out again.
    ///
    /// # Errors
    /// `NoSuchItem`, `PriceListFull`, `SuchItemAlready`, `PriceNotTaken`.
    pub fn after(&self, change: PriceChange, taken: &[String]) -> Result<Option<Changed>, Refusal> {
        let mut items = self.items.clone();
        let (change, key, words) = match change {
            PriceChange::Add(written) => {
                if ITEMS_MAX <= items.len() {
                    return Err(Refusal::PriceListFull);
                }
                self.may_be(&written, "")?;
                let item = item_of(new_key(&written.words, taken), &written);
                let named = (item.key.clone(), item.words.clone());
                put(&mut items, item, written.place);
                ("add", named.0, named.1)
            }
            PriceChange::Change(key, written) => {
                self.may_be(&written, &key)?;
                let at = items.iter().position(|it| it.key == key).ok_or(Refusal::NoSuchItem)?;
                items.remove(at);
                let words = written.words.trim().to_owned();
                put(&mut items, item_of(key.clone(), &written), written.place.or(Some(at + 1)));
                ("change", key, words)
            }
            PriceChange::Retire(key) => {
                let at = items.iter().position(|it| it.key == key).ok_or(Refusal::NoSuchItem)?;
                let words = items.remove(at).words;
                ("retire", key, words)
            }
        };
        let is_other = items != self.items;
        Ok(is_other.then_some(Changed { change, item: key, words, items }))
    }

    /// Whether an item may be so beside the others.
    fn may_be(&self, written: &WrittenItem, own_key: &str) -> Result<(), Refusal> {
        let words = written.words.trim();
        let letters = words.chars().count();
        if letters == 0 || WORDS_LETTERS_MAX < letters {
            return Err(Refusal::PriceNotTaken(
                "words",
                format!(
                    "Words: {letters} letters can't be; 1 to {WORDS_LETTERS_MAX} are accepted."
                ),
            ));
        }
        if written.cents < 0 {
            return Err(Refusal::PriceNotTaken(
                "price",
                "Price: less than nothing can't be; 0.00 or more is accepted.".to_owned(),
            ));
        }
        let known = answerable();
        let is_known = |key: &&String| known.iter().any(|group| group.has(key));
        if let Some(strange) = written.answers.iter().find(|it| !is_known(it)) {
            return Err(Refusal::PriceNotTaken(
                "measures",
                format!("What it puts right: the sheet has nothing like “{strange}”."),
            ));
        }
        let same = |it: &&PriceItem| it.key != own_key && it.words.eq_ignore_ascii_case(words);
        match self.items.iter().find(same) {
            Some(it) => Err(Refusal::SuchItemAlready(it.words.clone())),
            None => Ok(()),
        }
    }
}

fn item_of(key: String, written: &WrittenItem) -> PriceItem {
    let mut answers = written.answers.clone();
    answers.sort();
    answers.dedup();
    PriceItem { key, words: written.words.trim().to_owned(), cents: written.cents, answers }
}

/// Puts an item at its place, from 1; past the end or without one it comes last.
fn put(items: &mut Vec<PriceItem>, item: PriceItem, place: Option<usize>) {
    let at = place.map_or(items.len(), |it| it.saturating_sub(1).min(items.len()));
    items.insert(at, item);
}

/// A key for new words: letters and digits of them, and a number where that was given out before.
fn new_key(words: &str, taken: &[String]) -> String {
    let mut stem = String::new();
    for letter in words.to_lowercase().chars() {
        if letter.is_ascii_alphanumeric() {
            stem.push(letter);
        } else if !stem.is_empty() && !stem.ends_with('_') {
            stem.push('_');
        }
    }
    let stem: String = stem.chars().take(KEY_LETTERS_MAX - 4).collect();
    let stem = stem.trim_end_matches('_');
    // A free line's key begins so, and one without any letter would be empty.
    let stem = match stem {
        "" | "other" => "item",
        stem if stem.starts_with(OTHER) => stem.trim_start_matches(OTHER),
        stem => stem,
    };
    let is_free = |key: &String| !taken.contains(key) && is_key(key);
    let mut all = (2..).map(|number| format!("{stem}_{number}"));
    let first = stem.to_owned();
    if is_free(&first) { first } else { all.find(is_free).unwrap_or(first) }
}

/// Whether a text has the shape of an item's key.
#[must_use]
pub fn is_key(text: &str) -> bool {
    let shape = |it: char| it.is_ascii_lowercase() || it.is_ascii_digit() || it == '_';
    (1..=KEY_LETTERS_MAX).contains(&text.len())
        && text.chars().all(shape)
        && !text.starts_with(OTHER)
}

/// A price less a plan's discount on repairs, to the nearest cent.
#[must_use]
pub fn less_discount(cents: i64, percent: i64) -> i64 {
    let percent = percent.clamp(0, 100);
    cents.saturating_mul(100 - percent).saturating_add(50).div_euclid(100)
}

/// Things of one kind that an item may answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answerable {
    /// The name of the list in a form.
    pub name: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// Key and words of each.
    pub keys: Vec<(String, String)>,
}

impl Answerable {
    /// Whether it has that key.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.keys.iter().any(|it| it.0 == key)
    }
}

/// All that an item of the list may put right.
#[must_use]
pub fn answerable() -> [Answerable; 3] {
    let measures = finding::measures().map(|(key, words)| (key.to_owned(), words.to_owned()));
    let fields = sheet::BLOCKS.iter().flat_map(|block| block.fields).map(|field| field.key());
    let seen = fields.filter(|key| key.starts_with("observe.") || key.starts_with("hazard."));
    let seen = seen.filter_map(|key| {
        let words = sheet::words_of(&key)?.to_owned();
        Some((key, words))
    });
    let causes = CAUSES.iter().filter(|it| it.name != CauseName::NoFault);
    let causes = causes.map(|it| (format!("{CAUSE}{}", it.key), it.label.to_owned()));
    [
        Answerable { name: "measures", title: "Measures", keys: measures.collect() },
        Answerable { name: "observations", title: "Observations", keys: seen.collect() },
        Answerable { name: "causes", title: "Likely causes", keys: causes.collect() },
    ]
}
