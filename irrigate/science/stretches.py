"""Long series worked through in stretches that stay in a processor's cache."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

# A float64 column of this many values is 96 KiB: a few of them fit a second-level cache, and
# none is so large that the allocator asks the system for fresh, unmapped pages each time.
BLOCK = 12288


def stretches(length: int, rows: int = 1) -> Iterator[slice]:
    """Yield slices that cover an axis, at least one, each about `BLOCK` values over all rows.

    length : of the last axis; rows : how many such axes there are.

    >>> [(one.start, one.stop) for one in stretches(30000)]
    [(0, 12288), (12288, 24576), (24576, 30000)]
    >>> list(stretches(0))
    [slice(0, 0, None)]
    """
    size = max(24, BLOCK // max(1, rows))
    for start in range(0, max(length, 1), size):
        yield slice(start, min(start + size, length))


def stretch_of(column: Any, block: slice, length: int) -> NDArray[Any]:
    """Return a stretch of a column's last axis, or all of one that is the same throughout.

    column : a number, or an array whose last axis has ``length`` values or one.

    >>> stretch_of(np.arange(4), slice(1, 3), 4)
    array([1, 2])
    """
    values = np.asarray(column)
    if values.ndim and values.shape[-1] == length:
        stretch: NDArray[Any] = values[..., block]
        return stretch
    return values
