"""What a pot is made of, how dark it is, how it stands, and what was measured of its plant."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated

from irrigate import units
from irrigate.garden.pots import Colour, Setting, Wall
from irrigate.settings import readers, written
from irrigate.settings.fields import reading, within
from irrigate.units import patterns

# Stone, concrete and glass fibre are taken as glazed, the nearest of the walls that let no water
# through and are not thin: from memory.
WALLS: Mapping[str, Wall] = {
    "plastic": "plastic", "resin": "plastic", "glazed": "glazed", "glazed clay": "glazed",
    "ceramic": "glazed", "porcelain": "glazed", "stone": "glazed", "concrete": "glazed",
    "fibreglass": "glazed", "fiberglass": "glazed", "clay": "clay", "terracotta": "clay",
    "terra cotta": "clay", "unglazed": "clay", "unglazed clay": "clay", "fabric": "fabric",
    "felt": "fabric", "cloth": "fabric", "jute": "fabric", "wood": "wood", "wooden": "wood",
    "timber": "wood", "metal": "metal", "zinc": "metal", "steel": "metal", "tin": "metal",
    "galvanized": "metal", "galvanised": "metal", "copper": "metal", "iron": "metal",
}  # fmt: skip
COLOURS: Mapping[str, Colour] = {
    "black": "black", "dark": "dark", "dark green": "dark", "dark blue": "dark",
    "dark grey": "dark", "dark gray": "dark", "dark red": "dark", "brown": "dark",
    "green": "dark", "blue": "dark", "red": "dark", "grey": "dark", "gray": "dark",
    "light": "light", "white": "light", "cream": "light", "beige": "light", "yellow": "light",
    "silver": "light", "light grey": "light", "light gray": "light", "pale": "light",
}  # fmt: skip
SETTINGS: Mapping[str, Setting] = {
    "on the ground": "standing", "standing": "standing", "on ground": "standing",
    "ground": "standing", "on a table": "standing", "on a shelf": "standing",
    "on feet": "standing", "hanging": "hanging", "hung": "hanging", "hangs": "hanging",
    "on a hook": "hanging", "on a railing": "hanging", "sunk": "sunk", "buried": "sunk",
    "sunk in the ground": "sunk", "in the ground": "sunk", "in ground": "sunk",
}  # fmt: skip

CLAY, HANGING = "clay", "hanging"
_WALL_WORD = re.compile(rf"\b({'|'.join(sorted(WALLS, key=len, reverse=True))})\b", re.IGNORECASE)
_LEAVES = (1e-4, 50, "1 cm2 to 50 m2 (540 ft2)")
_CAUGHT = (0, 4, "0 % to 400 %")


def wall_in(name: str) -> Wall | None:
    """Return the wall that the name of a kind of pot tells, as in ``blue clay tub``; else None."""
    found = _WALL_WORD.search(name.replace("-", " "))
    return WALLS[found[1].casefold()] if found else None


def caught(text: str) -> float:
    """Read ``60 %``, or ``1.5`` times the rain on the opening."""
    try:
        times = readers.number(text)
    except ValueError:
        times = units.share(text)
    low, high, said = _CAUGHT
    if not low <= times <= high:
        raise ValueError(f"{text} is out of range: {said} of the rain on its opening")
    return times


WallWord = Annotated[
    Wall,
    reading(
        lambda text: readers.word_of(
            text, WALLS, "wall", ("plastic", "glazed", "clay", "fabric", "wood", "metal")
        )
    ),
    written.words("wall", "what a pot's wall is made of", WALLS),
]
ColourWord = Annotated[
    Colour,
    reading(lambda text: readers.word_of(text, COLOURS, "colour", ("black", "dark", "light"))),
    written.words("colour", "black, dark or light, or a colour that is one of them", COLOURS),
]
SettingWord = Annotated[
    Setting,
    reading(
        lambda text: readers.word_of(
            text, SETTINGS, "way to stand", ("on the ground", "hanging", "sunk")
        )
    ),
    written.words("setting", "on the ground, hanging or sunk", SETTINGS),
]
LeafArea = Annotated[
    float,
    reading(within(units.area_m2, *_LEAVES)),
    written.text(
        "leaf area", f"an area with its unit, {_LEAVES[2]}", patterns.area(), "0.6 m2", "6 ft2"
    ),
]
RainCaught = Annotated[
    float,
    reading(caught),
    written.words(
        "rain caught",
        f"a percentage of the rain on its opening, or how many times as much, {_CAUGHT[2]}",
        (),
        {"type": "number", "minimum": 0, "maximum": 4},
        {"type": "string", "pattern": patterns.share()},
        {"type": "string", "pattern": patterns.whole(r"[+]?([0-9](\.[0-9]*)?|\.[0-9]+)")},
    ),
]
