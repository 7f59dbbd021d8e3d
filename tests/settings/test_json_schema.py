"""The JSON schema: sound by its metaschema, at one with the reader, and never a false alarm."""

from __future__ import annotations

import contextlib
import re
from datetime import time
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from irrigate.cli.schema import schema_text
from irrigate.errors import GardenFileError
from irrigate.garden.pots import Manner, Person, Place
from irrigate.settings import (
    basins,
    catalogue,
    fields,
    readers,
    surroundings,
    time_fields,
    vessel_fields,
)
from irrigate.settings.entries import Entry
from irrigate.settings.garden_file import settings_of
from irrigate.settings.json_schema import garden_schema
from irrigate.settings.resolve_pots import USUAL_MIX, USUAL_RISK
from irrigate.settings.schema import GardenEntry
from irrigate.settings.written import Written
from irrigate.units import area_m2, patterns, salt_ds_m
from irrigate.units import reading as units
from irrigate.units.instruments import AREA, LIGHT, SALT
from tests.settings.gardens import FULL, GARDEN, changed, changed_in_full
from tests.settings.mistakes import MISTAKES
from tests.settings.mistakes_in_full import MISTAKES_IN_FULL
from tests.settings.yaml_as_editors_see_it import as_editors_see_it

TOP = Path(__file__).parents[2]
SAMPLES = [*sorted((TOP / "config").glob("*.yaml")), TOP / "irrigate/catalogue/demo_garden.yaml"]
MODELINE = re.compile(r"^# yaml-language-server: \$schema=(\S+)$", re.MULTILINE)
SCHEMA = garden_schema()
VALIDATOR = Draft202012Validator(SCHEMA)

BARE = """\
site: {latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}
rounds: [07:00]
places: {porch: }
pots:
  1: {plant: basil, pot: 5 gal, place: porch}
  2: {like: 1, mix: bark mix}
"""

BEYOND_A_SCHEMA = [
    (
        "range of a quantity with a unit",
        "is out of range|a (pot|bed) holds|makes the plant|the year must",
    ),
    ("two entries that do not go together", "check both|far wider|theta_r|more than half"),
    ("number of sides by the shape", "trough: write length and width"),
    ("names that the file itself gives", "is not among the|is not a (plant|mix|pot kind) known"),
    ("other pots", "there is a pot|and still is|only one of them can|sounds like|already in line"),
    ("the same thing twice", "stands there twice|a second time|rounds on one day"),
    ("time zones, and where they lie", "does not lie in|is not a time zone"),
    ("a span of no length", "begins when it ends"),
    ("a length of names, spaces tidied", "longer than 60 letters"),
    ("days that a month lacks", "02-30 is not a date"),
    ("a pot kind that may be called 19", "(19|repotted: 3) has no unit"),
    ("what finds room in or around a pot", "has no room for"),
    ("what a pot's place is", "no rain falls under"),
    ("how high a bed is", "how high the boards"),
]
"""What a schema cannot say or look up, and how `check` tells it."""


def errors_in(text: str) -> list[str]:
    """Return what an editor marks in a garden file's text."""
    return [error.message for error in VALIDATOR.iter_errors(as_editors_see_it(text))]


def test_the_schema_is_one():
    """The schema holds to the metaschema of JSON Schema 2020-12, as its dialect says."""
    assert SCHEMA["$schema"] == Draft202012Validator.META_SCHEMA["$id"]
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_every_sample_garden_holds_to_it(path):
    """Nothing in a garden that comes with the package is marked in an editor."""
    assert errors_in(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.name)
def test_a_sample_names_a_schema_only_if_it_is_there(path):
    """The line that leads editors to a schema names a file that lies beside the sample."""
    named = MODELINE.findall(path.read_text(encoding="utf-8"))
    beside = (path.parent / "garden.schema.json").exists()
    assert named == (["./garden.schema.json"] if beside else [])


def test_the_schema_beside_the_sample_is_up_to_date():
    """`irrigate schema --out config/garden.schema.json` would change nothing."""
    assert (TOP / "config/garden.schema.json").read_text(encoding="utf-8") == schema_text()


@pytest.mark.parametrize("garden", [GARDEN, BARE, FULL], ids=["own entries", "bare", "full"])
def test_the_gardens_of_the_tests_hold_to_it(garden):
    """What the reader takes in whole is not marked either."""
    settings_of(garden)
    assert errors_in(garden) == []


@pytest.mark.parametrize(("old", "new", "said"), MISTAKES, ids=range(len(MISTAKES)))
def test_what_check_refuses_is_marked(old, new, said):
    """A mistake is marked while it is typed, but for kinds that no schema can tell."""
    try:
        marked = errors_in(changed(old, new))
    except yaml.YAMLError:
        return  # an editor marks it before it comes to the schema
    assert marked or any(re.search(pattern, said[0]) for _, pattern in BEYOND_A_SCHEMA)


@pytest.mark.parametrize(("old", "new", "said"), MISTAKES_IN_FULL, ids=range(len(MISTAKES_IN_FULL)))
def test_what_check_refuses_in_full_is_marked(old, new, said):
    """The same in the garden that says all that can be said."""
    marked = errors_in(changed_in_full(old, new))
    assert marked or any(re.search(pattern, said[0]) for _, pattern in BEYOND_A_SCHEMA)


def test_more_than_half_of_the_mistakes_are_marked():
    """What a schema cannot say is the smaller part."""
    marked = 0
    for old, new, _ in MISTAKES:
        with contextlib.suppress(yaml.YAMLError):
            marked += bool(errors_in(changed(old, new)))
    assert marked > len(MISTAKES) / 2


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("plant: basil", "plant: basill"),
        ("pot: 5 gal", "pot: 5"),
        ("pot: 5 gal", "pot: nursery 5 galon"),
        ("pot: 5 gal", "pot: amphora"),
        ("pot: 5 gal", "pot: {round: 30 cm, volume: 5 gal}"),
        ("mix: bark mix", "mix: barque mix"),
        ("like: 1, ", ""),
        ("like: 1", "lik: 1"),
        ("mix: bark mix", "since: yesterday"),
        ("mix: bark mix", "roof: yes, rain: 50 %"),
        ("places:", "mix: mud\nplaces:"),
        ("rounds: [07:00]", "rounds: []"),
    ],
)
def test_what_a_file_without_names_of_its_own_may_hold(old, new):
    """Where a file has no plants, mixes or kinds of its own, they must be the catalogue's."""
    text = BARE.replace(old, new, 1)
    assert text != BARE
    with pytest.raises(GardenFileError):
        settings_of(text)
    assert errors_in(text)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("plant: basil", "plant: Tomatoes"),
        ("plant: basil", "plant: HOT_PEPPER"),
        ("pot: 5 gal", 'pot: "#5"'),
        ("pot: 5 gal", "pot: Half Barrel"),
        ("mix: bark mix", "mulch: Yes"),
        ("mix: bark mix", "shade: 0, roof: true"),
        ("mix: bark mix", "since: 2026-07-03 6:30 pm"),
        ("mix: bark mix", "size: Knee high and as wide as its pot"),
        ("mix: bark mix", "was: 07"),
        ("rounds: [07:00]", "rounds: [{at: 7 am, on: 'mon, thu'}]"),
        ("mix: bark mix", "saucer: true"),
        ("mix: bark mix", "saucer: NO, outer pot: 7 gal"),
        ("mix: bark mix", "saucer: 1 ft 2 in, covered: no, mulch: bark"),
        ("mix: bark mix", "mulch: 0 %, covered: yes"),
        ("mix: bark mix", "rain catch: 1.5, leaf area: 6 sq. ft"),
        ("mix: bark mix", "repotted: 2026-05-01 out of nursery 1 gal"),
        ("mix: bark mix", "wall: Terra  Cotta, color: Dark  Green, stands: In the ground"),
        ("{porch: }", "{porch: {glass: no, roof: yes, ground: Dry-Grass, pots stand: Close}}"),
        ("{porch: }", "{porch: {lamps: {light: 60 W/m², on: Day and night}}}"),
        ("places:", "water salt: EC 0.9\nplaces:"),
    ],
)
def test_what_is_written_freely_is_not_marked(old, new):
    """What the reader takes in other spellings is not marked in an editor."""
    text = BARE.replace(old, new, 1)
    assert text != BARE
    settings_of(text)
    assert errors_in(text) == []


# --- one source ----------------------------------------------------------------------------
def models() -> list[type[Entry]]:
    """Return the models that a garden file is made of."""

    def below(model: type[Entry]) -> list[type[Entry]]:
        return [model, *(one for kind in model.__subclasses__() for one in below(kind))]

    return [model for model in below(Entry) if not model.__subclasses__()]


def _objects(part: Any) -> list[dict[str, Any]]:
    if isinstance(part, list):
        return [found for item in part for found in _objects(item)]
    if not isinstance(part, dict):
        return []
    here = [part] if part.get("additionalProperties") is False else []
    return here + [found for value in part.values() for found in _objects(value)]


def test_each_key_is_in_the_models_and_in_the_schema():
    """Every model's keys are those of one object of the schema, and there is no other object."""
    told = {tuple(part["properties"]) for part in _objects(SCHEMA)}
    read = {
        tuple(field.alias or name for name, field in model.model_fields.items())
        for model in models()
    }
    assert told == read


def test_every_key_says_what_it_is_for():
    """Each key has a description; what is required has an example in it or a model below it."""
    for part in _objects(SCHEMA):
        assert part["description"]
        for key, below in part["properties"].items():
            assert len(below.get("description", "")) >= 10, key


def test_the_catalogue_is_proposed_whole():
    """Every plant, mix and kind is proposed, by each of its names."""
    for called, shelf in (
        ("plant", catalogue.crops()),
        ("mix", catalogue.media()),
        ("pot-kind-or-volume", catalogue.kinds()),
    ):
        proposed = SCHEMA["$defs"][called]["anyOf"][0]["enum"]
        assert proposed == list(shelf.spellings)
        assert set(shelf.entries) <= set(proposed)


def test_the_defaults_told_are_those_taken():
    """What a description says is taken where nothing is said is what is taken."""
    usual, place = Manner(), Place("")
    begin, end = usual.quiet
    acts = Person("").can_act[0]
    properties = SCHEMA["properties"]
    person = SCHEMA["$defs"]["entry-person"]["properties"]
    exposure = SCHEMA["$defs"]["entry-place"]["properties"]
    told = {
        properties["quiet"]["description"]: f"else {begin:%H:%M}-{end:%H:%M}",
        properties["notice"]["description"]: f"else {usual.notice_min} min",
        properties["lead"]["description"]: f"else {usual.lead_h:g} h",
        properties["keeps rounds"]["description"]: f"else {usual.keeps_rounds:.0%}".replace(
            "%", " %"
        ),
        properties["risk"]["description"]: f"else {USUAL_RISK:.0%}".replace("%", " %"),
        properties["mix"]["description"]: f"else {USUAL_MIX}",
        properties["units"]["description"]: f"else {'US' if usual.us_units else 'metric'}",
        person["hours"]["description"]: f"else {acts[0]:%H:%M}-{acts[1]:%H:%M}",
        person["reach"]["description"]: "else on the console",
        exposure["shade"]["description"]: f"else {place.shade:g}",
        exposure["wind"]["description"]: "else yard",
    }
    assert [text for text, default in told.items() if not text.endswith(default)] == []
    assert (Person("").reach, place.wind) == (("console",), readers.wind("yard"))


def test_examples_are_taken_by_the_reader():
    """Whatever an editor proposes as an example is a text that the schema itself takes."""
    for name, part in SCHEMA["$defs"].items():
        for example in part.get("examples", []):
            assert VALIDATOR.evolve(schema=part | {"$defs": SCHEMA["$defs"]}).is_valid(example), (
                name
            )


# --- patterns ------------------------------------------------------------------------------
def _patterns(part: Any) -> list[str]:
    if isinstance(part, list):
        return [found for item in part for found in _patterns(item)]
    if not isinstance(part, dict):
        return []
    here = [part["pattern"]] if isinstance(part.get("pattern"), str) else []
    return here + [found for value in part.values() for found in _patterns(value)]


def test_patterns_keep_to_what_every_engine_knows():
    """No groups of Python's own, and no escapes that ECMA-262 refuses in its Unicode mode."""
    for pattern in _patterns(SCHEMA):
        assert "(?" not in pattern
        assert set(re.findall(r"\\(.)", pattern)) <= set(r"s.*+?^$()[]{}|\/")


glyphs = "".join(units.FRACTIONS)
figures = st.one_of(
    st.from_regex(rf"[0-9]{{1,3}}(\.[0-9]{{1,2}})?|\.5|[0-9]? ?[{glyphs}]", fullmatch=True),
    st.from_regex(r"([1-9] )?[1-9] ?[/⁄] ?[2-9]", fullmatch=True),
    st.sampled_from([*units.WORDS, "half an", "half a", "a quarter of a"]),
)
cases = st.sampled_from([str.lower, str.upper, str.title, str])
gaps = st.sampled_from(["", " ", "  ", "-", ", "])


@st.composite
def quantities(draw: st.DrawFn, measure: units.Measure) -> str:
    """Draw what somebody may write for a quantity: one pair, or several."""
    said = draw(st.sampled_from(["", "", "", "-", "−", "+", " "]))
    for _ in range(draw(st.sampled_from([1, 1, 1, 2]))):
        unit = draw(cases)(draw(st.sampled_from(sorted(measure.units))))
        said += draw(figures) + draw(gaps) + unit + draw(st.sampled_from(["", "", ".", " ", ", "]))
    return said


def _taken(read: Any, text: str) -> bool:
    try:
        read(text)
    except ValueError:
        return False
    return True


@pytest.mark.parametrize(
    ("read", "measure", "pattern"),
    [
        (units.length_m, units.LENGTH, patterns.length()),
        (units.volume_l, units.VOLUME, patterns.volume()),
        (units.duration_s, units.DURATION, patterns.duration()),
        (units.share, units.SHARE, patterns.share()),
    ],
    ids=["length", "volume", "duration", "share"],
)
@given(data=st.data())
def test_a_quantity_that_is_read_is_not_marked(read, measure, pattern, data):
    """Any spelling of a quantity that the reader takes matches the pattern."""
    text = data.draw(quantities(measure))
    assert re.search(pattern, text) or not _taken(read, text)


@given(
    quantities(units.VOLUME),
    st.sampled_from([" in ", " per ", "/", " / "]),
    quantities(units.DURATION) | st.sampled_from(sorted(units.DURATION.units)),
)
def test_a_flow_that_is_read_is_not_marked(volume, over, duration):
    """The same for a flow."""
    text = volume + over + duration
    assert re.search(patterns.flow(), text) or not _taken(units.flow_l_s, text)


def part_of(annotation: Any) -> Draft202012Validator:
    """Return the validator of a field's type."""
    (written,) = (mark for mark in annotation.__metadata__ if isinstance(mark, Written))
    return Draft202012Validator(written.part())


clock = st.times().map(lambda at: time(at.hour, at.minute)) | st.integers(0, 23).map(time)
spelt = st.sampled_from(["%H:%M", "%I:%M %p", "%I %p", "%I%p", "%I:%M p.m."])
clocks = st.builds(lambda at, form, case: case(at.strftime(form)), clock, spelt, cases)
dates = st.dates().map(str)
days = st.from_regex(
    r"(mon|Tues|we|SUNDAY|weekdays|Weekend|daily|every day)( ?[-–] ?(fri|Th))?", fullmatch=True
)
TYPES = {
    "time of day": (time_fields.TimeOfDay, readers.time_of_day, clocks),
    "hours": (
        time_fields.Span,
        readers.span,
        st.builds(
            "{}{}{}".format, clocks, st.sampled_from(["-", " – ", " to ", " until "]), clocks
        ),
    ),
    "date": (time_fields.Day, readers.day, dates),
    "since": (
        time_fields.Since,
        readers.since,
        dates
        | st.builds("{}{}{}".format, dates, st.sampled_from([" ", "T", "  "]), clocks)
        | st.builds(lambda case: case("always"), cases),
    ),
    "days": (
        time_fields.Weekdays,
        readers.weekdays,
        st.lists(days, min_size=1, max_size=3).map(", ".join),
    ),
    "size": (
        fields.SizeWords,
        readers.size_in_words,
        st.builds(
            lambda case, high, between, wide, swapped: case(
                between.join((wide, high) if swapped else (high, wide))
            ),
            cases,
            st.sampled_from(["knee-high", "Waist high", "shin  high", "head-High", "seedling"]),
            st.sampled_from([", ", " and ", ","]),
            st.sampled_from(["as wide as its pot", "wider than the pot", "twice as wide as a pot"]),
            st.booleans(),
        ),
    ),
    "wind": (
        fields.Wind,
        readers.wind,
        st.builds(lambda case: case("Sheltered"), cases) | quantities(units.SHARE),
    ),
    "mulch": (
        fields.MulchShare,
        readers.mulch,
        st.builds(lambda case: case("Straw"), cases) | quantities(units.SHARE),
    ),
    "saucer": (
        basins.Saucer,
        basins.saucer,
        quantities(units.LENGTH) | quantities(units.VOLUME) | st.sampled_from(["Yes", "NO"]),
    ),
    "rain caught": (
        vessel_fields.RainCaught,
        vessel_fields.caught,
        quantities(units.SHARE) | st.floats(0, 4).map(lambda value: f"{value:.2f}"),
    ),
    "leaf area": (vessel_fields.LeafArea, area_m2, quantities(AREA)),
    "salt in water": (
        fields.WaterSalt,
        salt_ds_m,
        quantities(SALT) | quantities(SALT).map(lambda said: f"EC {said}"),
    ),
    "cold": (
        fields.Cold,
        units.temperature_c,
        st.builds(
            lambda number, unit, case: f"{number}{case(unit)}",
            st.floats(-40, 60).map(lambda value: f"{value:.1f}") | st.integers(-40, 60),
            st.sampled_from([" C", "°F", " degrees celsius"]),
            cases,
        ),
    ),
    "lamps": (
        surroundings.LampsInWords,
        surroundings.lamps,
        st.builds(
            "{}{}{}".format,
            quantities(LIGHT),
            st.sampled_from([", ", ",", " from "]),
            st.builds("{}-{}".format, clocks, clocks) | st.just("day and night"),
        ),
    ),
    "number": (
        fields.Number,
        readers.number,
        st.floats(-1e6, 1e6).map(lambda value: f"{value:.3f}") | st.integers(-99, 99).map(str),
    ),
}


@pytest.mark.parametrize("called", TYPES)
@given(data=st.data())
def test_a_value_that_is_read_is_not_marked(called, data):
    """Any spelling of a time, a date, a size and so on that the reader takes is not marked."""
    annotation, read, texts = TYPES[called]
    text = data.draw(texts)
    assert part_of(annotation).is_valid(text) or not _taken(read, text)


def test_the_top_model_is_the_one_that_checks():
    """The keys of the file's top are those that the reader knows."""
    assert list(SCHEMA["properties"]) == [
        field.alias or name for name, field in GardenEntry.model_fields.items()
    ]
