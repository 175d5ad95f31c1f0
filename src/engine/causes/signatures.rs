//! The signature table at work: what a severity of a cause does to the residuals of one system.

use super::gaussian::{COUNT, Vector};
use super::residuals::{self, Form, Residual};
use super::signature_table::{COURSES, Course, Device, Dose, Knee, SIGNATURES, Scale, Signature};
use super::{CAUSES, CauseName};

/// One row of the signature table as people read it.
#[derive(Clone, Debug, PartialEq)]
pub struct SignatureRow {
    /// The cause.
    pub cause: CauseName,
    /// Whether it is for expansion valves; else for orifices and capillaries.
    pub is_for_valves: bool,
    /// Key of the measure, or of the reading where no measure has it.
    pub measure: &'static str,
    /// By how much the measure moves for each unit of severity, and by how much more beyond the
    /// knee; of an airflow, for each share lost of what is left.
    pub slope: f64,
    /// The same beyond the knee.
    pub beyond: f64,
    /// What a slope is multiplied with, in words; empty for nothing.
    pub scale: &'static str,
    /// From which severity on the second slope comes on top, in words; empty where there is none.
    pub knee: String,
    /// Whether the measure moves by a share of itself; else in its own unit.
    pub is_share: bool,
    /// Standard uncertainty as a share of the slope.
    pub spread: f64,
    /// Where the numbers come from.
    pub source: &'static str,
}

/// Everything that causes are told by, row by row.
pub fn signature_rows() -> impl Iterator<Item = SignatureRow> {
    SIGNATURES.iter().map(|row| {
        let info = &residuals::ALL[row.residual as usize];
        SignatureRow {
            cause: row.cause,
            is_for_valves: row.device == Device::Valve,
            measure: info.measure,
            slope: row.slope,
            beyond: row.beyond,
            scale: match row.scale {
                Scale::One => "",
                Scale::Expected => "of what a healthy system shows",
                Scale::SaturationSlope => "of the saturation's rise for each psi",
            },
            knee: knee_words(row),
            is_share: info.form != Form::Difference,
            spread: row.spread,
            source: row.source,
        }
    })
}

fn knee_words(row: &Signature) -> String {
    let mut courses = COURSES.iter();
    let course = courses.find(|it| it.cause == row.cause && it.device == row.device);
    match course.map_or(Knee::None, |it| it.knee) {
        Knee::At(severity) => format!("beyond {severity} {}", row.cause.info().unit),
        Knee::WhereSubcoolingIsGone => "once no subcooling is left".to_owned(),
        Knee::None => String::new(),
    }
}

/// What a signature needs to know of a system and its day.
#[derive(Clone, Copy, Debug)]
pub(super) struct Setting {
    pub(super) device: Device,
    /// What a healthy system would show, one a residual.
    pub(super) expected: Vector,
    /// Pressure that drives the flow through the metering device, psi.
    pub(super) driving_psi: f64,
    /// Degrees of saturation for each psi at the liquid pressure.
    pub(super) saturation_slope: f64,
}

/// Pressure difference for which restrictions are tabulated: R-410A from 45 to 110 degF, psi.
const TABLED_DRIVING_PSI: f64 = 236.0;

impl Setting {
    /// The same for a system of which it is known what it shows when it is healthy.
    pub(super) fn around(mut self, centre: &Vector) -> Self {
        for info in residuals::ALL.iter().filter(|it| it.form == Form::Difference) {
            let place = info.residual as usize;
            self.expected[place] += centre[place];
        }
        self
    }
}

/// What a severity does: the shift of each residual, and how uncertain that is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shift {
    pub(super) mean: Vector,
    /// Squares of the standard uncertainties.
    pub(super) variance: Vector,
}

/// How one cause acts on one system.
pub(super) struct Action {
    pub(super) cause: CauseName,
    course: &'static Course,
    knee: f64,
    factor: f64,
    slopes: Vector,
    beyond: Vector,
    spread: Vector,
}

/// How each cause acts on this system, in the order of their names.
pub(super) fn actions(setting: &Setting) -> Vec<Action> {
    CAUSES.iter().filter_map(|it| Action::of(it.name, setting)).collect()
}

impl Action {
    fn of(cause: CauseName, setting: &Setting) -> Option<Self> {
        let is_of = |device, name| device == setting.device && name == cause;
        let course = COURSES.iter().find(|it| is_of(it.device, it.cause))?;
        let factor = match course.dose {
            Dose::OfDrivingPressure => TABLED_DRIVING_PSI / setting.driving_psi,
            Dose::Linear | Dose::LostShare => 1.0,
        };
        let mut action = Self {
            cause,
            course,
            knee: f64::INFINITY,
            factor,
            slopes: [0.0; COUNT],
            beyond: [0.0; COUNT],
            spread: [0.0; COUNT],
        };
        for row in SIGNATURES.iter().filter(|it| is_of(it.device, it.cause)) {
            action.add(row, setting);
        }
        action.knee = action.knee_at(setting);
        Some(action)
    }

    fn add(&mut self, row: &Signature, setting: &Setting) {
        let place = row.residual as usize;
        let scale = match row.scale {
            Scale::One => 1.0,
            Scale::Expected => setting.expected[place],
            Scale::SaturationSlope => setting.saturation_slope,
        };
        self.slopes[place] = row.slope * scale;
        self.beyond[place] = row.beyond * scale;
        self.spread[place] = row.spread;
    }

    fn knee_at(&self, setting: &Setting) -> f64 {
        let place = Residual::Subcooling as usize;
        match self.course.knee {
            Knee::None => f64::INFINITY,
            Knee::At(dose) => dose,
            Knee::WhereSubcoolingIsGone => setting.expected[place].max(0.0) / -self.slopes[place],
        }
    }

    /// What a severity does, before anything is bounded.
    fn at(&self, severity: f64) -> Shift {
        let dose = match self.course.dose {
            Dose::LostShare => severity / (100.0 - severity),
            Dose::Linear | Dose::OfDrivingPressure => severity,
        } * self.factor;
        let beyond = (dose - self.knee).max(0.0);
        let mut shift = Shift { mean: [0.0; COUNT], variance: [0.0; COUNT] };
        for place in 0..COUNT {
            let mean = self.slopes[place] * dose + self.beyond[place] * beyond;
            shift.mean[place] = mean;
            shift.variance[place] = (self.spread[place] * mean).powi(2);
        }
        shift
    }

    /// Severities that are weighed, nearer to each other where they are small and common.
    ///
    /// - reference: midpoint rule after the substitution of a power, so that no more points are
    ///   needed where a range reaches far
    pub(super) fn severities(&self, count: u8) -> impl Iterator<Item = Weighed> {
        let course = self.course;
        let (low, high) = (course.from / self.factor, course.to / self.factor);
        let scale = course.scale / self.factor;
        let at = move |share: f64| low + (high - low) * share.powf(BEND);
        let place = move |it: f64| {
            let (from, to) = (at(it / f64::from(count)), at((it + 1.0) / f64::from(count)));
            let severity = at((it + 0.5) / f64::from(count));
            (severity, to - from, (to - from) * (-severity / scale).exp())
        };
        let places = move || (0..count).map(move |it| place(f64::from(it)));
        let sum: f64 = places().map(|it| it.2).sum();
        places().map(move |(severity, step, weight)| Weighed {
            severity,
            share: weight / sum,
            // Within its step any is as likely.
            variance: step * step / 12.0,
        })
    }
}

/// One severity of a cause.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weighed {
    pub(super) severity: f64,
    /// Its share of what is believed beforehand.
    pub(super) share: f64,
    /// What is not known of it within its step.
    pub(super) variance: f64,
}

/// Power by which the severities are bent towards the small ones. A choice, no source.
const BEND: f64 = 1.6;

/// What one cause does at a severity.
pub(super) fn one(action: &Action, severity: f64, setting: &Setting) -> Shift {
    action.at(severity).bounded(setting)
}

/// What two causes do together: the sum, as far as nothing saturates.
pub(super) fn both(first: &Shift, second: &Shift, setting: &Setting) -> Shift {
    let mut sum = *first;
    for place in 0..COUNT {
        sum.mean[place] += second.mean[place];
        sum.variance[place] += second.variance[place];
    }
    sum.bounded(setting)
}

impl Shift {
    /// Neither superheat nor subcooling falls below nothing, by their definition at a port where
    /// liquid and gas stand side by side.
    fn bounded(mut self, setting: &Setting) -> Self {
        for residual in [Residual::Superheat, Residual::Subcooling] {
            let place = residual as usize;
            let least = -setting.expected[place].max(0.0);
            let mean = self.mean[place];
            if mean < least {
                // What can't go further is no surer for having gone that far, nor less sure.
                self.variance[place] *= (least / mean).powi(2);
                self.mean[place] = least;
            }
        }
        self
    }
}
