"""The words a gardener may use in place of numbers, and the numbers they stand for.

Every number here is a starting default from memory, not verified, unless its line says otherwise;
what a pot then shows corrects it. A number written in the file always wins.
"""

from __future__ import annotations

from irrigate.science.surface import organic_mulch_factor, plastic_mulch_factor

HEIGHTS_M = {
    "ankle-high": 0.12,
    "shin-high": 0.30,
    "knee-high": 0.50,
    "hip-high": 0.90,
    "waist-high": 1.05,
    "chest-high": 1.35,
    "head-high": 1.75,
}

WIDTHS_OF_POT = {
    "narrower than pot": 0.6,
    "as wide as pot": 1.0,
    "wider than pot": 1.5,
    "twice as wide as pot": 2.0,
    "three times as wide as pot": 3.0,
}
"""Width of the plant over the width of the pot's opening."""

SEEDLING_M = (0.08, 0.10)
"""Width and height of what is called a seedling."""

WINDS = {"sheltered": 0.25, "yard": 0.5, "open": 1.0}
"""Wind at the pots over the wind on open ground, of which a yard has about half."""

# FAO-56 chapter 10: organic mulch saves 5 % of evaporation per 10 % of surface covered; plastic
# sheet 50–80 %. Gravel is from memory.
MULCHES = {
    "no": 0.0,
    "yes": 1 - float(organic_mulch_factor(1.0)),
    "straw": 1 - float(organic_mulch_factor(1.0)),
    "bark": 1 - float(organic_mulch_factor(1.0)),
    "leaves": 1 - float(organic_mulch_factor(1.0)),
    "gravel": 0.4,
    "plastic": 1 - float(plastic_mulch_factor(1.0)),
}
"""Share of the surface's evaporation that a full cover takes away."""

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

# fmt: off
SPOKEN_FOR = frozenset((
    "all", "but", "none", "only", "after", "till", "until", "stopped", "ran", "it", "twice",
    "hose", "can", "cans", "wet", "moist", "dry", "wilting", "wilted", "still", "and", "s", "sec",
    "min", "l", "ml", "gal", "qt", "kg", "lb", "rain", "some", "through", "yes", "no",
    "at", "undo", "damp", "weighs", "am", "pm",
))
# fmt: on
"""Words of an answer, which therefore cannot be a pot's label."""
