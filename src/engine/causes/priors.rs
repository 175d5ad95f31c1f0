//! How likely each cause is before anything was read: published to begin with, the company's own
//! where the document brings them.

use serde::{Deserialize, Serialize};

use super::{CAUSES, CauseName};

/// Version of the priors that the program ships; raised whenever a default changes.
pub const DEFAULT_PRIORS: &str = "default-1";

/// The company's own probabilities of causes. One that is not given stays as published; together
/// they are brought to one.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
#[expect(missing_docs, reason = "the names are those of the causes")]
pub struct Priors {
    /// Which numbers these are, given back with every assessment.
    pub version: Option<String>,
    pub no_fault: Option<f64>,
    pub low_charge: Option<f64>,
    pub excess_charge: Option<f64>,
    pub low_indoor_airflow: Option<f64>,
    pub low_outdoor_airflow: Option<f64>,
    pub feed_restriction: Option<f64>,
    pub overfeeding_metering: Option<f64>,
    pub non_condensables: Option<f64>,
    pub compressor_not_pumping: Option<f64>,
}

impl Priors {
    /// What was given for one cause.
    #[must_use]
    pub fn given(&self, cause: CauseName) -> Option<f64> {
        match cause {
            CauseName::NoFault => self.no_fault,
            CauseName::LowCharge => self.low_charge,
            CauseName::ExcessCharge => self.excess_charge,
            CauseName::LowIndoorAirflow => self.low_indoor_airflow,
            CauseName::LowOutdoorAirflow => self.low_outdoor_airflow,
            CauseName::FeedRestriction => self.feed_restriction,
            CauseName::OverfeedingMetering => self.overfeeding_metering,
            CauseName::NonCondensables => self.non_condensables,
            CauseName::CompressorNotPumping => self.compressor_not_pumping,
        }
    }

    /// Sets the probability of one cause.
    pub fn set(&mut self, cause: CauseName, probability: f64) {
        let place = match cause {
            CauseName::NoFault => &mut self.no_fault,
            CauseName::LowCharge => &mut self.low_charge,
            CauseName::ExcessCharge => &mut self.excess_charge,
            CauseName::LowIndoorAirflow => &mut self.low_indoor_airflow,
            CauseName::LowOutdoorAirflow => &mut self.low_outdoor_airflow,
            CauseName::FeedRestriction => &mut self.feed_restriction,
            CauseName::OverfeedingMetering => &mut self.overfeeding_metering,
            CauseName::NonCondensables => &mut self.non_condensables,
            CauseName::CompressorNotPumping => &mut self.compressor_not_pumping,
        };
        *place = Some(probability);
    }

    /// Probability of each cause, in the order of [`CAUSES`]; together one. The published ones
    /// where what was given adds up to nothing.
    #[must_use]
    pub fn shares(&self) -> [f64; CAUSES.len()] {
        let published = CAUSES.each_ref().map(|it| it.prior);
        let given = CAUSES.each_ref().map(|it| {
            self.given(it.name).filter(|it| it.is_finite() && 0.0 <= *it).unwrap_or(it.prior)
        });
        let sum: f64 = given.iter().sum();
        if sum > 0.0 && sum.is_finite() { given.map(|it| it / sum) } else { published }
    }

    /// Which numbers these are.
    #[must_use]
    pub fn version(&self) -> &str {
        self.version.as_deref().unwrap_or("given with the document")
    }
}
