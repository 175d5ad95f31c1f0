//! The conditions of each procedure, and what would make a reading valid.

use super::case::{ByStage, Circumstance, LiquidPort, RunningStage};
use super::limits::LimitName;
use super::needs::{Needs, in_mid_sentence};
use super::points::PointKey;
use super::stage::{Moment, Stage};

/// A way of measuring, with conditions of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Procedure {
    /// Gauges and clamps at steady running in warm weather.
    Charge,
    /// The same where the target comes from the superheat chart.
    ChargeBySuperheat,
    /// Temperatures of the refrigerant against those of the air, in the same weather.
    Cycle,
    /// The same where the coil's temperature is held against that of an ordinary house.
    Coil,
    /// Pressure of a unit that rests.
    Standing,
    /// Air before and after the coil, in the same weather.
    Split,
    /// Heat taken out of the air, in the same weather.
    Capacity,
    /// Pressures of the duct system at full flow.
    Static,
    /// What the compressor draws or bears.
    CompressorLoad,
    /// What the outdoor fan draws.
    OutdoorFan,
    /// No more than a meter and a steady hand.
    Anytime,
}

impl Procedure {
    /// Whether it needs warm weather.
    pub(super) fn needs_warmth(self) -> bool {
        matches!(
            self,
            Self::Charge
                | Self::ChargeBySuperheat
                | Self::Cycle
                | Self::Coil
                | Self::Split
                | Self::Capacity
        )
    }

    /// Whether it asks how much refrigerant is inside.
    pub(super) fn is_charge(self) -> bool {
        matches!(self, Self::Charge | Self::ChargeBySuperheat)
    }

    /// Whether it leans on the table of the refrigerant that is on record.
    pub(super) fn needs_the_refrigerant(self) -> bool {
        self.is_charge() || matches!(self, Self::Cycle | Self::Coil | Self::Standing)
    }

    /// What else there is to do where the charge can't be judged by temperatures.
    pub(super) fn alternative(self) -> &'static str {
        if self.is_charge() { ", or check the charge by weighing it" } else { "" }
    }

    pub(super) fn is_spoiled_by(self, circumstance: Circumstance) -> bool {
        use Circumstance::{
            ChargeJustChanged, CondenserCoilWet, Defrost, IndoorCoilWetFromWashing, PanelsOff,
            StageLow, StripHeatOn,
        };
        match self {
            Self::Charge
            | Self::ChargeBySuperheat
            | Self::Cycle
            | Self::Coil
            | Self::Split
            | Self::Capacity => true,
            Self::Static => {
                matches!(circumstance, IndoorCoilWetFromWashing | PanelsOff | StageLow)
            }
            Self::CompressorLoad => match circumstance {
                CondenserCoilWet | PanelsOff | StageLow | ChargeJustChanged | Defrost => true,
                IndoorCoilWetFromWashing | StripHeatOn => false,
            },
            Self::OutdoorFan => matches!(circumstance, PanelsOff | Defrost),
            Self::Standing | Self::Anytime => false,
        }
    }
}

/// Why it is too cold for the procedure, if it is.
pub(super) fn too_cold(stage: &Stage, procedure: Procedure) -> Option<String> {
    let lowest = stage.book.value(LimitName::OutdoorLowest);
    let outdoor = stage.reading(PointKey::OutdoorDbF)?;
    (procedure.needs_warmth() && outdoor < lowest).then(|| {
        format!(
            "It is {} °F outdoors: not judged below {} °F; read it again on a warmer day{}.",
            plain(outdoor),
            plain(lowest),
            procedure.alternative()
        )
    })
}

/// Why its saturations mean nothing, if another refrigerant is suspected.
pub(super) fn other_refrigerant(stage: &Stage, procedure: Procedure) -> Option<String> {
    stage.other_refrigerant.clone().filter(|_| procedure.needs_the_refrigerant())
}

/// Why its readings are worthless, if one of them is.
pub(super) fn worthless_reading(stage: &Stage, needs: &Needs) -> Option<String> {
    if let Some(reason) = needs.points().find_map(|key| stage.impossible.get(&key)) {
        return Some(reason.clone());
    }
    let key = needs.points().find(|it| {
        // A reading that was carried over is no better than when it was taken.
        let waiting = of_moment(&stage.case.read_after_repair, stage.taken_at(*it));
        waiting.contains(it)
    })?;
    let label = key.point().label;
    Some(format!("{label} waits for a repair; read it again after the repair."))
}

/// Why the conditions of the procedure were not met, if they were not.
pub(super) fn unmet_condition(
    stage: &Stage,
    procedure: Procedure,
    needs: &Needs,
) -> Option<String> {
    spoiling_circumstance(stage, procedure, needs)
        .or_else(|| not_settled(stage, procedure))
        .or_else(|| wrong_port(stage, needs))
        .or_else(|| return_air_off(stage, procedure))
        .or_else(|| read_apart(stage, needs))
}

fn of_moment<T: Default>(both: &ByStage<T>, moment: Moment) -> &T {
    match moment {
        Moment::AsFound => &both.as_found,
        Moment::AsLeft => &both.as_left,
    }
}

fn spoiling_circumstance(stage: &Stage, procedure: Procedure, needs: &Needs) -> Option<String> {
    let both = &stage.case.circumstances;
    // What was carried over from before the work was spoiled by what spoiled it then.
    let carried = stage.moment == Moment::AsLeft
        && needs.points().any(|it| stage.taken_at(it) == Moment::AsFound);
    let earlier = carried.then_some(&both.as_found).into_iter().flatten();
    let low = stage.facts().running_stage == Some(RunningStage::Low);
    let spoiler = of_moment(both, stage.moment)
        .iter()
        .chain(earlier)
        .copied()
        .chain(low.then_some(Circumstance::StageLow))
        .chain(heats(stage).then_some(Circumstance::StripHeatOn))
        .find(|it| procedure.is_spoiled_by(*it))?;
    Some(format!("{}{}.", remedy(spoiler), procedure.alternative()))
}

/// Whether the electric heat was found to draw more than nothing.
fn heats(stage: &Stage) -> bool {
    let amps = stage.reading(PointKey::StripHeatAmps);
    amps.is_some_and(|it| stage.book.value(LimitName::StripHeatHigh) < it)
}

/// What of the procedure's conditions nobody noted, as a sentence that follows a verdict's own.
pub(super) fn unnoted(stage: &Stage, procedure: Procedure) -> String {
    if !procedure.needs_warmth() {
        return String::new();
    }
    let facts = stage.facts();
    let is_staged = facts.compressor_stages.is_some_and(|it| 1 < it);
    let unnoted = [
        (!stage.has(PointKey::SettledMin), "how long it ran"),
        (is_staged && facts.running_stage.is_none(), "at which stage"),
        (procedure.is_charge() && !stage.has(PointKey::ReturnDbF), "return air"),
    ];
    let words: Vec<&str> = unnoted.iter().filter(|it| it.0).map(|it| it.1).collect();
    if words.is_empty() { String::new() } else { format!(" Not noted: {}.", words.join(", ")) }
}

/// What is wrong and what would make the reading valid.
pub(super) fn remedy(circumstance: Circumstance) -> &'static str {
    match circumstance {
        Circumstance::CondenserCoilWet => {
            "The outdoor coil is wet; let it dry, run 15 minutes and read again"
        }
        Circumstance::IndoorCoilWetFromWashing => {
            "The indoor coil is wet from washing; let it run dry and read again"
        }
        Circumstance::PanelsOff => "Panels are off; put them on, let it settle and read again",
        Circumstance::StageLow => "It runs in low stage; bring it to full stage and read again",
        Circumstance::ChargeJustChanged => {
            "The charge was just changed; let it run 15 minutes and read again"
        }
        Circumstance::StripHeatOn => "The electric heat is on; switch it off and read again",
        Circumstance::Defrost => "It is in defrost; wait until it cools again and read again",
    }
}

fn not_settled(stage: &Stage, procedure: Procedure) -> Option<String> {
    let shortest = stage.book.value(LimitName::SettledShortest);
    let settled = stage.reading(PointKey::SettledMin)?;
    (procedure.needs_warmth() && settled < shortest).then(|| {
        format!(
            "It ran steadily for {} minutes only; wait for {} and read again{}.",
            plain(settled),
            plain(shortest),
            procedure.alternative()
        )
    })
}

/// Pressure before the condenser says nothing of the liquid behind it.
pub(super) fn wrong_port(stage: &Stage, needs: &Needs) -> Option<String> {
    let is_liquid = needs.points().any(|it| it == PointKey::LiquidLineF)
        && needs.points().any(|it| it == PointKey::LiquidPressurePsig);
    let at_discharge = stage.facts().liquid_port == Some(LiquidPort::Discharge);
    (is_liquid && at_discharge).then(|| {
        "The gauge was on the discharge port; subcooling needs the liquid line's port.".to_owned()
    })
}

/// Return air for which the procedure's method holds: lowest and highest.
pub(super) fn return_air_range(stage: &Stage, procedure: Procedure) -> Option<(f64, f64)> {
    match procedure {
        Procedure::Charge | Procedure::ChargeBySuperheat => {
            Some((stage.book.value(LimitName::ReturnLowest), f64::INFINITY))
        }
        Procedure::Split | Procedure::Coil => Some((
            stage.book.value(LimitName::SplitReturnLowest),
            stage.book.value(LimitName::SplitReturnHighest),
        )),
        _ => None,
    }
}

fn return_air_off(stage: &Stage, procedure: Procedure) -> Option<String> {
    let (low, high) = return_air_range(stage, procedure)?;
    let return_air = stage.reading(PointKey::ReturnDbF)?;
    if return_air < low {
        return Some(format!(
            "Return air is {} °F, the method begins at {} °F; warm the house and read again{}.",
            plain(return_air),
            plain(low),
            procedure.alternative()
        ));
    }
    (high < return_air).then(|| {
        format!(
            "Return air is {} °F, the table ends at {} °F; cool the house and read again.",
            plain(return_air),
            plain(high)
        )
    })
}

/// Readings that belong together must be taken together.
pub(super) fn read_apart(stage: &Stage, needs: &Needs) -> Option<String> {
    let longest = stage.book.value(LimitName::ReadingsApartLongest);
    // A reading that was carried over was taken when it was taken, not when it was carried.
    let taken = needs.points().filter_map(|key| Some((stage.taken_min(key)?, key)));
    let mut ends: Option<((f64, PointKey), (f64, PointKey))> = None;
    for it in taken {
        let (first, last) = ends.unwrap_or((it, it));
        let first = if it.0 < first.0 { it } else { first };
        ends = Some((first, if last.0 < it.0 { it } else { last }));
    }
    let ((first, early), (last, late)) = ends?;
    (longest < last - first).then(|| {
        format!(
            "{} was read {:.0} min before {}, {} at most; read again.",
            early.point().label,
            last - first,
            in_mid_sentence(late.point().label),
            plain(longest)
        )
    })
}

/// A number with a tenth only where it has one, so that 54.7 is never told as 55.
fn plain(value: f64) -> String {
    let tenths = format!("{value:.1}");
    tenths.strip_suffix(".0").map_or_else(|| tenths.clone(), str::to_owned)
}
