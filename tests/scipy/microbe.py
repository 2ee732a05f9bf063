"""Sampling for microbes: chances, sample sizes, counts and their limits."""
import math

from scipy import integrate, optimize, special, stats

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


def mpn(source, ask):
    count = source.randint(1, 5)
    first = 10 ** source.uniform(-3, 2)
    levels = []
    for i in range(count):
        tubes = source.choice([3, 5, 8, 10, source.randint(1, 60)])
        levels.append([first / source.uniform(2, 12) ** i, tubes, source.randint(0, tubes)])
    x = sum(level[2] for level in levels)
    if x == 0 or x == sum(level[1] for level in levels):
        levels.append([first / 3, 2, 1])
    got = ask("mpn", {"levels": levels})

    def score(t):
        level = math.exp(t)
        return sum(x * v / -math.expm1(-level * v) - n * v for v, n, x in levels)

    def ln_likelihood(t):
        level = math.exp(t)
        # SciPy's own loses digits where nearly every tube is positive.
        return sum(
            math.log(special.binom(n, x)) + special.xlogy(x, -math.expm1(-level * v)) - (n - x) * level * v
            for v, n, x in levels)

    best = optimize.brentq(score, -30, 30, xtol=1e-14)
    level = math.exp(best)
    information = sum(
        x * v * v * math.exp(-level * v) / math.expm1(-level * v) ** 2 for v, n, x in levels)
    error = 1 / math.sqrt(information) / level / math.log(10)
    wrong = far(got["mpn"], level, 1e-10) or far(got["se_log10"], error, 1e-9) or far(
        got["jarvis_high"], level * 10 ** (1.959963984540054 * error), 1e-8) or far(
            got["likelihood"], math.exp(ln_likelihood(best)), 1e-8)
    if wrong:
        return wrong
    least = ln_likelihood(best) - stats.chi2.ppf(0.95, 1) / 2
    for name, step in (("ratio_low", -0.5), ("ratio_high", 0.5)):
        while ln_likelihood(best + step) > least:
            step *= 2
        end = optimize.brentq(lambda t: max(ln_likelihood(t), -1e9) - least, best, best + step)
        wrong = wrong or far(got[name], math.exp(end), 1e-7)
    likeliest = 1
    for v, n, _ in levels:
        share = -math.expm1(-level * v)
        likeliest *= stats.binom.pmf(range(n + 1), n, share).max()
    return wrong or far(got["rarity"], math.exp(ln_likelihood(best)) / likeliest, 1e-8)


def plates(source, ask):
    level = 10 ** source.uniform(0, 7)
    first = 10 ** source.uniform(-7, 0)
    counted = [[first / 10 ** source.randint(0, 2), 0] for _ in range(source.randint(1, 6))]
    for plate in counted:
        plate[1] = source.randint(0, 300) if source.random() < 0.9 else 0
    over = [[plate[0] * 10, source.randint(50, 300)] for plate in counted[:source.choice([0, 0, 1, 2])]]
    got = ask("plate-count", {"plates": counted, "too_many": over})
    colonies = sum(plate[1] for plate in counted)
    sample = sum(plate[0] for plate in counted)
    if not over:
        return far(got["per_ml"], colonies / sample, 1e-12) or far(
            got["low"], stats.chi2.ppf(0.025, 2 * colonies) / 2 / sample if colonies else 0, 1e-9) or far(
                got["high"], stats.chi2.isf(0.025, 2 * colonies + 2) / 2 / sample, 1e-9)

    def ln_likelihood(t):
        level = math.exp(t)
        return colonies * t - level * sample + sum(
            stats.poisson.logsf(limit - 1, level * v) for v, limit in over)

    at = math.log(got["per_ml"])
    top = optimize.minimize_scalar(lambda t: -ln_likelihood(t), bounds=(at - 1, at + 1),
                                   method="bounded", options={"xatol": 1e-9}).x
    least = ln_likelihood(at) - stats.chi2.ppf(0.95, 1) / 2
    return far(at, top, 1e-6, 1e-6) or far(
        ln_likelihood(math.log(got["low"])), least, 1e-9, 1e-6) or far(
            ln_likelihood(math.log(got["high"])), least, 1e-9, 1e-6)


def hits(source, ask):
    swabs = int(10 ** source.uniform(0, 5))
    found = source.choice([0, swabs, source.randint(0, swabs), min(swabs, source.randint(0, 5))])
    got = ask("hit-rate", {"hits": found, "swabs": swabs})
    test = stats.binomtest(found, swabs)
    exact = test.proportion_ci(0.95, method="exact")
    wilson = test.proportion_ci(0.95, method="wilson")
    return far(got["exact_low"], exact.low, 1e-8, 1e-12) or far(
        got["exact_high"], exact.high, 1e-8) or far(
            got["wilson_low"], wilson.low, 1e-8, 1e-12) or far(got["wilson_high"], wilson.high, 1e-8)


def two_class(source, ask):
    samples = source.randint(1, 2000)
    accept = source.randint(0, min(samples - 1, 40))
    given = {"samples": samples, "accept": accept}
    if source.random() < 0.5:
        given["lot_size"] = source.randint(samples, 50000)
        given["bad"] = source.randint(0, min(given["lot_size"], 500))
        share = given["bad"] / given["lot_size"]
    else:
        share = given["share"] = source.uniform(0, 1) ** 3
    got = ask("two-class-plan", given)
    wrong = far(got["accepted"], stats.binom.cdf(accept, samples, share), 1e-8, 1e-14) or far(
        got["accepted_poisson"], stats.poisson.cdf(accept, samples * share), 1e-8, 1e-14)
    for name, chance in (("share_95", 0.95), ("share_50", 0.5), ("share_10", 0.1)):
        wrong = wrong or far(got[name], stats.beta.isf(chance, accept + 1, samples - accept), 1e-8)
    if "bad" in given:
        of_lot = stats.hypergeom.cdf(accept, given["lot_size"], given["bad"], samples)
        wrong = wrong or far(got["accepted_of_lot"], of_lot, 1e-7, 1e-12)
    return wrong


def three_class(source, ask):
    samples = source.randint(1, 200)
    accept = source.randint(0, samples - 1)
    defective = source.uniform(0, 1) ** 4
    marginal = source.uniform(0, 1 - defective)
    got = ask("three-class-plan", {
        "samples": samples, "accept": accept, "marginal": marginal, "defective": defective})
    good = max(0, 1 - marginal - defective)
    want = sum(stats.multinomial.pmf([i, samples - i, 0], samples, [marginal, good, defective])
               for i in range(accept + 1))
    return far(got["accepted"], want, 1e-7, 1e-12)


def lognormal_plan(source, ask):
    samples = source.randint(1, 60)
    given = {"samples": samples, "accept": source.randint(0, min(samples - 1, 5)),
             "mean_log10": source.uniform(-2, 5), "sd_log10": source.uniform(0.1, 2),
             "m_log10": source.uniform(0, 4), "confidence": source.uniform(0.5, 0.999)}
    if source.random() < 0.7:
        given["most_log10"] = given["m_log10"] + source.uniform(0, 3)
    got = ask("lognormal-plan", given)

    def accepted(mean):
        level = stats.norm(mean, given["sd_log10"])
        defective = level.sf(given["most_log10"]) if "most_log10" in given else 0
        good = level.cdf(given["m_log10"])
        rest = good / max(1 - defective, 1e-300)
        return (1 - defective) ** samples * stats.binom.sf(
            samples - given["accept"] - 1, samples, min(1, rest))

    return far(got["accepted"], accepted(given["mean_log10"]), 1e-7, 1e-12) or far(
        accepted(got["rejected_mean_log10"]), 1 - given["confidence"], 1e-6)


def limiting(source, ask):
    given = {"quality": 10 ** source.uniform(-2.9, math.log10(0.5)), "risk": source.uniform(0.01, 0.5),
             "accept": source.randint(0, 50)}
    n = ask("limiting-quality", given)["samples"]
    if stats.binom.cdf(given["accept"], n, given["quality"]) > given["risk"] * (1 + 1e-9):
        return f"{n} samples are too few"
    if n > given["accept"] + 1 and stats.binom.cdf(
            given["accept"], n - 1, given["quality"]) <= given["risk"] * (1 - 1e-9):
        return f"{n - 1} samples would do"
    return None


tap = Tap("microbe")
tap.cases("detection-lognormal", 400, lognormal)
tap.cases("detection", 400, detection)
tap.cases("sample-size", 300, size)
tap.cases("mpn", 400, mpn)
tap.cases("plate-count", 400, plates)
tap.cases("hit-rate", 300, hits)
tap.cases("two-class-plan", 400, two_class)
tap.cases("three-class-plan", 300, three_class)
tap.cases("lognormal-plan", 300, lognormal_plan)
tap.cases("limiting-quality", 300, limiting)
tap.end()
