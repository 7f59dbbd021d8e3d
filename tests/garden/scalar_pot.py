"""One pot, hour by hour, in plain Python: the equations written a second time, from the papers.

Nothing here is taken from the package but the description of the pot; numbers of equations are
those of FAO-56 (Allen, Pereira, Raes, Smith 1998). The two losses are integrated by small steps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from irrigate.garden.pots import Place, Pot, Site
from irrigate.garden.weather import HourlyWeather

SUBSTEPS = 400


@dataclass
class Water:
    """What a pot holds [L], and what its surface lacks [mm]."""

    stored_l: float
    surface_mm: float


@dataclass(frozen=True)
class Kind:
    """The numbers of one pot that a belief or a laboratory gives."""

    capacity_l: float
    limit_l: float
    dry_point: float
    use_factor: float
    evaporable_mm: float
    readily_mm: float


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


def et0_mm(site: Site, place: Place, weather: HourlyWeather, hour: int) -> float:
    """Eq 53 with Eq 38–40, 45 and 46, in the place's shade and wind; no dew."""
    t, ea = float(weather.temperature_c[hour]), float(weather.vapour_pressure_kpa[hour])
    u2 = float(weather.wind_2m_m_s[hour]) * place.wind
    sun = Sun(site, int(weather.end_s[hour]))
    cloudy = 1.35 * min(max(clouds(site, weather, hour), 0.3), 1.0) - 0.35
    out = 2.043e-10 * (t + 273.16) ** 4 * (0.34 - 0.14 * math.sqrt(ea)) * cloudy
    net = 0.77 * float(weather.solar_mj_m2[hour]) * (1 - place.shade) - out
    ground = (0.1 if sun.top_mj > 0 else 0.5) * net
    pressure = 101.3 * ((293 - 0.0065 * site.elevation_m) / 293) ** 5.26
    gamma, delta = 0.665e-3 * pressure, slope_kpa_c(t)
    dry = gamma * 37 / (t + 273) * u2 * (saturation_kpa(t) - ea)
    return max((0.408 * delta * (net - ground) + dry) / (delta + gamma * (1 + 0.34 * u2)), 0.0)


def coefficients(
    site: Site, place: Place, pot: Pot, weather: HourlyWeather, hour: int
) -> tuple[float, float, float]:
    """Litres per mm by the leaves, mm per mm by the wet exposed surface, and Kc max.

    Eq 99–102, Eq 97's factor, Box 18 at noon; Eq 71 and 72 with the 1.1 of daily wetting. The
    climate terms are those of the day that ends with the hour.
    """
    day = [max(hour - back, 0) for back in range(24)]
    wind = sum(float(weather.wind_2m_m_s[one]) for one in day) / 24 * place.wind
    warm = sum(float(weather.temperature_c[one]) for one in day) / 24
    humid = min(
        100 * min(float(weather.vapour_pressure_kpa[one])
                  / saturation_kpa(float(weather.temperature_c[one])), 1.0)
        for one in day
    )  # fmt: skip
    width, tall = pot.canopy_width_m, pot.canopy_height_m
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
    density = 1 - math.exp(-0.7 * pot.crop.leaf_area_index)
    utc_day = datetime.fromtimestamp(int(weather.end_s[hour]) - 1, UTC).timetuple().tm_yday
    phi, tilt = (
        math.radians(site.latitude_deg),
        0.409 * math.sin(2 * math.pi * utc_day / 365 - 1.39),
    )
    noon = math.asin(math.sin(phi) * math.sin(tilt) + math.cos(phi) * math.cos(tilt))
    shadow = math.pi / 4 * width * math.hypot(width, tall / math.tan(max(noon, math.pi / 6)))
    leaf = full * tight * density * shadow
    top = pot.vessel.surface_area_m2
    covered = min(1.0, math.pi / 4 * width**2 / top) * density
    few = max(1 - covered, 0.05)
    basal = min(leaf / max(math.pi / 4 * width**2, top), 1.2)
    most = max(1.1 + term, basal + 0.05)
    return leaf, max(most - basal, 0.0) / few, most


def falling(stored: float, threshold: float, asked: float) -> float:
    """Take from a store that gives freely to a threshold and then in proportion (Eq 74, 84)."""
    left = stored
    for _ in range(SUBSTEPS):

        def rate(level: float) -> float:
            return asked * min(1.0, max(level, 0.0) / threshold) if threshold > 0 else asked

        piece = 1 / SUBSTEPS
        k1 = rate(left)
        k2 = rate(left - 0.5 * piece * k1)
        k3 = rate(left - 0.5 * piece * k2)
        k4 = rate(left - piece * k3)
        left -= piece * (k1 + 2 * k2 + 2 * k3 + k4) / 6
    return stored - max(left, 0.0)


def an_hour(
    water: Water, kind: Kind, site: Site, place: Place, pot: Pot, weather: HourlyWeather, hour: int
) -> Water:
    """Return the pot after an hour: rain, then the surface dries, then the plant drinks."""
    rain = float(weather.rain_mm[hour]) * place.rain
    stored = min(water.stored_l + rain * pot.vessel.opening_area_m2,
                 max(kind.capacity_l, water.stored_l))  # fmt: skip
    top = pot.vessel.surface_area_m2
    surface = max(water.surface_mm - rain * pot.vessel.opening_area_m2 / top, 0.0)
    et0 = et0_mm(site, place, weather, hour)
    leaf, by_energy, most = coefficients(site, place, pot, weather, hour)
    width = pot.canopy_width_m
    density = 1 - math.exp(-0.7 * pot.crop.leaf_area_index)
    few = max(1 - min(1.0, math.pi / 4 * width**2 / top) * density, 0.05)
    # Eq 71: energy binds at few × Kc max of the whole surface, that is Kc max of its exposed part.
    asked = et0 * min(by_energy, most) * (1 - pot.mulch)
    slack = min(1.0, most / max(by_energy, 1e-9))
    dried = falling(
        kind.evaporable_mm - surface, (kind.evaporable_mm - kind.readily_mm) * slack, asked
    )
    evaporated = min(dried * few * top, max(stored - 0.5 * kind.limit_l, 0.0))
    stored -= evaporated
    drunk = falling(
        max(stored - kind.limit_l, 0.0),
        kind.dry_point * (kind.capacity_l - kind.limit_l),
        et0 * leaf * kind.use_factor,
    )
    return Water(stored - drunk, surface + dried)
