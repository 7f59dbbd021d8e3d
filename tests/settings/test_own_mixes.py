"""Mixes that a garden file describes: by likeness, by parts, and by what was measured."""

from __future__ import annotations

import pytest
from jsonschema import Draft202012Validator

from irrigate.errors import GardenFileError
from irrigate.garden.media import Medium
from irrigate.garden.mixing import mixed_by_volume
from irrigate.settings import catalogue
from irrigate.settings.garden_file import settings_of
from irrigate.settings.json_schema import garden_schema
from tests.settings.gardens import changed
from tests.settings.yaml_as_editors_see_it import as_editors_see_it

MINE = "{like: potting mix, lower_limit: 0.2}"
VALIDATOR = Draft202012Validator(garden_schema())


def mix_of(said: str) -> Medium:
    """Return the mix of pot 07a, told so; an editor must not mark it."""
    text = changed(MINE, said)
    assert not list(VALIDATOR.iter_errors(as_editors_see_it(text)))
    return settings_of(text).garden.pots[1].medium


def test_parts_by_volume():
    """The parts are the catalogue's, by any spelling; what else is said changes the mixture."""
    media = catalogue.media()
    mix = mix_of("{mix: {Peat-Perlite: 2, compost: 1}, rew_mm: 7}")
    parts = [(media["peat and perlite"].value, 2.0), (media["compost"].value, 1.0)]
    expected = mixed_by_volume("my mix", parts)
    assert (mix.name, mix.rew_mm) == ("my mix", 7.0)
    assert (mix.theta_s, mix.alpha_per_cm, mix.lower_limit) == (
        expected.theta_s,
        expected.alpha_per_cm,
        expected.lower_limit,
    )
    assert mix.source == (
        "the garden file, 2 peat and perlite, 1 compost by volume (default, not verified);"
        " an approximation, as fine parts fill the gaps of coarse ones"
    )


@pytest.mark.parametrize(
    ("said", "height_m"),
    [
        ("{like: bark mix, holds: 52 %, wilts at: 18 %}", 0.20),
        ("{like: bark mix, holds: 52 %, wilts at: 18 %, measured in: 12 in}", 0.3048),
        ("{mix: {peat: 1, perlite: 1.5}, holds: 52 %, wilts at: 18 %, measured in: 30 cm}", 0.30),
    ],
)
def test_two_measured_numbers(said, height_m):
    """What was measured is met in the pot it was measured in, 20 cm deep if nothing is said."""
    mix = mix_of(said)
    assert mix.held_in_straight_pot(height_m) == pytest.approx(0.52, abs=1e-6)
    assert mix.lower_limit == pytest.approx(0.18)


def test_one_measured_number():
    """Either may be said alone; the other is that of the mix it resembles."""
    bark = catalogue.media()["bark mix"].value
    assert mix_of("{like: bark mix, holds: 45 %}").lower_limit == bark.lower_limit
    wilts = mix_of("{like: bark mix, wilts at: 20 %}")
    assert wilts.held_in_straight_pot() == pytest.approx(bark.held_in_straight_pot(), abs=1e-6)
    assert wilts.lower_limit == pytest.approx(0.2)


MARKED = [
    (
        "{lower_limit: 0.2}",
        (
            "15:11: my mix: write “like”, the mix it resembles, or “mix”, the parts it is made of:"
            " one of them"
        ),
    ),
    (
        "{like: peat, mix: {peat: 1, perlite: 1}}",
        (
            "15:11: my mix: write “like”, the mix it resembles, or “mix”, the parts it is made of:"
            " one of them"
        ),
    ),
    (
        "{mix: {peet: 1, perlite: 1}}",
        "15:18: my mix, mix, peet: “peet” is not a mix known here; did you mean peat?",
    ),
    (
        "{mix: {peat: some, perlite: 1}}",
        "15:24: my mix, mix, peat: some is not a number of parts; write the figure alone",
    ),
    (
        "{mix: {peat: 50 %, perlite: 1}}",
        "15:24: my mix, mix, peat: 50 % is not a number of parts; write the figure alone",
    ),
    ("{mix: , like: peat}", "15:17: my mix, mix: has no value"),
    (
        "{mix: {peat: 0, perlite: 1}}",
        "15:24: my mix, mix, peat: 0 is out of range: 0.01 to 1000 parts",
    ),
    ("{mix: {peat: , perlite: 1}}", "15:24: my mix, mix, peat: has no value"),
    (
        "{mix: {peat: 1}}",
        "15:17: my mix, mix: a mix has two parts or more; for one alone, write “like”",
    ),
    (
        "{mix: peat}",
        "15:17: my mix, mix: lines of its own are expected here, each with a name and a colon",
    ),
    (
        "{like: peat, holds: 52 %, alpha_per_cm: 0.2}",
        "15:11: my mix: “holds” settles alpha_per_cm; take one of the two out",
    ),
    (
        "{like: peat, wilts at: 18 %, lower_limit: 0.2}",
        "15:11: my mix: “wilts at” settles lower_limit; take one of the two out",
    ),
    (
        "{like: peat, measured in: 20 cm}",
        "15:11: my mix: “measured in” says where “holds” was measured; write “holds” too",
    ),
    (
        "{like: peat, holds: 0.52}",
        "15:31: my mix, holds: 0.52 has no unit: say 52 %",
    ),
]
BEYOND_A_SCHEMA = [
    (
        "{mix: {peat: 1, sphagnum peat: 1}}",
        "15:17: my mix, mix: the same mix stands there twice; add its parts up",
    ),
    (
        "{like: peat, holds: 99 %}",
        "15:31: my mix, holds: 99 % is out of range: 1 % to 98 %",
    ),
    (
        "{like: bark mix, holds: 85 %}",
        (
            "15:3: my mix: cannot hold 85 % after draining: it has pores for 79 %, and some of that"
            " is air; choose a mix with more pores"
        ),
    ),
    (
        "{like: bark mix, holds: 30 %, wilts at: 30 %}",
        (
            "15:3: my mix: holds 30 % after draining and wilts at 30 %: nothing is left for plants"
            " between the two"
        ),
    ),
]


@pytest.mark.parametrize(("said", "told"), [*MARKED, *BEYOND_A_SCHEMA])
def test_mistakes_are_told_plainly(said, told):
    """What cannot be is told with its place and how to mend it, and nothing else is."""
    with pytest.raises(GardenFileError) as raised:
        settings_of(changed(MINE, said))
    (fault,) = raised.value.faults
    assert told in fault


@pytest.mark.parametrize("said", [said for said, _ in MARKED])
def test_mistakes_are_marked_in_an_editor(said):
    """The same mistakes are marked while they are typed."""
    assert list(VALIDATOR.iter_errors(as_editors_see_it(changed(MINE, said))))
