"""Asks CoolProp and PsychroLib about fresh random points and compares the program's answers.

    python tests/oracle.py target/debug/fairweather [SEED]

Prints the seed, so that a failure can be repeated, and the worst errors; exit 1 on excess.
Bounded: 560 saturation points (14 refrigerants) and 300 states of air in one call of the program.
"""

import json
import math
import os
import pathlib
import random
import subprocess
import sys

import psychrolib

sys.path.insert(0, str(pathlib.Path(__file__).parents[1] / "src" / "engine" / "refrigerant"))
sys.dont_write_bytecode = True
import make_tables  # noqa: E402

POINTS_A_REFRIGERANT = 40
AIR_STATES = 300
SATURATION_ERROR_F_MAX = 0.01
HUMIDITY_ERROR_MAX = 1e-4  # of the value
ENTHALPY_ERROR_BTU_LB_MAX = 1e-3
WET_BULB_ERROR_F_MAX = 0.02
CAPACITY_ERROR_MAX = 1e-4  # of the value
CONDENSATE_ERROR_MAX = 1e-4  # of the water, 1 lb/h at least
# Calls that the property library loses even by continuation, of all: none were seen.
LOST_SHARE_MAX = 0.01
COLDEST_F, WARMEST_F = -40.0, 150.0
RUN_SECONDS_MAX = 60


def document(identity, refrigerant, elevation, readings):
    return {
        "id": identity,
        "system": {
            "kind": "split_air_conditioner",
            "refrigerant": refrigerant,
            "metering": "thermostatic_expansion",
        },
        "site": {"elevation_ft": elevation},
        "as_found": readings,
    }


def saturation_points(chance):
    """Documents with both pressures, and the temperatures from which the pressures came."""
    documents, truths, lost = [], {}, 0
    for designation, fluid in make_tables.REFRIGERANTS:
        bubble = make_tables.SaturationLine(fluid, 0)
        dew = make_tables.SaturationLine(fluid, 1)
        for number in range(POINTS_A_REFRIGERANT):
            elevation = chance.uniform(0, 9000)
            barometric = psychrolib.GetStandardAtmPressure(elevation)
            truth, readings = {}, {}
            sides = [
                ("saturated_suction_f", "suction_pressure_psig", dew, -14, 550),
                ("saturated_liquid_f", "liquid_pressure_psig", bubble, 0, 700),
            ]
            for measure, point, line, low, high in sides:
                fahrenheit = chance.uniform(COLDEST_F, WARMEST_F)
                try:
                    pascals = line.pressure_pa(make_tables.kelvin(fahrenheit))
                except ValueError:
                    lost += 1
                    continue
                psig = pascals / make_tables.PASCAL_PER_PSI - barometric
                if low <= psig <= high:
                    truth[measure], readings[point] = fahrenheit, psig
            identity = f"{designation} {number}"
            documents.append(document(identity, designation, elevation, readings))
            truths[identity] = truth
    return documents, truths, lost


def air_states(chance):
    documents, truths = [], {}
    for number in range(AIR_STATES):
        dry = chance.uniform(50, 105)
        # Clear of 32 degF, where two wet bulbs can belong to one humidity.
        wet = chance.uniform(max(34.0, dry - 30), min(dry, 89.0))
        elevation = chance.uniform(0, 9000)
        pressure = psychrolib.GetStandardAtmPressure(elevation)
        ratio = psychrolib.GetHumRatioFromTWetBulb(dry, wet, pressure)
        if ratio < 1e-4:
            continue
        identity = f"air {number}"
        readings = {"return_db_f": dry, "return_wb_f": wet}
        truth = {
            "return_humidity_ratio": ratio,
            "return_enthalpy_btu_lb": psychrolib.GetMoistAirEnthalpy(dry, ratio),
        }
        # Every other state is given by its humidity, which the wet bulb is worked out from.
        relative = 100 * psychrolib.GetRelHumFromHumRatio(dry, ratio, pressure)
        if number % 2 == 0 and 2 <= relative <= 100:
            readings = {"return_db_f": dry, "return_rh_pct": relative}
            truth["return_wet_bulb_f"] = wet
        truth.update(air_over_a_coil(chance, (dry, ratio, pressure), readings))
        documents.append(document(identity, "R-410A", elevation, readings))
        truths[identity] = truth
    return documents, truths


def air_over_a_coil(chance, before, readings):
    """Adds supply air and an airflow to the readings; what that takes out of the air."""
    dry, ratio, pressure = before
    cold = dry - chance.uniform(8, 25)
    damp = cold - chance.uniform(0.1, 3)
    if not 34 < damp:
        return {}
    flow = chance.uniform(300, 2400)
    after = psychrolib.GetHumRatioFromTWetBulb(cold, damp, pressure)
    mass = 60 * flow / psychrolib.GetMoistAirVolume(dry, ratio, pressure)
    fall = psychrolib.GetMoistAirEnthalpy(dry, ratio) - psychrolib.GetMoistAirEnthalpy(cold, after)
    if fall < 2:
        return {}
    readings.update({"supply_db_f": cold, "supply_wb_f": damp, "airflow_cfm": flow})
    return {"total_capacity_btuh": mass * fall, "condensate_lb_h": mass * (ratio - after)}


def answers(program, documents):
    run = subprocess.run(
        [program, "assess", "-", "--no-causes"],
        input=json.dumps(documents),
        capture_output=True,
        text=True,
        timeout=RUN_SECONDS_MAX,
        check=False,
    )
    if run.returncode != 0:
        sys.exit(f"{program} ended with {run.returncode}: {run.stderr}")
    return {
        it["id"]: {row["measure"]: row["value"] for row in it["as_found"]["measures"]}
        for it in json.loads(run.stdout)
    }


def main():
    if len(sys.argv) not in (2, 3):
        sys.exit(__doc__)
    seed = int(sys.argv[2]) if len(sys.argv) == 3 else int.from_bytes(os.urandom(4))
    print(f"oracle: seed {seed}")
    psychrolib.SetUnitSystem(psychrolib.IP)
    chance = random.Random(seed)
    documents, truths, lost = saturation_points(chance)
    air_documents, air_truths = air_states(chance)
    truths.update(air_truths)
    given = answers(sys.argv[1], documents + air_documents)

    worst, compared, faults = {}, {}, []
    limits = {
        "saturated_suction_f": (SATURATION_ERROR_F_MAX, lambda truth: 1.0),
        "saturated_liquid_f": (SATURATION_ERROR_F_MAX, lambda truth: 1.0),
        "return_humidity_ratio": (HUMIDITY_ERROR_MAX, lambda truth: truth),
        "return_enthalpy_btu_lb": (ENTHALPY_ERROR_BTU_LB_MAX, lambda truth: 1.0),
        "return_wet_bulb_f": (WET_BULB_ERROR_F_MAX, lambda truth: 1.0),
        "total_capacity_btuh": (CAPACITY_ERROR_MAX, lambda truth: truth),
        "condensate_lb_h": (CONDENSATE_ERROR_MAX, lambda truth: max(abs(truth), 1.0)),
    }
    for identity, truth in truths.items():
        for measure, expected in truth.items():
            limit, unit = limits[measure]
            value = given.get(identity, {}).get(measure)
            if value is None:
                faults.append(f"{identity}: {measure} is absent, {expected} expected")
                continue
            error = abs(value - expected) / unit(expected)
            compared[measure] = compared.get(measure, 0) + 1
            worst[measure] = max(worst.get(measure, 0.0), error)
            if not error <= limit or math.isnan(error):
                faults.append(f"{identity}: {measure} {value}, {expected} expected")
    for measure, (limit, _) in limits.items():
        number = compared.get(measure, 0)
        print(f"oracle: {measure}: worst {worst.get(measure, 0.0):.2e} of {limit:g}, {number} points")
        if number < 80:
            faults.append(f"{measure}: only {number} points were compared")
    asked = 2 * POINTS_A_REFRIGERANT * len(make_tables.REFRIGERANTS)
    print(f"oracle: {lost} of {asked} calls lost by the property library")
    if lost > LOST_SHARE_MAX * asked:
        faults.append(f"{lost} of {asked} calls were lost")
    print("\n".join(faults[:20]) if faults else "oracle: all within their limits")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
