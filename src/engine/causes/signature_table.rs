//! What each cause does to each residual: data, one row a cause, metering device and residual.
//!
//! Numbers without a source of their own are slopes of the mean residuals of an open simulation of
//! a three-ton R-410A split system (single faults, six conditions of 28 to 41 degC outdoors), which
//! stand beside the suite's published tables. Of the rest, the lower ends of the courses lean on what
//! a fault costs there, and three expectations on its healthy runs (`expected.rs` says which).

use super::CauseName::{
    self, CompressorNotPumping, ExcessCharge, FeedRestriction, LowCharge, LowIndoorAirflow,
    LowOutdoorAirflow, NonCondensables, OverfeedingMetering,
};
use super::residuals::Residual::{
    self, Airflow, CompressorAmps, CondenserRise, CondensingOverAmbient, DischargeLine, DrierDrop,
    ReturnMinusSaturation, Split, Standing, Subcooling, Superheat,
};

/// Whether the metering device holds a superheat of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Device {
    /// Thermostatic or electronic expansion valve.
    Valve,
    /// Orifice or capillary.
    Fixed,
}

/// How a severity acts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Dose {
    /// In proportion.
    Linear,
    /// An airflow that is a share short acts by what it is short over what is left.
    LostShare,
    /// A pressure acts by its share of the difference that drives the flow; 236 psi for R-410A
    /// between 45 and 110 degF.
    OfDrivingPressure,
}

/// Where a second slope sets in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Knee {
    /// Nowhere.
    None,
    /// At this dose.
    At(f64),
    /// Where nothing of the subcooling is left: an expansion valve makes up for less charge until
    /// gas comes with the liquid.
    WhereSubcoolingIsGone,
}

/// What a slope is multiplied with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Scale {
    /// Nothing.
    One,
    /// What a healthy system would show.
    Expected,
    /// Degrees of saturation for each psi at the liquid pressure.
    SaturationSlope,
}

/// How one cause acts with one device.
pub(super) struct Course {
    pub(super) cause: CauseName,
    pub(super) device: Device,
    pub(super) dose: Dose,
    pub(super) knee: Knee,
    /// Severities that are weighed, in the cause's unit: below, it is no fault that matters.
    pub(super) from: f64,
    pub(super) to: f64,
    /// Severities grow rarer by a factor of e for each of these.
    pub(super) scale: f64,
}

/// What one cause does to one residual.
pub(super) struct Signature {
    pub(super) cause: CauseName,
    pub(super) device: Device,
    pub(super) residual: Residual,
    /// For each unit of dose.
    pub(super) slope: f64,
    /// And for each unit beyond the knee.
    pub(super) beyond: f64,
    pub(super) scale: Scale,
    /// Standard uncertainty of the slope as a share of it.
    pub(super) spread: f64,
    pub(super) source: &'static str,
}

const fn course(
    (cause, device): (CauseName, Device),
    (dose, knee): (Dose, Knee),
    (from, to, scale): (f64, f64, f64),
) -> Course {
    Course { cause, device, dose, knee, from, to, scale }
}

/// How each cause acts. Ranges and scales are judgement, no source: below the lower end a fault
/// costs less than some 3 % of capacity or efficiency in the simulation.
pub(super) static COURSES: &[Course] = {
    use Device::{Fixed, Valve};
    use Dose::{Linear, LostShare, OfDrivingPressure};
    use Knee::{At, None, WhereSubcoolingIsGone};
    &[
        course((LowCharge, Valve), (Linear, WhereSubcoolingIsGone), (10.0, 80.0, 18.0)),
        course((LowCharge, Fixed), (Linear, At(15.0)), (10.0, 80.0, 18.0)),
        course((ExcessCharge, Valve), (Linear, At(15.0)), (10.0, 50.0, 18.0)),
        course((ExcessCharge, Fixed), (Linear, At(15.0)), (10.0, 50.0, 18.0)),
        course((LowIndoorAirflow, Valve), (LostShare, None), (15.0, 85.0, 25.0)),
        course((LowIndoorAirflow, Fixed), (LostShare, None), (15.0, 85.0, 25.0)),
        course((LowOutdoorAirflow, Valve), (LostShare, None), (20.0, 85.0, 25.0)),
        course((LowOutdoorAirflow, Fixed), (LostShare, None), (20.0, 85.0, 25.0)),
        // An expansion valve opens further until it can't: nothing shows before.
        course((FeedRestriction, Valve), (OfDrivingPressure, At(60.0)), (75.0, 205.0, 35.0)),
        course((FeedRestriction, Fixed), (OfDrivingPressure, None), (15.0, 145.0, 35.0)),
        course((OverfeedingMetering, Valve), (Linear, None), (10.0, 50.0, 15.0)),
        course((OverfeedingMetering, Fixed), (Linear, None), (5.0, 35.0, 12.0)),
        course((NonCondensables, Valve), (Linear, None), (12.0, 60.0, 20.0)),
        course((NonCondensables, Fixed), (Linear, None), (12.0, 60.0, 20.0)),
        course((CompressorNotPumping, Valve), (Linear, None), (8.0, 80.0, 20.0)),
        course((CompressorNotPumping, Fixed), (Linear, None), (8.0, 80.0, 20.0)),
    ]
};

/// Share of a slope that is uncertain where nothing better is known: systems of other sizes and
/// makers differ. Judgement, no source.
const USUAL: f64 = 0.35;
/// The same where even the sign leans on one source.
const POOR: f64 = 0.6;

const SIMULATED: &str = "mean residuals of an open simulation of a three-ton unit";
const BY_DEFINITION: &str = "by definition of the airflow's share";
const FROM_MEMORY: &str = "direction of the trade's symptom tables (from memory), size judged";
const AS_AN_ORIFICE: &str = "simulation up to where the valve is wide open; beyond it as a fixed \
    orifice";
const BY_PHYSICS: &str = "a gas that doesn't condense adds its pressure";

type Slopes = (f64, f64);

const fn row(
    (cause, device, residual): (CauseName, Device, Residual),
    (slope, beyond): Slopes,
    spread: f64,
) -> Signature {
    let scale = Scale::One;
    Signature { cause, device, residual, slope, beyond, scale, spread, source: SIMULATED }
}

impl Signature {
    const fn of_expected(self) -> Self {
        Self { scale: Scale::Expected, ..self }
    }

    const fn by_saturation(self) -> Self {
        Self { scale: Scale::SaturationSlope, source: BY_PHYSICS, ..self }
    }

    const fn from(self, source: &'static str) -> Self {
        Self { source, ..self }
    }
}

/// Every signature.
pub(super) static SIGNATURES: &[Signature] = {
    use Device::{Fixed, Valve};
    &[
        row((LowCharge, Valve, Subcooling), (-0.52, 0.0), USUAL),
        row((LowCharge, Valve, Superheat), (0.0, 1.2), POOR),
        row((LowCharge, Valve, CondensingOverAmbient), (-0.0098, 0.0), USUAL).of_expected(),
        row((LowCharge, Valve, CondenserRise), (-0.003, -0.006), USUAL).of_expected(),
        row((LowCharge, Valve, Split), (-0.025, -0.2), USUAL),
        row((LowCharge, Valve, ReturnMinusSaturation), (-0.03, 0.5), POOR).from(AS_AN_ORIFICE),
        row((LowCharge, Valve, DischargeLine), (0.035, 0.0), POOR),
        row((LowCharge, Valve, CompressorAmps), (-0.0018, 0.0), USUAL),
        row((LowCharge, Fixed, Superheat), (0.88, 0.0), USUAL),
        row((LowCharge, Fixed, Subcooling), (-0.41, 0.0), USUAL),
        row((LowCharge, Fixed, ReturnMinusSaturation), (0.17, 0.35), USUAL),
        row((LowCharge, Fixed, CondensingOverAmbient), (-0.0104, 0.0), USUAL).of_expected(),
        row((LowCharge, Fixed, CondenserRise), (-0.004, -0.007), USUAL).of_expected(),
        row((LowCharge, Fixed, Split), (-0.13, -0.16), USUAL),
        row((LowCharge, Fixed, DischargeLine), (-0.09, 0.0), POOR),
        row((LowCharge, Fixed, CompressorAmps), (-0.0012, 0.0), USUAL),
        row((ExcessCharge, Valve, Subcooling), (0.40, 0.1), USUAL),
        row((ExcessCharge, Valve, CondensingOverAmbient), (0.0125, 0.009), USUAL).of_expected(),
        row((ExcessCharge, Valve, CondenserRise), (0.0012, 0.0), POOR).of_expected(),
        row((ExcessCharge, Valve, CompressorAmps), (0.0028, 0.003), USUAL),
        row((ExcessCharge, Fixed, Superheat), (-0.92, 0.0), USUAL),
        row((ExcessCharge, Fixed, Subcooling), (0.31, 0.0), USUAL),
        row((ExcessCharge, Fixed, CondensingOverAmbient), (0.0115, 0.005), USUAL).of_expected(),
        row((ExcessCharge, Fixed, ReturnMinusSaturation), (-0.125, 0.0), USUAL),
        row((ExcessCharge, Fixed, Split), (0.085, 0.0), POOR),
        row((ExcessCharge, Fixed, CondenserRise), (0.0027, 0.0), POOR).of_expected(),
        row((ExcessCharge, Fixed, DischargeLine), (0.07, 0.0), POOR),
        row((ExcessCharge, Fixed, CompressorAmps), (0.0016, 0.0), USUAL),
        row((LowIndoorAirflow, Valve, Airflow), (1.0, 0.0), 0.0).from(BY_DEFINITION),
        row((LowIndoorAirflow, Valve, ReturnMinusSaturation), (7.9, 0.0), USUAL),
        row((LowIndoorAirflow, Valve, Split), (11.0, 0.0), USUAL),
        row((LowIndoorAirflow, Valve, CondensingOverAmbient), (-0.07, 0.0), USUAL).of_expected(),
        row((LowIndoorAirflow, Valve, CondenserRise), (-0.12, 0.0), USUAL).of_expected(),
        row((LowIndoorAirflow, Fixed, Airflow), (1.0, 0.0), 0.0).from(BY_DEFINITION),
        row((LowIndoorAirflow, Fixed, ReturnMinusSaturation), (4.9, 0.0), USUAL),
        row((LowIndoorAirflow, Fixed, Split), (13.5, 0.0), USUAL),
        row((LowIndoorAirflow, Fixed, Superheat), (-21.5, 0.0), USUAL),
        row((LowIndoorAirflow, Fixed, Subcooling), (-1.7, 0.0), POOR),
        row((LowIndoorAirflow, Fixed, CondensingOverAmbient), (-0.07, 0.0), USUAL).of_expected(),
        row((LowIndoorAirflow, Fixed, CondenserRise), (-0.1, 0.0), USUAL).of_expected(),
        row((LowIndoorAirflow, Fixed, DischargeLine), (1.4, 0.0), POOR),
        row((LowOutdoorAirflow, Valve, CondenserRise), (1.0, 0.0), 0.15).of_expected(),
        row((LowOutdoorAirflow, Valve, CondensingOverAmbient), (0.6, 0.0), USUAL).of_expected(),
        row((LowOutdoorAirflow, Valve, Subcooling), (4.1, 0.0), USUAL),
        row((LowOutdoorAirflow, Valve, ReturnMinusSaturation), (-0.6, 0.0), POOR),
        row((LowOutdoorAirflow, Valve, Split), (-0.4, 0.0), POOR),
        row((LowOutdoorAirflow, Valve, CompressorAmps), (0.135, 0.0), USUAL),
        row((LowOutdoorAirflow, Fixed, CondenserRise), (1.0, 0.0), 0.15).of_expected(),
        row((LowOutdoorAirflow, Fixed, CondensingOverAmbient), (0.6, 0.0), USUAL).of_expected(),
        row((LowOutdoorAirflow, Fixed, Subcooling), (2.3, 0.0), USUAL),
        row((LowOutdoorAirflow, Fixed, Superheat), (-11.0, 0.0), USUAL),
        row((LowOutdoorAirflow, Fixed, ReturnMinusSaturation), (-2.3, 0.0), USUAL),
        row((LowOutdoorAirflow, Fixed, Split), (0.4, 0.0), POOR),
        row((LowOutdoorAirflow, Fixed, CompressorAmps), (0.12, 0.0), USUAL),
        row((FeedRestriction, Valve, Superheat), (0.0, 0.42), USUAL),
        row((FeedRestriction, Valve, ReturnMinusSaturation), (0.0, 0.14), USUAL),
        row((FeedRestriction, Valve, Subcooling), (0.0, 0.03), POOR),
        row((FeedRestriction, Valve, Split), (0.0, -0.075), USUAL),
        row((FeedRestriction, Valve, CondenserRise), (0.0, -0.002), USUAL).of_expected(),
        row((FeedRestriction, Valve, DischargeLine), (0.0, -0.05), POOR),
        row((FeedRestriction, Valve, CompressorAmps), (0.0, 0.0004), POOR),
        row((FeedRestriction, Valve, DrierDrop), (0.0, 0.1), 1.0).from(FROM_MEMORY),
        row((FeedRestriction, Fixed, Superheat), (0.42, 0.0), USUAL),
        row((FeedRestriction, Fixed, ReturnMinusSaturation), (0.15, 0.0), USUAL),
        row((FeedRestriction, Fixed, Subcooling), (0.03, 0.0), POOR),
        row((FeedRestriction, Fixed, Split), (-0.075, 0.0), USUAL),
        row((FeedRestriction, Fixed, CondenserRise), (-0.0018, 0.0), USUAL).of_expected(),
        row((FeedRestriction, Fixed, DischargeLine), (-0.05, 0.0), POOR),
        row((FeedRestriction, Fixed, CompressorAmps), (0.0004, 0.0), POOR),
        row((FeedRestriction, Fixed, DrierDrop), (0.1, 0.0), 1.0).from(FROM_MEMORY),
        row((OverfeedingMetering, Valve, Superheat), (-0.4, 0.0), USUAL).from(FROM_MEMORY),
        row((OverfeedingMetering, Valve, ReturnMinusSaturation), (-0.08, 0.0), POOR)
            .from(FROM_MEMORY),
        row((OverfeedingMetering, Valve, Subcooling), (-0.06, 0.0), POOR).from(FROM_MEMORY),
        row((OverfeedingMetering, Fixed, Superheat), (-1.3, 0.0), USUAL),
        row((OverfeedingMetering, Fixed, ReturnMinusSaturation), (-0.2, 0.0), USUAL),
        row((OverfeedingMetering, Fixed, Subcooling), (-0.16, 0.0), USUAL),
        row((OverfeedingMetering, Fixed, Split), (0.11, 0.0), POOR),
        row((OverfeedingMetering, Fixed, DischargeLine), (0.15, 0.0), POOR),
        row((OverfeedingMetering, Fixed, CompressorAmps), (-0.0013, 0.0), POOR),
        row((NonCondensables, Valve, CondensingOverAmbient), (1.0, 0.0), 0.2).by_saturation(),
        row((NonCondensables, Valve, Subcooling), (1.0, 0.0), 0.2).by_saturation(),
        row((NonCondensables, Valve, CompressorAmps), (0.0027, 0.0), USUAL),
        row((NonCondensables, Valve, Standing), (0.5, 0.0), 0.5).by_saturation(),
        row((NonCondensables, Fixed, CondensingOverAmbient), (0.9, 0.0), 0.2).by_saturation(),
        row((NonCondensables, Fixed, Subcooling), (0.8, 0.0), 0.2).by_saturation(),
        row((NonCondensables, Fixed, Superheat), (-0.47, 0.0), USUAL),
        row((NonCondensables, Fixed, ReturnMinusSaturation), (-0.085, 0.0), USUAL),
        row((NonCondensables, Fixed, Split), (0.045, 0.0), POOR),
        row((NonCondensables, Fixed, CompressorAmps), (0.0023, 0.0), USUAL),
        row((NonCondensables, Fixed, Standing), (0.5, 0.0), 0.5).by_saturation(),
        row((CompressorNotPumping, Valve, DischargeLine), (0.6, 0.0), POOR),
        row((CompressorNotPumping, Valve, ReturnMinusSaturation), (-0.135, 0.0), USUAL),
        row((CompressorNotPumping, Valve, CondensingOverAmbient), (-0.0058, 0.0), USUAL)
            .of_expected(),
        row((CompressorNotPumping, Valve, CondenserRise), (-0.0068, 0.0), USUAL).of_expected(),
        row((CompressorNotPumping, Valve, Split), (-0.1, 0.0), USUAL),
        row((CompressorNotPumping, Valve, Subcooling), (-0.05, 0.0), POOR),
        row((CompressorNotPumping, Valve, Superheat), (-0.045, 0.0), POOR),
        row((CompressorNotPumping, Valve, CompressorAmps), (-0.0017, 0.0), POOR),
        row((CompressorNotPumping, Fixed, DischargeLine), (0.6, 0.0), POOR),
        row((CompressorNotPumping, Fixed, Superheat), (-1.05, 0.0), USUAL),
        row((CompressorNotPumping, Fixed, ReturnMinusSaturation), (-0.29, 0.0), USUAL),
        row((CompressorNotPumping, Fixed, CondensingOverAmbient), (-0.0055, 0.0), USUAL)
            .of_expected(),
        row((CompressorNotPumping, Fixed, CondenserRise), (-0.0052, 0.0), USUAL).of_expected(),
        row((CompressorNotPumping, Fixed, Subcooling), (-0.16, 0.0), POOR),
        row((CompressorNotPumping, Fixed, CompressorAmps), (-0.0026, 0.0), POOR),
    ]
};
