//! What a sheet needs: the union of two lists, what of it is missing, and what a reason is.

use fairweather::domain::requirement::{
    AskedBy, Missing, Required, choices, fault_of_reason, field_of, hold_for, in_order, missing,
    missing_key, refusal, union, words,
};
use fairweather::domain::sheet::Field;
use fairweather::domain::visit::{Stage, VisitKind};

const WET_BULB: &str = "as_found.return_wb_f";
const DRAIN: &str = "as_found.observe.drain_runs";

fn names(of: &[&str]) -> Vec<String> {
    of.iter().map(|it| (*it).to_owned()).collect()
}

fn asked(company: &[&str], plan: &[&str]) -> Vec<Required> {
    union(&names(company), &names(plan), |_| true)
}

fn told(required: &[Required]) -> Vec<(String, AskedBy)> {
    required.iter().map(|it| (it.field.name(), it.by)).collect()
}

fn lacking(has: &[&str], reasons: &[(&str, &str)]) -> Vec<Missing> {
    let has = names(has);
    let reason = |key: &str| {
        reasons.iter().find(|it| missing_key(it.0) == key).map_or("", |it| it.1).to_owned()
    };
    missing(&asked(&[WET_BULB, DRAIN], &[]), |field: Field| has.contains(&field.name()), reason)
}

#[test]
fn the_company_and_the_plan_ask_together_in_the_order_of_the_sheet() {
    let all = asked(&[WET_BULB], &[WET_BULB, DRAIN, "as_left.static_return_inwc"]);
    let wanted = [
        ("as_left.static_return_inwc".to_owned(), AskedBy::Plan),
        (DRAIN.to_owned(), AskedBy::Plan),
        (WET_BULB.to_owned(), AskedBy::Company),
    ];
    assert_eq!(told(&all), wanted);
    assert_eq!(all.iter().map(|it| it.block.number).collect::<Vec<_>>(), [4, 5, 10]);
}

#[test]
fn what_the_system_does_not_have_is_not_asked_for() {
    let three_phases = "as_found.volts_l1_l2";
    let lists = names(&[WET_BULB, three_phases]);
    let fits = |field: Field| field.name() != three_phases;
    assert_eq!(told(&union(&lists, &[], fits)), [(WET_BULB.to_owned(), AskedBy::Company)]);
}

#[test]
fn a_field_that_the_sheet_no_longer_has_asks_for_nothing() {
    assert!(asked(&["as_found.moon_phase"], &["as_found.observe.moon"]).is_empty());
}

#[test]
fn readings_observations_and_work_can_be_asked_for_and_nothing_else() {
    for (name, may) in [
        (WET_BULB, true),
        ("as_left.return_wb_f", true),
        (DRAIN, true),
        ("as_found.work.filter_replaced", true),
        ("as_found.hazard.gas_smell", false),
        ("as_found.words.complaint", false),
        ("as_found.circumstance.panels_off", false),
        ("as_found.after_repair.static_return_inwc", false),
    ] {
        assert_eq!(field_of(name).is_some(), may, "{name}");
    }
    assert_eq!(choices().len(), 14);
}

#[test]
fn a_list_has_each_field_once_in_the_order_of_the_sheet() {
    assert_eq!(in_order([WET_BULB, "as_found.moon", DRAIN, WET_BULB]), names(&[DRAIN, WET_BULB]));
}

#[test]
fn the_lists_hold_for_the_yearly_visit_only() {
    for kind in VisitKind::ALL {
        assert_eq!(hold_for(kind), kind == VisitKind::CoolingMaintenance, "{kind:?}");
    }
}

#[test]
fn what_is_there_is_not_missing() {
    assert!(lacking(&[WET_BULB, DRAIN], &[]).is_empty());
    let lacking = lacking(&[WET_BULB], &[]);
    assert_eq!(lacking.len(), 1);
    assert_eq!(lacking[0].required.field.name(), DRAIN);
}

#[test]
fn the_first_that_is_neither_there_nor_explained_is_named_with_how_many_more() {
    let sentence = |has: &[&str], reasons: &[(&str, &str)]| refusal(&lacking(has, reasons));
    let both = sentence(&[], &[]).unwrap();
    assert!(both.starts_with("“Drain runs, with slope” in block 5 and 1 more are"), "{both}");
    let one = sentence(&[], &[(DRAIN, "Under the floor")]).unwrap();
    assert!(one.contains("in block 10 is needed: enter it, or say why"), "{one}");
    assert_eq!(sentence(&[WET_BULB], &[(DRAIN, "Under the floor")]), None);
    assert_eq!(sentence(&[WET_BULB, DRAIN], &[]), None);
}

#[test]
fn a_reason_has_three_to_five_hundred_letters_and_an_empty_one_takes_it_back() {
    assert_eq!(fault_of_reason(""), None);
    assert_eq!(fault_of_reason(" wet "), None);
    assert_eq!(fault_of_reason(&"é".repeat(500)), None);
    let short = fault_of_reason(" no ").unwrap();
    assert!(short.contains("2 letters given; 3 to 500 are accepted"), "{short}");
    assert!(fault_of_reason(&"é".repeat(501)).is_some());
}

#[test]
fn a_field_as_left_says_so() {
    assert!(words(Field::Reading("return_wb_f", Stage::AsLeft)).ends_with(", as left"));
    assert!(!words(Field::Reading("return_wb_f", Stage::AsFound)).contains("as left"));
}
