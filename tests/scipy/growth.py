"""Intervals of seed tests."""
from scipy import stats

from lines import Tap, far


def wilson(source, ask):
    seeds = source.randint(1, 5000)
    counted = source.randint(0, seeds)
    got = ask("germination-interval", {"counted": counted, "seeds": seeds})
    want = stats.binomtest(counted, seeds).proportion_ci(0.95, method="wilson")
    return far(got.get("low"), want.low, 1e-8, 1e-12) or far(got.get("high"), want.high, 1e-8)


tap = Tap("growth")
tap.cases("germination-interval", 300, wilson)
tap.end()
