"""Balances, decay and curves of water."""
import math

import numpy as np
from scipy import integrate, interpolate, optimize

from lines import Tap, far


def hocl(source, ask):
    """The share that balances charge-free HOCl and OCl- at a pKa, found as a root."""
    ph, pka = source.uniform(4, 10), source.uniform(6.5, 8.5)
    got = ask("hocl-fraction", {"ph": ph, "temp_c": 20, "pka": pka, "wanted_pct": 37.5})
    share = optimize.brentq(lambda a: math.log(a / (1 - a)) - (pka - ph) * math.log(10),
                            1e-12, 1 - 1e-12, xtol=1e-16)
    ph_wanted = optimize.brentq(lambda p: 1 / (1 + 10 ** (p - pka)) - 0.375, 0, 14, xtol=1e-13)
    return far(got.get("hocl_pct"), 100 * share, 1e-8) or far(got.get("wanted_ph"), ph_wanted, 1e-10)


PHS = [6, 6.5, 7, 7.5, 8, 8.5, 9]
TEMPS = [0.5, 5, 10, 15, 20, 25]
RESIDUALS = [round(0.4 + 0.2 * i, 1) for i in range(14)]
tables = {}


def table(ask):
    """The table itself as the calculation has it, asked at its own corners."""
    if "giardia" not in tables:
        tables["giardia"] = interpolate.RegularGridInterpolator(
            (TEMPS, RESIDUALS, PHS),
            np.array([[[ask("ct-required", {"ph": p, "temp_c": t, "residual_mg_l": c})["table_ct"]
                        for p in PHS] for c in RESIDUALS] for t in TEMPS]))
    return tables["giardia"]


def between(source, ask):
    temp, ph, residual = source.uniform(0.5, 25), source.uniform(6, 9), source.uniform(0.4, 3)
    got = ask("ct-required", {"ph": ph, "temp_c": temp, "residual_mg_l": residual,
                              "method": "interpolated"})
    return far(got.get("ct"), float(table(ask)([[temp, residual, ph]])[0]), 1e-11)


def balance(source, ask):
    given = {"volume_l": source.uniform(100, 5000), "load_g_h": source.uniform(1, 900),
             "supply_mg_l": source.uniform(0, 60), "blow_down_l_h": source.uniform(0, 400),
             "carry_out_l_h": source.uniform(0, 100), "decay_per_h": source.choice([0, 0.05, 0.7]),
             "start_mg_l": source.uniform(0, 300), "limit_mg_l": source.uniform(301, 2000)}
    time = source.uniform(0.1, 24)
    got = ask("water-balance", dict(given, times_h=[time]))
    flow = given["blow_down_l_h"] + given["carry_out_l_h"]

    def slope(_, x):
        return (given["load_g_h"] * 1000 + flow * (given["supply_mg_l"] - x)) / given["volume_l"] \
            - given["decay_per_h"] * x

    solved = integrate.solve_ivp(slope, (0, time), [given["start_mg_l"]], rtol=1e-10, atol=1e-9)
    wrong = far(got.get("levels_mg_l", [None])[0], float(solved.y[0][-1]), 1e-7)
    if wrong is None and got["state"] == "reaches-limit":
        reached = integrate.solve_ivp(slope, (0, got["limit_h"]), [given["start_mg_l"]],
                                      rtol=1e-10, atol=1e-9)
        wrong = far(float(reached.y[0][-1]), given["limit_mg_l"], 1e-7)
    return wrong


def demand(source, ask):
    start, other = source.uniform(0.1, 40), source.uniform(0, 60)
    rate, time = 10 ** source.uniform(-5, -2.5), source.uniform(0.1, 60)
    got = ask("chlorine-decay", {"start_mg_l": start, "demand_mg_l": other, "demand_rate": rate,
                                 "time_min": time})
    per_mg = rate * 1000 / 70.906
    solved = integrate.solve_ivp(lambda _, c: -per_mg * c * (other - (start - c)), (0, time), [start],
                                 method="LSODA", rtol=1e-11, atol=1e-13)
    return far(got.get("left_mg_l"), float(solved.y[0][-1]), 1e-6, 1e-9)


def kill(source, ask):
    start, rate, time = source.uniform(0.1, 50), source.uniform(0, 3), source.uniform(1, 600)
    got = ask("wash-kill", {"start_mg_l": start, "rate_per_min": rate, "time_s": time,
                            "organics": "clean"})
    area = integrate.quad(lambda t: start * math.exp(-rate * t), 0, time / 60, epsabs=0, epsrel=1e-12)
    return far(got.get("kill_log"), 70.39 * area[0] / math.log(10), 1e-10)


def light(source, ask):
    clear, depth = source.uniform(1, 100), source.uniform(0.1, 30)
    got = ask("uv-absorption", {"uvt_pct": clear, "depth_cm": depth})
    area = integrate.quad(lambda x: (clear / 100) ** x, 0, depth, epsabs=0, epsrel=1e-12, limit=200)
    return far(got.get("factor"), area[0] / depth, 1e-10)


tap = Tap("water")
tap.cases("hocl-fraction", 200, hocl)
tap.cases("ct-required, interpolated", 300, between)
tap.cases("water-balance", 200, balance)
tap.cases("chlorine-decay, against a demand", 200, demand)
tap.cases("wash-kill", 300, kill)
tap.cases("uv-absorption", 300, light)
tap.end()
