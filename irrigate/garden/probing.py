"""What a probe told: percent of the mix's volume, or a bare number between two points of its own.

The two points stand in the pot's row: what the probe shows in this mix when it is air-dry (spread
out until it weighs no less), and in this pot an hour after it was watered till it ran. Between
them its number is taken as straight in the water, and just drained as whatever the pot holds.
"""

from __future__ import annotations

import re

from irrigate import units
from irrigate.garden.events import Probe, ProbeRaw
from irrigate.garden.pots import Pot

# A number beyond its points by more than this share of their distance is a slip, or the points are
# of another mix. By judgement, no source.
BEYOND = 0.15

_VOLUMETRIC = re.compile(r"([+-]?\d*\.?\d+)\s*(?:m3/m3|m³/m³|m³ m⁻³)", re.IGNORECASE)
_BARE = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)")


def probe_said(said: str, pot: Pot) -> Probe | ProbeRaw:
    """Read ``35 %``, ``0.35 m3/m3`` or ``610``.

    Raises
    ------
    ValueError : it is none of them, or cannot be; the text says how to mend it.
    """
    text = said.strip()
    volumetric = _VOLUMETRIC.fullmatch(text)
    if volumetric:
        return _of_volume(float(volumetric[1]), text, pot)
    if "%" in text:
        return _of_volume(units.share(text), text, pot)
    if _BARE.fullmatch(text):
        return _bare(float(text), text, pot)
    raise ValueError(
        f"{text!r} is not what a probe shows; say 35 %, 0.35 m3/m3, or its bare number"
    )


def _of_volume(theta: float, text: str, pot: Pot) -> Probe:
    if not 0.0 <= theta <= pot.medium.theta_s:
        raise ValueError(
            f"{text} cannot be; the pores of pot {pot.label} hold {pot.medium.theta_s:.2f} m3/m3"
        )
    return Probe(pot.id, theta)


def _bare(reading: float, text: str, pot: Pot) -> ProbeRaw:
    points = pot.probe
    if points is None:
        raise ValueError(
            f"{text} needs the probe's two points for pot {pot.label}: write into its row "
            "probe: {dry: 830, wet: 420}, with what it shows in the dry mix, and in the pot an "
            f"hour after it ran; or say it in percent, as in {pot.label} probe 35 %"
        )
    told = ProbeRaw(pot.id, reading, points.dry, points.wet)
    if not -BEYOND <= told.share <= 1.0 + BEYOND:
        raise ValueError(
            f"{text} lies too far outside of the probe's points for pot {pot.label} "
            f"({points.dry:g} dry, {points.wet:g} wet); read it again, or measure the points anew"
        )
    return told
