//! Random visits to random systems, with readings around their limits, from a fixed seed.

use std::collections::BTreeSet;

use fairweather::engine::air::{barometric_pressure, warmest_dry_bulb};
use fairweather::engine::case::{
    AirflowRow, BlowerKind, Cabinet, Case, Circumstance, CoilReference, FilterLocation, LiquidPort,
    Metering, RatedVolts, Readings, RunningStage, SystemFacts, SystemKind,
};
use fairweather::engine::limits::{LIMITS, LimitBook};
use fairweather::engine::points::PointKey;
use fairweather::engine::refrigerant::designations;
use fairweather::units::{Fahrenheit, Feet};
use rand::rngs::StdRng;
use rand::seq::IndexedRandom;
use rand::{Rng, SeedableRng};

use super::pressures::{Line, pressure};

/// One visit, the book that it is judged by, and what was typed that can't be.
pub struct Drawn {
    pub case: Case,
    pub book: LimitBook,
    /// Readings as found that no document takes, which only the phone sees.
    pub refused: Readings,
}

/// So many visits, always the same.
pub fn drawn(count: usize) -> Vec<Drawn> {
    let mut dice = Dice(StdRng::seed_from_u64(20_260_514));
    (0..count).map(|_| dice.visit()).collect()
}

struct Dice(StdRng);

impl Dice {
    fn chance(&mut self, share: f64) -> bool {
        self.0.random_bool(share)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0.random_range(low..=high)
    }

    /// A number as a meter shows it.
    fn shown(&mut self, low: f64, high: f64, decimals: i32) -> f64 {
        rounded(self.between(low, high), decimals)
    }

    fn one_of<T: Copy>(&mut self, of: &[T]) -> T {
        *of.choose(&mut self.0).expect("something to choose from")
    }

    fn maybe<T: Copy>(&mut self, share: f64, of: &[T]) -> Option<T> {
        self.chance(share).then(|| self.one_of(of))
    }

    fn visit(&mut self) -> Drawn {
        let mut case = Case { system: self.system(), ..Case::default() };
        case.site.elevation_ft = self.maybe(0.9, &[0.0, 300.0, 2_500.0, 5_280.0, 9_000.0]);
        case.as_found = self.readings(&case);
        self.spoil(&mut case.as_found);
        self.nearly_spoil(&mut case);
        self.drop_some(&mut case.as_found);
        if self.chance(0.3) {
            self.choose_instruments(&mut case);
        }
        if self.chance(0.5) {
            self.read_again(&mut case);
        }
        self.circumstances(&mut case);
        let refused: &[(PointKey, f64)] = &[
            (PointKey::ReturnWbF, 140.0),
            (PointKey::SuctionPressurePsig, -20.0),
            (PointKey::StaticReturnInwc, 0.8),
            (PointKey::CapacitorFanUf, 500.0),
        ];
        let refused = self.maybe(0.1, refused).into_iter().collect::<Readings>();
        case.as_found.retain(|key, _| !refused.contains_key(key));
        case.unchanged.retain(|key| !refused.contains_key(key));
        Drawn { book: self.book(), case, refused }
    }

    fn system(&mut self) -> SystemFacts {
        let refrigerants: Vec<&str> = designations().collect();
        let often = ["R-410A", "R-22", "R-454B", "R-32"];
        let from: &[&str] = if self.chance(0.6) { &often } else { &refrigerants };
        let tolerance = self.maybe(0.6, &[5.0, 6.0, 10.0]);
        let rated = self.maybe(0.85, &[30.0, 35.0, 45.0, 55.0]);
        let mut facts = SystemFacts {
            kind: self.one_of(SystemKind::ALL),
            cabinet: self.maybe(0.9, Cabinet::ALL),
            filter_location: self.maybe(0.9, FilterLocation::ALL),
            refrigerant: self.one_of(from).to_owned(),
            metering: self.one_of(Metering::ALL),
            liquid_port: self.maybe(0.2, LiquidPort::ALL),
            compressor_stages: self.maybe(0.3, &[1, 2]),
            running_stage: self.maybe(0.08, RunningStage::ALL),
            blower_kind: self.maybe(0.7, BlowerKind::ALL),
            nominal_tons: self.maybe(0.85, &[1.5, 2.0, 3.0, 5.0]),
            rated_capacity_btuh: self.maybe(0.6, &[18_000.0, 24_000.0, 36_000.0]),
            rated_eer: self.maybe(0.6, &[9.0, 11.7]),
            seer: self.maybe(0.7, &[10.0, 13.0, 14.0, 16.0, 21.0]),
            target_subcooling_f: self.maybe(0.8, &[6.0, 8.0, 10.0, 12.0]),
            target_approach_f: self.maybe(0.3, &[5.0, 8.0, 11.0]),
            max_external_static_inwc: self.maybe(0.85, &[0.3, 0.5, 0.8]),
            design_airflow_cfm_per_ton: self.maybe(0.3, &[350.0, 400.0]),
            volts_outdoor_rated: self.maybe(0.9, RatedVolts::ALL),
            volts_indoor_rated: self.maybe(0.8, RatedVolts::ALL),
            phases: self.maybe(0.9, &[1, 3]),
            compressor_rla: self.maybe(0.85, &[9.6, 10.9, 17.3]),
            condenser_fan_fla: self.maybe(0.85, &[0.8, 1.2]),
            blower_fla: self.maybe(0.85, &[2.8, 4.1]),
            minimum_circuit_amps: self.maybe(0.6, &[14.5, 20.0]),
            maximum_overcurrent_amps: self.maybe(0.6, &[25.0, 35.0]),
            breaker_amps: self.maybe(0.7, &[14.5, 20.0, 25.0, 30.0, 40.0]),
            capacitor_compressor_rated_uf: rated,
            capacitor_fan_rated_uf: self.maybe(0.85, &[5.0, 7.5]),
            capacitor_blower_rated_uf: self.maybe(0.6, &[7.5, 10.0]),
            capacitor_compressor_required_uf: self.maybe(0.3, &[35.0, 40.0, 45.0]),
            capacitor_fan_required_uf: self.maybe(0.3, &[5.0, 7.5]),
            capacitor_blower_required_uf: self.maybe(0.3, &[7.5, 10.0]),
            capacitor_tolerance_pct: tolerance,
            ..SystemFacts::default()
        };
        if self.chance(0.25) {
            let row = |static_inwc, cfm| AirflowRow { tap: "med".to_owned(), static_inwc, cfm };
            facts.airflow_table = Some(vec![row(0.2, 1_200.0), row(0.5, 1_000.0), row(0.9, 700.0)]);
            facts.blower_tap = self.maybe(0.5, &["med", "high"]).map(str::to_owned);
        }
        facts.coil_reference = self
            .maybe(0.2, &[0.15, 0.3])
            .map(|drop| CoilReference { cfm: 1_000.0, drop_wet_inwc: drop });
        facts
    }

    fn readings(&mut self, case: &Case) -> Readings {
        let mut readings = self.air();
        readings.extend(self.gauges(case, &readings));
        readings.extend(self.meters(&case.system));
        readings
    }

    fn air(&mut self) -> Readings {
        use PointKey as Key;
        let outdoor =
            if self.chance(0.12) { self.shown(42.0, 57.0, 1) } else { self.shown(68.0, 104.0, 1) };
        let indoors =
            if self.chance(0.15) { self.shown(62.0, 90.0, 1) } else { self.shown(71.0, 82.0, 1) };
        let settled =
            if self.chance(0.12) { self.shown(5.0, 16.0, 0) } else { self.shown(15.0, 40.0, 0) };
        let wet = rounded(indoors - self.between(4.0, 22.0), 1);
        let mut readings = Readings::from([
            (Key::OutdoorDbF, outdoor),
            (Key::ReturnDbF, indoors),
            (Key::SupplyDbF, rounded(indoors - self.between(12.0, 26.0), 1)),
            (Key::SettledMin, settled),
            (Key::RoomDifferenceF, self.shown(0.0, 11.0, 1)),
            (Key::ThermostatReadingF, rounded(indoors + self.between(-4.0, 4.0), 1)),
            (Key::ThermostatBesideF, indoors),
            (Key::AmbientCoPpm, if self.chance(0.5) { 0.0 } else { self.shown(0.0, 20.0, 0) }),
            (Key::StaticReturnInwc, self.shown(-0.25, -0.03, 2)),
            (Key::StaticAfterFilterInwc, self.shown(-0.4, -0.1, 2)),
            (Key::StaticBlowerInletInwc, self.shown(-0.5, -0.1, 2)),
            (Key::StaticBeforeCoilInwc, self.shown(0.15, 0.6, 2)),
            (Key::StaticAfterCoilInwc, self.shown(0.02, 0.3, 2)),
        ]);
        readings
            .insert(Key::SupplyWbF, rounded(readings[&Key::SupplyDbF] - self.between(0.5, 5.0), 1));
        if self.chance(0.8) {
            readings.insert(Key::ReturnWbF, wet.max(33.0));
        } else if self.chance(0.7) {
            readings.insert(Key::ReturnRhPct, self.shown(30.0, 70.0, 0));
        }
        if self.chance(0.35) {
            readings.insert(Key::AirflowCfm, self.shown(500.0, 1_500.0, 0));
        }
        if self.chance(0.3) {
            readings.insert(Key::BlowerWatts, self.shown(200.0, 800.0, 0));
        }
        if self.chance(0.15) {
            readings.insert(Key::StripHeatAmps, self.shown(0.0, 1.5, 1));
        }
        readings
    }

    fn gauges(&mut self, case: &Case, air: &Readings) -> Readings {
        use PointKey as Key;
        let (outdoor, indoors) = (air[&Key::OutdoorDbF], air[&Key::ReturnDbF]);
        // Now and then somebody writes down the wrong refrigerant.
        let inside = if self.chance(0.04) { "R-22" } else { &case.system.refrigerant };
        let barometric =
            barometric_pressure(Feet(case.site.elevation_ft.unwrap_or(0.0))).expect("air");
        let gauge =
            |line: Line, at: f64| rounded(pressure(inside, line, at) - barometric.number(), 1);
        let boils = (indoors - self.between(18.0, 55.0)).clamp(10.0, 70.0);
        let condenses = outdoor + self.between(5.0, 36.0);
        let suction = gauge(Line::Dew, boils);
        let liquid = gauge(Line::Bubble, condenses);
        let (into, out) =
            (rounded(condenses - self.between(0.0, 18.0), 1), self.between(-0.5, 6.0));
        let mut readings = Readings::from([
            (Key::SuctionPressurePsig, suction),
            (Key::LiquidPressurePsig, liquid),
            (Key::SuctionLineF, rounded(boils + self.between(-3.0, 30.0), 1)),
            (Key::LiquidLineF, into),
            (Key::DischargeLineF, rounded(condenses + self.between(2.0, 130.0), 1)),
            (Key::DrierInF, into),
            (Key::DrierOutF, rounded(into - out, 1)),
        ]);
        if self.chance(0.3) {
            readings.insert(
                Key::StandingPressurePsig,
                gauge(Line::Bubble, outdoor + self.between(-4.0, 8.0)),
            );
        }
        if self.chance(0.3) {
            readings.insert(Key::ReversingValveRiseF, self.shown(0.0, 9.0, 1));
        }
        readings
    }

    fn meters(&mut self, facts: &SystemFacts) -> Readings {
        use PointKey as Key;
        let outdoor = volts(facts.volts_outdoor_rated);
        let idle = rounded(outdoor * self.between(0.86, 1.14), 0);
        let running = rounded(idle * self.between(0.92, 1.0), 0);
        let around = |dice: &mut Self, plate: Option<f64>, low, high| {
            rounded(plate.unwrap_or(10.0) * dice.between(low, high), 2)
        };
        let mut readings = Readings::from([
            (Key::VoltsOutdoorIdle, idle),
            (
                Key::VoltsIndoor,
                rounded(volts(facts.volts_indoor_rated) * self.between(0.86, 1.14), 0),
            ),
            (Key::VoltsControl, self.shown(15.0, 33.0, 1)),
            (Key::ContactorDropMv, self.shown(20.0, 450.0, 0)),
            (Key::CompressorAmps, around(self, facts.compressor_rla, 0.6, 1.15)),
            (Key::CondenserFanAmps, around(self, facts.condenser_fan_fla, 0.6, 1.3)),
            (Key::BlowerAmps, around(self, facts.blower_fla, 0.6, 1.2)),
            (Key::UnitSlopeSideInPerFt, self.shown(0.0, 0.6, 2)),
            (Key::UnitSlopeFrontInPerFt, self.shown(0.0, 0.6, 2)),
        ]);
        for (key, rated) in [
            (Key::CapacitorCompressorUf, facts.capacitor_compressor_rated_uf),
            (Key::CapacitorFanUf, facts.capacitor_fan_rated_uf),
            (Key::CapacitorBlowerUf, facts.capacitor_blower_rated_uf),
        ] {
            if self.chance(0.8) {
                readings.insert(key, around(self, rated, 0.82, 1.12));
            }
        }
        if self.chance(0.7) {
            readings.insert(Key::VoltsOutdoorRunning, running);
        }
        if facts.phases == Some(3) || self.chance(0.05) {
            for key in [Key::VoltsL1L2, Key::VoltsL2L3, Key::VoltsL3L1] {
                readings.insert(key, rounded(running + self.between(-0.02, 0.02) * outdoor, 0));
            }
            for key in [Key::CompressorAmpsL1, Key::CompressorAmpsL2, Key::CompressorAmpsL3] {
                readings.insert(key, around(self, facts.compressor_rla, 0.7, 1.1));
            }
        }
        if self.chance(0.4) {
            readings.insert(Key::StartWindingAmps, self.shown(3.0, 6.0, 1));
            readings.insert(Key::CapacitorRunningVolts, self.shown(280.0, 390.0, 0));
        }
        readings
    }

    /// Slips that make a reading impossible.
    fn spoil(&mut self, readings: &mut Readings) {
        use PointKey as Key;
        if self.chance(0.07) {
            let above = readings[&Key::ReturnDbF] + self.shown(0.1, 6.0, 1);
            readings.insert(Key::ReturnWbF, rounded(above, 1).min(90.0));
        }
        if self.chance(0.05) {
            readings.insert(Key::SupplyWbF, self.shown(20.0, 45.0, 1));
        }
        if self.chance(0.05) {
            readings.insert(Key::ReturnWbF, self.shown(33.0, 50.0, 1));
        }
        if self.chance(0.12) {
            let key = self.one_of(&[
                Key::StaticReturnInwc,
                Key::StaticAfterFilterInwc,
                Key::StaticBlowerInletInwc,
                Key::StaticBeforeCoilInwc,
                Key::StaticAfterCoilInwc,
            ]);
            let turned = -readings[&key];
            let most = self.one_of(&[0.5, 0.03, 0.02, 0.01]);
            readings.insert(key, turned.clamp(-most, most));
        }
        if self.chance(0.05) {
            let (suction, liquid) =
                (readings[&Key::SuctionPressurePsig], readings[&Key::LiquidPressurePsig]);
            readings.insert(Key::SuctionPressurePsig, liquid.min(550.0));
            readings.insert(Key::LiquidPressurePsig, suction.max(0.0));
        }
    }

    /// Slips that only the engine can tell, by other readings or to a hair.
    fn nearly_spoil(&mut self, case: &mut Case) {
        use PointKey as Key;
        if self.chance(0.03) {
            let typed_in_celsius = (case.as_found[&Key::SuctionLineF] - 32.0) / 1.8;
            case.as_found.insert(Key::SuctionLineF, rounded(typed_in_celsius, 1));
        }
        if self.chance(0.03) {
            let elevation = Feet(case.site.elevation_ft.unwrap_or(0.0));
            let wet = self.shown(44.0, 50.0, 1);
            let barometric = barometric_pressure(elevation).expect("air");
            let warmest = warmest_dry_bulb(Fahrenheit(wet), barometric).expect("air").number();
            case.as_found.insert(Key::ReturnWbF, wet);
            case.as_found.insert(Key::ReturnDbF, warmest + self.between(-2e-4, 2e-4));
        }
    }

    fn drop_some(&mut self, readings: &mut Readings) {
        let share = self.one_of(&[0.0, 0.03, 0.03, 0.1, 0.5]);
        readings.retain(|key, value| key.point().accepts(*value) && !self.chance(share));
    }

    fn choose_instruments(&mut self, case: &mut Case) {
        for key in PointKey::ALL {
            if self.chance(0.3) {
                let usual =
                    key.point().default_u.at(case.as_found.get(key).copied().unwrap_or(1.0));
                let u = usual * self.one_of(&[0.0, 0.25, 0.5, 1.0, 2.0, 5.0]);
                case.instruments.insert(*key, u);
            }
        }
    }

    fn read_again(&mut self, case: &mut Case) {
        let mut again = self.readings(case);
        self.spoil(&mut again);
        let share = self.one_of(&[0.2, 0.5, 0.9]);
        again.retain(|key, value| key.point().accepts(*value) && !self.chance(share));
        let rest = case.as_found.keys().filter(|it| !again.contains_key(it)).copied();
        let rest: Vec<PointKey> = rest.collect();
        case.unchanged = rest.into_iter().filter(|_| self.chance(0.5)).collect();
        case.as_left = again;
    }

    /// What spoils readings: circumstances, repairs that are waited for, time between readings.
    fn circumstances(&mut self, case: &mut Case) {
        for of in [&mut case.circumstances.as_found, &mut case.circumstances.as_left] {
            *of = self.maybe(0.2, Circumstance::ALL).into_iter().collect();
        }
        for of in [&mut case.read_after_repair.as_found, &mut case.read_after_repair.as_left] {
            let any: BTreeSet<PointKey> = (0..2).map(|_| self.one_of(PointKey::ALL)).collect();
            *of = if self.chance(0.25) { any } else { BTreeSet::new() };
        }
        if self.chance(0.6) {
            let longest = self.one_of(&[5.0, 14.0, 16.0, 40.0]);
            for (readings, minutes) in [
                (&case.as_found, &mut case.taken_min.as_found),
                (&case.as_left, &mut case.taken_min.as_left),
            ] {
                *minutes = readings.keys().map(|it| (*it, self.between(0.0, longest))).collect();
            }
        }
    }

    fn book(&mut self) -> LimitBook {
        let mut book = LimitBook::default();
        for definition in LIMITS {
            if self.chance(0.05) {
                let value = self.between(definition.low, definition.high);
                book = book.changed(definition.name, value, "changed").expect("within its range");
            }
        }
        book
    }
}

fn volts(rated: Option<RatedVolts>) -> f64 {
    match rated {
        Some(RatedVolts::V115) => 115.0,
        Some(RatedVolts::V120) => 120.0,
        Some(RatedVolts::V208) => 208.0,
        Some(RatedVolts::V460) => 460.0,
        _ => 230.0,
    }
}

fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    (value * scale).round() / scale
}
