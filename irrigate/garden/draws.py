"""Chance that can be repeated: every draw is a function of a key and a counter, and of no history.

A key names what is drawn for (a pot, a purpose); a counter names the occasion (an hour, a fact).
Nothing is consumed, so the draws of one pot depend neither on which other pots exist nor on the
order in which anything is asked for. The bits come from Philox4x64-10 (Salmon et al., 2011); what
turns bits into numbers is written out here, so that a release of a library cannot change it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from irrigate.garden.weather import HOUR_S

Floats = NDArray[np.float64]
Key = tuple[str | int, ...]

MEMBERS_PER_PAGE = 64
"""Members whose weather lies side by side under one counter word; part of what a draw *is*."""

_NUMBERS_PER_BLOCK = 4  # Philox4x64 gives four words at each count
_BLOCKS_PER_HOUR = MEMBERS_PER_PAGE // _NUMBERS_PER_BLOCK
_STREAM = 1 << 64  # blocks that belong to one counter value: far more than anybody draws


def key_of(*parts: str | int) -> int:
    """Return a 128-bit key for the parts, by BLAKE2b.

    Parameters
    ----------
    parts : what the draws are for, in order; ``"7"`` and ``7`` are different parts, and so are
        ``"a", "b"`` and ``"ab"``.

    Returns
    -------
    int : 0 … 2¹²⁸ − 1, the same on every machine.
    """
    digest = hashlib.blake2b(digest_size=16)
    for part in parts:
        mark = b"s" if isinstance(part, str) else b"i"
        # A lone surrogate (a file name that is not UTF-8) must not make drawing impossible.
        content = str(part).encode("utf-8", errors="surrogatepass")
        digest.update(mark + len(content).to_bytes(8, "little") + content)
    return int.from_bytes(digest.digest(), "little")


def keyed(*parts: str | int, counter: int = 0) -> np.random.Philox:
    """Return a Philox whose key is that of the parts, standing at the start of one counter.

    Parameters
    ----------
    parts : what the draws are for; see `key_of`.
    counter : which occasion; 0 … 2¹⁹² − 1. Streams of different counters never overlap.

    Returns
    -------
    numpy.random.Philox : of which only ``random_raw`` is meant to be used.
    """
    return np.random.Philox(key=key_of(*parts), counter=counter * _STREAM)


def uniforms(key: Key, count: int, *, counter: int = 0) -> Floats:
    """Return numbers evenly spread over the open interval (0, 1).

    Parameters
    ----------
    key : what they are for.
    count : how many; fewer are a prefix of more.
    counter : which occasion.

    Returns
    -------
    float64[count] : odd multiples of 2⁻⁵³, so never 0 and never 1, and exactly symmetric about ½.

    Examples
    --------
    >>> bool((uniforms(("pot", 7), 3) == uniforms(("pot", 7), 9)[:3]).all())
    True
    """
    return _unit(keyed(*key, counter=counter).random_raw(count))


def normals(key: Key, count: int, *, counter: int = 0) -> Floats:
    """Return standard normal numbers.

    Parameters
    ----------
    key : what they are for.
    count : how many; fewer are a prefix of more.
    counter : which occasion.

    Returns
    -------
    float64[count] : within ±8.21, the quantiles of 2⁻⁵³ and its complement.
    """
    return normal_quantile(uniforms(key, count, counter=counter))


def weather_normals(hour_index_s: NDArray[np.int64], members: int, variable: str) -> Floats:
    """Return standard normal numbers for one weather variable, by hour and member only.

    Member k sees one weather for all pots, and a window that has moved on by an hour meets the
    same numbers in the hours that it shares with the last one.

    Parameters
    ----------
    hour_index_s : int64[hour], the ends of the hours [UTC epoch s]; whole hours from 1970 on, in
        any order, gaps allowed.
    members : how many members; fewer are the first of more.
    variable : which variable, ``"rain"`` for instance.

    Returns
    -------
    float64[member, hour].
    """
    hours, odd = np.divmod(np.asarray(hour_index_s, dtype=np.int64), HOUR_S)
    if bool(np.any(odd)) or bool(np.any(hours < 0)):
        raise ValueError("weather is drawn for whole hours from 1970 on")
    pages = -(-members // MEMBERS_PER_PAGE)
    drawn = np.empty((pages, hours.size, MEMBERS_PER_PAGE), dtype=np.uint64)
    key = key_of("weather", variable)
    for page in range(pages):
        for start, stop in _runs(hours):
            counter = page * _STREAM + int(hours[start]) * _BLOCKS_PER_HOUR
            count = (stop - start) * MEMBERS_PER_PAGE
            raw = np.random.Philox(key=key, counter=counter).random_raw(count)
            drawn[page, start:stop] = raw.reshape(stop - start, MEMBERS_PER_PAGE)
    by_member = drawn.transpose(0, 2, 1).reshape(pages * MEMBERS_PER_PAGE, hours.size)
    return normal_quantile(_unit(by_member[:members]))


def normal_quantile(probability: Floats) -> Floats:
    """Return the standard normal quantile.

    Parameters
    ----------
    probability : in the open interval (0, 1), any shape.

    Returns
    -------
    float64, same shape : relative error below 2 × 10⁻¹⁵.

    Notes
    -----
    Algorithm AS 241, PPND16: three quotients of polynomials of degree 7, for the middle, the tails
    and the far tails. Below 10⁻³⁰⁰ it still holds, far beyond what `uniforms` can give.

    Source: Wichura (1988), Applied Statistics 37:477–484.

    Examples
    --------
    >>> normal_quantile(np.array([0.5, 0.975])).round(6).tolist()
    [0.0, 1.959964]
    """
    p = np.asarray(probability, dtype=np.float64)
    q = p - 0.5
    z = np.empty_like(p)
    middle = np.abs(q) <= _MIDDLE
    z[middle] = _centre(q[middle])
    outside = ~middle
    if bool(np.any(outside)):
        tail, side = p[outside], q[outside]
        # 1 − p is exact here, for p ≥ ½: nothing is lost in the upper tail.
        z[outside] = np.copysign(_tail(np.where(side < 0.0, tail, 1.0 - tail)), side)
    return z


def _unit(raw: NDArray[np.uint64]) -> Floats:
    """Return the upper 52 bits of each word, as the middle of its 2⁻⁵² wide cell.

    With 53 bits the middle of the last cell would be rounded to 1.
    """
    return ((raw >> np.uint64(12)).astype(np.float64) + 0.5) * 2.0**-52


def _runs(hours: NDArray[np.int64]) -> Iterator[tuple[int, int]]:
    """Yield (start, stop) of each stretch of hours that follow one another."""
    if not hours.size:
        return
    breaks = np.flatnonzero(np.diff(hours) != 1) + 1
    edges = [0, *breaks.tolist(), hours.size]
    yield from pairwise(edges)


# --- the coefficients of AS 241, highest power first ----------------------------------------
_MIDDLE = 0.425
_FAR = 5.0

_CENTRE_OVER = (
    2.5090809287301226727e3, 3.3430575583588128105e4, 6.7265770927008700853e4,
    4.5921953931549871457e4, 1.3731693765509461125e4, 1.9715909503065514427e3,
    1.3314166789178437745e2, 3.3871328727963666080e0,
)  # fmt: skip
_CENTRE_UNDER = (
    5.2264952788528545610e3, 2.8729085735721942674e4, 3.9307895800092710610e4,
    2.1213794301586595867e4, 5.3941960214247511077e3, 6.8718700749205790830e2,
    4.2313330701600911252e1, 1.0,
)  # fmt: skip
_TAIL_OVER = (
    7.74545014278341407640e-4, 2.27238449892691845833e-2, 2.41780725177450611770e-1,
    1.27045825245236838258e0, 3.64784832476320460504e0, 5.76949722146069140550e0,
    4.63033784615654529590e0, 1.42343711074968357734e0,
)  # fmt: skip
_TAIL_UNDER = (
    1.05075007164441684324e-9, 5.47593808499534494600e-4, 1.51986665636164571966e-2,
    1.48103976427480074590e-1, 6.89767334985100004550e-1, 1.67638483018380384940e0,
    2.05319162663775882187e0, 1.0,
)  # fmt: skip
_FAR_OVER = (
    2.01033439929228813265e-7, 2.71155556874348757815e-5, 1.24266094738807843860e-3,
    2.65321895265761230930e-2, 2.96560571828504891230e-1, 1.78482653991729133580e0,
    5.46378491116411436990e0, 6.65790464350110377720e0,
)  # fmt: skip
_FAR_UNDER = (
    2.04426310338993978564e-15, 1.42151175831644588870e-7, 1.84631831751005468180e-5,
    7.86869131145613259100e-4, 1.48753612908506148525e-2, 1.36929880922735805310e-1,
    5.99832206555887937690e-1, 1.0,
)  # fmt: skip


def _centre(q: Floats) -> Floats:
    """Return the quantile of ½ + q for |q| ≤ 0.425."""
    r = _MIDDLE * _MIDDLE - q * q
    return q * _polynomial(_CENTRE_OVER, r) / _polynomial(_CENTRE_UNDER, r)


def _tail(p: Floats) -> Floats:
    """Return how far below the middle the quantile of p lies, for p < 0.075."""
    r = np.sqrt(-np.log(p))
    near, far = np.minimum(r, _FAR) - 1.6, np.maximum(r, _FAR) - _FAR
    size = _polynomial(_TAIL_OVER, near) / _polynomial(_TAIL_UNDER, near)
    beyond = r > _FAR
    if bool(np.any(beyond)):
        far = far[beyond]
        size[beyond] = _polynomial(_FAR_OVER, far) / _polynomial(_FAR_UNDER, far)
    return size


def _polynomial(coefficients: tuple[float, ...], x: Floats) -> Floats:
    """Return the polynomial by Horner's rule, highest power first."""
    total = np.full_like(x, coefficients[0])
    for coefficient in coefficients[1:]:
        total *= x
        total += coefficient
    return total
