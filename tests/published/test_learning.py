"""Learning against an independent interval-censored log-normal fit: the package lifelines.

Shops are simulated from a seed (tests/core/shops.py); their true middles and spreads are known.
"""

import numpy as np
import pytest
from lifelines import LogNormalFitter
from scipy.stats import norm

from cureclock.core.checks import LONGEST_H, Checks
from cureclock.core.normal import density, share_below, share_between
from cureclock.core.trust import _Mind, trust
from tests.core.shops import LABEL_H, simulated

LIFELINES = "lifelines LogNormalFitter, interval censoring"


def fitted(checks: Checks, shop: int) -> tuple[float, float]:
    """Middle and spread by lifelines."""
    low, high = checks.after_h[shop], checks.until_h[shop].copy()
    high[high == LONGEST_H] = np.inf
    fitter = LogNormalFitter().fit_interval_censoring(low, high)
    return float(fitter.mu_), float(fitter.sigma_)


def test_with_many_checks_middle_and_spread_are_those_of_lifelines(checked):
    shops = simulated(11, 12, 200)
    found = trust(shops.checks, LABEL_H, LABEL_H)
    theirs = np.array([fitted(shops.checks, shop) for shop in range(12)])
    middle = np.log(found.middle_h)
    checked("middle of the need, 200 checks [ln h]", LIFELINES, middle, theirs[:, 0])
    checked("spread of the need, 200 checks", LIFELINES, found.spread, theirs[:, 1])
    assert middle == pytest.approx(theirs[:, 0], abs=0.01)
    assert found.spread == pytest.approx(theirs[:, 1], rel=0.08)


def test_the_middle_is_recovered_as_well_as_lifelines_recovers_it(checked):
    shops = simulated(12, 25, 20)
    ours = np.log(trust(shops.checks, LABEL_H, LABEL_H).middle_h) - shops.middle
    theirs = np.array([fitted(shops.checks, shop)[0] for shop in range(25)]) - shops.middle
    checked("error of the middle, 20 checks, mean of 25 shops [ln h]", LIFELINES,
            np.abs(ours).mean(), np.abs(theirs).mean())  # fmt: skip
    assert np.abs(ours).mean() <= np.abs(theirs).mean() * 1.1


def test_the_log_likelihood_is_that_of_lifelines(checked):
    """Up to the prior: the same intervals, the same curve."""
    shops = simulated(13, 3, 30)
    middle, spread = np.array([0.1, -0.1, 0.0]), np.array([0.1, 0.2, 0.15])
    mind = _Mind.of(shops.checks, np.full(3, LABEL_H))
    seen = share_between(*mind._ends(middle, np.log(spread)))
    low = np.log(np.maximum(shops.checks.after_h, 1e-300) / LABEL_H)
    high = np.where(
        shops.checks.until_h == LONGEST_H, np.inf, np.log(shops.checks.until_h / LABEL_H)
    )
    of_scipy = norm.cdf((high - middle[:, None]) / spread[:, None]) - norm.cdf(
        (low - middle[:, None]) / spread[:, None]
    )
    likely = of_scipy > 1e-9
    checked(
        "log share of a bracket", "scipy.stats.norm", np.log(seen[likely]), np.log(of_scipy[likely])
    )
    assert np.log(seen[likely]) == pytest.approx(np.log(of_scipy[likely]), abs=1e-5)


def coverage(seed: int, shops: int, looks: int) -> float:
    """How often the next need of a shop lies below its 90 % point: worked out, not drawn."""
    told = simulated(seed, shops, looks)
    point = np.log(trust(told.checks, LABEL_H, LABEL_H).nine_of_ten_h)
    return float(norm.cdf((point - told.middle) / told.spread).mean())


@pytest.mark.parametrize("looks", [5, 12, 40])
def test_nine_waits_of_ten_are_done_by_the_ninety_per_cent_point(looks, checked):
    found = coverage(21, 400, looks)
    checked(
        f"coverage of the 90 % point, {looks} checks, 400 shops", "simulated shops", found, 0.90
    )
    assert 0.85 <= found <= 0.95


@pytest.mark.long
@pytest.mark.parametrize("looks", [5, 8, 12, 20, 40, 100])
def test_nine_of_ten_over_two_thousand_shops(looks, checked):
    found = coverage(22, 2000, looks)
    checked(
        f"coverage of the 90 % point, {looks} checks, 2000 shops", "simulated shops", found, 0.90
    )
    assert 0.88 <= found <= 0.92


def test_the_quadrature_is_that_of_a_fine_grid():
    """The 90 % point by brute force over 200 x 200 cells, with scipy's own normal curve."""
    shops = simulated(14, 4, 6)
    ours = trust(shops.checks, LABEL_H, LABEL_H).nine_of_ten_h
    for shop in range(4):
        alone = Checks(shops.checks.after_h[shop], shops.checks.until_h[shop])
        assert ours[shop] == pytest.approx(_by_grid(alone), rel=0.01)


def _by_grid(checks: Checks) -> float:
    middle, log_spread = np.meshgrid(np.linspace(-1, 1, 200), np.linspace(-4.5, 0.3, 200))
    spread = np.exp(log_spread)
    belief = -((middle / 0.35) ** 2 + ((log_spread - np.log(0.12)) / 0.5) ** 2) / 2
    for low, high in zip(checks.after_h, checks.until_h, strict=True):
        top = norm.cdf((np.log(high / LABEL_H) - middle) / spread) if high < LONGEST_H else 1.0
        bottom = norm.cdf((np.log(low / LABEL_H) - middle) / spread) if low > 0 else 0.0
        belief += np.log(np.maximum(top - bottom, 1e-300))
    weight = np.exp(belief - belief.max())
    weight /= weight.sum()
    at = np.linspace(-0.5, 1, 300)
    share = [float((weight * norm.cdf((x - middle) / spread)).sum()) for x in at]
    return LABEL_H * float(np.exp(np.interp(0.9, share, at)))


def test_the_normal_curve_is_scipys(checked):
    z = np.linspace(-12, 12, 4001)
    checked("normal share below", "scipy.stats.norm", share_below(z), norm.cdf(z))
    assert share_below(z) == pytest.approx(norm.cdf(z), rel=3e-7)
    assert density(z) == pytest.approx(norm.pdf(z), rel=1e-12)
    far = share_between(np.array([9.0]), np.array([9.5]))[0]
    assert far == pytest.approx(norm.sf(9.0) - norm.sf(9.5), rel=1e-6)
