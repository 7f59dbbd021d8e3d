"""The shipped catalogue: regular in form, every value tagged, every entry usable."""

from __future__ import annotations

from importlib import resources
from typing import Any

import pytest
import yaml

from irrigate.garden.media import Medium
from irrigate.garden.vessels import (
    TRADE_SIZE_L,
    RoundBowl,
    RoundTaper,
    SquareTaper,
    Trough,
    Vessel,
)

SHAPES = {"round": RoundTaper, "square": SquareTaper, "trough": Trough, "bowl": RoundBowl}
CROP_FIELDS = {
    "height_m", "width_m", "kcb_mid", "kcb_end", "stages_d", "depletion_fraction",
    "leaf_area_index", "leaf_resistance_s_m", "likes", "fruiting", "bears_c",
}  # fmt: skip
SAID_OF_SOME = {"bare_stem", "leaves_by_month", "salt_ds_m", "rain_catch"}


def _read(name: str) -> dict[str, dict[str, Any]]:
    text = (resources.files("irrigate.catalogue") / name).read_text(encoding="utf-8")
    entries: dict[str, dict[str, Any]] = yaml.safe_load(text)
    return entries


def _values(entry: dict[str, Any]) -> dict[str, Any]:
    return {field: pair[0] for field, pair in entry.items() if field != "aliases"}


@pytest.mark.parametrize(
    ("name", "least"), [("crops.yaml", 35), ("media.yaml", 10), ("vessels.yaml", 20)]
)
def test_form_is_regular(name: str, least: int) -> None:
    """Each value is paired with a tag that starts with V, A, R or M; no name is used twice."""
    entries = _read(name)
    assert len(entries) >= least
    names: list[str] = []
    for key, entry in entries.items():
        names += [key, *entry["aliases"]]
        for field, pair in entry.items():
            if field == "aliases":
                continue
            assert isinstance(pair, list), (key, field)
            assert len(pair) == 2, (key, field)
            assert pair[1].split()[0] in {"V", "A", "R", "M"}, (key, field)
    assert all(isinstance(one, str) and one == one.lower().strip() for one in names)
    assert len(names) == len(set(names))


def test_every_medium_can_be_made() -> None:
    """Every mix makes a medium whose pots hold water for plants and keep some air."""
    pot = RoundTaper.of_volume(14.9)
    for name, entry in _read("media.yaml").items():
        medium = Medium(name=name, **_values(entry))
        assert 0.10 <= medium.available_l(pot) / pot.filled_volume_l <= 0.45, name
        assert medium.air_space(pot) > 0.02, name
        assert medium.readily_evaporable_water_mm(pot) == medium.rew_mm, name


def test_every_vessel_can_be_made() -> None:
    """Every pot kind makes a vessel between a quarter litre and a raised bed."""
    for name, entry in _read("vessels.yaml").items():
        values = _values(entry)
        shape = SHAPES[values.pop("shape")]
        assert values.pop("wall") in {"plastic", "glazed", "clay", "fabric", "wood", "metal"}
        vessel: Vessel = (
            shape.of_volume(values["volume_l"]) if "volume_l" in values else shape(**values)
        )
        assert 0.2 <= vessel.volume_l <= (1000.0 if "raised bed" in name else 200.0), name
        assert "open_base" not in values or "raised bed" in name
        assert 0.7 <= vessel.filled_volume_l / vessel.volume_l <= 0.95, name


def test_five_gallons_are_two_things() -> None:
    """A trade #5 is 14.9 L (printed under NIST labelling); a bucket of 5 US gallons is 18.9 L."""
    entries = _read("vessels.yaml")
    for size, litres in TRADE_SIZE_L.items():
        assert _values(entries[f"nursery {size} gal"])["volume_l"] == litres
    assert TRADE_SIZE_L[5] == 14.9
    bucket = _values(entries["bucket 5 gal"])
    del bucket["shape"], bucket["wall"]
    assert RoundTaper(**bucket).volume_l == pytest.approx(18.9, abs=0.1)


def test_every_crop_is_whole_and_plausible() -> None:
    """Every crop has the same fields, within the limits that plants in pots keep."""
    for name, entry in _read("crops.yaml").items():
        values = _values(entry)
        assert set(values) - SAID_OF_SOME == CROP_FIELDS, name
        assert 0.1 <= values["height_m"] <= 3.0, name
        assert 0.1 <= values["width_m"] <= 1.5, name
        assert 0.25 <= values["kcb_end"] <= values["kcb_mid"] <= 1.2, name
        assert 0.1 <= values["depletion_fraction"] <= 0.8, name
        assert 1.0 <= values["leaf_area_index"] <= 4.0, name
        assert 100 <= values["leaf_resistance_s_m"] <= 600, name
        assert values["likes"] in {"even", "dry-between"}, name
        assert isinstance(values["fruiting"], bool), name
        assert len(values["stages_d"]) in {0, 4}, name
        assert -20 <= values["bears_c"] <= 6, name
        assert 0.0 <= values.get("bare_stem", 0.0) <= 0.5, name
        months = values.get("leaves_by_month", [1.0] * 12)
        assert len(months) == 12, name
        assert all(0.0 <= share <= 1.0 for share in months), name
        assert months[6] == 1.0, name  # in leaf at midsummer, north of the equator
        assert not (values["stages_d"] and "leaves_by_month" in values), name


@pytest.mark.parametrize(
    ("name", "mid", "end", "stages", "fraction"),
    [
        ("pepper", 1.00, 0.80, [30, 35, 40, 20], 0.30),
        ("tomato", 1.15, 0.70, [30, 40, 40, 25], 0.40),
        ("eggplant", 1.00, 0.80, [30, 40, 40, 20], 0.45),
        ("sweet potato", 1.10, 0.55, [20, 30, 60, 40], 0.65),
        ("cucumber", 0.95, 0.70, [20, 30, 40, 15], 0.50),
        ("zucchini", 0.90, 0.70, [25, 35, 25, 15], 0.50),
        ("pumpkin", 0.95, 0.70, [20, 30, 30, 20], 0.35),
        ("cantaloupe", 0.75, 0.50, [30, 45, 35, 10], 0.45),
        ("watermelon", 0.95, 0.70, [20, 30, 30, 30], 0.40),
        ("green bean", 1.00, 0.80, [20, 30, 30, 10], 0.45),
        ("dry bean", 1.10, 0.25, [20, 30, 40, 20], 0.45),
        ("lettuce", 0.90, 0.90, [20, 30, 15, 10], 0.30),
        ("cabbage", 0.95, 0.85, [20, 30, 20, 10], 0.45),
        ("strawberry", 0.80, 0.70, [], 0.20),
        ("mint", 1.10, 1.05, [], 0.40),
    ],
)
def test_rows_of_fao_56(
    name: str, mid: float, end: float, stages: list[int], fraction: float
) -> None:
    """FAO-56 Tables 17, 11 and 22: rows stand in the catalogue as printed."""
    values = _values(_read("crops.yaml")[name])
    assert (values["kcb_mid"], values["kcb_end"]) == (mid, end)
    assert values["stages_d"] == stages
    assert values["depletion_fraction"] == fraction


def test_orchard_rows_do_not_bound_a_leaf() -> None:
    """Citrus, olive and grape: kcb_mid is full cover's 1.20 (Eq 101), not Table 17's ground."""
    entries = _read("crops.yaml")
    for name in ("lemon", "orange", "olive", "grape", "fig"):
        values = _values(entries[name])
        assert values["kcb_mid"] == 1.20
        assert values["leaf_resistance_s_m"] > 100


@pytest.mark.parametrize(
    ("name", "salt"),
    [
        ("pepper", 1.5), ("tomato", 0.9), ("sweet potato", 1.5), ("cucumber", 1.1),
        ("zucchini", 4.7), ("pumpkin", 1.2), ("green bean", 1.0), ("cowpea", 4.9), ("pea", 1.5),
        ("lettuce", 1.3), ("cabbage", 1.0), ("broccoli", 2.8), ("spinach", 2.0),
        ("strawberry", 1.0), ("potato", 1.7), ("radish", 1.2),
    ],
)  # fmt: skip
def test_salt_of_table_23(name: str, salt: float) -> None:
    """FAO-56 Table 23: thresholds stand as printed [dS/m], the lowest where a range is printed."""
    entry = _read("crops.yaml")[name]
    assert entry["salt_ds_m"][0] == salt
    assert entry["salt_ds_m"][1].startswith("V T23")


def test_turf_of_fao_56() -> None:
    """FAO-56 Tables 17 and 22: cool season turf."""
    turf = _values(_read("crops.yaml")["turf"])
    assert (turf["kcb_mid"], turf["kcb_end"], turf["depletion_fraction"]) == (0.90, 0.90, 0.40)


def test_a_bed_on_soil_has_no_bottom() -> None:
    """Beds come in pairs, on soil and on paving, with the same measures."""
    entries = _read("vessels.yaml")
    pairs = [name for name in entries if f"{name} on paving" in entries]
    assert len(pairs) >= 4
    for name in pairs:
        on_soil, paved = _values(entries[name]), _values(entries[f"{name} on paving"])
        assert (on_soil.pop("open_base"), paved.pop("open_base")) == (True, False)
        assert on_soil == paved
