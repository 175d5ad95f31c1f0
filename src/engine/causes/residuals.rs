//! The residuals that causes are told by: each a reading's measure less what a healthy system
//! would show, so that one covariance of all follows from the instruments.

use super::expected;
use crate::engine::airflow;
use crate::engine::case::SystemKind;
use crate::engine::charge;
use crate::engine::electrical;
use crate::engine::input::Input;
use crate::engine::needs::{Needs, RETURN_AIR};
use crate::engine::points::PointKey;
use crate::engine::stage::Stage;
use crate::engine::uncertainty::Definition;
use crate::engine::validity::Procedure;
use crate::engine::view::View;

use super::gaussian::COUNT;

/// What is compared with a healthy system.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Residual {
    ReturnMinusSaturation,
    Superheat,
    CondensingOverAmbient,
    Subcooling,
    DischargeLine,
    CondenserRise,
    Split,
    CompressorAmps,
    Airflow,
    DrierDrop,
    Standing,
}

/// One residual: where it comes from and how far a healthy system's may lie from nothing.
pub(super) struct ResidualInfo {
    pub(super) residual: Residual,
    /// Key of the measure, or of the point where no measure has it, that people know it by.
    pub(super) measure: &'static str,
    /// The reading that brings it where all else was read.
    pub(super) reading: PointKey,
    /// The procedure whose conditions must hold.
    pub(super) procedure: Procedure,
    /// What is measured, in the measure's unit.
    pub(super) measured: fn(&View) -> Option<f64>,
    /// What a healthy system would show, in the same unit.
    pub(super) expected: fn(&View) -> Option<f64>,
    pub(super) form: Form,
    /// Standard uncertainty that a common instrument gives to the residual.
    pub(super) usual_u: f64,
}

/// How a residual is made of measured and expected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// Measured less expected, in degF.
    Difference,
    /// Measured over expected less one.
    Share,
    /// Expected over measured less one: what of the airflow is lost, as causes count it.
    Lost,
}

impl ResidualInfo {
    /// Of a measured and an expected value.
    pub(super) fn of(&self, measured: f64, expected: f64) -> Option<f64> {
        let value = match self.form {
            Form::Difference => measured - expected,
            Form::Share => measured / expected - 1.0,
            Form::Lost => expected / measured - 1.0,
        };
        value.is_finite().then_some(value)
    }

    /// The measured value that would make this residual.
    pub(super) fn back(&self, expected: f64, residual: f64) -> f64 {
        match self.form {
            Form::Difference => expected + residual,
            Form::Share => expected * (1.0 + residual),
            Form::Lost => expected / (1.0 + residual),
        }
    }

    /// A standard uncertainty of the expected value in the measure's own unit.
    pub(super) fn in_own_unit(&self, u: f64, expected: f64) -> f64 {
        if self.form == Form::Difference { u } else { u * expected.abs() }
    }
}

#[expect(clippy::unnecessary_wraps, reason = "one form with the others, which may have no answer")]
fn zero(_: &View) -> Option<f64> {
    Some(0.0)
}

/// Every residual, in the order of its name. The usual uncertainties follow from those of the
/// points, worked out by hand at common readings.
pub(super) static ALL: [ResidualInfo; COUNT] = [
    ResidualInfo {
        residual: Residual::ReturnMinusSaturation,
        measure: "return_minus_saturation_f",
        reading: PointKey::SuctionPressurePsig,
        procedure: Procedure::Coil,
        measured: charge::return_minus_saturation,
        expected: expected::return_minus_saturation,
        form: Form::Difference,
        usual_u: 0.9,
    },
    ResidualInfo {
        residual: Residual::Superheat,
        measure: "superheat_f",
        reading: PointKey::SuctionLineF,
        procedure: Procedure::Charge,
        measured: charge::superheat,
        expected: expected::superheat,
        form: Form::Difference,
        usual_u: 0.9,
    },
    ResidualInfo {
        residual: Residual::CondensingOverAmbient,
        measure: "condensing_over_ambient_f",
        reading: PointKey::LiquidPressurePsig,
        procedure: Procedure::Cycle,
        measured: charge::condensing_over_ambient,
        expected: expected::condensing_over_ambient,
        form: Form::Difference,
        usual_u: 0.7,
    },
    ResidualInfo {
        residual: Residual::Subcooling,
        measure: "subcooling_f",
        reading: PointKey::LiquidLineF,
        procedure: Procedure::Charge,
        measured: charge::subcooling,
        expected: expected::subcooling,
        form: Form::Difference,
        usual_u: 0.9,
    },
    ResidualInfo {
        residual: Residual::DischargeLine,
        measure: "discharge_line_f",
        reading: PointKey::DischargeLineF,
        procedure: Procedure::Cycle,
        measured: |view| view.reading(PointKey::DischargeLineF),
        expected: expected::discharge_line,
        form: Form::Difference,
        usual_u: 2.0,
    },
    ResidualInfo {
        residual: Residual::CondenserRise,
        measure: "condenser_rise_f",
        reading: PointKey::CondenserLeavingF,
        procedure: Procedure::Cycle,
        measured: |view| {
            charge::difference(view, PointKey::CondenserLeavingF, PointKey::OutdoorDbF)
        },
        expected: expected::condenser_rise,
        form: Form::Difference,
        usual_u: 1.9,
    },
    ResidualInfo {
        residual: Residual::Split,
        measure: "temperature_split_f",
        reading: PointKey::SupplyDbF,
        procedure: Procedure::Split,
        measured: |view| charge::difference(view, PointKey::ReturnDbF, PointKey::SupplyDbF),
        expected: expected::split,
        form: Form::Difference,
        usual_u: 1.2,
    },
    ResidualInfo {
        residual: Residual::CompressorAmps,
        measure: "compressor_amps",
        reading: PointKey::CompressorAmps,
        procedure: Procedure::CompressorLoad,
        measured: electrical::compressor_amps,
        expected: expected::compressor_amps,
        form: Form::Share,
        usual_u: 0.03,
    },
    ResidualInfo {
        residual: Residual::Airflow,
        measure: "airflow_cfm_per_ton",
        reading: PointKey::AirflowCfm,
        procedure: Procedure::Static,
        measured: airflow::per_ton,
        expected: |view| Some(expected::design_airflow(view.stage)),
        form: Form::Lost,
        usual_u: 0.08,
    },
    ResidualInfo {
        residual: Residual::DrierDrop,
        measure: "drier_drop_f",
        reading: PointKey::DrierOutF,
        procedure: Procedure::Cycle,
        measured: |view| charge::difference(view, PointKey::DrierInF, PointKey::DrierOutF),
        expected: zero,
        form: Form::Difference,
        usual_u: 1.0,
    },
    ResidualInfo {
        residual: Residual::Standing,
        measure: "standing_over_ambient_f",
        reading: PointKey::StandingPressurePsig,
        procedure: Procedure::Standing,
        measured: charge::standing_over_ambient,
        expected: zero,
        form: Form::Difference,
        usual_u: 0.9,
    },
];

fn answer(view: &View, place: usize) -> Option<f64> {
    let info = ALL.get(place)?;
    info.of((info.measured)(view)?, (info.expected)(view)?)
}

/// What a residual needs over that of its measure: whatever its expectation leans on.
fn gauges(stage: &Stage) -> Needs {
    Needs::default()
        .pressure(stage, PointKey::SuctionPressurePsig, Input::DewLine)
        .point(stage, PointKey::OutdoorDbF)
}

/// The return air, of a usual house where nobody read its humidity.
fn humid(needs: Needs, stage: &Stage) -> Needs {
    if expected::knows_humidity(stage) {
        return needs.air(stage, &RETURN_AIR);
    }
    needs.point(stage, PointKey::ReturnDbF).model(Input::AssumedHumidity)
}

fn liquid(stage: &Stage) -> Needs {
    Needs::default()
        .pressure(stage, PointKey::LiquidPressurePsig, Input::BubbleLine)
        .point(stage, PointKey::OutdoorDbF)
}

fn superheat_needs(stage: &Stage) -> Needs {
    let needs = gauges(stage).point(stage, PointKey::SuctionLineF);
    if stage.facts().metering.is_expansion_valve() {
        return needs;
    }
    // The model's own spread holds what the chart's and the closed form's errors would add.
    humid(needs, stage)
}

fn discharge_needs(stage: &Stage) -> Needs {
    Needs::default()
        .point(stage, PointKey::SuctionPressurePsig)
        .point(stage, PointKey::LiquidPressurePsig)
        .point(stage, PointKey::SuctionLineF)
        .point(stage, PointKey::DischargeLineF)
        .point(stage, PointKey::OutdoorDbF)
}

fn amps_needs(stage: &Stage) -> Needs {
    let facts = stage.facts();
    humid(Needs::default(), stage)
        .point(stage, PointKey::CompressorAmps)
        .point(stage, PointKey::VoltsOutdoorRunning)
        .point(stage, PointKey::OutdoorDbF)
        .fact(facts.rated_capacity_btuh.is_some(), "the rated capacity")
        .fact(facts.rated_eer.is_some(), "the rated efficiency")
}

const NO_ANSWER: &str = "these readings give no answer; read them again";

macro_rules! definition {
    ($key:literal, $residual:ident, $needs:expr) => {
        Definition {
            key: $key,
            needs: $needs,
            formula: |view| answer(view, Residual::$residual as usize),
            unanswered: NO_ANSWER,
        }
    };
}

/// How each residual is worked out, in the order of its name; listed behind the measures, so that
/// instruments' errors are followed through all at once.
pub(in crate::engine) static DEFINITIONS: &[Definition] = &[
    definition!("return_minus_saturation_f less expected", ReturnMinusSaturation, |stage| {
        humid(gauges(stage), stage)
    }),
    definition!("superheat_f less expected", Superheat, superheat_needs),
    definition!("condensing_over_ambient_f less expected", CondensingOverAmbient, liquid),
    definition!("subcooling_f less expected", Subcooling, |stage| {
        let is_split = stage.facts().kind != SystemKind::Ductless;
        liquid(stage)
            .point(stage, PointKey::LiquidLineF)
            .fact(is_split, "liquid under condensing pressure, which a ductless line set has not")
    }),
    definition!("discharge_line_f less expected", DischargeLine, discharge_needs),
    definition!("condenser_rise_f less expected", CondenserRise, |stage| {
        let needs = Needs::default().point(stage, PointKey::CondenserLeavingF);
        needs.point(stage, PointKey::OutdoorDbF)
    }),
    definition!("temperature_split_f less expected", Split, |stage| {
        let needs = Needs::default().point(stage, PointKey::SupplyDbF);
        humid(needs, stage).point(stage, PointKey::OutdoorDbF)
    }),
    definition!("compressor_amps less expected", CompressorAmps, amps_needs),
    definition!("airflow_cfm_per_ton less expected", Airflow, airflow::per_ton_needs),
    definition!("drier_drop_f less expected", DrierDrop, |stage| {
        let needs = Needs::default().point(stage, PointKey::DrierInF);
        needs.point(stage, PointKey::DrierOutF).point(stage, PointKey::OutdoorDbF)
    }),
    definition!("standing_over_ambient_f less expected", Standing, |stage| {
        Needs::default()
            .pressure(stage, PointKey::StandingPressurePsig, Input::BubbleLine)
            .point(stage, PointKey::OutdoorDbF)
    }),
];
