//! Causes that the gauges can't tell apart, declared beforehand.

use super::CauseName;

/// Whether these two causes show alike at the gauges, so that either may stand for the other.
///
/// Too much refrigerant and air in the circuit both raise the condensing temperature and, with
/// it, the subcooling. In the simulated single faults of one split system with an expansion valve
/// the subcooling rises 1.4 to 2.0 times as far as the condensing temperature for the one, and as
/// far for the other: that could tell them apart only where the plate says what the subcooling should
/// be, and with the spread of systems seldom does. The pressure at rest tells.
///
/// A restricted liquid line, a plugged drier and a starved metering device show alike too; they are
/// one cause from the beginning.
#[must_use]
pub fn is_confusable(a: CauseName, b: CauseName, knows_plate_subcooling: bool) -> bool {
    let both = (a.min(b), a.max(b));
    both == (CauseName::ExcessCharge, CauseName::NonCondensables) && !knows_plate_subcooling
}
