"""The air around one pot, hour by hour, in plain Python: the equations written a second time.

Nothing here is taken from the package but the description of the pot and its place; numbers of
equations are those of FAO-56 (Allen, Pereira, Raes, Smith 1998). What has no number there is in
the package's own words: `irrigate.garden.surroundings`, `irrigate.garden.season`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from irrigate.garden.pots import Garden, Place, Pot, Site
from irrigate.garden.weather import HourlyWeather


def saturation_kpa(t: float) -> float:
    """Eq 11."""
    return 0.6108 * math.exp(17.27 * t / (t + 237.3))


def slope_kpa_c(t: float) -> float:
    """Eq 13."""
    return 4098 * saturation_kpa(t) / (t + 237.3) ** 2


class Sun:
    """Eq 23–33 for the hour that ends at a moment."""

    def __init__(self, site: Site, end_s: int) -> None:
        middle = end_s - 1800
        local = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(
            seconds=middle + 240 * site.longitude_deg
        )
        self.day = local.timetuple().tm_yday
        phi = math.radians(site.latitude_deg)
        near = 1 + 0.033 * math.cos(2 * math.pi * self.day / 365)
        tilt = 0.409 * math.sin(2 * math.pi * self.day / 365 - 1.39)
        self.sunset = math.acos(-math.tan(phi) * math.tan(tilt))
        b = 2 * math.pi * (self.day - 81) / 364
        season = 0.1645 * math.sin(2 * b) - 0.1255 * math.cos(b) - 0.025 * math.sin(b)
        clock = middle % 86400 / 3600 + site.longitude_deg / 15 + season
        w = math.pi / 12 * (clock - 12)
        self.angle = (w + math.pi) % (2 * math.pi) - math.pi
        start = min(max(self.angle - math.pi / 24, -self.sunset), self.sunset)
        stop = min(max(self.angle + math.pi / 24, -self.sunset), self.sunset)
        lit = (stop - start) * math.sin(phi) * math.sin(tilt) + math.cos(phi) * math.cos(tilt) * (
            math.sin(stop) - math.sin(start)
        )
        self.top_mj = max(12 * 60 / math.pi * 0.0820 * near * lit, 0.0)
        self.clear_mj = (0.75 + 2e-5 * site.elevation_m) * self.top_mj


def clouds(site: Site, weather: HourlyWeather, hour: int) -> float:
    """Rs/Rso of an hour, by night that of two to three hours before sunset (p. 75), else 0.75."""
    sun = Sun(site, int(weather.end_s[hour]))
    if abs(sun.angle) < sun.sunset:
        return float(weather.solar_mj_m2[hour]) / sun.clear_mj
    for back in range(hour - 1, max(hour - 25, -1), -1):
        then = Sun(site, int(weather.end_s[back]))
        if 0.52 <= then.sunset - then.angle <= 0.79:
            return float(weather.solar_mj_m2[back]) / then.clear_mj
    return 0.75


def within(site: Site, end_s: int, begins: time | None, ends: time | None) -> float:
    """Return the part of an hour within a local time of day, minute by minute."""
    if begins is None or ends is None:
        return 1.0
    inside = 0
    for minute in range(60):
        local = datetime.fromtimestamp(end_s - 3600 + 60 * minute, UTC)
        clock = local.astimezone(ZoneInfo(site.time_zone)).time()
        day = begins <= clock < ends
        inside += day if begins <= ends else (clock >= begins or clock < ends)
    return inside / 60


def wind_at(place: Place, open_m_s: float) -> float:
    """Still air of 0.5 m/s under glass (the least of p. 63), else the place's share."""
    return 0.5 if place.glass is not None else open_m_s * place.wind


def et0_mm(site: Site, place: Place, weather: HourlyWeather, hour: int) -> float:
    """Eq 53 with Eq 38–40, 45 and 46 in the light, wind and sky of the place; no dew."""
    t, ea = float(weather.temperature_c[hour]), float(weather.vapour_pressure_kpa[hour])
    end_s = int(weather.end_s[hour])
    u2 = wind_at(place, float(weather.wind_2m_m_s[hour]))
    sun = Sun(site, end_s)
    cloudy = 1.35 * min(max(clouds(site, weather, hour), 0.3), 1.0) - 0.35
    out = 2.043e-10 * (t + 273.16) ** 4 * (0.34 - 0.14 * math.sqrt(ea)) * cloudy
    if place.glass is not None:
        out = 0.0
    elif place.sunny_wall:
        out *= 0.5
    direct = (0.75 + (0.09 if place.sunny_wall else 0.0)) * within(
        site, end_s, place.sun_from, place.sun_until
    )
    light = float(weather.solar_mj_m2[hour]) * (0.25 + direct) * (1 - place.shade)
    light *= 1.0 if place.glass is None else place.glass
    burning = within(site, end_s, place.lamps_from, place.lamps_until) * (place.lamps_w_m2 > 0)
    light += burning * place.lamps_w_m2 * 0.0036
    net = 0.77 * light - out
    ground = (0.1 if sun.top_mj > 0 or burning else 0.5) * net
    pressure = 101.3 * ((293 - 0.0065 * site.elevation_m) / 293) ** 5.26
    gamma, delta = 0.665e-3 * pressure, slope_kpa_c(t)
    dry = gamma * 37 / (t + 273) * u2 * (saturation_kpa(t) - ea)
    return max((0.408 * delta * (net - ground) + dry) / (delta + gamma * (1 + 0.34 * u2)), 0.0)


# --- the plant on a day --------------------------------------------------------------------
def utc_day(end_s: int) -> date:
    """Return the day of UTC that an hour belongs to."""
    return datetime.fromtimestamp(end_s - 1, UTC).date()


def straight(at: float, points: list[tuple[float, float]]) -> float:
    """Return the height of a broken line, level beyond its ends."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= at <= x1:
            return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
    return points[0][1] if at < points[0][0] else points[-1][1]


def size_m(pot: Pot, begun: date, day: date) -> tuple[float, float]:
    """Width and height on a day of a plant described on the day when it all begins.

    Canopy cover by the stages of Table 11: 0.02, a tenth, all of it; width by its root.
    """
    size = pot.canopy_width_m, pot.canopy_height_m
    if pot.planted is None or not pot.crop.stages_d:
        return size
    first, second = pot.crop.stages_d[:2]
    line = [(0.0, 0.02), (first, 0.1), (first + second, 1.0)]
    then, now = (straight((one - pot.planted).days, line) for one in (begun, day))
    times = math.sqrt(max(now / then, 1.0))
    full = pot.crop.width_m, pot.crop.height_m
    width, tall = (min(one * times, max(most, one)) for one, most in zip(size, full, strict=True))
    return width, tall


def leaves_left(pot: Pot, site: Site, day: date) -> float:
    """Share of the leaves' best use: by the month, or in the late stage (Eq 66)."""
    months = pot.crop.leaves_by_month
    if months:
        half = 6 if site.latitude_deg < 0 else 0
        turned = [months[(number - half) % 12] for number in range(-1, 13)]
        line = [((number - 0.5) * 365.25 / 12, share) for number, share in enumerate(turned)]
        return straight(day.timetuple().tm_yday, line)
    if pot.planted is None or not pot.crop.stages_d:
        return 1.0
    begins = sum(pot.crop.stages_d[:3])
    end = min(pot.crop.kcb_end / pot.crop.kcb_mid, 1.0)
    line = [(begins, 1.0), (begins + pot.crop.stages_d[3], end)]
    return straight((day - pot.planted).days, line)


@dataclass(frozen=True)
class Asked:
    """Of one hour: litres and millimetres asked, and the share of the top that leaves shade."""

    et0_mm: float
    leaves_l: float
    surface_mm: float
    slack: float
    few: float
    under_leaves: float


def asked(garden: Garden, pot: Pot, begun: date, weather: HourlyWeather, hour: int) -> Asked:
    """Return what the air asks of the pot in one hour.

    Eq 99–102, Eq 97's factor, Eq 98's reach with Box 18 at noon, the limits of p. 202–203; Eq 71
    and 72 with the 1.1 of daily wetting. Climate terms are those of the day that ends with it.
    """
    site, place = garden.site, garden.place(pot.place)
    day = utc_day(int(weather.end_s[hour]))
    trailing = [max(hour - back, 0) for back in range(24)]
    wind = sum(wind_at(place, float(weather.wind_2m_m_s[one])) for one in trailing) / 24
    warm = sum(float(weather.temperature_c[one]) for one in trailing) / 24
    humid = min(
        100 * min(float(weather.vapour_pressure_kpa[one])
                  / saturation_kpa(float(weather.temperature_c[one])), 1.0)
        for one in trailing
    )  # fmt: skip
    width, tall = size_m(pot, begun, day)
    h = min(max(tall, 0.1), 10.0)
    term = (0.04 * (min(max(wind, 1.0), 6.0) - 2) - 0.004 * (min(max(humid, 20.0), 80.0) - 45)) * (
        h / 3
    ) ** 0.3
    mid = pot.crop.kcb_mid
    full = min(min(1.0 + 0.1 * h, 1.2) + term, mid + (term if mid >= 0.45 else 0.0))
    delta, gamma = slope_kpa_c(warm), 0.067
    tight = (delta + gamma * (1 + 0.34 * wind)) / (
        delta + gamma * (1 + 0.34 * wind * pot.crop.leaf_resistance_s_m / 100)
    )
    lai = pot.crop.leaf_area_index
    if pot.leaf_area_m2 is not None:
        lai = pot.leaf_area_m2 / (math.pi / 4 * pot.canopy_width_m**2)
    density = 1 - math.exp(-0.7 * lai)
    phi = math.radians(site.latitude_deg)
    tilt = 0.409 * math.sin(2 * math.pi * day.timetuple().tm_yday / 365 - 1.39)
    noon = math.asin(math.sin(phi) * math.sin(tilt) + math.cos(phi) * math.cos(tilt))
    crown = tall * (1 - pot.crop.bare_stem)
    shadow = math.pi / 4 * width * math.hypot(width, crown / math.tan(max(noon, math.pi / 6)))
    canopy = math.pi / 4 * width**2
    spacing = "alone" if pot.setting == "hanging" else place.spacing
    own = (width * {"close": 1.0, "apart": 1.5, "alone": 3.0}[spacing]) ** 2
    reach = min(1.0, 2 * canopy / own, min(shadow / own, 1.0) ** (1 / (1 + tall)))
    leaf = full * tight * density * own * reach
    leaf = min(leaf, {"green": 1.4, "bare": 2.5, "paved": 2.5}[place.ground] * tight * shadow)
    leaf *= leaves_left(pot, site, day)
    top = pot.vessel.surface_area_m2
    # Tired leaves still shade, fallen ones do not.
    there = leaves_left(pot, site, day) if pot.crop.leaves_by_month else 1.0
    under = min(1.0, canopy / top) * (1 - math.exp(-0.7 * lai * there))
    few = 1 - 0.7 * under
    basal = leaf / max(canopy, top)
    most = max(1.1 + term, min(basal, 1.2) + 0.05)
    by_energy = max(2 * most - basal, 0.05) / few
    et0 = et0_mm(site, place, weather, hour)
    return Asked(
        et0, et0 * leaf, et0 * min(by_energy, most), min(1.0, most / by_energy), few, under
    )
