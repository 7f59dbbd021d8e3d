"""The examples in the docstrings of the pot's physics are run as they stand."""

from __future__ import annotations

import doctest
from types import ModuleType

import pytest

from irrigate.science import (
    canopy,
    crop_coefficients,
    growth,
    lone_plant,
    retention,
    root_zone,
    salinity,
    shading,
    stress,
    surface,
    wetting,
)

MODULES = (
    canopy, crop_coefficients, growth, lone_plant, retention, root_zone, salinity, shading, stress,
    surface, wetting,
)  # fmt: skip


@pytest.mark.parametrize(
    "module",
    MODULES,
    ids=lambda module: module.__name__.rsplit(".", 1)[-1],
)
def test_examples_give_what_they_say(module: ModuleType) -> None:
    """Every public function has an example, and each example gives what stands below it."""
    result = doctest.testmod(module)
    public = [
        name
        for name, item in vars(module).items()
        if callable(item) and getattr(item, "__module__", "") == module.__name__
    ]
    assert result.failed == 0
    assert result.attempted >= len(public)
