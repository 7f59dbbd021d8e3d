"""How long a season of weights takes to be foretold and learnt from: `python -m ...replay`.

Fifteen pots, weighed every hour for 3,000 hours, watered once a day, 200 members; the weather and
the weights are invented. With a number of hours as an argument it takes fewer.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from datetime import timedelta
from math import cos, pi

from irrigate.assemble.replay import Scenario, replayed
from irrigate.garden.draws import normals
from irrigate.garden.events import Given, Weighed
from irrigate.ports import GardenText
from irrigate.service.replaying import Event
from irrigate.service.reporting import Report
from irrigate.settings.garden_file import settings_of
from tests.garden.makers import START, summer

POTS, HOURS, MEMBERS = 15, 3000, 200
HOUR = timedelta(hours=1)
PLANTS = ("pepper", "tomato", "basil", "eggplant")


def garden() -> GardenText:
    """Return a garden of so many nursery pots in a yard."""
    rows = "".join(
        f"  {number}: {{plant: {PLANTS[number % 4]}, pot: nursery 5 gal,"
        f" size: {{wide: {35 + number} cm, tall: 50 cm}}, place: yard}}\n"
        for number in range(1, POTS + 1)
    )
    read = settings_of(
        "garden: Bench\n"
        "site: {latitude: 37.6, longitude: -120.8, elevation: 40 m,"
        " time zone: America/Los_Angeles}\n"
        "units: metric\nrounds: [07:00, 18:30]\npeople:\n"
        "  - {name: Ana, reach: [console], hours: [06:30-21:00]}\n"
        f"places:\n  yard: {{wind: open}}\npots:\n{rows}"
    )
    return GardenText(read.garden, read.digest)


def events(hours: int) -> list[Event]:
    """Return a weight of every pot and hour, and a litre and a half each morning."""
    found = []
    for hour in range(1, hours + 1):
        at = START + hour * HOUR
        away = normals(("weights", hour), POTS)
        for number in range(1, POTS + 1):
            if at.hour == 14:
                found.append(Event(at - HOUR / 2, str(number), Given("", 1.5, "measured", 0.05)))
            mass_kg = 11.0 + 0.8 * cos((at.hour - 14) % 24 * pi / 24.0) + 0.1 * away[number - 1]
            found.append(Event(at, str(number), Weighed("", float(mass_kg))))
    return found


def main(hours: int) -> None:
    """Print the time and what it was taken for."""
    end = START + hours * HOUR
    told = Scenario(
        garden(), summer(hours // 24 + 6), tuple(events(hours)), START, end, MEMBERS, decides=False
    )
    told = replace(told, weather=told.weather.select(told.weather.end_s <= end.timestamp()))
    reports: list[Report] = []
    begun_s, used_s = time.perf_counter(), time.process_time()
    count = sum(1 for _ in replayed(told).hours(reports.append))
    wall_s, cpu_s = time.perf_counter() - begun_s, time.process_time() - used_s
    print(f"{POTS} pots, {count - 1} hours, {len(reports)} weights foretold and learnt from,")
    print(f"{MEMBERS} members: {wall_s:.0f} s, of them {cpu_s:.0f} s on one core")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else HOURS)
