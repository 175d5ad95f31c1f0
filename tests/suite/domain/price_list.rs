//! The price list: what a change makes of it, and what can't be.

use fairweather::domain::price_list::{
    Changed, ITEMS_MAX, PriceChange, PriceItem, PriceList, WrittenItem, answerable, is_key,
    less_discount,
};
use fairweather::domain::refusal::Refusal;

fn written(words: &str) -> WrittenItem {
    WrittenItem {
        words: words.to_owned(),
        cents: 18_900,
        answers: vec!["filter_drop_inwc".to_owned()],
        place: None,
    }
}

/// A list of two items.
fn list() -> PriceList {
    let item = |key: &str, words: &str| PriceItem {
        key: key.to_owned(),
        words: words.to_owned(),
        cents: 10_000,
        answers: Vec::new(),
    };
    let items = vec![item("contactor", "Contactor"), item("indoor_coil", "Indoor coil")];
    PriceList { number: 2, items }
}

fn after(change: PriceChange) -> Changed {
    list().after(change, &[]).expect("it is taken").expect("it alters something")
}

fn refused(change: PriceChange) -> Refusal {
    list().after(change, &[]).expect_err("it is refused")
}

fn keys(changed: &Changed) -> Vec<&str> {
    changed.items.iter().map(|it| it.key.as_str()).collect()
}

#[test]
fn an_item_is_added_at_the_end_or_at_its_place() {
    let changed = after(PriceChange::Add(written("Run capacitor, put in")));
    assert_eq!(keys(&changed), ["contactor", "indoor_coil", "run_capacitor_put_in"]);
    assert_eq!((changed.change, changed.item.as_str()), ("add", "run_capacitor_put_in"));
    let first = WrittenItem { place: Some(1), ..written("Drain") };
    assert_eq!(keys(&after(PriceChange::Add(first)))[0], "drain");
    let far = WrittenItem { place: Some(40), ..written("Drain") };
    assert_eq!(keys(&after(PriceChange::Add(far)))[2], "drain");
}

#[test]
fn a_changed_item_keeps_its_key_and_its_place() {
    let changed =
        after(PriceChange::Change("contactor".to_owned(), written("Contactor, two poles")));
    assert_eq!(keys(&changed), ["contactor", "indoor_coil"]);
    assert_eq!((changed.items[0].cents, changed.words.as_str()), (18_900, "Contactor, two poles"));
    let moved = WrittenItem { place: Some(2), ..written("Contactor") };
    let changed = after(PriceChange::Change("contactor".to_owned(), moved));
    assert_eq!(keys(&changed), ["indoor_coil", "contactor"]);
}

#[test]
fn a_retired_item_is_gone_and_its_key_is_not_given_out_again() {
    let changed = after(PriceChange::Retire("contactor".to_owned()));
    assert_eq!(keys(&changed), ["indoor_coil"]);
    assert_eq!((changed.change, changed.words.as_str()), ("retire", "Contactor"));
    let shorter = PriceList { number: 3, items: changed.items };
    let taken = ["contactor".to_owned(), "indoor_coil".to_owned()];
    let again = shorter.after(PriceChange::Add(written("Contactor")), &taken).unwrap().unwrap();
    assert_eq!(again.item, "contactor_2");
    assert_eq!(refused(PriceChange::Retire("moon".to_owned())), Refusal::NoSuchItem);
}

#[test]
fn what_alters_nothing_makes_no_version() {
    let same = WrittenItem {
        words: " Contactor ".to_owned(),
        cents: 10_000,
        answers: Vec::new(),
        place: None,
    };
    let change = PriceChange::Change("contactor".to_owned(), same);
    assert_eq!(list().after(change, &[]), Ok(None));
}

#[test]
fn what_can_t_be_is_refused_by_name() {
    let add = |item| refused(PriceChange::Add(item));
    assert_eq!(add(written(" ")).field(), "words");
    assert_eq!(add(written(&"x".repeat(121))).field(), "words");
    assert_eq!(add(WrittenItem { cents: -1, ..written("Drain") }).field(), "price");
    let strange = WrittenItem { answers: vec!["moon".to_owned()], ..written("Drain") };
    assert!(add(strange).to_string().contains("“moon”"));
    assert_eq!(add(written("INDOOR coil")), Refusal::SuchItemAlready("Indoor coil".to_owned()));
    let many =
        (0..ITEMS_MAX).map(|it| PriceItem { key: it.to_string(), ..list().items[0].clone() });
    let full = PriceList { number: 1, items: many.collect() };
    let answer = full.after(PriceChange::Add(written("Drain")), &[]);
    assert_eq!(answer, Err(Refusal::PriceListFull));
}

#[test]
fn a_key_has_the_shape_of_a_field_and_never_that_of_a_free_line() {
    for words in
        ["Ünder → the “roof”", "????", "Other", "other 1", "x".repeat(100).as_str(), "4 ton"]
    {
        let key = after(PriceChange::Add(written(words))).item;
        assert!(is_key(&key), "{words}: {key}");
    }
    for text in ["", "other_1", "Coil", "a b", "a.b", &"x".repeat(41)] {
        assert!(!is_key(text), "{text}");
    }
}

#[test]
fn a_discount_is_taken_to_the_nearest_cent() {
    for (cents, percent, less) in
        [(18_900, 10, 17_010), (18_999, 15, 16_149), (1, 50, 1), (18_900, 0, 18_900), (99, 100, 0)]
    {
        assert_eq!(less_discount(cents, percent), less, "{cents} less {percent} %");
    }
    assert_eq!(less_discount(100, 140), 0, "never less than nothing");
}

#[test]
fn what_an_item_may_answer_are_measures_observations_and_causes() {
    let [measures, observations, causes] = answerable();
    assert!(measures.has("capacitor_compressor_deviation_pct"));
    assert!(observations.has("observe.coil_face") && observations.has("hazard.gas_smell"));
    assert!(causes.has("cause.low_charge") && !causes.has("cause.no_fault"));
}
