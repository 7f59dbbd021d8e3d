"""Mistakes in a garden file, one at a time: what is put in place of what, and what is then said.

The texts are what a gardener is meant to read, each beginning with line and column.
"""

from __future__ import annotations

# ruff: noqa: E501  # each text on one line, as it is read

MISTAKES = [
    (
        "latitude: 38.6",
        "latitude: 91",
        ["2:18: site, latitude: 91 is out of range: -66.5 to 66.5 degrees, south below zero"],
    ),
    (
        "latitude: 38.6",
        "latitude: 38,6",
        [
            "2:21: site, 6: is not known here; a comma between brackets begins a new entry; write decimals with a point"
        ],
    ),
    (
        "latitude: 38.6, ",
        "",
        ["2:1: site: “latitude” is missing: degrees, as in 38.6, south below zero"],
    ),
    (
        "longitude: -121.3",
        "longitude: 121.3",
        [
            "2:35: site, longitude: 121.3 does not lie in the time zone America/Los_Angeles; did you mean -121.3?"
        ],
    ),
    ("30 m", "30", ["2:54: site, elevation: 30 has no unit: say 30 m or 30 ft"]),
    (
        "30 m",
        "9000 m",
        ["2:54: site, elevation: 9000 m is out of range: -430 m (-1400 ft) to 5000 m (16400 ft)"],
    ),
    (
        "America/Los_Angeles",
        "Los Angeles",
        [
            "2:71: site, time zone: “Los Angeles” is not a time zone; did you mean America/Los_Angeles?"
        ],
    ),
    (
        "America/Los_Angeles",
        "America/Los_Angles",
        [
            "2:71: site, time zone: “America/Los_Angles” is not a time zone; did you mean America/Los_Angeles?"
        ],
    ),
    (
        "America/Los_Angeles",
        "Mars/Olympus",
        ["2:71: site, time zone: “Mars/Olympus” is not a time zone; write one as in Europe/Rome"],
    ),
    (
        "site: {latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}\n",
        "",
        ["1:1: “site” is missing: where the garden lies: latitude, longitude, elevation …"],
    ),
    (
        "{latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}",
        "here",
        ["2:7: site: lines of its own are expected here, each with a name and a colon"],
    ),
    ("units: US", "units: imperial", ["3:8: units: “imperial” is neither US nor metric"]),
    ("can: 2 gal", "can: 2", ["4:6: can: 2 has no unit: say 2 L or 2 gal"]),
    ("can: 2 gal", "can: 2 ft", ["4:6: can: 2 ft is a length, not a volume: say it in L or gal"]),
    (
        "can: 2 gal",
        "can: 20 gal",
        ["4:6: can: 20 gal is out of range: 0.2 L (1 cup) to 30 L (8 gal)"],
    ),
    (
        "can: 2 gal",
        "can: [2 gal]",
        ["4:6: can: one value is expected here, without lines or a list below it"],
    ),
    ("can: 2 gal", "can:", ["4:5: can: has no value: write one, or take the line out"]),
    (
        "can: 2 gal",
        "hose: 12 L",
        ["4:7: hose: 12 L is not a flow: say 12 L/min, 3 gal/min, or 5 gal in 60 s"],
    ),
    ("- 07:00", "- 0700", ["6:5: rounds, at: 0700 is not a time of day: write 07:00"]),
    ("- 07:00", "- 7", ["6:5: rounds, at: 7 is not a time of day: write 07:00 or 7 am"]),
    ("- 07:00", "- 25:00", ["6:5: rounds, at: 25:00 is not a time of day: the last one is 23:59"]),
    ("- 07:00", "- 18:30", ["6:3: rounds: 18:30 stands there twice; take one of the two out"]),
    (
        "  - 07:00\n",
        "  - 06:00\n  - 07:00\n  - 08:00\n  - 09:00\n  - 10:00\n  - 11:00\n  - 12:00\n",
        ["6:3: rounds: there are 8 rounds on one day; at most 6"],
    ),
    (
        "  - 07:00\n  - {at: 18:30, on: [mon, tue, wed, thu, fri]}",
        "  []",
        ["6:3: rounds: at least one round is needed, as in [07:00, 18:30]"],
    ),
    (
        "[mon, tue",
        "[mun, tue",
        ["7:21: rounds, on: “mun” is not a day: write mon, tue, wed, thu, fri, sat or sun"],
    ),
    ("at: 18:30, ", "", ["7:5: rounds: “at” is missing: a time of day, as in 07:00"]),
    (
        "quiet: 21:30-06:30",
        "quiet: 21:30",
        ["8:8: quiet: 21:30: write two times, as in 07:00-21:00"],
    ),
    (
        "quiet: 21:30-06:30",
        "quiet: 21:30-21:30",
        ["8:8: quiet: 21:30-21:30: begins when it ends; write two different times"],
    ),
    ("quiet: 21:30-06:30", "notice: 2", ["8:9: notice: 2 has no unit: say 2 min or 2 h"]),
    (
        "quiet: 21:30-06:30",
        "keeps rounds: 150 %",
        ["8:15: keeps rounds: 150 % is out of range: 5 % to 100 %"],
    ),
    (
        "reach: [phone]",
        "reach: [Phone!]",
        [
            "10:25: people, reach: “Phone!” cannot be a way's name: small letters and dashes, as in phone"
        ],
    ),
    (
        "garden: Back yard",
        "reach: [mail]",
        [
            "10:25: people, reach: “phone” is not among the ways under “reach”; there is mail, console"
        ],
    ),
    ("name: Ana", "nam: Ana", ["10:6: people, nam: is not known here; did you mean name?"]),
    (
        "  - {name: Ana",
        "  - {name: ANA}\n  - {name: Ana",
        ["10:3: people: “ANA” stands there twice; tell the two apart"],
    ),
    ("shade: 0 %", "shade: 20", ["12:21: driveway, shade: 20 has no unit: say 20 %"]),
    ("shade: 0 %", "shade: 120 %", ["12:21: driveway, shade: 120 % is out of range: 0 % to 100 %"]),
    (
        "wind: open",
        "wind: opn",
        ["12:32: driveway, wind: “opn” is not known here; did you mean open?"],
    ),
    (
        "wind: open",
        "wind: breezy",
        [
            "12:32: driveway, wind: “breezy” is not known here; write sheltered, yard, open, or a % of the wind on open ground"
        ],
    ),
    ("wind: open", "roof: on", ["12:32: driveway, roof: “on” is neither yes nor no"]),
    (
        "wind: open",
        "roof: yes, rain: 50 %",
        ["12:43: driveway, rain: “roof” says it already; take one of the two out"],
    ),
    (
        "wind: open",
        "sun: morning",
        ["12:31: driveway, sun: morning: write two times, as in 07:00-21:00"],
    ),
    (
        "driveway: {shade: 0 %, wind: open}",
        "driveway: sunny",
        ["12:13: driveway: lines of its own are expected here, each with a name and a colon"],
    ),
    (
        "like: potting mix",
        "like: my mix",
        ["15:18: my mix, like: “my mix” is not a mix known here; did you mean gritty mix?"],
    ),
    (
        "lower_limit: 0.2",
        "lower_limit: 0.95",
        ["15:3: my mix: needs theta_r <= lower_limit < theta_s"],
    ),
    (
        "lower_limit: 0.2",
        "lower limit: 0.2",
        ["15:31: my mix, lower limit: is not known here; did you mean lower_limit?"],
    ),
    ("lower_limit: 0.2", "lower_limit: 20 %", ["15:44: my mix, lower_limit: 20 % is not a number"]),
    ("round: 38 cm", "round: 38", ["17:22: black tub, round: 38 has no unit: say 38 cm or 38 in"]),
    (
        "round: 38 cm",
        "square: 30 cm, round: 38 cm",
        [
            "17:14: black tub: one of round, square, trough, bowl or volume is needed; there is round and square"
        ],
    ),
    (
        "round: 38 cm, ",
        "",
        [
            "17:14: black tub: one of round, square, trough, bowl or volume is needed; there is none of them"
        ],
    ),
    (
        "height: 35 cm",
        "height: 350 cm",
        ["17:14: black tub: height: does not go with the width; check both"],
    ),
    (
        "height: 35 cm",
        "hight: 35 cm",
        ["17:42: black tub, hight: is not known here; did you mean height?"],
    ),
    (
        "base: 30 cm",
        "base: 90 cm",
        ["17:14: black tub: base: is far wider than the top; check both"],
    ),
    (
        "round: 38 cm",
        "volume: 20 L",
        ["17:14: black tub: give the volume or the measures, not both; measures tell more"],
    ),
    (
        "round: 38 cm, base: 30 cm, height: 35 cm",
        "trough: 4 m by 1 m",
        ["17:14: black tub: these measures make 3091 L; a bed holds 0.2 L to 2500 L: check them"],
    ),
    (
        "round: 38 cm, base: 30 cm, height: 35 cm",
        "trough: 80 cm",
        ["17:14: black tub: trough: write length and width, as in 80 cm by 20 cm"],
    ),
    (
        "height: 35 cm",
        "height: 35 cm, headspace: 20 cm",
        ["17:14: black tub: headspace: more than half of the height is left empty; check both"],
    ),
    (
        "    plant: pepper\n",
        "    plant: peper\n",
        ["22:12: pot 7, plant: “peper” is not a plant known here; did you mean pepper?"],
    ),
    (
        "    plant: pepper\n",
        "    plnt: pepper\n",
        ["22:5: pot 7, plnt: is not known here; did you mean plant?"],
    ),
    (
        "    plant: pepper\n",
        "",
        ["21:3: pot 7: “plant” is missing: what grows in it, as in pepper"],
    ),
    (
        "    plant: pepper\n",
        "    plant: triffid\n",
        ["22:12: pot 7, plant: “triffid” is not a plant known here; describe it under “plants”"],
    ),
    (
        "tall: 90 cm",
        "tall: 9 m",
        ["19:37: long pepper, tall: 9 m is out of range: 1 cm (½ in) to 4 m (13 ft)"],
    ),
    (
        "nursery 5 gal",
        "nursery 5 galon",
        [
            "23:10: pot 7, pot: “nursery 5 galon” is not a pot kind known here; did you mean nursery 5 gal?"
        ],
    ),
    (
        "nursery 5 gal",
        "#5",
        [
            "23:9: pot 7, pot: has no value: what follows # is a comment; put all of it in quotes if it belongs here"
        ],
    ),
    (
        "nursery 5 gal",
        "trade #5",
        [
            "23:10: pot 7, pot: “trade” is not a pot kind known here; what follows # is a comment: put all of it in quotes if it belongs here"
        ],
    ),
    ("nursery 5 gal", "19", ["23:10: pot 7, pot: 19 has no unit: say 19 L or 19 gal"]),
    (
        "nursery 5 gal",
        "900 L",
        ["23:10: pot 7, pot: 900 L is out of range: 0.2 L (1 cup) to 500 L (130 gal)"],
    ),
    (
        "nursery 5 gal",
        "amphora",
        [
            "23:10: pot 7, pot: “amphora” is not a pot kind known here; describe it under “pot kinds”"
        ],
    ),
    (
        "mix: potting mix\n",
        "mix: poting mix\n",
        ["24:10: pot 7, mix: “poting mix” is not a mix known here; did you mean potting mix?"],
    ),
    (
        "place: driveway",
        "place: drive way",
        ["26:12: pot 7, place: “drive way” is not among the places; did you mean driveway?"],
    ),
    (
        "place: driveway",
        "place: moon",
        ["26:12: pot 7, place: “moon” is not among the places; there is driveway, porch"],
    ),
    (
        "size: knee-high, wider than pot",
        "size: knee-high, wide",
        ["25:11: pot 7, size: “wide” is not a size; write as in knee-high, wider than pot"],
    ),
    (
        "size: knee-high, wider than pot",
        "size: huge",
        ["25:11: pot 7, size: “huge” is not a size; write as in knee-high, wider than pot"],
    ),
    (
        "size: knee-high, wider than pot",
        "size: knee-high, waist-high",
        ["25:11: pot 7, size: “waist-high” says the same measure a second time"],
    ),
    (
        "size: knee-high, wider than pot",
        "size: {wide: 50}",
        ["25:18: pot 7, size, wide: 50 has no unit: say 50 cm or 50 in"],
    ),
    (
        "size: knee-high, wider than pot",
        "size: {wide: 50 cm, tall: 5 m}",
        ["25:31: pot 7, size, tall: 5 m is out of range: 1 cm (½ in) to 4 m (13 ft)"],
    ),
    (
        "size: knee-high, wider than pot",
        "size: [1, 2]",
        ["25:11: pot 7, size: one value is expected here, without lines or a list below it"],
    ),
    (
        "pot: nursery 5 gal\n    mix: potting mix\n    size: knee-high, wider than pot",
        "pot: {trough: 2 m by 1 m, height: 20 cm}\n    size: three times as wide as pot",
        ["24:11: pot 7, size: makes the plant 15½ ft wide; at most 4 m (13 ft)"],
    ),
    (
        "size: knee-high, wider than pot\n    place: driveway",
        "<<: {place: porch}",
        ["25:5: “<<” is not understood here; write the lines out"],
    ),
    (
        "pot: nursery 5 gal\n    mix: potting mix\n    size: knee-high, wider than pot\n    place: driveway",
        "{pot: 19 L, size: knee-high, wider than pot, place: porch}",
        ["24:3: a colon is missing in the line before, or a space after it"],
    ),
    (
        "  8:\n    plant: long pepper\n    pot: 5 gal\n    place: porch\n    shade: 20 %\n    mulch: straw\n    risk: 10 %\n",
        "  8: {plant: pepper, pot: 19 L, size: knee-high, wider than pot, place: porch}\n",
        [
            "35:50: pot 8, wider than pot: is not known here; a size of two parts needs quotes between brackets"
        ],
    ),
    ("  7:\n", "  8:\n", ["35:3: “8” is already in line 21; take one of them out"]),
    (
        "was: 3",
        "was: 7",
        [
            "32:10: pot 07a, was: there is a pot 7 still; take the line out, or say what that pot was"
        ],
    ),
    (
        "was: 3",
        "was: 07a",
        ["32:10: pot 07a, was: pot 07a was 07a and still is; take the line out"],
    ),
    (
        "    place: driveway\n",
        "    place: driveway\n    was: 3\n",
        ["33:10: pot 07a, was: pot 7 was 3 too; only one of them can have been"],
    ),
    (
        "  7:\n",
        "  all:\n",
        ["21:3: pot all: “all” has a meaning in answers; give the pot a number, as in 7"],
    ),
    ("  7:\n", "  07A:\n", ["27:3: pot 07a: sounds like pot 07A; give one of them another number"]),
    (
        "  7:\n",
        "  pot 7 on the wall:\n",
        [
            "21:3: pot pot 7 on the wall: “pot 7 on the wall” cannot be a pot's number: one word of at most 12 letters or digits, as in 7a"
        ],
    ),
    (
        "planted: 2026-04-20",
        "planted: 2026-02-30",
        [
            "34:14: pot 07a, planted: 2026-02-30 is not a date: write year-month-day, as in 2026-04-20"
        ],
    ),
    (
        "planted: 2026-04-20",
        "planted: April",
        ["34:14: pot 07a, planted: April is not a date: write year-month-day, as in 2026-04-20"],
    ),
    (
        "planted: 2026-04-20",
        "planted: 1826-04-20",
        ["34:14: pot 07a, planted: 1826-04-20: the year must lie between 1950 and 2100"],
    ),
    ("mulch: straw", "mulch: 50", ["40:12: pot 8, mulch: 50 has no unit: say 50 %"]),
    (
        "mulch: straw",
        "mulch: stra",
        ["40:12: pot 8, mulch: “stra” is not known here; did you mean straw?"],
    ),
    (
        "mulch: straw",
        "mulch:",
        ["40:11: pot 8, mulch: has no value: write one, or take the line out"],
    ),
    ("risk: 10 %", "risk: 0.1", ["41:11: pot 8, risk: 0.1 has no unit: say 10 %"]),
    ("risk: 10 %", "risk: 99 %", ["41:11: pot 8, risk: 99 % is out of range: 1 % to 90 %"]),
    (
        "garden: Back yard",
        "weather: acme",
        [
            "1:10: weather: “acme” is no source of weather; there is open-meteo or a table, {csv: its name}"
        ],
    ),
    (
        "garden: Back yard",
        "weather: {from: acme, ensemble: yes}",
        [
            "1:17: weather, from: “acme” is no source of weather; there is open-meteo or a table, {csv: its name}"
        ],
    ),
    (
        "garden: Back yard",
        "weather: {ensemble: perhaps}",
        ["1:21: weather, ensemble: “perhaps” is neither yes nor no"],
    ),
    (
        "garden: Back yard",
        "weather: {csv: a.csv, ensemble: yes}",
        ["1:23: weather, ensemble: is not known here; there is csv, wind height"],
    ),
    (
        "garden: Back yard",
        "weather: {csv: a.csv, wind height: 900 m}",
        ["1:36: weather, wind height: 900 m is out of range: 0.5 m (2 ft) to 100 m (330 ft)"],
    ),
    (
        "garden: Back yard",
        "garden: xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx",
        ["1:9: garden: is longer than 60 letters; say it shorter"],
    ),
    ("pots:\n", "potz:\n", ["20:1: potz: is not known here; did you mean pots?"]),
    (
        "places:\n  driveway: {shade: 0 %, wind: open}\n  porch:\n",
        "",
        ["1:1: “places” is missing: where pots stand, as in driveway: {shade: 0 %, wind: open}"],
    ),
]
