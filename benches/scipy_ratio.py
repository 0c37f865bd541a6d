"""How many times as fast as SciPy the wheel solves the same equations, and what other cases take: `python benches/scipy_ratio.py`.

The equations are those of `benches/bare/mod.rs`, written with SciPy's `quad` and `brentq` as one would. Flows are compared first, to
1e-6. Both then run one after the other, and the ratio of their times for a point is printed.
"""

import os
import time
from math import exp, log, pi, sqrt

import numpy as np
import risewater as rw
from scipy.integrate import quad
from scipy.optimize import brentq

G, R, R_V = 9.80665, 287.055, 461.523
# A hatchery's riser and its water; outright, so that no property is computed twice.
BORE, SUBMERGENCE, LIFT = 0.0762, 1.0, 0.1
T, RHO, MU, SIGMA, P_V, P_A = 287.15, 999.2, 1.169e-3, 73.5e-3, 1.6e3, 101_325.0
ROUGHNESS, K_IN, DEVELOPING = 1.5e-6, 0.5, 0.2
KEYS = {
    "water_temperature_k": T, "water_density_kg_per_m3": RHO, "water_viscosity_pa_s": MU,
    "water_surface_tension_n_per_m": SIGMA, "water_vapour_pressure_pa": P_V, "site_pressure_pa": P_A,
    "riser_roughness_m": ROUGHNESS, "riser_entrance_loss": K_IN, "model_developing_length_m": DEVELOPING,
}  # fmt: skip
LIBRARY_POINTS, SCIPY_POINTS, CHECKED, TOLERANCE = 1_000_000, 20, 20, 1e-6


def darcy(reynolds, bore):
    a = (2.457 * log(1 / ((7 / reynolds) ** 0.9 + 0.27 * ROUGHNESS / bore))) ** 16
    b = (37530 / reynolds) ** 16
    return 8 * ((8 / reynolds) ** 12 + (a + b) ** -1.5) ** (1 / 12)


def section(j_l, flux, p, bore):
    """Void fraction, momentum flux and pressure gradient of one cross-section."""
    j_g = flux * R * T / (p - P_V)
    rho_g = (p - P_V) / (R * T) + P_V / (R_V * T)
    j, g = j_l + j_g, RHO * j_l + rho_g * j_g
    re = RHO * j * bore / MU
    c01 = 0.2 * (1 - sqrt(rho_g / RHO)) * ((2.6 - j_g / j) ** 0.15 - sqrt(0.25 * darcy(re, bore))) * (RHO * j_l / g) ** 1.5
    c0 = (2 - (rho_g / RHO) ** 2) / (1 + (re / 1000) ** 2) + (1 + c01) / (1 + (1000 / re) ** 2)
    la = sqrt(SIGMA / (G * (RHO - rho_g))) / bore
    v = 0.35 * sqrt(G * bore * (RHO - rho_g) / RHO) * ((la / 0.025) ** 0.9 if la < 0.025 else 1.0)
    alpha = brentq(lambda a: a * (c0 * j + v * sqrt(1 - a)) - j_g, 0.0, 1.0, xtol=1e-14)
    momentum = RHO * j_l**2 / (1 - alpha) + rho_g * j_g**2 / alpha
    friction = darcy(g * bore / MU, bore) * g * j / (2 * bore)
    return alpha, momentum, ((1 - alpha) * RHO + alpha * rho_g) * G + friction


def height(j_l, flux, bore, submergence, length):
    """Height that the flows carry."""
    deficit = RHO * G * DEVELOPING * (1 - exp(-length / DEVELOPING))
    target = P_A + RHO * G * submergence + 0.5 * (1 - K_IN) * RHO * j_l**2

    def off(p):
        alpha, momentum, _ = section(j_l, flux, p, bore)
        return p + momentum + deficit * alpha - target

    # Where the flows are too fast for a foot they carry nothing.
    if off(P_A) > 0:
        return 0.0
    foot = brentq(off, P_A, target, xtol=1e-7)

    def slope(p, h=1.0):
        above, below = section(j_l, flux, p + h, bore), section(j_l, flux, p - h, bore)
        return (1 + (above[1] - below[1]) / (2 * h)) / section(j_l, flux, p, bore)[2]

    return quad(slope, P_A, foot, epsrel=1e-9, epsabs=0)[0]


def water_flow(bore, submergence, lift, air_kg_per_s):
    area, length = pi / 4 * bore**2, submergence + lift
    flux = air_kg_per_s / area
    off = lambda j_l: height(j_l, flux, bore, submergence, length) - length  # noqa: E731
    return area * brentq(off, 1e-6, sqrt(2 * G * submergence), xtol=1e-12, rtol=1e-10)


def points(count):
    draw = np.random.default_rng(1)
    return {
        "riser_bore_m": draw.uniform(0.9, 1.1, count) * BORE,
        "riser_submergence_m": draw.uniform(0.9, 1.1, count) * SUBMERGENCE,
        "riser_lift_m": draw.uniform(0.5, 1.5, count) * LIFT,
        "air_mass_flow_kg_per_s": draw.uniform(1e-3, 3e-3, count),
    }


def main():
    few = points(max(CHECKED, SCIPY_POINTS))
    start = time.process_time()
    by_scipy = np.array([water_flow(*point) for point in zip(*few.values())])
    scipy_s = (time.process_time() - start) / len(by_scipy)
    by_library = rw.flow(**few, **KEYS).water_flow_m3_per_s
    worst = np.max(np.abs(by_scipy / by_library - 1))
    assert worst < TOLERANCE, f"the flows differ by {worst:.1e}"
    many = points(LIBRARY_POINTS)
    rw.flow(**{key: value[:1000] for key, value in many.items()}, **KEYS)
    wall, processor = time.perf_counter(), time.process_time()
    found = rw.flow(**many, **KEYS)
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    assert (found.outcome == "pumping").all()
    library_s = processor / LIBRARY_POINTS
    print(f"flows agree to {worst:.1e}")
    print(f"wheel: {LIBRARY_POINTS} points in {wall:.2f} s on {os.cpu_count()} processors, {library_s * 1e6:.1f} us of one each")
    print(f"SciPy: {scipy_s * 1e3:.1f} ms of one processor a point")
    print(f"ratio {scipy_s / library_s:.0f}")
    risers = {key: value[:, None] for key, value in points(1000).items()}
    air = risers.pop("air_mass_flow_kg_per_s")
    in_turn = np.geomspace(air.min(), air.max(), 1000)[None, :]
    few = {key: value[:20_000] for key, value in many.items()}
    others = {
        "each of 1000 risers at 1000 air flows in turn": lambda: rw.flow(**risers, air_mass_flow_kg_per_s=in_turn, **KEYS).outcome,
        "each with another riser and its interval": lambda: rw.interval(**few, **KEYS).outcome,
        "the peak of each of many risers": lambda: rw.peak(**{key: few[key] for key in risers}, **KEYS).water_flow_m3_per_s,
    }
    for words, ask in others.items():
        processor = time.process_time()
        count = ask().size
        print(f"{words}: {(time.process_time() - processor) / count * 1e6:.1f} us of one processor")


if __name__ == "__main__":
    main()
