"""Measures how quick the engine is, with CoolProp's time for the same saturations in the same run:

    cargo build --release && target/tests/venv/bin/python tests/speed.py [SEED]

The bench of tests/bench.rs; CoolProp at the same refrigerants and pressures; and the command on an
array of 100,000 visits, reading and writing of JSON included. CoolProp's time includes its call from
Python, ours the search for the refrigerant. Machines are noisy: compare ratios.
"""

import json
import math
import os
import pathlib
import random
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time

import CoolProp.CoolProp as library

HOME = pathlib.Path(__file__).parents[1]
sys.path.insert(0, str(HOME / "src" / "engine" / "refrigerant"))
sys.dont_write_bytecode = True
import make_tables  # noqa: E402

VISITS = 100_000
PASCAL_A_PSI = 6894.757293168
REFRIGERANTS = ["R-22", "R-32", "R-134a", "R-407C", "R-410A", "R-454B"]
# As tests/bench.rs has them.
PRESSURES_PSIA = [80.0, 110.0, 135.0, 160.0, 210.0, 260.0, 315.0, 375.0]
ROUNDS = 25

SYSTEM = {
    "kind": "split_air_conditioner",
    "cabinet": "furnace_with_cased_coil", "filter_location": "outside_cabinet",
    "refrigerant": "R-410A", "metering": "thermostatic_expansion",
    "liquid_port": "liquid", "suction_port": "vapor",
    "compressor_stages": 1, "running_stage": "full", "blower_kind": "constant_torque",
    "nominal_tons": 2.0, "rated_capacity_btuh": 24000, "rated_eer": 11.7,
    "seer": 14, "seer2": None,
    "target_subcooling_f": 10.0, "target_approach_f": None, "superheat_chart": None,
    "max_external_static_inwc": 0.5, "design_airflow_cfm_per_ton": 400,
    "airflow_table": [{"tap": "med", "static_inwc": 0.5, "cfm": 820}], "blower_tap": "med",
    "coil_reference": {"cfm": 800, "drop_wet_inwc": 0.22},
    "volts_outdoor_rated": "208/230", "volts_indoor_rated": "115", "phases": 1,
    "compressor_rla": 10.9, "compressor_mcc": None, "condenser_fan_fla": 0.8, "blower_fla": 4.1,
    "minimum_circuit_amps": 14.5, "maximum_overcurrent_amps": 25, "breaker_amps": 25,
    "capacitor_compressor_rated_uf": 45, "capacitor_fan_rated_uf": 5,
    "capacitor_blower_rated_uf": 7.5, "capacitor_compressor_required_uf": 45,
    "capacitor_fan_required_uf": 5, "capacitor_tolerance_pct": 6, "line_set_ft": 25,
    "factory_charge_oz": 86,
}

# Key, usual value and how far it strays: a visit's forty-odd readings in the sheet's order.
READINGS = [
    ("room_difference_f", 2.0, 1.0, 1), ("thermostat_setting_f", 75.0, 1.0, 1),
    ("thermostat_reading_f", 75.5, 1.0, 1), ("ambient_co_ppm", 0.0, 0.0, 1),
    ("static_return_inwc", -0.10, 0.03, 3), ("static_after_filter_inwc", -0.16, 0.04, 3),
    ("static_before_coil_inwc", 0.25, 0.05, 3), ("static_after_coil_inwc", 0.06, 0.03, 3),
    ("volts_indoor", 119.0, 2.0, 1), ("volts_control", 26.0, 1.0, 1), ("blower_amps", 3.1, 0.3, 2),
    ("blower_watts", 310.0, 30.0, 0), ("capacitor_blower_uf", 7.4, 0.3, 2),
    ("volts_outdoor_idle", 243.0, 2.0, 1), ("volts_outdoor_running", 240.0, 2.0, 1),
    ("compressor_amps", 8.1, 0.7, 2), ("condenser_fan_amps", 0.7, 0.1, 2),
    ("capacitor_compressor_uf", 44.5, 1.5, 2), ("capacitor_fan_uf", 4.95, 0.2, 2),
    ("contactor_drop_mv", 60.0, 25.0, 1), ("settled_min", 20.0, 3.0, 0),
    ("outdoor_db_f", 88.0, 5.0, 1), ("return_db_f", 76.0, 1.5, 1), ("return_wb_f", 63.0, 1.5, 1),
    ("supply_db_f", 56.8, 1.0, 1), ("supply_wb_f", 54.5, 0.8, 1),
    ("return_grille_db_f", 75.4, 0.5, 1), ("supply_register_db_f", 58.5, 1.0, 1),
    ("suction_pressure_psig", 125.0, 6.0, 1), ("liquid_pressure_psig", 360.0, 12.0, 1),
    ("suction_line_f", 54.5, 3.0, 1), ("liquid_line_f", 98.5, 3.0, 1),
    ("drier_in_f", 98.0, 1.0, 1), ("drier_out_f", 97.6, 1.0, 1),
    ("discharge_line_f", 165.0, 8.0, 1), ("condenser_leaving_f", 104.0, 4.0, 1),
    ("unit_slope_side_in_per_ft", 0.05, 0.05, 2), ("unit_slope_front_in_per_ft", 0.05, 0.05, 2),
]
# What is read again when the filter is new and the coil is washed.
AGAIN = [
    "static_return_inwc", "static_after_filter_inwc", "static_before_coil_inwc",
    "static_after_coil_inwc", "settled_min", "outdoor_db_f", "return_db_f", "return_wb_f",
    "supply_db_f", "suction_pressure_psig", "liquid_pressure_psig", "suction_line_f",
    "liquid_line_f",
]


def reading(chance, usual, stray, digits):
    return round(usual + chance.uniform(-stray, stray), digits)


def visit(chance, number, is_read_again):
    found = {key: reading(chance, usual, stray, digits) for key, usual, stray, digits in READINGS}
    again = [it for it in READINGS if it[0] in AGAIN and is_read_again]
    left = {key: reading(chance, usual, stray, digits) for key, usual, stray, digits in again}
    minutes = {key: float(5 + index) for index, key in enumerate(found)}
    return {
        "id": f"visit {number}", "mode": "cooling", "system": SYSTEM,
        "site": {"elevation_ft": 300}, "instruments": {"suction_pressure_psig": 1.0},
        "as_found": found, "as_left": left, "taken_min": {"as_found": minutes},
        "circumstances": {"as_found": []}, "history": [], "priors": None,
    }


def write_visits(path, chance, is_read_again):
    size = 0
    with open(path, "w", encoding="utf-8") as out:
        out.write("[")
        for number in range(VISITS):
            text = json.dumps(visit(chance, number, is_read_again))
            size += len(text)
            out.write((",\n" if number else "\n") + text)
        out.write("\n]\n")
    example = visit(chance, 0, is_read_again)
    print(f"a visit: {len(example['as_found'])} readings as found, "
          f"{len(example['as_left'])} as left, {size / VISITS:.0f} bytes of JSON")


def run_command(program, path, one_core, has_causes):
    """CPU and wall seconds of the command on the visits, and the bytes it wrote."""
    flags = [] if has_causes else ["--no-causes"]

    def stay():
        if one_core:
            os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    began = time.perf_counter()
    with subprocess.Popen([program, "assess", path, *flags], stdout=subprocess.PIPE,
                          preexec_fn=stay, pipesize=1 << 20) as process:
        size = 0
        while piece := process.stdout.read1(1 << 20):
            size += len(piece)
    wall = time.perf_counter() - began
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    assert process.returncode == 0, process.returncode
    user, system = after.ru_utime - before.ru_utime, after.ru_stime - before.ru_stime
    return user, system, wall, size


def print_command(program, chance):
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "visits.json")
        for name, one_core, is_read_again, has_causes in [
            ("--no-causes, one core", True, True, False),
            ("--no-causes, all cores", False, True, False),
            ("--no-causes, as found alone, one core", True, False, False),
            ("as found alone, one core", True, False, True),
            ("one core", True, True, True),
        ]:
            write_visits(path, chance, is_read_again)
            user, system, wall, size = run_command(program, path, one_core, has_causes)
            spent = (user + system) / VISITS
            print(f"assess, {VISITS:,} visits, {name}: {spent * 1e6:.1f} µs of CPU "
                  f"a visit ({user / VISITS * 1e6:.1f} user, {system / VISITS * 1e6:.1f} system), "
                  f"{1 / spent:,.0f} visits/s a core, {VISITS / wall:,.0f} visits/s by the wall "
                  f"clock, {size / VISITS:,.0f} bytes out a visit")


def coolprop_ns():
    """Median time of one saturation by CoolProp's low-level interface, by refrigerant."""
    fluids = dict(make_tables.REFRIGERANTS)
    took, lost = {}, 0
    for designation in REFRIGERANTS:
        state = library.AbstractState("HEOS", fluids[designation])
        rounds = []
        for _ in range(ROUNDS):
            began = time.perf_counter_ns()
            for psia in PRESSURES_PSIA:
                try:
                    state.update(library.PQ_INPUTS, psia * PASCAL_A_PSI, 1.0)
                except ValueError:
                    lost += 1
            rounds.append((time.perf_counter_ns() - began) / len(PRESSURES_PSIA))
        took[designation] = statistics.median(rounds)
    return took, lost / (ROUNDS * len(PRESSURES_PSIA) * len(REFRIGERANTS))


def bench():
    """Medians in nanoseconds by name, from what the bench prints."""
    text = subprocess.run(["cargo", "bench", "--quiet", "--bench", "bench"], cwd=HOME, check=True,
                          capture_output=True, text=True).stdout
    print(text)
    units = {"ns": 1.0, "µs": 1e3, "ms": 1e6, "s": 1e9}
    found = {}
    for line in text.splitlines():
        cells = [it.strip() for it in line.split("│")]
        if len(cells) >= 3 and (name := re.match(r"[│├╰─ ]*([\w.\-]+)\s+[\d.]+ \S+$", cells[0])):
            number, unit = cells[2].split()
            found[name[1]] = float(number) * units[unit]
    return found


def main():
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else random.SystemRandom().randrange(1 << 32)
    print(f"seed {seed}")
    ours = bench()
    theirs, lost = coolprop_ns()
    for designation in REFRIGERANTS:
        mine, other = ours[designation], theirs[designation]
        print(f"saturation of {designation:7} {mine:7.1f} ns, CoolProp {other:12,.0f} ns, "
              f"{other / mine:9,.0f} times")
    ratios = [theirs[it] / ours[it] for it in REFRIGERANTS]
    together = math.prod(ratios) ** (1 / len(ratios))
    print(f"geometric mean {together:,.0f} times; calls that CoolProp lost: {lost:.1%}")
    print_command(str(HOME / "target" / "release" / "fairweather"), random.Random(seed))


if __name__ == "__main__":
    main()
