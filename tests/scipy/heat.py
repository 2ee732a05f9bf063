"""Fits, intervals and integrals of heat processes."""
import math

import numpy
from scipy import integrate, optimize, stats

from lines import Tap, far

LN10 = math.log(10)


def first(*wrong):
    """The first thing that is wrong, or None."""
    return next((w for w in wrong if w is not None), None)


def history(source, points, low, high):
    """Times in whole seconds and temperatures of a log."""
    time, at = [], 0
    for _ in range(points):
        time.append(at)
        at += source.randint(5, 120)
    return time, [source.uniform(low, high) for _ in range(points)]


def over_lines(time, temp, f):
    """The integral of f of the temperature over straight lines, each by itself."""
    total = 0
    for i in range(len(time) - 1):
        dt = time[i + 1] - time[i]
        total += integrate.quad(
            lambda s: f(temp[i] + (temp[i + 1] - temp[i]) * s), 0, 1, epsabs=0, epsrel=1e-12,
            limit=200)[0] * dt
    return total


def lethality(source, ask):
    time, temp = history(source, source.randint(2, 8), 20, 130)
    reference, z = source.uniform(50, 125), source.uniform(4, 40)
    got = ask("lethality", {
        "points": [list(p) for p in zip(time, temp)], "reference_c": reference, "z_c": z,
        "d_s": 60, "window": "all", "cut_low": "no", "gap_max_s": 1000})
    want = over_lines(time, temp, lambda t: 10 ** ((t - reference) / z))
    return far(got.get("f_best_s"), want, 1e-10)


def cook_value(source, ask):
    time, temp = history(source, source.randint(2, 8), 20, 130)
    z = source.uniform(15, 50)
    got = ask("cook-value", {"points": [list(p) for p in zip(time, temp)], "z_c": z,
                             "gap_max_s": 1000})
    want = over_lines(time, temp, lambda t: 10 ** ((t - 100) / z)) / 60
    return far(got.get("cook_value_min"), want, 1e-10)


def peleg(source, ask):
    time, temp = history(source, source.randint(2, 6), 80, 125)
    kb, tc, n = source.uniform(0.1, 1), source.uniform(90, 115), source.uniform(0.3, 2)
    got = ask("survival-log", {
        "points": [list(p) for p in zip(time, temp)], "model": "peleg", "kb_per_c": kb,
        "tc_c": tc, "shape": n, "reduction_seen": 20, "gap_max_s": 1000})
    want = over_lines(time, temp, lambda t: numpy.logaddexp(0, kb * (t - tc)) ** (1 / n)) / 60
    return far(got.get("dose_best"), want, 1e-8)


def survivors(source):
    points = source.randint(3, 15)
    slope = -source.uniform(0.0002, 0.01)
    time = [60 * i + source.uniform(0, 30) for i in range(points)]
    return time, [8 + slope * t + source.gauss(0, 0.3) for t in time]


def d_from_survivors(source, ask):
    time, count = survivors(source)
    at = source.uniform(0, 1000)
    got = ask("d-from-survivors", {"points": [list(p) for p in zip(time, count)], "time_s": at})
    want = stats.linregress(time, count)
    if want.slope >= 0:
        return None if got.get("refused") == "field-range" else f"not refused: {got}"
    df = len(time) - 2
    half = stats.t.ppf(0.975, df) * want.stderr
    wrong = first(
        far(got.get("slope"), want.slope, 1e-9), far(got.get("intercept"), want.intercept, 1e-9),
        far(got.get("se_slope"), want.stderr, 1e-7),
        far(got.get("d_s"), -1 / want.slope, 1e-9),
        far(got.get("d_low_s"), -1 / (want.slope - half), 1e-7),
        far(got.get("t"), stats.t.ppf(0.975, df), 1e-9),
        far(got.get("reduction_low"),
            max(0, -want.slope - stats.t.ppf(0.95, df) * want.stderr) * at, 1e-7, 1e-9))
    if wrong is not None:
        return wrong
    if want.slope + half >= 0:
        return None if got.get("d_high_s") == "not determined" else f"an end: {got}"
    return far(got.get("d_high_s"), -1 / (want.slope + half), 1e-6)


def d_from_censored(source, ask):
    """The likelihood's top by SciPy's own search from the fit of the counts alone."""
    rate, scatter, limit = source.uniform(0.01, 0.1), source.uniform(0.05, 0.6), source.uniform(1, 3)
    counts, below = [], []
    for i in range(source.randint(8, 25)):
        time = i * source.uniform(5, 15)
        value = 8 - rate * time + source.gauss(0, scatter)
        (counts if value >= limit else below).append([time, value if value >= limit else limit])
    if len(counts) < 4 or not below:
        return None
    t, y = numpy.array(counts).T
    low_t, low = numpy.array(below).T
    scale = t.max()

    def minus(p):
        s = math.exp(p[2])
        return -(stats.norm.logpdf(y, p[0] + p[1] * t / scale, s).sum()
                 + stats.norm.logcdf(low, p[0] + p[1] * low_t / scale, s).sum())

    start = stats.linregress(t / scale, y)
    scattered = max(1e-3, float(numpy.std(y - start.intercept - start.slope * t / scale)))
    best = optimize.minimize(minus, [start.intercept, start.slope, math.log(scattered)],
                             method="Nelder-Mead",
                             options={"xatol": 1e-10, "fatol": 1e-12, "maxiter": 20000,
                                      "maxfev": 20000})
    got = ask("d-from-censored", {"points": counts, "below": below})
    return first(far(got.get("log_likelihood"), -best.fun, 1e-8, 1e-8),
                 far(got.get("slope"), best.x[1] / scale, 1e-4),
                 far(got.get("s"), math.exp(best.x[2]), 1e-3))


def z_from_d(source, ask):
    points = source.randint(3, 12)
    z = source.uniform(3, 30)
    temp = sorted(source.uniform(50, 80) for _ in range(points))
    time = [100 * 10 ** ((60 - t) / z + source.gauss(0, 0.1)) for t in temp]
    at = source.uniform(50, 80)
    got = ask("z-from-d", {"points": [list(p) for p in zip(temp, time)], "at": at})
    want = stats.linregress(temp, numpy.log10(time))
    if want.slope >= 0:
        return None if got.get("refused") == "field-range" else f"not refused: {got}"
    df = points - 2
    mean = sum(temp) / points
    sxx = sum((t - mean) ** 2 for t in temp)
    half = stats.t.ppf(0.95, df) * want.stderr * math.sqrt(sxx) * math.sqrt(
        1 / points + (at - mean) ** 2 / sxx)
    line = want.intercept + want.slope * at
    if line + half > 300:
        return None
    return first(
        far(got.get("z_c"), -1 / want.slope, 1e-9),
        far(got.get("z_low_c"), -1 / (want.slope - stats.t.ppf(0.975, df) * want.stderr), 1e-6),
        far(got.get("time_at"), 10 ** line, 1e-8),
        far(got.get("time_at_high"), 10 ** (line + half), 1e-6))


def tolerance(source, ask):
    batches = source.randint(2, 60)
    reductions = [source.uniform(4, 8) for _ in range(batches)]
    got = ask("batch-tolerance", {"reductions": reductions})
    factor = stats.nct.ppf(0.95, batches - 1, stats.norm.ppf(0.95) * math.sqrt(batches))
    factor /= math.sqrt(batches)
    return first(
        far(got.get("factor"), factor, 1e-5),
        far(got.get("sd"), numpy.std(reductions, ddof=1), 1e-10),
        far(got.get("least_confidence"), stats.binom.sf(0, batches, 0.05), 1e-10))


def weibull_fit(source, ask):
    delta, p, start = source.uniform(0.3, 3), source.uniform(0.5, 2.5), source.uniform(6, 9)
    points = source.randint(7, 14)
    longest = delta * 5 ** (1 / p)
    time = numpy.array([longest * i / (points - 1) for i in range(points)])
    count = [start - (t / delta) ** p + source.gauss(0, 0.05) for t in time]

    def model(t, a, d, q):
        return a - (t / d) ** q

    got = ask("survival-fit", {"points": [list(x) for x in zip(time, count)], "model": "weibull"})
    best, covariance = optimize.curve_fit(model, time, count, p0=[start, delta, p], ftol=1e-14,
                                          xtol=1e-14, gtol=1e-14, maxfev=20000)
    rss = sum((model(time, *best) - count) ** 2)
    return first(
        far(got.get("rss"), rss, 1e-7), far(got.get("log_initial"), best[0], 1e-5),
        far(got.get("delta"), best[1], 1e-4), far(got.get("p"), best[2], 1e-4),
        far(got.get("p_se"), math.sqrt(covariance[2][2]), 1e-3))


def shoulder_fit(source, ask):
    kmax, shoulder, start = source.uniform(1, 4), source.uniform(0.5, 2), source.uniform(6, 9)
    time = numpy.array([0.4 * i for i in range(source.randint(10, 18))])

    def model(t, a, k, sl):
        return a - (k * t - k * sl + numpy.log1p(numpy.exp(-k * t) * numpy.expm1(k * sl))) / LN10

    count = model(time, start, kmax, shoulder)
    count = numpy.array([c + source.gauss(0, 0.03) for c in count])
    got = ask("survival-fit", {"points": [list(x) for x in zip(time, count)], "model": "shoulder"})
    best, covariance = optimize.curve_fit(model, time, count, p0=[start, kmax, shoulder],
                                          ftol=1e-14, xtol=1e-14, gtol=1e-14, maxfev=20000)
    rss = sum((model(time, *best) - count) ** 2)
    return first(
        far(got.get("rss"), rss, 1e-7), far(got.get("kmax"), best[1], 1e-4),
        far(got.get("shoulder"), best[2], 1e-4),
        far(got.get("kmax_se"), math.sqrt(covariance[1][1]), 1e-3))


def sphere_series(biot, fourier):
    """Centre, surface and mean of a sphere, by roots of SciPy's."""
    centre = surface = mean = 0
    for n in range(1, 120):
        z = optimize.brentq(lambda x: (1 - biot) * math.sin(x) - x * math.cos(x),
                            (n - 1) * math.pi + 1e-9, n * math.pi - 1e-9, xtol=1e-14)
        curl = math.sin(z) - z * math.cos(z)
        part = 4 * curl / (2 * z - math.sin(2 * z)) * math.exp(-z * z * fourier)
        centre += part
        surface += part * math.sin(z) / z
        mean += part * 3 * curl / z ** 3
    return centre, surface, mean


def sphere(source, ask):
    biot, fourier = 10 ** source.uniform(-1, 3), 10 ** source.uniform(-2.3, 0.3)
    got = ask("sphere-conduction", {"biot": biot, "fourier": [fourier]})
    want = sphere_series(biot, fourier)
    return first(*(far(got.get(name, [None])[0], value, 1e-7, 1e-9)
                   for name, value in zip(("centre", "surface", "mean"), want)))


def bean(source, ask):
    """Equivalent time at the centre, integrated by quad, under a bath of one temperature."""
    radius, bath, z = source.uniform(1, 4), source.uniform(60, 95), source.uniform(4, 12)
    surface, end = source.uniform(300, 3000), source.uniform(20, 200)
    diffusivity, conductivity = source.uniform(1e-7, 1.5e-7), source.uniform(0.3, 0.5)
    got = ask("bean-core", {
        "points": [[0, bath], [round(end, 3), bath]], "start_c": 20, "semi_axes_mm": [radius],
        "diffusivity_m2_s": diffusivity, "conductivity_w_m_k": conductivity,
        "surface_w_m2_k": surface, "reference_c": 70, "z_c": z})
    biot = surface * radius / 1000 / conductivity
    per_s = diffusivity / (radius / 1000) ** 2
    zetas = [optimize.brentq(lambda x: (1 - biot) * math.sin(x) - x * math.cos(x),
                             (n - 1) * math.pi + 1e-9, n * math.pi - 1e-9, xtol=1e-14)
             for n in range(1, 30)]
    weights = [4 * (math.sin(x) - x * math.cos(x)) / (2 * x - math.sin(2 * x)) for x in zetas]

    def rate(t):
        theta = sum(w * math.exp(-x * x * per_s * t) for w, x in zip(weights, zetas))
        return 10 ** ((bath + (20 - bath) * min(theta, 1) - 70) / z)

    want = integrate.quad(rate, 0, round(end, 3), epsrel=1e-6, limit=100)[0]
    return far(got.get("f_centre_s", [0, None])[1], want, 3e-4, 1e-6)


def longevity(source, ask):
    species = source.choice(["soybean", "rice", "wheat"])
    start, least, time = source.uniform(60, 99.9), source.uniform(5, 59), source.uniform(0, 50)
    got = ask("seed-longevity", {
        "species": species, "moisture_pct": source.uniform(5, 25), "temp_c": source.uniform(40, 70),
        "germination_pct": start, "least_pct": least, "time_h": time})
    probits = stats.norm.ppf(start / 100) - stats.norm.ppf(least / 100)
    left = stats.norm.cdf(stats.norm.ppf(start / 100) - time / 24 / got["sigma_d"])
    return first(far(got.get("least_h"), probits * 24 * got["sigma_d"], 1e-9),
                 far(got.get("germination"), 100 * left, 1e-9, 1e-12))


tap = Tap("heat")
tap.cases("lethality", 200, lethality)
tap.cases("cook-value", 200, cook_value)
tap.cases("survival-log, Peleg", 200, peleg)
tap.cases("d-from-survivors", 300, d_from_survivors)
tap.cases("d-from-censored", 150, d_from_censored)
tap.cases("z-from-d", 300, z_from_d)
tap.cases("batch-tolerance", 200, tolerance)
tap.cases("survival-fit, Weibull", 200, weibull_fit)
tap.cases("survival-fit, shoulder", 200, shoulder_fit)
tap.cases("sphere-conduction", 200, sphere)
tap.cases("bean-core", 200, bean)
tap.cases("seed-longevity", 200, longevity)
tap.end()
