//! Dates, times, numbers and money as people read them.

use time::{Date, OffsetDateTime};

use crate::clock;

const MONTHS: [&str; 12] =
    ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// `14 May 2026`.
pub(super) fn day(day: Date) -> String {
    format!("{} {} {}", day.day(), month(day), day.year())
}

/// `Thu 14 May`.
pub(super) fn weekday(day: Date) -> String {
    let name: String = day.weekday().to_string().chars().take(3).collect();
    format!("{name} {} {}", day.day(), month(day))
}

/// `May 2026`.
pub(super) fn month_year(day: Date) -> String {
    format!("{} {}", month(day), day.year())
}

fn month(day: Date) -> &'static str {
    MONTHS[usize::from(u8::from(day.month()) - 1)]
}

/// A day of every year: `15 Mar`.
pub(super) fn month_day(month: u8, day: u8) -> String {
    let name = MONTHS.get(usize::from(month.saturating_sub(1))).unwrap_or(&"");
    format!("{day} {name}")
}

/// Minutes after midnight as `9:05`.
pub(super) fn minute(minutes: i64) -> String {
    format!("{}:{:02}", minutes / 60, minutes % 60)
}

/// An instant in the company's zone: `14 May 2026, 9:05`.
pub(super) fn instant(at: OffsetDateTime, zone: &str) -> String {
    let (local_day, minutes) = clock::local(at, zone);
    format!("{}, {}", day(local_day), minute(i64::from(minutes)))
}

/// An instant of today as `9:05`, of another day as `Thu 14 May, 9:05`.
pub(super) fn moment(at: OffsetDateTime, zone: &str, today: Date) -> String {
    let (local_day, minutes) = clock::local(at, zone);
    let time = minute(i64::from(minutes));
    if local_day == today { time } else { format!("{}, {time}", weekday(local_day)) }
}

/// The time of day in the company's zone: `9:05`.
pub(super) fn time(at: OffsetDateTime, zone: &str) -> String {
    minute(i64::from(clock::local(at, zone).1))
}

/// Cents as `$1,234.50`.
pub(super) fn money(cents: i64) -> String {
    let dollars = (cents.abs() / 100).to_string();
    let mut grouped = String::new();
    for (place, digit) in dollars.chars().enumerate() {
        if place > 0 && (dollars.len() - place).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    let sign = if cents < 0 { "−" } else { "" };
    format!("{sign}${grouped}.{:02}", cents.abs() % 100)
}

/// A number with fixed decimals and a true minus; a rounded zero has none.
pub(super) fn number(value: f64, decimals: usize) -> String {
    let plain = format!("{value:.decimals$}");
    let is_zero = plain.chars().all(|it| matches!(it, '-' | '0' | '.'));
    if is_zero { plain.replace('-', "") } else { plain.replace('-', "−") }
}

/// A number with its unit.
pub(super) fn with_unit(value: f64, decimals: usize, unit: &str) -> String {
    if unit.is_empty() {
        return number(value, decimals);
    }
    format!("{} {unit}", number(value, decimals))
}

/// A share as whole percents. What is not certain never reads as 0 % or 100 %.
pub(super) fn percent(share: f64) -> String {
    match 100.0 * share {
        it if 0.0 < it && it < 1.0 => "below 1 %".to_owned(),
        it if 99.0 < it && it < 100.0 => "above 99 %".to_owned(),
        it => format!("{it:.0} %"),
    }
}

/// Words with a first capital.
pub(super) fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
