"""Mutated garden files: read, or refused with faults that each name a line."""

from __future__ import annotations

import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from irrigate.errors import GardenFileError
from irrigate.settings.garden_file import settings_of
from tests.campaigns.bad_garden import holds_for, mutations


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(mutations())
def test_mutated_gardens(content):
    """Whatever is done to a garden file, nothing but faults with their places comes out."""
    holds_for(content)


leaves = st.none() | st.booleans() | st.integers() | st.text(max_size=8)
trees = st.recursive(
    leaves,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=12,
)
HEADINGS = ["site", "rounds", "people", "places", "mixes", "pot kinds", "plants", "pots", "reach"]


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(st.sampled_from(HEADINGS), trees, min_size=1))
def test_files_of_the_wrong_shape(tree):
    """Lists, mappings and words in each other's places are refused, whatever they hold."""
    with pytest.raises(GardenFileError) as refused:
        settings_of(json.dumps(tree))
    assert refused.value.faults
