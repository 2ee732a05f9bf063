"""SciPy's side of microbe_bench: the same calculations, one case at a time.

A line in: "mpn" and amount, tubes, positive for each level; or "found" and mean, deviation, portion.
A line out for each: the answers. Then the processor's seconds that each kind took.
"""
import math
import sys
import time

from scipy import integrate, optimize, special, stats

FALL = stats.chi2.ppf(0.95, 1) / 2


def mpn(levels):
    """Number, standard error, both ends of the likelihood ratio's interval, rarity."""
    x_all = sum(x for _, _, x in levels)
    low = math.log(x_all / sum(n * v for v, n, _ in levels))
    high = math.log(x_all / sum((n - x) * v for v, n, x in levels))

    def score(t):
        level = math.exp(t)
        return sum(x * v / -math.expm1(-level * v) - n * v for v, n, x in levels)

    def ln_likelihood(t):
        level = math.exp(t)
        value = 0
        for v, n, x in levels:
            value -= (n - x) * level * v
            if x > 0:
                value += x * math.log(-math.expm1(-level * v))
        return value

    best = optimize.brentq(score, low, high, xtol=1e-13)
    level = math.exp(best)
    information = sum(
        x * v * v * math.exp(-level * v) / math.expm1(-level * v) ** 2 for v, n, x in levels)
    least = ln_likelihood(best) - FALL
    ends = []
    for step in (-0.5, 0.5):
        while ln_likelihood(best + step) > least:
            step *= 2
        ends.append(math.exp(optimize.brentq(
            lambda t: ln_likelihood(t) - least, best, best + step, xtol=1e-11)))
    likeliest = seen = 0
    for v, n, x in levels:
        share = -math.expm1(-level * v)
        k = min(n, int(share * (n + 1)))
        seen += math.log(special.binom(n, x)) + special.xlogy(x, share) - (n - x) * level * v
        likeliest += math.log(special.binom(n, k)) + special.xlogy(k, share) - (n - k) * level * v
    return level, 1 / math.sqrt(information) / level / math.log(10), *ends, math.exp(seen - likeliest)


def found(mean, deviation, portion):
    """The chance that one portion holds a cell."""
    mean_ln, rise = mean * math.log(10) + math.log(portion), deviation * math.log(10)

    def one(z):
        return math.exp(-z * z / 2) * -math.expm1(-math.exp(mean_ln + rise * z))

    return (integrate.quad(one, -10, 10, epsabs=0, epsrel=1e-9, limit=200)[0] / math.sqrt(2 * math.pi),)


def main():
    cases = []
    for line in open(sys.argv[1], encoding="ascii"):
        kind, *numbers = line.split()
        numbers = [float(number) for number in numbers]
        if kind == "mpn":
            cases.append((mpn, ([(numbers[i], int(numbers[i + 1]), int(numbers[i + 2]))
                                 for i in range(0, len(numbers), 3)],)))
        else:
            cases.append((found, tuple(numbers)))
    spent = {mpn: 0.0, found: 0.0}
    answers = []
    for kind in spent:
        start = time.process_time()
        answers += [routine(*given) for routine, given in cases if routine is kind]
        spent[kind] = time.process_time() - start
    for answer in answers:
        print(*(repr(float(number)) for number in answer))
    print(spent[mpn], spent[found])


main()
