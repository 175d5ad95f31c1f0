//! The limit book as people read it: every limit has a place, and bands keep something inside.

use std::collections::BTreeSet;

use fairweather::domain::limit_book::{UNPLACED, band_of, crossed, groups, version, with_unit};
use fairweather::engine::limits::{LIMITS, LimitBook, LimitName};

#[test]
fn every_limit_stands_in_one_group_and_none_is_without_a_place() {
    let placed: Vec<LimitName> = groups().into_iter().flat_map(|it| it.limits).collect();
    let each: BTreeSet<LimitName> = placed.iter().copied().collect();
    assert_eq!(each, LIMITS.iter().map(|it| it.name).collect(), "none is lost");
    assert_eq!(placed.len(), each.len(), "none stands twice");
    let rest: Vec<_> = groups().into_iter().filter(|it| it.title == UNPLACED).collect();
    assert!(rest.is_empty(), "give these a group in domain/limit_book.rs: {rest:?}");
}

#[test]
fn the_two_ends_of_a_band_know_each_other() {
    let metering = (LimitName::MeteringSuperheatLow, LimitName::MeteringSuperheatHigh);
    let split = (LimitName::SplitReturnLowest, LimitName::SplitReturnHighest);
    for (low, high) in [metering, split] {
        assert_eq!(band_of(low), Some((low, high)));
        assert_eq!(band_of(high), Some((low, high)));
    }
    assert_eq!(band_of(LimitName::FilterDropHigh), None);
}

#[test]
fn every_band_of_the_program_has_something_inside() {
    let book = LimitBook::default();
    for limit in LIMITS {
        assert_eq!(crossed(&book, limit.name, limit.default), None, "{:?}", limit.name);
    }
}

#[test]
fn a_limit_beyond_its_other_end_crosses_the_band() {
    let book = LimitBook::default();
    let high = LimitName::MeteringSuperheatHigh;
    let band = Some((LimitName::MeteringSuperheatLow, high));
    assert_eq!(crossed(&book, high, 4.0), band, "the lowest is 4");
    assert_eq!(crossed(&book, high, 4.5), None);
}

#[test]
fn a_book_is_named_by_the_program_and_the_newest_change() {
    assert_eq!(version("default-1", None), "default-1");
    assert_eq!(version("default-1", Some(7)), "default-1+7");
}

#[test]
fn a_limit_is_written_as_it_was_set() {
    assert_eq!(with_unit(0.15, "in. w.c."), "0.15 in. w.c.");
    assert_eq!(with_unit(55.0, "°F"), "55 °F");
    assert_eq!(with_unit(0.9, ""), "0.9");
}
