"""Draws against what was published of the generator and of the normal distribution."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special, stats

from irrigate.garden.draws import normal_quantile, normals, uniforms, weather_normals

# Salmon, Moraes, Dror, Shaw (2011), "Parallel random numbers: as easy as 1, 2, 3"; the known-answer
# file of its reference implementation, rows "philox4x64 10": counter, key, four words of result.
KNOWN_ANSWERS = [
    (
        [0, 0, 0, 0],
        [0, 0],
        [0x16554D9ECA36314C, 0xDB20FE9D672D0FDC, 0xD7E772CEE186176B, 0x7E68B68AEC7BA23B],
    ),
    (
        [0x243F6A8885A308D3, 0x13198A2E03707344, 0xA4093822299F31D0, 0x082EFA98EC4E6C89],
        [0x452821E638D01377, 0xBE5466CF34E90C6C],
        [0xA528F45403E61D95, 0x38C72DBD566E9788, 0xA5A1610E72FD18B5, 0x57BD43B5E52B7FE6],
    ),
]


@pytest.mark.parametrize(("counter", "key", "expected"), KNOWN_ANSWERS)
def test_the_generator_underneath_is_philox4x64_with_ten_rounds(
    counter: list[int], key: list[int], expected: list[int]
) -> None:
    """The bits under every draw are those of the published generator."""
    start = sum(word << (64 * place) for place, word in enumerate(counter))
    whole_key = sum(word << (64 * place) for place, word in enumerate(key))
    # numpy counts up before it draws, so it stands one before the counter that is wanted.
    raw = np.random.Philox(key=whole_key, counter=(start - 1) % 2**256).random_raw(4)
    assert raw.tolist() == expected


@pytest.mark.parametrize(
    ("probability", "quantile"),
    # Wichura (1988), Applied Statistics 37:477, test values of PPND16; the
    # figures from memory.
    [
        (0.25, -0.6744897501960817),
        (0.001, -3.090232306167814),
        (1e-20, -9.262340089798408),
    ],
)
def test_the_quantile_has_the_values_that_its_author_prints(
    probability: float, quantile: float
) -> None:
    """AS 241 gives the figures printed beside it, one in each of its three regions."""
    assert normal_quantile(np.array([probability]))[0] == pytest.approx(quantile, rel=2e-15)


def test_the_quantile_agrees_with_scipy_to_two_parts_in_ten_to_the_fifteen() -> None:
    """The inverse normal is as good as doubles allow (scipy's cephes ndtri)."""
    p = np.concatenate(
        [np.logspace(-300, -1, 20_001), np.linspace(0.05, 0.95, 20_000), 1 - np.logspace(-15, -1)]
    )
    assert normal_quantile(p) == pytest.approx(special.ndtri(p), rel=2e-15, abs=1e-16)


@pytest.mark.parametrize("pot", range(5))
def test_uniforms_are_uniform(pot: int) -> None:
    """Kolmogorov–Smirnov finds no fault with 20,000 draws of a pot (scipy)."""
    assert stats.kstest(uniforms(("pot", pot), 20_000), "uniform").pvalue > 1e-3


@pytest.mark.parametrize("pot", range(5))
def test_normals_are_normal(pot: int) -> None:
    """Kolmogorov–Smirnov and D'Agostino find no fault with 20,000 draws of a pot (scipy)."""
    drawn = normals(("pot", pot), 20_000)
    assert stats.kstest(drawn, "norm").pvalue > 1e-3
    assert stats.normaltest(drawn).pvalue > 1e-3


def test_weather_is_normal_along_hours_and_across_members() -> None:
    """Each member's hours, and each hour's members, are standard normal as a whole (scipy)."""
    hours = 3600 * np.arange(480_000, 480_400)
    drawn = weather_normals(hours, 200, "temperature")
    assert stats.kstest(drawn.ravel(), "norm").pvalue > 1e-3
    along = [stats.kstest(one, "norm").pvalue for one in drawn]
    across = [stats.kstest(one, "norm").pvalue for one in drawn.T]
    # p-values of a true hypothesis are themselves uniform.
    assert stats.kstest(along, "uniform").pvalue > 1e-3
    assert stats.kstest(across, "uniform").pvalue > 1e-3


def test_draws_of_neighbours_are_uncorrelated() -> None:
    """Pots, occasions, hours, members and variables tell nothing about one another."""
    count = 20_000
    limit = 4.5 / np.sqrt(count)  # 4.5 standard errors of a correlation of nothing
    pots = np.array([normals(("pot", pot), count) for pot in range(12)])
    counters = np.array([normals(("pot", 1), count, counter=c) for c in range(12)])
    for rows in (pots, counters):
        off_diagonal = np.corrcoef(rows) - np.eye(len(rows))
        assert np.abs(off_diagonal).max() < limit
    hours = 3600 * np.arange(480_000, 480_000 + count // 4)
    weather = weather_normals(hours, 4, "rain")
    pairs = [
        (weather[:, 1:], weather[:, :-1]),
        (weather[1:], weather[:-1]),
        (weather, weather_normals(hours, 4, "wind")),
    ]
    for one, other in pairs:
        correlation = np.corrcoef(one.ravel(), other.ravel())[0, 1]
        assert abs(correlation) < 4.5 / np.sqrt(one.size)
