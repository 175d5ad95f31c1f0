//! Priors that learn: how far confirmations move them, and what those can't tell.

use fairweather::domain::priors::{Evidence, STRENGTH_VISITS, named, version};
use fairweather::engine::causes::{CAUSES, CauseName};
use proptest::prelude::*;

fn share(evidence: &Evidence, cause: CauseName) -> f64 {
    evidence.shares()[cause as usize]
}

fn published(cause: CauseName) -> f64 {
    cause.info().prior
}

/// Within the last bits of a sum.
fn is_near(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-12
}

#[test]
fn without_a_confirmation_the_published_figures_hold() {
    for visits in [0, 1, 600] {
        let evidence = Evidence::of([], visits);
        for cause in &CAUSES {
            assert!(is_near(share(&evidence, cause.name), cause.prior), "{}", cause.key);
        }
    }
}

#[test]
fn one_confirmation_barely_moves_anything() {
    let evidence = Evidence::of([("low_charge", 1)], 100);
    let moved = share(&evidence, CauseName::LowCharge) - published(CauseName::LowCharge);
    assert!(0.0 < moved && moved < 0.02, "{moved}");
    let none = share(&evidence, CauseName::NoFault);
    assert!(is_near(none, published(CauseName::NoFault)), "{none}");
}

#[test]
fn a_fault_that_is_confirmed_again_and_again_outweighs_the_published_split() {
    let evidence = Evidence::of([("feed_restriction", 200)], 1_000);
    let of_faults =
        share(&evidence, CauseName::FeedRestriction) / (1.0 - share(&evidence, CauseName::NoFault));
    assert!(0.9 < of_faults && of_faults < 1.0, "{of_faults}");
}

#[test]
fn two_causes_at_once_count_half_each() {
    let evidence = Evidence::of([("low_charge+low_indoor_airflow", 3)], 10);
    assert!(is_near(evidence.counts[CauseName::LowCharge as usize], 1.5));
    assert!(is_near(evidence.counts[CauseName::LowIndoorAirflow as usize], 1.5));
    assert!(is_near(evidence.confirmed(), 3.0));
}

#[test]
fn answers_for_faults_alone_do_not_starve_the_healthy_share() {
    // A tenth of the visits is answered, and each answer is a fault: of the rest nobody knows.
    let evidence = Evidence::of([("low_charge", 60)], 600);
    assert!(is_near(share(&evidence, CauseName::NoFault), published(CauseName::NoFault)));
}

#[test]
fn answers_that_leave_no_choice_move_the_healthy_share() {
    // At least 500 of 600 visits had a fault, whatever the unanswered ones had.
    let own = STRENGTH_VISITS * published(CauseName::NoFault);
    let faults = Evidence::of([("low_charge", 500)], 600);
    let highest = (own + 100.0) / (STRENGTH_VISITS + 600.0);
    assert!(is_near(share(&faults, CauseName::NoFault), highest));
    let healthy = Evidence::of([("no_fault", 500)], 600);
    let lowest = (own + 500.0) / (STRENGTH_VISITS + 600.0);
    assert!(is_near(share(&healthy, CauseName::NoFault), lowest));
}

#[test]
fn where_every_visit_is_answered_it_is_one_dirichlet_over_all_nine() {
    let found = [("no_fault", 12), ("low_charge", 5), ("non_condensables", 3)];
    let evidence = Evidence::of(found, 20);
    for (cause, count) in CAUSES.iter().zip(evidence.counts) {
        let mean = (STRENGTH_VISITS * cause.prior + count) / (STRENGTH_VISITS + 20.0);
        assert!(is_near(share(&evidence, cause.name), mean), "{}", cause.key);
    }
}

#[test]
fn a_word_of_a_later_program_is_left_out() {
    let evidence = Evidence::of([("cracked_bracket", 7), ("low_charge", 1)], 9);
    assert!(is_near(evidence.confirmed(), 1.0));
}

#[test]
fn a_version_is_named_by_its_number_and_carries_all_nine() {
    assert_eq!(version(7), "priors-7");
    let priors = named(7, &Evidence::of([("low_charge", 4)], 9).shares());
    assert_eq!(priors.version(), "priors-7");
    assert!(CAUSES.iter().all(|it| priors.given(it.name).is_some()));
}

proptest! {
    #[test]
    fn the_shares_are_probabilities_whatever_was_confirmed(
        counts in proptest::array::uniform9(0_u32..1_000_000),
        visits in 0_u32..2_000_000,
    ) {
        let found: Vec<(&str, u32)> = CAUSES.iter().map(|it| it.key).zip(counts).collect();
        let shares = Evidence::of(found, visits).shares();
        let sum: f64 = shares.iter().sum();
        prop_assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        prop_assert!(shares.iter().all(|it| 0.0 < *it && *it < 1.0), "{shares:?}");
    }

    #[test]
    fn one_more_confirmation_of_a_fault_never_makes_it_rarer_among_faults(
        counts in proptest::array::uniform9(0_u32..500),
        cause in 1_usize..9,
        unanswered in 0_u32..500,
    ) {
        let of_faults = |counts: [u32; 9]| {
            let found: Vec<(&str, u32)> = CAUSES.iter().map(|it| it.key).zip(counts).collect();
            let shares = Evidence::of(found, counts.iter().sum::<u32>() + unanswered).shares();
            shares[cause] / (1.0 - shares[0])
        };
        let mut more = counts;
        more[cause] += 1;
        prop_assert!(of_faults(counts) <= of_faults(more) + 1e-12);
    }
}
