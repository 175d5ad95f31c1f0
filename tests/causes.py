#!/usr/bin/env python3
"""The simulated faults as visits with a known truth, for `fairweather score`.

    python3 tests/causes.py documents SET [REPEATS]   prints the documents of one set
    python3 tests/causes.py table BINARY [REPEATS]    scores every set and prints the table of the README

The readings are those of tests/published/simulated_faults_r410a_3ton.csv (an open simulation of a
three-ton R-410A split system) with the errors of instruments added, from a fixed seed. Sets:

    code        instruments of a state energy code's minimum, plate with target subcooling
    no_plate    the same without the plate's target subcooling
    airflow     the same with the airflow measured
    good        good digital instruments
    history     code-minimum instruments, three earlier healthy visits of the same system
    good_history  good digital instruments and three earlier healthy visits
    pairs       two faults at once, their residuals added, code-minimum instruments
    development, test  the set `code` by operating condition: 28 degC outdoors with 26.67 indoors and
                35 with 23.3; the other two

Only the standard library is used.
"""

import csv
import json
import math
import pathlib
import random
import subprocess
import sys

HERE = pathlib.Path(__file__).parent
ROWS = list(csv.DictReader((HERE / "published/simulated_faults_r410a_3ton.csv").open()))

CAUSES = {
    "none": "no_fault",
    "undercharge": "low_charge",
    "overcharge": "excess_charge",
    "low_indoor_airflow": "low_indoor_airflow",
    "low_outdoor_airflow": "low_outdoor_airflow",
    "liquid_line_restriction": "feed_restriction",
    "meter_underfeed": "feed_restriction",
    "meter_overfeed": "overfeeding_metering",
    "noncondensables": "non_condensables",
    "valve_leak": "compressor_not_pumping",
}
ORDER = list(dict.fromkeys(CAUSES.values()))
OPPOSITES = [{"low_charge", "excess_charge"}, {"feed_restriction", "overfeeding_metering"}]
DEVELOPMENT = {("28", "26.67"), ("35", "23.3")}

# Wet bulb by the indoor states of the simulation, degF: HAPropsSI of CoolProp 8.0.0 at 101325 Pa.
WET_BULB_F = {("23.3", "0.5"): 61.676, ("26.67", "0.507"): 66.878}

# Standard uncertainties. Code minimum: a thermometer of 1.3 degF and 0.1 %, gauges of 3.5 and 7 psi
# (California RA3.2.2.2.2), as likely anywhere within: over the root of three. Good digital: 1 and
# 2.5 psi, 0.9 degF. Condenser discharge air is uneven: judgement, no source.
INSTRUMENTS = {
    "code": {"temperature": 0.81, "suction": 2.02, "liquid": 4.04, "leaving": 1.8, "flow": 0.07},
    "good": {"temperature": 0.5, "suction": 0.6, "liquid": 1.4, "leaving": 1.2, "flow": 0.05},
}
PSI_PER_KPA = 0.145037738
SYSTEM = {
    "kind": "split_air_conditioner",
    "refrigerant": "R-410A",
    "liquid_port": "liquid",
    "nominal_tons": 3.0,
    "seer": 14,
    "target_subcooling_f": 12.0,
}


def fahrenheit(celsius):
    return float(celsius) * 1.8 + 32.0


def readings_of(row):
    """What perfect instruments would show."""
    gauge = lambda key: float(row[key]) * PSI_PER_KPA - 14.696
    return {
        "outdoor_db_f": fahrenheit(row["Tod"]),
        "return_db_f": fahrenheit(row["Tid"]),
        "return_wb_f": WET_BULB_F[row["Tid"], row["RHid"]],
        "supply_db_f": fahrenheit(row["Tair_evap_out"]),
        "suction_pressure_psig": gauge("Psuc_kPa"),
        "liquid_pressure_psig": gauge("Pliq_kPa"),
        "suction_line_f": fahrenheit(row["Tsuc_line"]),
        "liquid_line_f": fahrenheit(row["Tliq_line"]),
        "discharge_line_f": fahrenheit(row["Tdis"]),
        "condenser_leaving_f": fahrenheit(row["Tair_cond_out"]),
    }


def airflow_of(row):
    """Airflow that the simulated capacity and split belong to, cfm."""
    sensible_w = float(row["Q"]) * float(row["SHR"])
    split_f = float(row["split"]) * 1.8
    return sensible_w * 3.412142 / (1.08 * split_f)


def u_of(point, value, kind):
    u = INSTRUMENTS[kind]
    if point == "airflow_cfm":
        return u["flow"] * value
    special = {
        "suction_pressure_psig": u["suction"],
        "liquid_pressure_psig": u["liquid"],
        "condenser_leaving_f": u["leaving"],
    }
    return special.get(point, u["temperature"])


def visit(readings, metering, kind, lots):
    """A document of readings, with errors."""
    instruments = {point: u_of(point, value, kind) for point, value in readings.items()}
    noisy = {point: lots.gauss(value, instruments[point]) for point, value in readings.items()}
    noisy["settled_min"] = 20
    return {
        "system": {**SYSTEM, "metering": metering},
        "site": {"elevation_ft": 0},
        "instruments": instruments,
        "as_found": noisy,
    }


def metering_of(row):
    return "thermostatic_expansion" if row["device"] == "txv" else "fixed_orifice"


def severity_of(row):
    """Severity as documents state it, where the simulation states it."""
    level = float(row["level"])
    share = lambda of: 100.0 * (of - 1.0)
    return {
        "undercharge": lambda: share(level),
        "overcharge": lambda: share(level),
        "low_indoor_airflow": lambda: share(level),
        "low_outdoor_airflow": lambda: share(level),
        "meter_overfeed": lambda: share(level),
        "noncondensables": lambda: level / 1000 * PSI_PER_KPA,
        "liquid_line_restriction": lambda: level / 1000 * PSI_PER_KPA,
        "valve_leak": lambda: -100.0 * level,
    }.get(row["fault"], lambda: None)()


def truth_of(row):
    capacity = 1.0 + float(row["d_Q"]) / 100.0
    truth = {
        "cause": CAUSES[row["fault"]],
        "capacity_ratio": capacity,
        "efficiency_ratio": capacity / (1.0 + float(row["d_Wcomp"]) / 100.0),
        "conditions": f"{row['device']} {row['Tod']}/{row['Tid']}",
    }
    severity = severity_of(row)
    return truth if severity is None else {**truth, "severity": severity}


def cost_of(row):
    truth = truth_of(row)
    return 100.0 * (1.0 - min(truth["capacity_ratio"], truth["efficiency_ratio"]))


def condition_of(row):
    return row["Tod"], row["Tid"]


def healthy_of(row):
    same = lambda it: it["device"] == row["device"] and condition_of(it) == condition_of(row)
    return next(it for it in ROWS if it["fault"] == "none" and same(it))


def singles(rows, kind, repeats, *, plate=True, airflow=False, history=0, seed=1):
    lots = random.Random(seed)
    for repeat in range(repeats):
        for index, row in enumerate(rows):
            readings = readings_of(row)
            if airflow:
                readings["airflow_cfm"] = airflow_of(row)
            document = visit(readings, metering_of(row), kind, lots)
            document["id"] = f"{row['device']} {row['fault']} {row['level']} {index}/{repeat}"
            if not plate:
                del document["system"]["target_subcooling_f"]
            if history:
                healthy = [it for it in ROWS if it["fault"] == "none" and it["device"] == row["device"]]
                # Other days than this one: a system's past is of other weather.
                others = [it for it in healthy if condition_of(it) != condition_of(row)]
                earlier = [visit(readings_of(it), metering_of(it), kind, lots) for it in others[:history]]
                document["history"] = [{**it, "truth": {"cause": "no_fault"}} for it in earlier]
            document["truth"] = truth_of(row)
            yield document


def saturation_f(psig, quality):
    """Saturation of R-410A from the table of the tests, degF; 0 liquid, 1 gas."""
    column = "bubble" if quality == 0 else "dew"
    table = SATURATION[column]
    psia = psig + 14.696
    for (low, at_low), (high, at_high) in zip(table, table[1:]):
        if low <= psia <= high:
            return at_low + (at_high - at_low) * math.log(psia / low) / math.log(high / low)
    raise ValueError(psig)


def read_saturation():
    lines = (HERE / "published/saturation_CoolProp_COMPUTED.csv").read_text().splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    found = {"bubble": [], "dew": []}
    for row in rows:
        if row["refrigerant"] == "R-410A":
            found["bubble"].append((float(row["bubble_psia"]), float(row["temp_F"])))
            found["dew"].append((float(row["dew_psia"]), float(row["temp_F"])))
    return {key: sorted(value) for key, value in found.items()}


def pairs(kind, repeats, seed=5):
    """Two faults that cost 5 % or more each, their residuals added to the healthy readings."""
    lots = random.Random(seed)
    costly = [row for row in ROWS if row["fault"] != "none" and cost_of(row) >= 5]
    for repeat in range(repeats):
        for index, first in enumerate(costly):
            second = lots.choice([it for it in costly if may_join(first, it)])
            healthy = readings_of(healthy_of(first))
            one, other = readings_of(first), readings_of(second)
            readings = {key: one[key] + other[key] - healthy[key] for key in healthy}
            # Two phases side by side have one temperature: no superheat or subcooling below zero.
            suction = saturation_f(readings["suction_pressure_psig"], 1)
            liquid = saturation_f(readings["liquid_pressure_psig"], 0)
            readings["suction_line_f"] = max(readings["suction_line_f"], suction)
            readings["liquid_line_f"] = min(readings["liquid_line_f"], liquid)
            document = visit(readings, metering_of(first), kind, lots)
            document["id"] = f"pair {index}/{repeat}"
            causes = sorted((CAUSES[first["fault"]], CAUSES[second["fault"]]), key=ORDER.index)
            document["truth"] = {
                "cause": "+".join(causes),
                "conditions": f"{first['device']} {first['Tod']}/{first['Tid']}",
            }
            yield document


def may_join(first, second):
    causes = {CAUSES[first["fault"]], CAUSES[second["fault"]]}
    same = first["device"] == second["device"] and condition_of(first) == condition_of(second)
    return same and len(causes) == 2 and causes not in OPPOSITES


SETS = {
    "code": lambda n: singles(ROWS, "code", n),
    "development": lambda n: singles([r for r in ROWS if condition_of(r) in DEVELOPMENT], "code", n),
    "test": lambda n: singles([r for r in ROWS if condition_of(r) not in DEVELOPMENT], "code", n),
    "no_plate": lambda n: singles(ROWS, "code", n, plate=False),
    "airflow": lambda n: singles(ROWS, "code", n, airflow=True),
    "good": lambda n: singles(ROWS, "good", n),
    "history": lambda n: singles(ROWS, "code", n, history=3),
    "good_history": lambda n: singles(ROWS, "good", n, history=3),
    "pairs": lambda n: pairs("code", n),
}


def percent(share, with_range=False):
    """A share of the score for people, with its interval where asked for."""
    if share["share"] is None:
        return ""
    text = f"{100 * share['share']:.1f}"
    if with_range and share["interval"]:
        low, high = (100 * share["interval"][end] for end in ("low", "high"))
        text += f" ({low:.0f}-{high:.0f})"
    return text


def outcome_among_costly(score, outcome):
    """Share of an outcome among single faults that cost 5 % or more, over the bins of their cost."""
    bins = [it for it in score["by_impact"] if it["name"] in COSTLY]
    cases = sum(it["cases"] for it in bins)
    count = sum(o["count"] for it in bins for o in it["outcomes"] if o["outcome"] == outcome)
    return f"{100 * count / cases:.1f}" if cases else ""


COSTLY = ("costs 5 to 10 %", "costs 10 to 20 %", "costs over 20 %")


def table(program, repeats):
    """The table of the README: one line a set."""
    print("| set | false alarm | correct | misdiagnosed | missed | no response | log score |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for name, documents in SETS.items():
        text = json.dumps(list(documents(repeats)))
        run = subprocess.run(
            [program, "score", "-", "--json"], input=text, capture_output=True, text=True, check=True
        )
        score = json.loads(run.stdout)["score"]
        headline = score["headline"]
        log = score["probabilities"][-1]["log"]
        if name == "pairs":
            first, among = headline["pair_first"], headline["pair_among_three"]
            print(f"| pairs | | right pair first {percent(first)}, among three {percent(among, True)} | | | "
                  f"| {log:.2f} |")
            continue
        columns = [
            percent(headline["false_alarm"], True),
            percent(headline["correct"], True),
            outcome_among_costly(score, "misdiagnosis"),
            percent(headline["missed"], True),
            outcome_among_costly(score, "no_response"),
            f"{log:.2f}",
        ]
        print(f"| {name} | {' | '.join(columns)} |", flush=True)


def main():
    if len(sys.argv) < 3 or sys.argv[1] not in ("documents", "table"):
        sys.exit(__doc__)
    repeats = int(sys.argv[3]) if len(sys.argv) > 3 else 5
    if sys.argv[1] == "documents":
        json.dump(list(SETS[sys.argv[2]](repeats)), sys.stdout)
    else:
        table(sys.argv[2], repeats)


SATURATION = read_saturation()
if __name__ == "__main__":
    main()
