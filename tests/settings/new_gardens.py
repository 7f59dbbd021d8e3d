"""Answers from which a new garden file is written, drawn at random."""

from __future__ import annotations

from hypothesis import strategies as st

from irrigate.settings import catalogue
from irrigate.settings.words import HEIGHTS_M, SPOKEN_FOR, WIDTHS_OF_POT
from irrigate.settings.writing import NewGarden

# Names that a careless writer would leave without quotes, or quote wrongly.
NASTY = [
    "no", "Yes", "on", "null", "~", "22:00", "07", "1e3", "0x1F", "1_000", ".5", ".inf", "a: b",
    "#5 corner", "x # y", "- x", "? x", "* x", "& x", "!x", "| x", "> x", "%x", "@home", "`x`",
    'Ana "the can"', "O'Hara's", "a\\b", "{a}", "[a]", "a, b", "2026-04-20", "1320", "é", "🌱 bed",
    "=", "0?", "a ? b", "<<", "a:", "...", "---", "true", "12.50", "-3",
]  # fmt: skip

names = (
    st.sampled_from(NASTY)
    | st.text(st.characters(categories=("L", "N", "P", "S")), min_size=1, max_size=20)
    | st.text("ab c:#-'\"", min_size=1, max_size=12).filter(str.strip)
)
labels = (
    st.integers(0, 999).map(str)
    | st.from_regex(r"[0-9]{1,2}[a-z]?", fullmatch=True)
    | st.sampled_from(["07", "1e3", "1_0", "0x1F", "12-8", "A.1"])
)
times = st.times().map(lambda at: f"{at:%H:%M}")
lengths = st.integers(12, 90).map(lambda number: f"{number} cm") | st.sampled_from(
    ["1 ft 6 in", "½ m", '14"', "16.5 in"]
)
sizes = (
    st.sampled_from([*HEIGHTS_M, *WIDTHS_OF_POT, "seedling"])
    | st.builds(
        lambda high, wide: f"{high}, {wide}",
        st.sampled_from(list(HEIGHTS_M)),
        st.sampled_from(list(WIDTHS_OF_POT)),
    )
    | st.fixed_dictionaries({"wide": lengths}, optional={"tall": lengths})
)
exposures = st.fixed_dictionaries(
    {},
    optional={
        "sun": st.just("06:00-13:00"),
        "shade": st.integers(0, 99).map(lambda share: f"{share} %"),
        "wind": st.sampled_from(["sheltered", "yard", "open"]),
        "roof": st.sampled_from(["yes", "no"]),
    },
)


def _unlike(texts: list[str]) -> list[str]:
    """Return the texts without those that sound like one before, or that mean something else."""
    first = {" ".join(text.split()).casefold(): text for text in reversed(texts)}
    return [text for sound, text in reversed(first.items()) if sound not in SPOKEN_FOR]


@st.composite
def new_gardens(draw: st.DrawFn) -> NewGarden:
    """Draw answers that are all in order."""
    places = _unlike(draw(st.lists(names, min_size=1, max_size=4))) or ["yard"]
    kinds = _unlike(draw(st.lists(names, max_size=2)))
    stocked = [*catalogue.kinds().entries, *kinds, "19 L", "5 gal"]
    pot_labels = _unlike(draw(st.lists(labels, max_size=6)))
    rows = st.fixed_dictionaries(
        {
            "plant": st.sampled_from(list(catalogue.crops().entries)),
            "pot": st.sampled_from(stocked),
            "place": st.sampled_from(places),
        },
        optional={
            "name": names,
            "size": sizes,
            "mix": st.sampled_from(list(catalogue.media().entries)),
            "mulch": st.sampled_from(["yes", "no", "straw", "50 %"]),
            "planted": st.dates().map(str).filter(lambda day: "1950" < day[:4] < "2100"),
            "risk": st.sampled_from(["5 %", "20 %"]),
            "repotted": st.sampled_from(["2026-05-01", "2026-05-01 from nursery 1 gal"]),
            "saucer": st.sampled_from(["yes", "no", "2 L"]),
            "stands": st.sampled_from(["on the ground", "hanging", "sunk"]),
            "wall": st.sampled_from(["clay", "fabric", "wood"]),
            "colour": st.sampled_from(["black", "light"]),
            "leaf area": st.sampled_from(["0.6 m2", "6 ft²"]),
            "rain catch": st.sampled_from(["60 %", "1.5"]),
        },
    )
    units, can = draw(st.sampled_from([("US", "2 gal"), ("metric", "9 L"), ("US", "7.5 L")]))
    return NewGarden(
        name=draw(names),
        latitude=f"{draw(st.floats(-66, 66)):.5f}",
        longitude="-121.3",
        elevation=draw(st.sampled_from(["0 m", "30 m", "-2 ft", "1200 ft"])),
        time_zone="America/Los_Angeles",
        units=units,
        can=can,
        rounds=tuple(draw(st.lists(times, min_size=1, max_size=4, unique=True))),
        person=draw(names),
        reach=draw(st.sampled_from([("console",), ("phone", "mail"), ("phone-2",)])),
        mix=draw(st.sampled_from(list(catalogue.media().entries))),
        places=tuple((name, draw(exposures)) for name in places),
        kinds=tuple((name, {"round": "38 cm", "height": "35 cm"}) for name in kinds),
        kinds_in_use=("nursery 5 gal",) if draw(st.booleans()) else (),
        pots=tuple((label, draw(rows)) for label in pot_labels),
    )
