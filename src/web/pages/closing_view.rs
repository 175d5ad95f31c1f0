//! The fields that close a sheet, laid out: proposals with the customer's answers, parts used,
//! refrigerant moved. Plain named inputs: nothing that is typed needs the server.

use std::collections::HashMap;

use askama::Template;

use crate::actions::ClosingPrices;
use crate::domain::closing::{Answer, Direction, MOVEMENTS_MAX, OTHERS_MAX, PARTS_MAX};
use crate::domain::price_list::{CAUSE, OTHER, PriceItem, less_discount};
use crate::domain::visit::Stage;
use crate::engine::assessment::Assessment;
use crate::engine::likely::Likelihood;
use crate::store::Entered;
use crate::web::display;

/// The last block's fields, for the page of a sheet: `{{ closing|safe }}` inside its form.
#[derive(Template)]
#[template(path = "parts/closing.html")]
pub(in crate::web) struct ClosingView {
    /// What the findings so far ask for, and what was answered already.
    suggested: Vec<Proposed>,
    /// The rest of the price list.
    rest: Vec<Proposed>,
    /// Free lines: those that are shown, and those behind “more”.
    others: (Vec<Proposed>, Vec<Proposed>),
    /// Lines of parts: those that are shown, and those behind “more”.
    parts: (Vec<PartLine>, Vec<PartLine>),
    moved: (Vec<MovedLine>, Vec<MovedLine>),
}

/// One proposal.
struct Proposed {
    /// The words of an item; empty for a free line, which has fields of its own.
    words: String,
    /// The number of a free line.
    line: i64,
    price: String,
    answer: Choice,
    until: Input,
    own: Option<(Input, Input)>,
}

struct PartLine {
    line: i64,
    words: Input,
    count: Input,
}

struct MovedLine {
    line: i64,
    direction: Choice,
    pounds: Input,
    ounces: Input,
    cylinder: Input,
}

/// One field of text.
struct Input {
    name: String,
    typed: String,
    fault: String,
}

/// One of several.
struct Choice {
    name: String,
    typed: String,
    fault: String,
    choices: Vec<(&'static str, &'static str)>,
}

/// The newest entry of each field as found.
struct Typed<'a>(HashMap<&'a str, &'a Entered>);

impl<'a> Typed<'a> {
    fn new(entries: &'a [Entered]) -> Self {
        let found = entries.iter().filter(|it| it.stage == Stage::AsFound);
        Self(found.map(|it| (it.field.as_str(), it)).collect())
    }

    fn input(&self, kind: &str, key: &str) -> Input {
        let field = format!("{kind}.{key}");
        let entry = self.0.get(field.as_str());
        Input {
            name: format!("as_found.{field}"),
            typed: entry.map_or_else(String::new, |it| it.typed.trim().to_owned()),
            fault: entry.map_or_else(String::new, |it| it.refusal.clone()),
        }
    }

    fn choice(
        &self,
        (kind, key): (&str, &str),
        none: &'static str,
        all: impl IntoIterator<Item = (&'static str, &'static str)>,
    ) -> Choice {
        let Input { name, typed, fault } = self.input(kind, key);
        let choices = std::iter::once(("", none)).chain(all).collect();
        Choice { name, typed, fault, choices }
    }

    fn proposed(&self, key: &str, words: &str, price: String) -> Proposed {
        let answers = Answer::ALL.map(|it| (it.key(), it.words()));
        Proposed {
            words: words.to_owned(),
            line: 0,
            price,
            answer: self.choice(("proposal", key), "Not proposed", answers),
            until: self.input("proposal_until", key),
            own: None,
        }
    }

    fn other(&self, line: i64) -> Proposed {
        let key = format!("{OTHER}{line}");
        let own = (self.input("proposal_words", &key), self.input("proposal_price", &key));
        Proposed { line, own: Some(own), ..self.proposed(&key, "", String::new()) }
    }

    fn part(&self, line: i64) -> PartLine {
        let key = line.to_string();
        PartLine { line, words: self.input("part", &key), count: self.input("part_count", &key) }
    }

    fn moved(&self, line: i64) -> MovedLine {
        let key = line.to_string();
        let ways = Direction::ALL.map(|it| (it.key(), it.words()));
        MovedLine {
            line,
            direction: self.choice(("moved", &key), "None", ways),
            pounds: self.input("moved_lb", &key),
            ounces: self.input("moved_oz", &key),
            cylinder: self.input("moved_cylinder", &key),
        }
    }
}

impl Proposed {
    fn is_begun(&self) -> bool {
        let is_own = |it: &(Input, Input)| !it.0.typed.is_empty() || !it.1.typed.is_empty();
        !self.answer.typed.is_empty() || self.own.as_ref().is_some_and(is_own)
    }
}

impl PartLine {
    fn is_begun(&self) -> bool {
        !self.words.typed.is_empty() || !self.count.typed.is_empty()
    }
}

impl MovedLine {
    fn is_begun(&self) -> bool {
        let all = [&self.pounds, &self.ounces, &self.cylinder];
        !self.direction.typed.is_empty() || all.iter().any(|it| !it.typed.is_empty())
    }
}

impl ClosingView {
    /// Whether something is proposed that is on no list.
    fn has_others(&self) -> bool {
        self.others.0.iter().any(Proposed::is_begun)
    }
}

/// Splits lines behind the last that was begun, so that one more is at hand.
fn split<T>(mut lines: Vec<T>, is_begun: impl Fn(&T) -> bool) -> (Vec<T>, Vec<T>) {
    let begun = lines.iter().rposition(is_begun).map_or(0, |at| at + 1);
    let more = lines.split_off((begun + 1).min(lines.len()));
    (lines, more)
}

/// Lays the fields out: `prices` from `actions::closing_prices`, `entries` all of the visit as the
/// store has them, `raised` from [`raised`].
pub(in crate::web) fn closing_view(
    prices: &ClosingPrices,
    entries: &[Entered],
    raised: &[String],
) -> ClosingView {
    let typed = Typed::new(entries);
    let (mut suggested, mut rest) = (Vec::new(), Vec::new());
    for item in &prices.list.items {
        let row = typed.proposed(&item.key, &item.words, price(item, prices.discount_percent));
        let is_asked_for = item.answers.iter().any(|it| raised.contains(it));
        if is_asked_for || row.is_begun() { suggested.push(row) } else { rest.push(row) }
    }
    ClosingView {
        suggested,
        rest,
        others: split((1..=OTHERS_MAX).map(|line| typed.other(line)).collect(), Proposed::is_begun),
        parts: split((1..=PARTS_MAX).map(|line| typed.part(line)).collect(), PartLine::is_begun),
        moved: split(
            (1..=MOVEMENTS_MAX).map(|line| typed.moved(line)).collect(),
            MovedLine::is_begun,
        ),
    }
}

/// The price beside an item; where a plan takes something off, both.
fn price(item: &PriceItem, percent: i64) -> String {
    let list = display::money(item.cents);
    if percent == 0 {
        return list;
    }
    let less = display::money(less_discount(item.cents, percent));
    format!("{less} with the plan’s {percent} % off, {list} without")
}

/// What the sheet raises so far, as items of the price list answer it: measures outside, what was
/// seen bad, hazards, and causes and their pairs that are likely.
pub(in crate::web) fn raised(assessment: &Assessment, entries: &[Entered]) -> Vec<String> {
    let stages = [&assessment.as_found, &assessment.as_left];
    let verdicts = stages.into_iter().flat_map(|stage| &stage.verdicts);
    let measures = verdicts.filter(|it| it.is_alarm()).map(|it| it.measure.to_string());
    let causes = assessment.as_found.causes.iter();
    let likely = causes.filter(|it| Likelihood::of(it.probability) <= Likelihood::Likely);
    let causes = likely.flat_map(|it| it.cause.split('+')).map(|it| format!("{CAUSE}{it}"));
    let typed = Typed::new(entries);
    let seen = typed.0.values().filter(|it| {
        let is_bad = it.field.starts_with("observe.") && it.typed == "attention";
        is_bad || (it.field.starts_with("hazard.") && !it.typed.is_empty())
    });
    let seen = seen.map(|it| it.field.clone());
    measures.chain(causes).chain(seen).collect()
}
