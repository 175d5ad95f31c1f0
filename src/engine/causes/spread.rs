//! How far healthy systems lie from what is expected of their kind, and one system from itself.
//!
//! Published suggestions for a unit that nobody knows, read as the ends of a range that is as
//! likely anywhere within (JCGM 100:2008, 4.3.7: the root of three below its half width), unless
//! said otherwise; they are judgement at the source too.

use super::residuals::Residual;
use crate::engine::case::{LiquidPort, SystemFacts};

/// Spread of one residual over healthy systems, standard uncertainties in the residual's unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spread {
    /// What this residual has to itself.
    pub(super) own: f64,
    /// What a larger or smaller condenser does to all residuals that it shows in.
    pub(super) condenser: f64,
    /// What stays from one day of the same system to another: what the expectation doesn't know of
    /// weather and load. Judgement, no source.
    pub(super) day: f64,
}

/// A condenser that is larger or smaller than its class: a share of condensing over ambient and of
/// the air's rise alike. With the own share of a tenth it makes 4 degF at 20, where 5 degF either
/// way is suggested for a unit of a known class: kept wider, for plates rarely tell the class.
const CONDENSER: f64 = 0.12;
/// The same where the plate says nothing of the efficiency: from 15 to 27.5 degF over the classes, and
/// the spread within one.
const CONDENSER_OF_UNKNOWN_CLASS: f64 = 0.20;
/// What a gauge on the discharge port adds to the doubt, degF. Judgement, no source.
const DISCHARGE_PORT_F: f64 = 2.0;

/// Spread of one residual over healthy systems of this kind.
pub(super) fn spread(residual: Residual, facts: &SystemFacts, expected: f64) -> Spread {
    let is_valve = facts.metering.is_expansion_valve();
    let knows_class = facts.seer.or(facts.seer2).is_some();
    let condenser = if knows_class { CONDENSER } else { CONDENSER_OF_UNKNOWN_CLASS };
    let at_discharge = facts.liquid_port == Some(LiquidPort::Discharge);
    let port = if at_discharge { DISCHARGE_PORT_F } else { 0.0 };
    let alone = |own: f64, day: f64| Spread { own, condenser: 0.0, day };
    match residual {
        // 3 degF is suggested; taken for a standard uncertainty, since the two sources of the
        // expectation differ by 4 and it lies between them.
        Residual::ReturnMinusSaturation => alone(2.5, 1.3),
        // 4 to 14 degF at the valve are 2.9, but the procedure's own band goes to 25: somewhat more.
        // Of a fixed orifice 4 is suggested, and taken for a standard uncertainty, since single units
        // lie 9 degF off the chart.
        Residual::Superheat => {
            if is_valve {
                alone(3.5, 1.5)
            } else {
                alone(4.0, 2.5)
            }
        }
        Residual::CondensingOverAmbient => {
            Spread { own: (0.10 * expected).hypot(port), condenser: condenser * expected, day: 1.0 }
        }
        // 3 degF with a plate are 1.7, without one 5 are 2.9; somewhat more, since lines differ.
        Residual::Subcooling => match (facts.target_subcooling_f.is_some(), is_valve) {
            (true, true) => alone(2.0_f64.hypot(port), 1.0),
            // Nothing regulates it there, so that it moves with the weather too.
            (true, false) => alone(3.0_f64.hypot(port), 1.5),
            _ => alone(3.5_f64.hypot(port), 1.5),
        },
        // Isentropic efficiencies of 0.6 to 0.8 are 8 degF either way, and where the clamp sits on
        // a hot line 5 more.
        Residual::DischargeLine => alone(5.5, 2.5),
        Residual::CondenserRise => {
            Spread { own: 0.12 * expected, condenser: condenser * expected, day: 1.0 }
        }
        // 2 degF is suggested; taken for a standard uncertainty, for methods differ by 1.6.
        Residual::Split => alone(2.0, 1.3),
        // Power factor, fans and curves. Judgement, no source.
        Residual::CompressorAmps => alone(0.12, 0.04),
        // Design airflow is met within a tenth on a good installation. Judgement, no source.
        Residual::Airflow => alone(0.10, 0.05),
        // Clamps on one pipe. Judgement, no source.
        Residual::DrierDrop => alone(0.5, 0.3),
        // Coil and air seldom settle wholly at one temperature. Judgement, no source.
        Residual::Standing => alone(2.0, 1.5),
    }
}
