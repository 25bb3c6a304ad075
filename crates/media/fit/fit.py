"""Least-squares fits behind the constants of this crate (run by hand; the crate never calls it).

Needs CoolProp 8.0.0, chemicals, SciPy and NumPy from the Python package index. Prints Rust constants and the
worst residual of each fit over its whole range. Reduced variable: z = (T - centre) / scale.
"""
import warnings

import CoolProp.CoolProp as cp
import numpy as np
from chemicals.viscosity import viscosity_index
from scipy.optimize import curve_fit

warnings.filterwarnings("ignore")


def show(name, coefficients):
    print(f"{name}: [{', '.join(repr(float(c)) for c in coefficients)}]")


def fit(name, temperature, value, centre, scale, degree, relative=True):
    z = (temperature - centre) / scale
    weight = 1.0 / value if relative else np.ones_like(value)
    basis = np.vander(z, degree + 1, increasing=True)
    c, *_ = np.linalg.lstsq(basis * weight[:, None], value * weight, rcond=None)
    c = np.array([float(f"{x:.10g}") for x in c])
    residual = (basis @ c - value) * weight
    print(f"// {name}: degree {degree}, worst residual {np.abs(residual).max():.2e}")
    show(name, c)


def fluid(label, key, low, high, centre, scale, degrees, pressure):
    temperature = low + (high - low) * 0.5 * (1 - np.cos(np.linspace(0, np.pi, 301)))
    get = lambda what: np.array([cp.PropsSI(what, "T", t, "P", pressure, key) for t in temperature])
    print(f"\n// {label}: {key} at {pressure:.0f} Pa, {low} to {high} K, centre {centre}, scale {scale}")
    fit("density", temperature, get("D"), centre, scale, degrees[0])
    fit("specific_heat", temperature, get("C"), centre, scale, degrees[1])
    if degrees[2] is not None:
        fit("ln_viscosity", temperature, np.log(get("V")), centre, scale, degrees[2], relative=False)
    fit("conductivity", temperature, get("L"), centre, scale, degrees[3])


fluid("water", "Water", 273.16, 423.15, 348.15, 75.0, (7, 8, 8, 5), 5e5)
for label, key in (("silicone", "INCOMP::XLT"), ("aliphatic", "INCOMP::TD12")):
    fluid(label, key, 193.15, 473.15, 333.15, 140.0, (3, 3, None, 3), 3e6)
    temperature = np.linspace(193.15, 473.15, 200)
    ln_mu = np.log([cp.PropsSI("V", "T", t, "P", 3e6, key) for t in temperature])
    law = lambda t, a, b, c: a / (t + b) - c
    c, _ = curve_fit(law, temperature, ln_mu, p0=(700.0, -100.0, 9.0), maxfev=100000)
    print(f"// ln viscosity = a/(T + b) - c, worst residual {np.abs(law(temperature, *c) - ln_mu).max():.1e}")
    show("a, b, c", c)

print("\n// freezing of glycol and water, K, powers of (mass percent - centre)")
for key, centre in (("MEG", 30.8462), ("MPG", 30.7031)):
    x = np.linspace(0.0, 0.6, 121)
    t = []
    for xi in x:
        try:
            t.append(cp.PropsSI("T_FREEZE", "T", 300.0, "P", 3e5, f"INCOMP::{key}[{xi}]"))
        except ValueError:
            t.append(np.nan)
    t = np.array(t)
    good = np.isfinite(t)
    basis = np.vander(100.0 * x[good] - centre, 6, increasing=True)
    c, *_ = np.linalg.lstsq(basis, t[good], rcond=None)
    print(f"// {key}: worst {np.abs(basis @ c - t[good]).max():.1e} K, from x {x[good][0]}")
    show(key, c)

print("\n// dry air at 100 kPa")
t = np.linspace(180.0, 500.0, 321)
for name, key, degree in (("specific_heat", "C", 6), ("conductivity", "L", 5)):
    fit(name, t, np.array([cp.PropsSI(key, "T", x, "P", 1e5, "Air") for x in t]), 340.0, 160.0, degree)

print("\n// vapour pressure of propylene glycol: log10(p/Pa) = a - b/(T + c)")
t = np.linspace(290.0, 480.0, 200)
value = np.log10([cp.PropsSI("P", "T", x, "Q", 0, "PropyleneGlycol") for x in t])
law = lambda x, a, b, c: a - b / (x + c)
c, _ = curve_fit(law, t, value, p0=(10.0, 2000.0, -80.0), maxfev=100000)
print(f"// worst residual of log10 p {np.abs(law(t, *c) - value).max():.1e}")
show("a, b, c", c)

print("\n// kinematic viscosity at 100 degC of a viscosity index of 100 (ASTM D2270)")
for grade in (7, 10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460, 680, 1000, 1500, 2200, 3200):
    at_40 = {7: 6.8}.get(grade, float(grade))
    low, high = 2.0, 400.0
    for _ in range(100):
        middle = 0.5 * (low + high)
        if viscosity_index(at_40 * 1e-6, middle * 1e-6) < 100.0:
            low = middle
        else:
            high = middle
    print(f"({grade}, {at_40}, {middle:.4g}),")
