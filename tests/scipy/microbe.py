"""Sampling for microbes: chances, sample sizes, counts and their limits."""
import math

from scipy import integrate, optimize, stats

from lines import Tap, far


def lognormal_missed(mean, sd, portion):
    """The share of portions without a cell."""
    if sd == 0:
        return math.exp(-portion * 10 ** mean)

    def one(z):
        return math.exp(-z * z / 2 - min(portion * 10 ** (mean + sd * z), 1e4))

    turn = (-math.log10(portion) - mean) / sd
    points = [turn] if -10 < turn < 10 else None
    value, _ = integrate.quad(one, -10, 10, points=points, epsabs=0, epsrel=1e-12, limit=2000)
    return value / math.sqrt(2 * math.pi)


def lognormal(source, ask):
    given = {"mean_log10": source.uniform(-6, 2), "sd_log10": source.choice([0, 0.25, 0.8, source.uniform(0, 4)]),
             "portion_g": 10 ** source.uniform(-1, 3), "tests": source.randint(1, 60),
             "confidence": source.uniform(0.5, 0.999)}
    got = ask("detection-lognormal", given)
    sd, portion, tests = given["sd_log10"], given["portion_g"], given["tests"]
    missed = lognormal_missed(given["mean_log10"], sd, portion)
    wrong = far(got.get("chance_one"), 1 - missed, 1e-9, 1e-13) or far(
        got.get("chance"), 1 - missed ** tests, 1e-9, 1e-12)
    if wrong or source.random() > 0.25:
        return wrong
    wanted = math.log(1 - given["confidence"])
    mean = optimize.brentq(
        lambda m: tests * math.log(max(lognormal_missed(m, sd, portion), 1e-300)) - wanted, -25, 15,
        xtol=1e-11)
    return far(got.get("rejected_mean_log10"), mean, 1e-9, 1e-8)


def detection(source, ask):
    given = {"cells_per_kg": 10 ** source.uniform(-3, 6), "portion_g": 10 ** source.uniform(0, 3),
             "share": source.uniform(0.001, 1), "sensitivity": source.uniform(0.1, 1),
             "pooled": source.randint(1, 60), "tests": source.randint(1, 60), "confidence": 0.95}
    got = ask("detection", given)

    def chance(cells):
        missed = stats.poisson.pmf(0, cells / 1000 * given["portion_g"] / given["pooled"])
        one = given["sensitivity"] * (1 - (1 - given["share"] * (1 - missed)) ** given["pooled"])
        return stats.binom.sf(0, given["tests"], one)

    wrong = far(got.get("chance"), chance(given["cells_per_kg"]), 1e-7, 1e-10)
    if wrong:
        return wrong
    if chance(1e15) < 0.95 - 1e-9:
        return None if "found_per_kg" not in got else "a level is found that none can be"
    if "found_per_kg" not in got:
        return "no level is found"
    return far(chance(got["found_per_kg"]), 0.95, 1e-8)


def size(source, ask):
    lot = source.choice([None, source.randint(1, 20000)])
    given = {"prevalence": 10 ** source.uniform(-4, 0), "confidence": source.uniform(0.5, 0.999),
             "sensitivity": source.choice([1, source.uniform(0.2, 1)])}
    if lot is not None:
        given["lot_size"] = lot
    got = ask("sample-size", given)
    left = 1 - given["confidence"]

    def missed(n):
        if lot is None:
            return stats.binom.pmf(0, n, given["prevalence"] * given["sensitivity"])
        positives = max(1, math.floor(given["prevalence"] * lot))
        found = stats.hypergeom(lot, positives, n)
        low, high = found.support()
        counts = range(int(low), int(high) + 1)
        return sum(found.pmf(list(counts)) * [(1 - given["sensitivity"]) ** i for i in counts])

    if "samples" not in got:
        return None if lot is not None and missed(lot) > left else "no number is given"
    n = got["samples"]
    if missed(n) > left * (1 + 1e-7):
        return f"{n} samples miss with {missed(n)}"
    if n > 1 and missed(n - 1) <= left * (1 - 1e-7):
        return f"{n - 1} samples would do"
    return far(got["missed"], missed(n), 1e-7, 1e-12)


tap = Tap("microbe")
tap.cases("detection-lognormal", 400, lognormal)
tap.cases("detection", 400, detection)
tap.cases("sample-size", 300, size)
tap.end()
