"""A garden file of which tests change one thing at a time."""

from __future__ import annotations

GARDEN = """\
garden: Back yard
site: {latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}
units: US
can: 2 gal
rounds:
  - 07:00
  - {at: 18:30, on: [mon, tue, wed, thu, fri]}
quiet: 21:30-06:30
people:
  - {name: Ana, reach: [phone], hours: [07:00-08:30, 17:00-21:00]}
places:
  driveway: {shade: 0 %, wind: open}
  porch:
mixes:
  my mix: {like: potting mix, lower_limit: 0.2}
pot kinds:
  black tub: {round: 38 cm, base: 30 cm, height: 35 cm}
plants:
  long pepper: {like: pepper, tall: 90 cm}
pots:
  7:
    plant: pepper
    pot: nursery 5 gal
    mix: potting mix
    size: knee-high, wider than pot
    place: driveway
  07a:
    plant: Tomatoes
    pot: black tub
    mix: my mix
    place: porch
    was: 3
    size: {wide: 50 cm}
    planted: 2026-04-20
  8:
    plant: long pepper
    pot: 5 gal
    place: porch
    shade: 20 %
    mulch: straw
    risk: 10 %
"""


def changed(old: str, new: str) -> str:
    """Return the garden with its first ``old`` replaced."""
    if old not in GARDEN:
        raise ValueError(old)
    return GARDEN.replace(old, new, 1)
