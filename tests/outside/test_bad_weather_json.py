"""A hundred spoiled forecasts; the campaign module runs thousands."""

from __future__ import annotations

from tests.campaigns.bad_weather_json import campaign


def test_spoiled_forecasts_are_refused_or_used_without_a_hole() -> None:
    """Neither a traceback nor a NaN comes of them, and both outcomes occur."""
    seen = campaign(100)
    assert seen["refused"] >= 10
    assert seen["used"] >= 10
