"""The statistics of errors and rain against reference distributions and time series."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, signal, stats

from irrigate.garden.forecast_errors import PRIORS, smooth
from irrigate.garden.forecast_record import PRIOR_WORTH, independent
from irrigate.garden.rain_to_come import SHAPE, SPELL_MEMORY, gamma_of_normal, rain_members
from tests.garden.makers import START, summer

ENDS = int(START.timestamp()) + 3600 * np.arange(1, 241, dtype=np.int64)


@pytest.mark.parametrize("name", list(PRIORS))
def test_errors_are_an_ar1_of_unit_spread(name: str) -> None:
    """Autocorrelation at lags 1, 6 and 24 is memory to that power; each hour is a unit normal."""
    memory = PRIORS[name].memory
    error = smooth(ENDS, 2000, name, memory).astype(np.float64)
    assert np.allclose(error.std(axis=0), 1.0, atol=0.08)
    assert stats.kstest(error[:, 100], "norm").pvalue > 1e-4
    for lag in (1, 6, 24):
        seen = np.mean(error[:, lag:] * error[:, :-lag])
        assert seen == pytest.approx(memory**lag, abs=0.03)


@pytest.mark.parametrize("memory", [0.0, 0.6, 0.9, 0.95])
def test_so_many_independent_errors_lie_in_an_ar1(memory: float) -> None:
    """Long series of scipy's own filter: the mean square varies by 2/n, n as it is counted."""
    rng = np.random.Generator(np.random.Philox(3))
    length, series = 2000, 3000
    fresh = rng.normal(0.0, np.sqrt(1 - memory**2), (series, length + 400))
    error = signal.lfilter([1.0], [1.0, -memory], fresh)[:, 400:]
    varies = np.var(np.mean(error**2, axis=1))
    assert 2.0 / varies == pytest.approx(independent(length, memory), rel=0.1)


@pytest.mark.parametrize(("count", "square"), [(1.0, 4.0), (20.0, 0.5), (75.0, 1.7)])
def test_the_shrinkage_is_the_posterior_of_an_inverse_gamma(count: float, square: float) -> None:
    """Prior times likelihood, integrated numerically: one over the mean of 1/variance.

    A scaled inverse chi-squared (nu, s2) is scipy's invgamma(nu / 2, scale=nu s2 / 2).
    """
    prior = stats.invgamma(PRIOR_WORTH / 2, scale=PRIOR_WORTH / 2)

    def weight(variance: float) -> float:
        likelihood = variance ** (-count / 2) * np.exp(-count * square / (2 * variance))
        return float(prior.pdf(variance) * likelihood)

    whole, _ = integrate.quad(weight, 1e-3, 200.0, limit=500, points=[0.5, 1.0, 2.0, 5.0])
    inverse, _ = integrate.quad(
        lambda v: weight(v) / v, 1e-3, 200.0, limit=500, points=[0.5, 1.0, 2.0, 5.0]
    )
    ours = (PRIOR_WORTH + count * square) / (PRIOR_WORTH + count)
    assert whole / inverse == pytest.approx(ours, rel=1e-4)


def test_amounts_of_rain_are_a_gamma() -> None:
    """The quantiles are those of scipy's gamma of mean 1."""
    chance = np.array([1e-4, 0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99, 0.9999])
    z = stats.norm.ppf(chance).astype(np.float32)
    theirs = stats.gamma(SHAPE, scale=1.0 / SHAPE).ppf(chance)
    assert gamma_of_normal(z) == pytest.approx(theirs, rel=1e-3)


@pytest.mark.parametrize(("first", "second"), [(0.2, 0.2), (0.5, 0.7), (0.05, 0.9)])
def test_two_hours_in_a_row_are_wet_together_as_a_copula_has_it(
    first: float, second: float
) -> None:
    """Each hour is wet by its chance, and both by scipy's bivariate normal distribution."""
    members = 20_000
    weather = summer(6)
    weather.rain_chance[:] = np.where(np.arange(len(weather)) % 2, second, first)
    weather.rain_mm[:] = 1.0
    wet = rain_members(weather, int(weather.end_s[0]) - 3600, members) > 0.0
    both = (wet[:, :-1] & wet[:, 1:]).mean()
    correlated = [[1.0, SPELL_MEMORY], [SPELL_MEMORY, 1.0]]
    limits = [-stats.norm.isf(first), -stats.norm.isf(second)]
    expected = stats.multivariate_normal(cov=correlated).cdf(limits)
    assert both == pytest.approx(expected, abs=0.01)
    assert wet[:, ::2].mean() == pytest.approx(first, abs=0.01)
    assert wet[:, 1::2].mean() == pytest.approx(second, abs=0.01)
