//! The answers on a sheet, each a piece of the page that can be laid out anew by itself: below a
//! field, below a block, on top.

use std::collections::BTreeMap;

use askama::Template;
use uuid::Uuid;

use super::on_sheet::{OnSheet, Standing};
use crate::domain::hazard::what_to_do;
use crate::domain::sheet::{BLOCKS, Block, Field as SheetField};
use crate::domain::visit::Stage;
use crate::engine::assessment::{Outcome, StageAssessment, Verdict};
use crate::engine::measures;
use crate::store::HeldEntry;
use crate::web::display;
use crate::web::error::Error;
use crate::web::pages::cause_view::{CausesView, causes_found, causes_left};
use crate::web::pages::verdicts::{self, VerdictView};
use crate::web::pages::visit::{field_words, typed_words};

/// What is said below one reading.
#[derive(Template)]
#[template(path = "parts/answer.html")]
struct Answer {
    fault: String,
    doubts: Vec<String>,
    verdicts: Vec<Shown>,
}

/// One verdict below a reading.
struct Shown {
    verdict: VerdictView,
    /// The measures that it is about, where its sentence doesn't say so.
    about: Vec<&'static str>,
    /// What the measure was as found, beside how it was left.
    before: String,
}

/// What stops the work, on top of the sheet.
#[derive(Template)]
#[template(path = "parts/hazards.html")]
struct Hazards {
    hazards: Vec<Hazard>,
    /// The office's, to be pressed; empty if it has none.
    phone: String,
}

/// Something that stops the work, and what to do.
pub(super) struct Hazard {
    pub(super) key: &'static str,
    pub(super) what: String,
    pub(super) doing: &'static str,
}

/// What waits for a person to decide.
#[derive(Template)]
#[template(path = "parts/held.html")]
struct HeldPanel {
    visit: Uuid,
    /// The last entry that whoever decides sees here.
    entries: i64,
    fields: Vec<HeldView>,
}

/// One field that waits.
pub(in crate::web) struct HeldView {
    pub(in crate::web) place: i64,
    pub(in crate::web) label: String,
    pub(in crate::web) came: String,
    pub(in crate::web) who: String,
    pub(in crate::web) at: String,
    pub(in crate::web) stands: String,
    pub(in crate::web) stands_who: String,
}

/// The causes so far below a block.
#[derive(Template)]
#[template(path = "parts/causes_so_far.html")]
struct CausesSoFar {
    causes: CausesView,
}

/// Every piece of a sheet's page that answers, by the id of its place.
pub(super) fn pieces(standing: &Standing) -> Result<BTreeMap<String, String>, Error> {
    let mut pieces = BTreeMap::new();
    for (block, fields) in standing.blocks() {
        let mut answered = Vec::new();
        for field in &fields {
            if let SheetField::Reading(point, stage) = *field {
                let answer = answer(standing, &fields, (point, stage), &mut answered);
                pieces.insert(format!("answer-{}", field.name()), answer.render()?);
            }
        }
        pieces.insert(format!("open-{}", block.number), not_taken(standing, &fields));
        if matches!(block.number, 10 | 13) {
            let causes = causes_so_far(block, standing);
            let line = causes.as_ref().map(|it| format!("Likely so far: {}", it.in_a_line()));
            let text =
                causes.map_or(Ok(String::new()), |it| CausesSoFar { causes: it }.render())?;
            pieces.insert(format!("causes-{}", block.number), text);
            pieces.insert(format!("likely-{}", block.number), escaped(&line.unwrap_or_default()));
        }
    }
    let hazards = Hazards { hazards: hazards(standing), phone: standing.phone.clone() };
    pieces.insert("hazards".to_owned(), hazards.render()?);
    pieces.insert("held".to_owned(), held_panel(standing).render()?);
    Ok(pieces)
}

/// Words as markup.
fn escaped(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

fn of_stage(standing: &Standing, stage: Stage) -> &StageAssessment {
    match stage {
        Stage::AsFound => &standing.assessment.as_found,
        Stage::AsLeft => &standing.assessment.as_left,
    }
}

/// A verdict stands below the last of its readings in the block, so that it opens when it can.
fn answer(
    standing: &Standing,
    fields: &[SheetField],
    (key, stage): (&'static str, Stage),
    answered: &mut Vec<(Stage, &'static str)>,
) -> Answer {
    let on_sheet = &standing.on_sheet;
    let judged = of_stage(standing, stage);
    let mut shown: Vec<Shown> = Vec::new();
    for verdict in judged.verdicts.iter().filter(|it| it.outcome != Outcome::NotTaken) {
        let Some(info) = measures::measure(&verdict.measure) else { continue };
        let used = |it: &&SheetField| {
            matches!(it, SheetField::Reading(point, at) if *at == stage
                && info.points.contains(point) && on_sheet.has(**it))
        };
        let last = fields.iter().rev().find(used).copied();
        let is_last = last == Some(SheetField::Reading(key, stage));
        if is_last && !answered.contains(&(stage, info.key)) {
            answered.push((stage, info.key));
            let before = before(standing, stage, verdict);
            show(&mut shown, verdicts::view(verdict), before);
        }
    }
    let doubts = judged.doubts.iter().filter(|doubt| doubt.points.iter().any(|it| it == key));
    Answer {
        fault: on_sheet.fault(stage, key).to_owned(),
        doubts: doubts.map(verdicts::doubt).collect(),
        verdicts: shown,
    }
}

/// Puts a verdict below a reading. What is not valid for the same reason is said once.
fn show(shown: &mut Vec<Shown>, verdict: Option<VerdictView>, before: String) {
    let Some(verdict) = verdict else { return };
    let is_void = verdict.outcome == Outcome::NotValid;
    let same = |it: &&mut Shown| is_void && it.verdict.reason == verdict.reason;
    if let Some(same) = shown.iter_mut().find(same) {
        same.about.push(verdict.label);
        return;
    }
    let about = if is_void { vec![verdict.label] } else { Vec::new() };
    shown.push(Shown { verdict, about, before });
}

/// What the measure was as found, beside how it was left: the change.
fn before(standing: &Standing, stage: Stage, verdict: &Verdict) -> String {
    if stage == Stage::AsFound {
        return String::new();
    }
    let found = &standing.assessment.as_found.verdicts;
    let found = found.iter().find(|it| it.measure == verdict.measure).and_then(verdicts::view);
    found.filter(|it| !it.value.is_empty()).map_or_else(String::new, |it| it.value)
}

/// Which measures of a block still wait for a reading.
fn not_taken(standing: &Standing, fields: &[SheetField]) -> String {
    let found = standing.assessment.as_found.verdicts.iter();
    let open = found.filter(|it| it.outcome == Outcome::NotTaken).filter_map(|verdict| {
        let info = measures::measure(&verdict.measure)?;
        let is_last = |it: &&SheetField| {
            matches!(it, SheetField::Reading(point, Stage::AsFound) if info.points.contains(point))
        };
        fields.iter().any(|it| is_last(&it)).then_some(info.label)
    });
    let open: Vec<&str> = open.collect();
    let line = format!("Not taken: {}.", open.join(", "));
    if open.is_empty() { String::new() } else { escaped(&line) }
}

/// The causes so far, once a reading of the block is there.
fn causes_so_far(block: &Block, standing: &Standing) -> Option<CausesView> {
    let is_read =
        |it: &SheetField| matches!(it, SheetField::Reading(..)) && standing.on_sheet.has(*it);
    let causes = match block.number {
        10 => causes_found(&standing.assessment, standing.visit.id),
        _ => causes_left(&standing.assessment),
    };
    let is_any = block.fields.iter().any(is_read) && standing.unjudged.is_empty();
    (is_any && !causes.is_empty()).then_some(causes)
}

/// What stops the work at once: what was ticked, and carbon monoxide over its limit.
pub(super) fn hazards(standing: &Standing) -> Vec<Hazard> {
    let on_sheet = &standing.on_sheet;
    let ticked = every_hazard()
        .filter(|it| !on_sheet.typed(Stage::AsFound, &format!("hazard.{}", it.key)).is_empty());
    let stages = [&standing.assessment.as_found, &standing.assessment.as_left];
    let high = stages
        .into_iter()
        .flat_map(|stage| &stage.verdicts)
        .filter(|verdict| verdict.measure == "ambient_co_ppm" && verdict.is_alarm());
    let measured = high.map(|verdict| Hazard {
        key: "carbon_monoxide",
        what: verdict.reason.clone(),
        doing: what_to_do("carbon_monoxide"),
    });
    ticked.chain(measured).collect()
}

/// Every hazard that can be ticked, for a phone that must know what to do without network.
pub(super) fn every_hazard() -> impl Iterator<Item = Hazard> {
    BLOCKS.iter().flat_map(|block| block.fields).filter_map(|field| match field {
        SheetField::Hazard(key, words) => {
            Some(Hazard { key, what: (*words).to_owned(), doing: what_to_do(key) })
        }
        _ => None,
    })
}

fn held_panel(standing: &Standing) -> HeldPanel {
    // And no later one: a panel that says the same is the same, and need not be laid out anew.
    let seen = standing.held.iter().map(|it| {
        let stands = standing.on_sheet.entry(it.entry.stage, &it.entry.field);
        it.entry.number.max(stands.map_or(0, |it| it.number))
    });
    HeldPanel {
        visit: standing.visit.id,
        entries: seen.max().unwrap_or(0),
        fields: held_views(&standing.held, &standing.on_sheet, &standing.zone),
    }
}

/// What waits for a decision, beside what stands there.
pub(in crate::web) fn held_views(
    held: &[HeldEntry],
    on_sheet: &OnSheet,
    zone: &str,
) -> Vec<HeldView> {
    let view = |held: &HeldEntry| {
        let entry = &held.entry;
        let now = on_sheet.entry(entry.stage, &entry.field);
        let stage = if entry.stage == Stage::AsLeft { ", as left" } else { "" };
        let words = |typed: Option<&str>| typed_words(typed.unwrap_or(""), "nothing");
        Some(HeldView {
            place: entry.number,
            label: format!("{}{stage}", field_words(&entry.field)?),
            came: words(Some(&entry.typed)),
            who: entry.person_name.clone().unwrap_or_default(),
            at: display::instant(entry.received_at, zone),
            stands: words(now.map(|it| it.typed.as_str())),
            stands_who: now.and_then(|it| it.person_name.clone()).unwrap_or_default(),
        })
    };
    held.iter().filter_map(view).collect()
}
