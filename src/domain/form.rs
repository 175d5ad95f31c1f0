//! What somebody typed into a form, and what is wrong with it. The typed text always stays.

use std::collections::BTreeMap;

use time::Date;
use time::macros::format_description;

/// The longest line that is taken where nothing else is said.
pub const LINE_LETTERS_MAX: usize = 200;
/// The longest remark.
pub const REMARK_LETTERS_MAX: usize = 4_000;

/// A form as it came in, with a sentence for each field that can't be taken.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Form {
    typed: BTreeMap<String, String>,
    faults: BTreeMap<String, String>,
}

impl Form {
    /// A form from its fields; the last of a name counts, but repeated ones are kept by `all`.
    pub fn new(fields: impl IntoIterator<Item = (String, String)>) -> Self {
        let mut typed: BTreeMap<String, String> = BTreeMap::new();
        for (name, text) in fields {
            let text = plain(&text);
            typed
                .entry(name)
                .and_modify(|before| {
                    before.push('\n');
                    before.push_str(&text);
                })
                .or_insert(text);
        }
        Self { typed, faults: BTreeMap::new() }
    }

    /// What was typed there, trimmed; empty if nothing.
    #[must_use]
    pub fn typed(&self, name: &str) -> &str {
        self.typed.get(name).map_or("", |text| text.trim())
    }

    /// Whether the form had such a field at all.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.typed.contains_key(name)
    }

    /// Every text that came under one name (ticked boxes of a list).
    #[must_use]
    pub fn all(&self, name: &str) -> Vec<&str> {
        self.typed(name).lines().filter(|line| !line.is_empty()).collect()
    }

    /// Every field's name and text.
    pub fn fields(&self) -> impl Iterator<Item = (&str, &str)> {
        self.typed.iter().map(|(name, text)| (name.as_str(), text.trim()))
    }

    /// What is wrong with a field.
    #[must_use]
    pub fn fault(&self, name: &str) -> Option<&str> {
        self.faults.get(name).map(String::as_str)
    }

    /// Everything that is wrong, by field.
    #[must_use]
    pub fn faults(&self) -> &BTreeMap<String, String> {
        &self.faults
    }

    /// Whether nothing is wrong so far.
    #[must_use]
    pub fn is_good(&self) -> bool {
        self.faults.is_empty()
    }

    /// Says what is wrong with a field; the first word on it stays.
    pub fn refuse(&mut self, name: &str, sentence: impl Into<String>) {
        self.faults.entry(name.to_owned()).or_insert_with(|| sentence.into());
    }

    /// Puts a text where nothing was typed: what an edited row holds now.
    pub fn preset(&mut self, name: &str, text: impl Into<String>) {
        self.typed.entry(name.to_owned()).or_insert_with(|| text.into());
    }

    /// Takes back what was typed there, so that the page says anew what stands.
    pub fn forget(&mut self, name: &str) {
        self.typed.remove(name);
    }

    /// A line that may be empty.
    pub fn line(&mut self, name: &str, label: &str) -> String {
        let text = self.typed(name).to_owned();
        if text.chars().count() > LINE_LETTERS_MAX {
            self.refuse(name, format!("{label}: at most {LINE_LETTERS_MAX} characters."));
        }
        text
    }

    /// A line that must say something.
    pub fn required_line(&mut self, name: &str, label: &str) -> String {
        let text = self.line(name, label);
        if text.is_empty() {
            self.refuse(name, format!("{label} is missing."));
        }
        text
    }

    /// Several lines of free text.
    pub fn remark(&mut self, name: &str, label: &str) -> String {
        let text = self.typed(name).to_owned();
        if text.chars().count() > REMARK_LETTERS_MAX {
            self.refuse(name, format!("{label}: at most {REMARK_LETTERS_MAX} characters."));
        }
        text
    }

    /// A mail address, only as far as a typing slip shows: something, an at sign, a domain.
    pub fn email(&mut self, name: &str, label: &str) -> String {
        let text = self.line(name, label);
        let good = text.split_once('@').is_some_and(|(who, domain)| {
            !who.is_empty() && domain.contains('.') && !domain.starts_with('.')
        }) && !text.contains(char::is_whitespace);
        if !text.is_empty() && !good {
            self.refuse(name, format!("{label}: “{text}” is no mail address (name@example.com)."));
        }
        text
    }

    /// A number within bounds, or none if the field is empty.
    pub fn number(&mut self, name: &str, label: &str, bounds: (f64, f64)) -> Option<f64> {
        let text = self.typed(name).to_owned();
        if text.is_empty() {
            return None;
        }
        match number(&text) {
            Some(value) if (bounds.0..=bounds.1).contains(&value) => Some(value),
            Some(_) => {
                let (low, high) = bounds;
                self.refuse(
                    name,
                    format!("{label}: {text} can't be; from {low} to {high} is accepted."),
                );
                None
            }
            None => {
                self.refuse(name, format!("{label}: “{text}” is not a number, such as 12.5."));
                None
            }
        }
    }

    /// A number that must be there.
    pub fn required_number(&mut self, name: &str, label: &str, bounds: (f64, f64)) -> f64 {
        if self.typed(name).is_empty() {
            self.refuse(name, format!("{label} is missing."));
        }
        self.number(name, label, bounds).unwrap_or(bounds.0)
    }

    /// A whole number that must be there.
    pub fn required_whole(&mut self, name: &str, label: &str, bounds: (i64, i64)) -> i64 {
        let text = self.typed(name).to_owned();
        match text.parse::<i64>() {
            Ok(value) if (bounds.0..=bounds.1).contains(&value) => value,
            _ if text.is_empty() => {
                self.refuse(name, format!("{label} is missing."));
                bounds.0
            }
            _ => {
                let (low, high) = bounds;
                self.refuse(
                    name,
                    format!("{label}: a whole number from {low} to {high} is accepted."),
                );
                bounds.0
            }
        }
    }

    /// Money in dollars, as cents; it must be there.
    pub fn required_cents(&mut self, name: &str, label: &str) -> i64 {
        let text = self.typed(name).to_owned();
        if text.is_empty() {
            self.refuse(name, format!("{label} is missing."));
        }
        cents(&text).unwrap_or_else(|| {
            self.refuse(name, format!("{label}: “{text}” is no amount, such as 189.00."));
            0
        })
    }

    /// A time of day as minutes after midnight; it must be there.
    pub fn required_time(&mut self, name: &str, label: &str) -> i64 {
        let text = self.typed(name).to_owned();
        if text.is_empty() {
            self.refuse(name, format!("{label} is missing."));
        }
        minute_of_day(&text).map_or_else(
            || {
                self.refuse(name, format!("{label}: “{text}” is not a time, such as 9:30."));
                0
            },
            i64::from,
        )
    }

    /// A day of every year as month and day; it must be there.
    pub fn required_month_day(&mut self, name: &str, label: &str) -> (u8, u8) {
        let text = self.typed(name).to_owned();
        if text.is_empty() {
            self.refuse(name, format!("{label} is missing."));
        }
        month_day(&text).unwrap_or_else(|| {
            self.refuse(
                name,
                format!("{label}: “{text}” is no month and day, such as 03-15 for 15 March."),
            );
            (1, 1)
        })
    }

    /// A day, or none if the field is empty.
    pub fn date(&mut self, name: &str, label: &str) -> Option<Date> {
        let text = self.typed(name).to_owned();
        if text.is_empty() {
            return None;
        }
        let day = date(&text);
        if day.is_none() {
            self.refuse(name, format!("{label}: “{text}” is not a day, such as 2026-05-14."));
        }
        day
    }

    /// A day that must be there.
    pub fn required_date(&mut self, name: &str, label: &str) -> Date {
        if self.typed(name).is_empty() {
            self.refuse(name, format!("{label} is missing."));
        }
        self.date(name, label).unwrap_or(Date::MIN)
    }

    /// One of several words.
    pub fn choice(&mut self, name: &str, label: &str, choices: &[&str]) -> String {
        let text = self.typed(name).to_owned();
        if !choices.contains(&text.as_str()) {
            self.refuse(name, format!("{label}: choose one of {}.", choices.join(", ")));
        }
        text
    }
}

/// A text as it is kept: lines end as scripts end them, so that a form and a script that say the
/// same are alike, and without the one character that PostgreSQL keeps in no text.
#[must_use]
pub fn plain(text: &str) -> String {
    text.replace("\r\n", "\n").replace('\0', "")
}

/// A number as people type it: a comma or a point, a typographic minus, a plus; never infinite.
#[must_use]
pub fn number(text: &str) -> Option<f64> {
    let plain = text.trim().replace('−', "-").replace(',', ".");
    let plain = plain.strip_prefix('+').unwrap_or(&plain);
    let shape = |letter: char| letter.is_ascii_digit() || letter == '.' || letter == '-';
    if !plain.chars().all(shape) {
        return None;
    }
    plain.parse::<f64>().ok().filter(|value| value.is_finite())
}

/// A day as the browser sends it.
#[must_use]
pub fn date(text: &str) -> Option<Date> {
    Date::parse(text.trim(), format_description!("[year]-[month]-[day]"))
        .ok()
        .filter(|day| (1900..=2200).contains(&day.year()))
}

/// The most that is taken for one amount: ten million dollars, to catch a slip.
const CENTS_MAX: i64 = 1_000_000_000;

/// Dollars as people type them (`$1,189.50`, `189`), as cents.
#[must_use]
pub fn cents(text: &str) -> Option<i64> {
    let plain = text.trim();
    let plain = plain.strip_prefix('$').unwrap_or(plain).replace(',', "");
    let (dollars, rest) = plain.split_once('.').unwrap_or((&plain, "00"));
    let digits = |text: &str| text.chars().all(|letter| letter.is_ascii_digit());
    if dollars.is_empty() || !digits(dollars) || rest.len() != 2 || !digits(rest) {
        return None;
    }
    let dollars: i64 = dollars.parse().ok()?;
    let rest: i64 = rest.parse().ok()?;
    dollars.checked_mul(100)?.checked_add(rest).filter(|cents| *cents <= CENTS_MAX)
}

/// A month and a day that every year, or every leap year, has: `03-15`.
#[must_use]
pub fn month_day(text: &str) -> Option<(u8, u8)> {
    let (month, day) = text.trim().split_once('-')?;
    let month: u8 = month.parse().ok()?;
    let day: u8 = day.parse().ok()?;
    let length = time::Month::try_from(month).ok()?.length(2000);
    (1..=length).contains(&day).then_some((month, day))
}

/// A time of day such as `9:30` as minutes after midnight.
#[must_use]
pub fn minute_of_day(text: &str) -> Option<u16> {
    let (hour, minute) = text.trim().split_once(':')?;
    let hour: u16 = hour.parse().ok()?;
    let minute: u16 = minute.parse().ok()?;
    (hour < 24 && minute < 60).then_some(hour * 60 + minute)
}
