//! Facts of the nameplate that contradict each other: typed into each other's place.

use crate::engine::assessment::{Doubt, DoubtKind};
use crate::engine::case::SystemFacts;
use crate::engine::performance::BTUH_PER_TON;
use crate::engine::stage::{Moment, Stage};

/// Two facts of which the first is never more than the second, and how to say it.
type Order =
    (&'static str, &'static str, fn(&SystemFacts) -> (Option<f64>, Option<f64>), &'static str);

/// Reference: minimum circuit ampacity is a quarter of the largest motor more than all of them, and
/// the overcurrent protection no smaller; maximum continuous current is 1.4 to 1.56 times the rated
/// load (both from memory). A fan draws less than its compressor and takes the smaller capacitor,
/// and a season is kinder than the hottest hour (common practice, no source).
const ORDERS: &[Order] = &[
    (
        "compressor_rla",
        "minimum_circuit_amps",
        |it| (it.compressor_rla, it.minimum_circuit_amps),
        "the rated-load amps lie above the minimum circuit amps",
    ),
    (
        "minimum_circuit_amps",
        "maximum_overcurrent_amps",
        |it| (it.minimum_circuit_amps, it.maximum_overcurrent_amps),
        "the minimum circuit amps lie above the maximum overcurrent protection",
    ),
    (
        "compressor_rla",
        "compressor_mcc",
        |it| (it.compressor_rla, it.compressor_mcc),
        "the rated-load amps lie above the maximum continuous current",
    ),
    (
        "condenser_fan_fla",
        "compressor_rla",
        |it| (it.condenser_fan_fla, it.compressor_rla),
        "the fan's full-load amps lie above the compressor's rated-load amps",
    ),
    (
        "capacitor_fan_rated_uf",
        "capacitor_compressor_rated_uf",
        |it| (it.capacitor_fan_rated_uf, it.capacitor_compressor_rated_uf),
        "the fan's section is larger than the compressor's",
    ),
    (
        "rated_eer",
        "seer",
        |it| (it.rated_eer, it.seer),
        "the energy efficiency ratio lies above the seasonal one",
    ),
];

/// Tons that a rated capacity may differ from the nominal ones by, as a factor. Judgement, no
/// source: sizes that are sold lie nearer.
const TONS_FACTOR_MAX: f64 = 1.35;
/// Ounces of refrigerant for each nominal ton under which pounds were probably typed for ounces.
/// Common practice, no source: 2 to 5 lb a ton are usual.
const OUNCES_A_TON_MIN: f64 = 12.0;

/// Facts that were probably typed into the wrong field; said once a visit, as found.
pub(super) fn misplaced(stage: &Stage) -> Vec<Doubt> {
    if stage.moment == Moment::AsLeft {
        return Vec::new();
    }
    let facts = stage.facts();
    let orders = ORDERS.iter().filter_map(|(less, more, pair, words)| {
        let (Some(low), Some(high)) = pair(facts) else { return None };
        (high < low).then(|| {
            suspected(
                &[less, more],
                format!("On the nameplate {words}: {low} against {high}."),
                "the two were typed into each other's place",
            )
        })
    });
    orders.chain(tons(facts)).chain(charge(facts)).collect()
}

fn tons(facts: &SystemFacts) -> Option<Doubt> {
    let (nominal, rated) = (facts.nominal_tons?, facts.rated_capacity_btuh? / BTUH_PER_TON);
    let is_apart = rated * TONS_FACTOR_MAX < nominal || nominal * TONS_FACTOR_MAX < rated;
    is_apart.then(|| {
        suspected(
            &["nominal_tons", "rated_capacity_btuh"],
            format!("{nominal} nominal tons, but a rated capacity of {rated:.1} tons."),
            "thousands of Btu/h were typed for tons, or the plate of another unit was read",
        )
    })
}

fn charge(facts: &SystemFacts) -> Option<Doubt> {
    let (ounces, tons) = (facts.factory_charge_oz?, facts.nominal_tons?);
    (ounces < OUNCES_A_TON_MIN * tons).then(|| {
        suspected(
            &["factory_charge_oz", "nominal_tons"],
            format!("A factory charge of {ounces} oz is little for {tons} tons."),
            "pounds were typed for ounces",
        )
    })
}

/// A suspicion of facts of the plate, by their names in the document.
fn suspected(facts: &[&str], reason: String, perhaps: &str) -> Doubt {
    Doubt {
        kind: DoubtKind::Suspicious,
        points: facts.iter().map(|it| (*it).to_owned()).collect(),
        reason,
        perhaps: Some(perhaps.to_owned()),
    }
}
