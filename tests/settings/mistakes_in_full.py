"""Mistakes in what a garden file says of surroundings and makings, one at a time.

As in `tests.settings.mistakes`, but in the full garden: what is put in place of what, and what is
then said, with line and column.
"""

from __future__ import annotations

# ruff: noqa: E501  # each text on one line, as it is read

MISTAKES_IN_FULL = [
    ("glass: 70 %", "glass: 70", ["7:23: greenhouse, glass: 70 has no unit: say 70 %"]),
    (
        "glass: 70 %",
        "glass: clear",
        [
            "7:23: greenhouse, glass: “clear” does not say how much sun comes in; write yes, no, or how much of the sun it lets in, as in 70 %"
        ],
    ),
    ("glass: 70 %", "glass: 2 %", ["7:23: greenhouse, glass: 2 % is out of range: 5 % to 100 %"]),
    (
        "glass: 70 %",
        "glass: yes, rain: 20 %",
        ["7:23: greenhouse, glass: keeps all rain away by itself; take it or “rain” out"],
    ),
    (
        "glass: 70 %",
        "glass: yes, roof: yes",
        ["7:23: greenhouse, glass: keeps all rain away by itself; take it or “roof” out"],
    ),
    (
        "ground: tiles",
        "ground: concreet",
        ["7:37: greenhouse, ground: “concreet” is no ground known here; did you mean concrete?"],
    ),
    (
        "ground: tiles",
        "ground: moon",
        ["7:37: greenhouse, ground: “moon” is no ground known here; write green, bare or paved"],
    ),
    (
        "ground: tiles",
        "grund: tiles",
        ["7:29: greenhouse, grund: is not known here; did you mean ground?"],
    ),
    (
        "pots stand: close",
        "pots stand: clos",
        ["7:56: greenhouse, pots stand: “clos” is no spacing known here; did you mean close?"],
    ),
    (
        "pots stand: close",
        "pots stand: 20 cm",
        [
            "7:56: greenhouse, pots stand: “20 cm” is no spacing known here; write close, apart or alone"
        ],
    ),
    (
        "sunny wall: yes",
        "sunny wall: south",
        ["8:44: driveway, sunny wall: “south” is neither yes nor no"],
    ),
    (
        "sunny wall: yes",
        "wall: sunny",
        [
            "8:32: driveway, wall: is not known here; there is shade, sun, wind, roof, rain, glass, ground, sunny wall, pots stand, lamps"
        ],
    ),
    ("60 W/m2", "60", ["11:20: cellar, lamps, light: 60 has no unit: say 60 W/m2"]),
    (
        "60 W/m2",
        "60 W",
        [
            "11:20: cellar, lamps, light: 60 W is what the lamp takes; say the light at the leaves, in W/m2: at most its watts shared out over the square metres it lights"
        ],
    ),
    (
        "60 W/m2",
        "5000 W/m2",
        ["11:20: cellar, lamps, light: 5000 W/m2 is out of range: 1 to 1000 W/m2 at the leaves"],
    ),
    (
        "on: 06:00-22:00",
        "on: 06:00",
        ["11:33: cellar, lamps, on: 06:00: write two times, as in 07:00-21:00"],
    ),
    (
        ", on: 06:00-22:00",
        "",
        ["11:5: cellar, lamps: “on” is missing: from when to when they burn, as in 06:00-22:00"],
    ),
    (
        "{light: 60 W/m2, on: 06:00-22:00}",
        "60 W/m2",
        ["11:12: cellar, lamps: 60 W/m2: say when they burn too, as in 60 W/m2, 06:00-22:00"],
    ),
    (
        "{light: 60 W/m2, on: 06:00-22:00}",
        "60 W/m2 from 6 to 22",
        ["11:12: cellar, lamps: 6 is not a time of day: write 07:00 or 7 am"],
    ),
    (
        "{light: 60 W/m2, on: 06:00-22:00}",
        "yes",
        ["11:12: cellar, lamps: “yes” is not light on an area: say it in W/m2"],
    ),
    ("900 uS/cm", "900", ["4:13: water salt: 900 has no unit: say 900 dS/m or 900 uS/cm"]),
    (
        "900 uS/cm",
        "450 ppm",
        ["4:13: water salt: 450 ppm depends on how the meter counts; say its EC, in dS/m or uS/cm"],
    ),
    (
        "900 uS/cm",
        "60 dS/m",
        ["4:13: water salt: 60 dS/m is out of range: 0 to 20 dS/m (20000 uS/cm)"],
    ),
    (
        "{trough: 2 m by 1 m, height: 28 cm, open bottom: yes}",
        "{round: 40 cm, open bottom: yes}",
        ["13:13: herb bed: open bottom: only a bed that stands on soil has none; say trough"],
    ),
    (
        ", height: 28 cm",
        "",
        ["13:13: herb bed: height: say how high the boards of the bed are, as in 28 cm"],
    ),
    (
        "wall: zinc",
        "wall: brick",
        [
            "15:33: old bin, wall: “brick” is no wall known here; write plastic, glazed, clay, fabric, wood or metal"
        ],
    ),
    (
        "{volume: 40 L, wall: zinc}",
        "{volume: 40 L, open bottom: yes}",
        ["15:12: old bin: open bottom: only a bed that stands on soil has none; say trough"],
    ),
    (
        "{volume: 40 L, wall: zinc}",
        "{volume: 40 L, wall: zinc, height: 30 cm}",
        ["15:12: old bin: give the volume or the measures, not both; measures tell more"],
    ),
    (
        "bare stem: 40 %",
        "bare stem: 40 cm",
        ["17:38: my lemon, bare stem: 40 cm is a length, not a share: say it in %"],
    ),
    (
        "bare stem: 40 %",
        "bare stem: 95 %",
        ["17:38: my lemon, bare stem: 95 % is out of range: 0 % to 90 % of its height"],
    ),
    ("-3 C", "-3", ["17:60: my lemon, stands cold to: -3 has no unit: say -3 °C or °F"]),
    (
        "-3 C",
        "-60 C",
        [
            "17:60: my lemon, stands cold to: -60 C is out of range: -40 °C (-40 °F) to 20 °C (68 °F)"
        ],
    ),
    (
        "stands cold to",
        "stand cold to",
        ["17:44: my lemon, stand cold to: is not known here; did you mean stands cold to?"],
    ),
    ("saucer: 35 cm", "saucer: 35", ["23:13: pot 1, saucer: 35 has no unit: say 35 cm or 35 in"]),
    (
        "saucer: 35 cm",
        "saucer: 15 cm",
        [
            "23:13: pot 1, saucer: a saucer 15 cm across has no room for a pot 20 cm wide at its base; measure both, or say what it holds, as in 2 L"
        ],
    ),
    (
        "saucer: 35 cm",
        "saucer: large",
        [
            "23:13: pot 1, saucer: “large” is not understood here; write yes, its width as in 30 cm, or what it holds as in 2 L"
        ],
    ),
    (
        "saucer: 35 cm",
        "saucer: 5 kg",
        ["23:13: pot 1, saucer: 5 kg is a weight, not a length: say it in cm or in"],
    ),
    (
        "saucer: 35 cm",
        "saucer: 900 L",
        ["23:13: pot 1, saucer: 900 L is out of range: 20 mL to 200 L (50 gal)"],
    ),
    (
        "saucer: 35 cm",
        "saucer: yes\n    outer pot: 20 L",
        [
            "24:16: pot 1, outer pot: “saucer” keeps the drained water already; take one of the two out"
        ],
    ),
    (
        "saucer: 35 cm",
        "outer pot: yes\n    reservoir: 2 L",
        [
            "24:16: pot 1, reservoir: “outer pot” keeps the drained water already; take one of the two out"
        ],
    ),
    (
        "outer pot: 60 L",
        "outer pot: 20 L",
        [
            "30:69: pot 3, outer pot: an outer pot of 20 L has no room for a pot of 32 L; measure both"
        ],
    ),
    (
        "outer pot: 60 L",
        "outer pot: 60 cm",
        ["30:69: pot 3, outer pot: 60 cm is a length, not a volume: say it in L or gal"],
    ),
    (
        "outer pot: 60 L",
        "outer pot: big",
        [
            "30:69: pot 3, outer pot: “big” is not understood here; write yes, or how large the outer pot is, as in 12 L"
        ],
    ),
    (
        "reservoir: 1.5 L",
        "reservoir: yes",
        [
            "31:73: pot 4, reservoir: yes does not say how much is in it; write what it holds when full, as in 6 L"
        ],
    ),
    (
        "reservoir: 1.5 L",
        "reservoir: deep",
        [
            "31:73: pot 4, reservoir: “deep” is not understood here; write what it holds when full, as in 6 L"
        ],
    ),
    (
        "reservoir: 1.5 L",
        "reservoir: 1.5",
        ["31:73: pot 4, reservoir: 1.5 has no unit: say 1.5 L or 1.5 gal"],
    ),
    (
        "2026-05-01 from nursery 1 gal",
        "from nursery 1 gal",
        [
            "24:15: pot 1, repotted: from nursery 1 gal: say when too, as in 2026-05-01 from nursery 1 gal"
        ],
    ),
    (
        "2026-05-01 from nursery 1 gal",
        "2026-05-01 from",
        [
            "24:15: pot 1, repotted: 2026-05-01 from: say out of what, as in 2026-05-01 from nursery 1 gal"
        ],
    ),
    (
        "2026-05-01 from nursery 1 gal",
        "2026-05-01 from a jug",
        [
            "24:15: pot 1, repotted: “a jug” is not a pot kind known here; describe it under “pot kinds”"
        ],
    ),
    (
        "2026-05-01 from nursery 1 gal",
        "2026-05-01 from 3",
        ["24:15: pot 1, repotted: 3 has no unit: say 3 L or 3 gal"],
    ),
    (
        "2026-05-01 from nursery 1 gal",
        "May 1 from 3 L",
        ["24:15: pot 1, repotted: May 1 is not a date: write year-month-day, as in 2026-04-20"],
    ),
    (
        "2026-05-01 from nursery 1 gal",
        "2026-05-01 into 3 L",
        [
            "24:15: pot 1, repotted: 2026-05-01 into 3 L is not a date: write year-month-day, as in 2026-04-20"
        ],
    ),
    ("0.6 m2", "0.6", ["25:16: pot 1, leaf area: 0.6 has no unit: say 0.6 m2 or 0.6 ft2"]),
    (
        "0.6 m2",
        "90 m2",
        ["25:16: pot 1, leaf area: 90 m2 is out of range: 1 cm2 to 50 m2 (540 ft2)"],
    ),
    (
        "rain catch: 1.5",
        "rain catch: 7",
        ["26:17: pot 1, rain catch: 7 is out of range: 0 % to 400 % of the rain on its opening"],
    ),
    (
        "rain catch: 1.5",
        "rain catch: lots",
        ["26:17: pot 1, rain catch: “lots” is not a share: say it in %"],
    ),
    (
        "colour: white",
        "colour: shiny",
        ["27:13: pot 1, colour: “shiny” is no colour known here; write black, dark or light"],
    ),
    (
        "colour: white",
        "colour: white\n    color: black",
        ["28:12: pot 1, color: “colour” says it already; take one of the two out"],
    ),
    (
        "stands: sunk",
        "stands: sunken",
        ["28:13: pot 1, stands: “sunken” is no way to stand known here; did you mean sunk?"],
    ),
    (
        "stands: sunk",
        "stands: upside down",
        [
            "28:13: pot 1, stands: “upside down” is no way to stand known here; write on the ground, hanging or sunk"
        ],
    ),
    (
        "covered: yes",
        "covered: plastic",
        ["29:63: pot 2, covered: “plastic” is neither yes nor no"],
    ),
    (
        "covered: yes",
        "covered: yes, mulch: straw",
        ["29:63: pot 2, covered: “mulch” says what lies on the mix; take one of the two out"],
    ),
    (
        "wall: felt",
        "wall: felted",
        ["31:86: pot 4, wall: “felted” is no wall known here; did you mean felt?"],
    ),
    (
        "wall: felt",
        "wall: paper",
        [
            "31:86: pot 4, wall: “paper” is no wall known here; write plastic, glazed, clay, fabric, wood or metal"
        ],
    ),
    (
        "outer pot: 60 L",
        "rain: 50 %",
        ["30:64: pot 3, rain: no rain falls under the glass of “greenhouse”; take the line out"],
    ),
    (
        "outer pot: 60 L",
        "roof: no",
        ["30:64: pot 3, roof: no rain falls under the glass of “greenhouse”; take the line out"],
    ),
]
