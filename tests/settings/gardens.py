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

FULL = """\
garden: Under glass and out
site: {latitude: 38.6, longitude: -121.3, elevation: 30 m, time zone: America/Los_Angeles}
can: 8 L
water salt: 900 uS/cm
rounds: [07:00]
places:
  greenhouse: {glass: 70 %, ground: tiles, pots stand: close}
  driveway: {ground: driveway, sunny wall: yes, pots stand: alone, wind: open}
  cellar:
    shade: 100 %
    lamps: {light: 60 W/m2, on: 06:00-22:00}
pot kinds:
  herb bed: {trough: 2 m by 1 m, height: 28 cm, open bottom: yes}
  blue clay tub: {round: 38 cm, height: 35 cm}
  old bin: {volume: 40 L, wall: zinc}
plants:
  my lemon: {like: lemon, bare stem: 40 %, stands cold to: -3 C}
pots:
  1:
    plant: my lemon
    pot: clay pot 30 cm
    place: driveway
    saucer: 35 cm
    repotted: 2026-05-01 from nursery 1 gal
    leaf area: 0.6 m2
    rain catch: 1.5
    colour: white
    stands: sunk
  2: {plant: tomato, pot: herb bed, place: driveway, covered: yes}
  3: {plant: fig, pot: blue clay tub, place: greenhouse, outer pot: 60 L}
  4: {plant: mint, pot: hanging basket 30 cm, place: cellar, reservoir: 1.5 L, wall: felt}
  5: {plant: chives, pot: old bin, place: cellar, color: black, repotted: 2026-05-01}
"""
"""A garden that says all that can be said of a pot's surroundings and makings."""


def changed_in_full(old: str, new: str) -> str:
    """Return the full garden with its first ``old`` replaced."""
    if old not in FULL:
        raise ValueError(old)
    return FULL.replace(old, new, 1)


def changed(old: str, new: str) -> str:
    """Return the garden with its first ``old`` replaced."""
    if old not in GARDEN:
        raise ValueError(old)
    return GARDEN.replace(old, new, 1)
