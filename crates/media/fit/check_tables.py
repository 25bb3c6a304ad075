"""Writes the check tables of this crate that are not copies of the shared ones (run by hand).

Needs iapws 1.5.5, ambiance 1.3.1 and CoolProp 8.0.0 from the Python package index. The fits use CoolProp, so water is checked with
the other library. Usage: check_tables.py FOLDER
"""
import csv
import sys
from pathlib import Path

import CoolProp.CoolProp as cp
from ambiance import Atmosphere
from iapws import IAPWS95, IAPWS97

folder = Path(sys.argv[1])
COMMON = ["expected", "unit", "rel_tol", "abs_tol", "source", "note"]


def write(name, inputs, rows):
    with open(folder / f"{name}.csv", "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["case_id", "quantity", *inputs, *COMMON])
        for number, row in enumerate(rows, 1):
            out.writerow([f"{name}-v{number:03}", *row])


def number(value):
    return f"{value:.10g}"


rows = []
library = "iapws 1.5.5 IAPWS95 (IAPWS R6-95; viscosity R12-08; conductivity R15-11)"
for t in (274.15, 277.15, 285.15, 298.15, 310.15, 323.15, 343.15, 363.15, 378.15, 398.15, 413.15, 423.15):
    pressure = 5e5 if t > 400 else 3e5
    w = IAPWS95(T=t, P=pressure / 1e6)
    base = IAPWS95(T=274.15, P=pressure / 1e6).h
    for quantity, value, unit, tol in (
        ("density", w.rho, "kg/m3", 0.0005),
        ("specific_heat", w.cp * 1e3, "J/(kg K)", 0.001),
        ("dynamic_viscosity", w.mu, "Pa s", 0.002),
        ("thermal_conductivity", w.k, "W/(m K)", 0.005),
        ("enthalpy_above_274.15_K", (w.h - base) * 1e3, "J/kg", 0.001),
    ):
        if value == 0:
            continue
        rows.append([quantity, "water", t, number(pressure), number(value), unit, tol, "", library, ""])
for t in (273.16, 283.15, 298.15, 323.15, 353.15, 373.15, 393.15, 423.15, 473.15, 573.15):
    w = IAPWS97(T=t, x=0)
    rows.append(["vapour_pressure", "water", t, "", number(w.P * 1e6), "Pa", 0.0005, "",
                 "iapws 1.5.5 IAPWS97 (IF97 region 4 saturation line)", "an independent equation"])
write("water_iapws", ["fluid", "temperature_K", "pressure_Pa"], rows)

rows = []
for key, fluid in (("MEG", "ethylene_glycol_water"), ("MPG", "propylene_glycol_water")):
    for x in (0.25, 0.45, 0.55):
        for low, high in ((273.15, 333.15), (293.15, 363.15), (268.15, 343.15)):
            h = [cp.PropsSI("H", "T", t, "P", 3e5, f"INCOMP::{key}[{x}]") for t in (low, high)]
            rows.append(["enthalpy_difference", fluid, x, low, high, number(h[1] - h[0]), "J/kg", 0.001, "",
                         f"CoolProp 8.0.0 PropsSI INCOMP::{key}, difference of H at 300 kPa", ""])
write("glycol_enthalpy", ["fluid", "glycol_mass_fraction", "from_temperature_K", "temperature_K"], rows)

rows = []
zero = cp.PropsSI("H", "T", 273.15, "P", 1e5, "Air")
for t in (210.0, 243.15, 300.0, 333.15, 373.15, 423.15, 473.15, 500.0):
    rows.append(["enthalpy_above_273.15_K", t, number(1e5), number(cp.PropsSI("H", "T", t, "P", 1e5, "Air") - zero),
                 "J/kg", 0.0005, "", "CoolProp 8.0.0 PropsSI HEOS::Air (Lemmon et al. 2000)", ""])
write("air_enthalpy", ["temperature_K", "pressure_Pa"], rows)

rows = []
for h in (-1000.0, 0.0, 3048.0, 8000.0, 12000.0, 15000.0, 20000.0):
    geometric = 6356766.0 * h / (6356766.0 - h)
    a = Atmosphere(geometric)
    for quantity, value, unit in (("temperature", a.temperature[0], "K"), ("pressure", a.pressure[0], "Pa"),
                                  ("density", a.density[0], "kg/m3")):
        rows.append([quantity, h, number(value), unit, 5e-5, "", "ambiance 1.3.1 Atmosphere (ICAO Doc 7488)", ""])
write("atmosphere_to_20_km", ["geopotential_altitude_m"], rows)
