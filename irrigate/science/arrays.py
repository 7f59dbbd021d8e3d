"""The two types of number that the equations take and give, and how precision is kept."""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

FloatArray: TypeAlias = NDArray[np.floating[Any]]
"""What an equation gives: an array of float32 or float64 (from plain floats, a numpy float)."""

Values: TypeAlias = float | FloatArray
"""What an equation takes: a plain float, or an array of any shape that broadcasts.

A plain float never widens an array: float32 in, float32 out.
"""


def precision_of(*inputs: Values) -> np.dtype[Any]:
    """Return the floating type in which a result of these inputs belongs.

    Plain numbers follow the arrays beside them; alone, or with whole-number arrays, they are
    float64.
    """
    dtype = np.result_type(*inputs)
    return dtype if np.issubdtype(dtype, np.floating) else np.dtype(np.float64)


def in_precision_of(result: Any, *inputs: Values) -> FloatArray:
    """Return a result in the floating type of the inputs that it was computed from.

    Clipping a plain float makes it a numpy float64, which then widens any float32 array that it
    meets; a formula that clips hands its result through here.
    """
    given: FloatArray = np.asarray(result, dtype=precision_of(*inputs))[()]
    return given
