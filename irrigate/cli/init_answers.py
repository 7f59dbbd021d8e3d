"""What `init` asks, and how each answer changes the garden that is to be written."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from irrigate.cli.asking import Question
from irrigate.cli.time_zones import country_of, nearest_zone
from irrigate.errors import InputError
from irrigate.settings import catalogue
from irrigate.settings.coordinates import coordinates
from irrigate.settings.kind_words import kinds_with, known_kind, measures_of
from irrigate.settings.one_breath import told_in
from irrigate.settings.place_words import SAID, exposure_of, place_of
from irrigate.settings.readers import did_you_mean
from irrigate.settings.resolve_pots import USUAL_MIX
from irrigate.settings.row_parts import AtHand, Row
from irrigate.settings.writing import NewGarden, faults_of

Taken = tuple[NewGarden, str]

START = NewGarden(
    name="My garden",
    latitude="0",
    longitude="0",
    elevation="0 m",
    time_zone="UTC",
    units="metric",
    can="9 L",
    rounds=("07:00", "18:30"),
    person="gardener",
    reach=("console",),
    mix=USUAL_MIX,
    places=(("garden", {}),),
)
"""A garden that is in order, so that whatever is wrong comes from the one answer put into it."""


def questions(machine_zone: str | None) -> list[Question[NewGarden]]:
    """Return the questions in their order."""
    household = [
        Question(
            "--where",
            "Where is it",
            "Where the garden lies, for its sun and weather: as a map says it, 38.61 N, 121.3 W.",
            lambda _: None,
            lambda draft, text: _where(draft, text, machine_zone),
        ),
        Question(
            "--elevation",
            "Height above the sea",
            "Thin air dries a little faster; below 500 m (1600 ft) a guess is good enough.",
            lambda draft: draft.elevation,
            lambda draft, text: (_sound(replace(draft, elevation=text)), ""),
        ),
        Question(
            "--time-zone",
            "Time zone",
            "Your rounds are times by the clock on your wall.",
            lambda draft: _zone_to_propose(draft, machine_zone),
            lambda draft, text: (_sound(replace(draft, time_zone=text)), ""),
        ),
        Question(
            "--units",
            "US or metric",
            "Messages are written in gallons and °F, or in litres and °C.",
            lambda draft: "US" if country_of(draft.time_zone) == "US" else "metric",
            _units,
        ),
        Question(
            "--can",
            "One can holds",
            "Doses are told in cans: fill it as you always do, and say what it holds.",
            lambda draft: "2 gal" if draft.units == "US" else "9 L",
            lambda draft, text: (_sound(replace(draft, can=text)), ""),
        ),
        Question(
            "--rounds",
            "Rounds",
            "When you come round to water: each message tells what will not last until the next.",
            lambda draft: ", ".join(draft.rounds),
            lambda draft, text: (_sound(replace(draft, rounds=_parts(text))), ""),
        ),
        Question(
            "--name",
            "Name of the garden",
            "It stands at the head of what is printed.",
            lambda draft: draft.name,
            lambda draft, text: (_sound(replace(draft, name=text)), ""),
        ),
        Question(
            "--person",
            "Your name",
            "Others can be added in the file, each with hours of their own.",
            lambda draft: draft.person,
            lambda draft, text: (_sound(replace(draft, person=text)), ""),
        ),
        Question(
            "--reach",
            "How to reach you",
            "The terminal (console), or ways that you name: phone, mail. Addresses come later.",
            lambda draft: ", ".join(draft.reach),
            lambda draft, text: (_sound(replace(draft, reach=_parts(text))), ""),
        ),
    ]
    mix = Question(
        "--mix",
        "Mix in most pots",
        "What fills the pots decides how much water they hold. A few letters show what is known.",
        lambda draft: draft.mix,
        _mix,
    )
    return [*household, _PLACES, mix, _KINDS, _POTS]


def words_for(place: str) -> Question[NewGarden]:
    """Ask for the sun and wind of one place that a table of pots named."""
    return Question(
        "--place",
        place,
        f"What is {place} like? {SAID[0].upper()}{SAID[1:]}.",
        lambda _: "full sun, yard",
        lambda draft, text: _described(draft, place, exposure_of(text)),
    )


def row_said(label: str, row: Row) -> str:
    """Say how a pot's line was understood, in one line."""
    said = [value for key in ("plant", "pot", "place") if isinstance(value := row.get(key), str)]
    for key, value in row.items():
        if isinstance(value, Mapping):
            said.append(" and ".join(f"{length} {what}" for what, length in value.items()))
        elif key not in ("plant", "pot", "place"):
            said.append(value if key in ("size", "mix") else f"{key} {value}")
    return f"{label}: {'; '.join(said)}"


# --- one answer each -----------------------------------------------------------------------
def _sound(draft: NewGarden) -> NewGarden:
    """Return the draft; an `InputError` with what the reader of garden files finds wrong."""
    wrong = [fault.what for fault in faults_of(draft)]
    if wrong:
        raise InputError("\n".join(wrong))
    return draft


def _where(draft: NewGarden, text: str, machine_zone: str | None) -> Taken:
    latitude, longitude = coordinates(text)
    # Any zone that fits the longitude will do until the zone itself is asked.
    by_sun = f"Etc/GMT{-round(float(longitude) / 15):+d}" if abs(float(longitude)) <= 180 else "UTC"
    placed = replace(draft, latitude=latitude, longitude=longitude, time_zone=by_sun)
    _sound(placed)
    side_said = re.search(
        r"[EW]|-|−|\beast\b|\bwest\b", text.partition(",")[2] or text, re.IGNORECASE
    )
    if machine_zone and not side_said and faults_of(replace(placed, time_zone=machine_zone)):
        mirrored = replace(placed, longitude=f"-{longitude}", time_zone=machine_zone)
        if not faults_of(mirrored):
            raise InputError(
                f"{longitude} E is far from this computer's time zone, {machine_zone}: "
                f"did you mean {longitude} W? Write E or W with it"
            )
    return placed, _sides(latitude, longitude)


def _sides(latitude: str, longitude: str) -> str:
    north = "S" if latitude.startswith("-") else "N"
    east = "W" if longitude.startswith("-") else "E"
    return f"{latitude.lstrip('-')} {north}, {longitude.lstrip('-')} {east}"


def _zone_to_propose(draft: NewGarden, machine_zone: str | None) -> str | None:
    """Return the machine's zone if the garden can lie in it, else that of the nearest city."""
    nearest = nearest_zone(float(draft.latitude), float(draft.longitude))
    for zone in (machine_zone, nearest):
        if zone and not faults_of(replace(draft, time_zone=zone)):
            return zone
    return None


def _units(draft: NewGarden, text: str) -> Taken:
    spelled = {"us": "US", "metric": "metric", "u": "US", "m": "metric"}
    units = spelled.get(text.casefold(), text)
    can = "2 gal" if units == "US" else "9 L"
    return _sound(replace(draft, units=units, can=can)), ""


def _mix(draft: NewGarden, text: str) -> Taken:
    shelf = catalogue.media()
    found = shelf.find(text)
    if found is None:
        names = [name for name in shelf.entries if text.casefold() in name]
        if len(names) != 1:
            near = did_you_mean(text, shelf.spellings, most=0)
            listed = f"there is {', '.join(names or shelf.entries)}"
            raise InputError(f"“{text}” is not a mix known here; {near or listed}")
        found = names[0]
    return _sound(replace(draft, mix=found)), "" if found == text else f"read as {found}"


def _place(draft: NewGarden, text: str) -> Taken:
    name, said = place_of(text)
    return _described(draft, name, said)


def _described(draft: NewGarden, name: str, said: Mapping[str, str]) -> Taken:
    """Describe a place; the one that every garden begins with gives way to the first."""
    kept = [] if draft.places is START.places else draft.places
    if any(name.casefold() == other.casefold() for other, _ in kept):
        raise InputError(f"{name} is described already")
    said_back = ", ".join(f"{key} {value}" for key, value in said.items()) or "full sun"
    return _sound(replace(draft, places=(*kept, (name, said)))), f"{name}: {said_back}"


def _kind(draft: NewGarden, text: str) -> Taken:
    name, colon, measures = (part.strip() for part in text.partition(":"))
    if colon:
        if not name:
            raise InputError("a kind needs a name, as in black tub: round 38 cm, height 35 cm")
        described = (*draft.kinds, (name, measures_of(measures)))
        if any(name.casefold() == other.casefold() for other, _ in draft.kinds):
            raise InputError(f"{name} is described already")
        return _sound(replace(draft, kinds=described)), f"{name}: {measures}"
    known = known_kind(text, (other for other, _ in draft.kinds))
    found = [known.name] if known and known.name in catalogue.kinds().entries else kinds_with(text)
    if len(found) != 1:
        shown = f"type more of it: {', '.join(found)}" if found else "no kind has these letters"
        hint = "" if found else "; describe it, as in black tub: round 38 cm, height 35 cm"
        raise InputError(f"{shown}{hint}")
    used = tuple(dict.fromkeys((*draft.kinds_in_use, found[0])))
    return replace(draft, kinds_in_use=used), found[0]


def _pot(draft: NewGarden, text: str) -> Taken:
    at_hand = AtHand(
        places=[name for name, _ in draft.places],
        own_kinds=[name for name, _ in draft.kinds],
        kinds_in_use=draft.kinds_in_use,
    )
    told = told_in(text, at_hand, [label for label, _ in draft.pots], _place_before(draft))
    grown = replace(
        draft, pots=(*draft.pots, *told.rows), kinds=(*draft.kinds, *told.kinds.items())
    )
    (label, row), last = told.rows[0], told.rows[-1][0]
    echo = row_said(label if label == last else f"{label} to {last}", row)
    return _sound(grown), "\n  ".join((echo, *(f"({said})" for said in told.remarks)))


def _place_before(draft: NewGarden) -> str | None:
    """Return where the last pot stands of which that was said."""
    said = [place for _, row in draft.pots if isinstance(place := row.get("place"), str)]
    return said[-1] if said else None


def _parts(text: str) -> tuple[str, ...]:
    return tuple(part for part in re.split(r"\s*[,;]\s*", text.strip()) if part)


def _no_default(_: Any) -> None:
    return None


_PLACES: Question[NewGarden] = Question(
    "--place",
    "Place",
    f"Where pots stand, one a line, an empty line when done: a name, then {SAID}.",
    lambda _: "garden: full sun, yard",
    _place,
    many=True,
)
_KINDS: Question[NewGarden] = Question(
    "--kind",
    "Pot kind",
    "The kinds of pot you have: a few letters, as in nursery or clay, show the known ones;\n"
    "others by a name and measures: black tub: round 38 cm, height 35 cm. Empty line when done.",
    _no_default,
    _kind,
    many=True,
)
_POTS: Question[NewGarden] = Question(
    "--pot",
    "Pot",
    "The pots in walking order, one a line, as in\n"
    "  7 pepper, nursery 5 gal, knee-high, wider than pot, driveway\n"
    "  8-12 like 7\n"
    "A line that names no place stands where the one before does. undo takes the last line back;\n"
    "an empty line ends.",
    _no_default,
    _pot,
    many=True,
)
