"""Makes the oracle tables beside this file, so that a checkout is tested without Python.

    python3 -m venv /tmp/oracle && /tmp/oracle/bin/pip install -r tests/requirements.txt
    /tmp/oracle/bin/python tests/published/make_oracles.py

saturation_CoolProp_COMPUTED.csv: every seventh degree between the engine's knots, which stand at
multiples of 5 degF, from CoolProp 8.0.0 by the generator's own continuation.
moist_air_PsychroLib_COMPUTED.csv: dry and wet bulbs from PsychroLib 2.5.0 (IP units).
"""

import csv
import pathlib
import sys

import psychrolib

HERE = pathlib.Path(__file__).parent
sys.path.insert(0, str(HERE.parents[1] / "src" / "engine" / "refrigerant"))
import make_tables  # noqa: E402

AIR_STATES = [
    (80, 67, 0), (80, 67, 5000), (80, 57, 0), (95, 75, 0), (82, 65, 0), (70, 60, 0), (47, 43, 0),
    (35, 33, 0), (17, 15, 0), (75, 63, 0), (58, 57, 0), (100, 65, 0), (76, 63, 300), (55, 54, 7000),
]


def saturation():
    with open(HERE / "saturation_CoolProp_COMPUTED.csv", "w", newline="") as file:
        file.write("# COMPUTED with CoolProp 8.0.0 by make_oracles.py; off the engine's knots.\n")
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["refrigerant", "temp_F", "bubble_psia", "dew_psia"])
        for designation, fluid in make_tables.REFRIGERANTS:
            lines = [make_tables.SaturationLine(fluid, quality) for quality in (0, 1)]
            for degrees in range(-39, 150, 7):
                if degrees % 5 == 0:
                    continue
                kelvin = make_tables.kelvin(degrees)
                pressures = [it.pressure_pa(kelvin) / make_tables.PASCAL_PER_PSI for it in lines]
                writer.writerow([designation, degrees] + ["%.9f" % it for it in pressures])


def moist_air():
    psychrolib.SetUnitSystem(psychrolib.IP)
    with open(HERE / "moist_air_PsychroLib_COMPUTED.csv", "w", newline="") as file:
        file.write("# COMPUTED with PsychroLib 2.5.0 by make_oracles.py.\n")
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(
            ["dry_bulb_F", "wet_bulb_F", "elevation_ft", "psia", "humidity_ratio", "enthalpy_btu_lb",
             "relative_humidity_pct"]
        )
        for dry, wet, elevation in AIR_STATES:
            pressure = psychrolib.GetStandardAtmPressure(elevation)
            ratio = psychrolib.GetHumRatioFromTWetBulb(dry, wet, pressure)
            enthalpy = psychrolib.GetMoistAirEnthalpy(dry, ratio)
            relative = 100 * psychrolib.GetRelHumFromHumRatio(dry, ratio, pressure)
            numbers = ["%.9g" % it for it in (pressure, ratio, enthalpy, relative)]
            writer.writerow([dry, wet, elevation] + numbers)


if __name__ == "__main__":
    saturation()
    moist_air()
