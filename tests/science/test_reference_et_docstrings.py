"""The examples in the docstrings of reference evapotranspiration hold."""

from __future__ import annotations

import doctest
from importlib import import_module

import pytest

MODULES = (
    "air",
    "sun",
    "radiation",
    "reference_et",
    "missing_data",
    "hourly_site",
    "hour_in_full",
    "daily_site",
    "stretches",
)


@pytest.mark.parametrize("name", MODULES)
def test_docstring_examples(name: str) -> None:
    """Every example in the module gives what it prints, and there is at least one."""
    result = doctest.testmod(import_module(f"irrigate.science.{name}"))
    assert result.attempted > 0
    assert result.failed == 0
