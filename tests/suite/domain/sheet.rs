//! The sheet has every measuring point, as found and as left, and no field twice.

use std::collections::BTreeSet;

use fairweather::domain::finding;
use fairweather::domain::sheet::{BLOCKS, Field};
use fairweather::domain::visit::Stage;
use fairweather::engine::points::POINTS;

#[test]
fn every_measuring_point_is_on_the_sheet_as_found_and_as_left() {
    let on_sheet: BTreeSet<(&str, Stage)> = BLOCKS
        .iter()
        .flat_map(|block| block.fields)
        .filter_map(|field| match field {
            Field::Reading(point, stage) => Some((*point, *stage)),
            _ => None,
        })
        .collect();
    let wanted: BTreeSet<(&str, Stage)> = POINTS
        .iter()
        .flat_map(|point| [(point.key, Stage::AsFound), (point.key, Stage::AsLeft)])
        .collect();
    let missing: Vec<_> = wanted.difference(&on_sheet).collect();
    let unknown: Vec<_> = on_sheet.difference(&wanted).collect();
    assert!(missing.is_empty() && unknown.is_empty(), "missing {missing:?}, unknown {unknown:?}");
}

#[test]
fn no_field_is_on_the_sheet_twice_and_the_blocks_are_numbered_in_order() {
    let mut names = BTreeSet::new();
    for (index, block) in BLOCKS.iter().enumerate() {
        assert_eq!(block.number, index + 1);
        for field in block.fields {
            assert!(names.insert(field.name()), "{} is there twice", field.name());
        }
    }
    assert_eq!(BLOCKS.len(), 14);
}

#[test]
fn every_observation_and_hazard_amounts_to_something_when_it_is_bad() {
    for field in BLOCKS.iter().flat_map(|block| block.fields) {
        if let Field::Observation(..) | Field::Hazard(..) = field {
            assert!(finding::of_field(&field.key()).is_some(), "{}", field.key());
        }
    }
}
