"""Cooling and growth in the cold."""
import math

import numpy as np
from scipy import integrate, optimize

from lines import Tap, far

TMIN, TOPT, TMAX = -1.72, 37, 45.5


def line(points, t):
    times, temps = zip(*points)
    return float(np.interp(t, times, temps))


def random_log(source, low, high, count):
    time, points = 0.0, []
    for _ in range(count):
        points.append([round(time, 3), round(source.uniform(low, high), 3)])
        time += source.uniform(300, 7200)
    return points


def cardinal(temp):
    if not TMIN < temp < TMAX:
        return 0.0
    return (temp - TMAX) * (temp - TMIN) ** 2 / (
        (TOPT - TMIN) * ((TOPT - TMIN) * (temp - TOPT) - (TOPT - TMAX) * (TOPT + TMIN - 2 * temp)))


def area(rate, points):
    """Integral over the log, interval by interval, cut where the rate has a corner."""
    total = 0.0
    for (t1, a), (t2, b) in zip(points, points[1:]):
        corners = [t1 + (c - a) / (b - a) * (t2 - t1) for c in (-1.18, TMIN, TMAX)
                   if a != b and min(a, b) < c < max(a, b)]
        for begin, end in zip([t1] + sorted(corners), sorted(corners) + [t2]):
            total += integrate.quad(lambda t: rate(a + (b - a) * (t - t1) / (t2 - t1)), begin, end,
                                    epsabs=0, epsrel=1e-11, limit=200)[0]
    return total / 86400


def growth(source, ask):
    points = random_log(source, -8, source.choice([12, 60]), 7)
    egr5, best = source.uniform(0.01, 0.6), source.uniform(0.1, 0.5)
    ph, aw = source.uniform(5, 9), source.uniform(0.92, 0.997)
    got = ask("listeria-log", {"points": points, "egr5_log_d": egr5, "egr_opt_log_h": best,
                               "ph": ph, "aw": aw, "uncertainty_c": [0], "gap_max_s": 86400})
    root = area(lambda t: egr5 * (max(0, t + 1.18) / 6.18) ** 2, points)
    by_ph = (ph - 4.71) * (ph - 9.61) / ((ph - 4.71) * (ph - 9.61) - (ph - 7.1) ** 2)
    by_aw = ((aw - 0.913) / 0.084) ** 2
    want = area(lambda t: 24 * best * cardinal(t), points) * by_ph * by_aw
    return far(got.get("growth_log"), root, 1e-9, 1e-12) or far(got.get("cardinal_log"), want, 1e-8,
                                                                1e-12)


def cooling(source, ask):
    """Falling logs: the crossings as roots of the interpolated log."""
    temps = sorted((round(source.uniform(6, 75), 3) for _ in range(9)), reverse=True)
    temps = [80.0] + temps + [4.0]
    time, points = 0.0, []
    for temp in temps:
        points.append([round(time, 3), temp])
        time += source.uniform(300, 3000)
    got = ask("cooling-check", {"points": points, "uncertainty_c": [0], "rule": "food-code",
                                "gap_max_s": 86400})
    last = points[-1][0]
    roots = [optimize.brentq(lambda t: line(points, t) - limit, 0, last, xtol=1e-9)
             for limit in (57, 21, 5)]
    ends = [min(t for t, temp in points if temp <= limit) for limit in (21, 5)]
    late = [ends[0] - roots[0] > 7200, ends[1] - roots[0] > 21600]
    wrong = far(got["start_min"][0], roots[0] / 60, 0, 1e-7)
    wrong = wrong or far(got["crossed_min"][0], roots[1] / 60, 0, 1e-7)
    wrong = wrong or far(got["crossed_min"][1], roots[2] / 60, 0, 1e-7)
    states = ", ".join("late" if x else "done" for x in late)
    if wrong is None and got["states"] != states:
        wrong = f"{got['states']!r}, but it should be {states!r}"
    return wrong


def newton(source, ask):
    start, ambient = source.uniform(40, 95), source.uniform(-5, 4)
    target, lag, f = source.uniform(5, 38), source.uniform(0.8, 2), source.uniform(5, 400)
    got = ask("newton-cooling", {"start_c": start, "target_c": target, "ambient_c": ambient,
                                 "lag_j": lag, "f_min": f})
    want = optimize.brentq(
        lambda t: ambient + lag * (start - ambient) * 10 ** (-t / f) - target, -2 * f, 10 * f,
        xtol=1e-10)
    return far(got.get("time_min"), max(0, want), 1e-8, 1e-8)


tap = Tap("cold chain")
tap.cases("listeria-log", 200, growth)
tap.cases("cooling-check", 300, cooling)
tap.cases("newton-cooling", 300, newton)
tap.end()
