"""`irrigate replay`: the service stepped through weather and events that are over."""

from __future__ import annotations

from importlib.metadata import version
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import click

from irrigate.assemble.replay import Replayed, Scenario, replayed
from irrigate.cli.events_csv import Record, Span, read_events
from irrigate.cli.garden_option import garden_option
from irrigate.cli.progress import Bar
from irrigate.cli.replay_tables import HourTable, decisions_csv, occasion, stamp, summary_json
from irrigate.cli.replay_weather import Told, asked_moment, read_told
from irrigate.cli.result_folder import check_folder, write_folder
from irrigate.cli.stamps import zone_named
from irrigate.outside.weather.memory import ForecastError
from irrigate.settings.garden_file import YamlGardenFile

FORECASTS = {"perfect": None, "typical": ForecastError("replay")}


@click.command("replay")
@garden_option
@click.option("--weather", metavar="W.csv", required=True, help="Hours or finer, as for et0.")
@click.option("--events", metavar="E.csv", required=True, help="What was given, seen and done.")
@click.option("--from", "begin", metavar="TIME", help="Begin here, not with the weather.")
@click.option("--to", "stop", metavar="TIME", help="End here, not with the weather.")
@click.option(
    "--wind-height",
    type=click.FloatRange(0.5, 200.0),
    help="Metres above ground where wind_m_s was measured.",
)
@click.option("--timezone", "zone", help="Zone of times without an offset [default: the garden’s].")
@click.option(
    "--forecast",
    type=click.Choice(list(FORECASTS)),
    default="perfect",
    show_default=True,
    help="Forecasts that came true, or that missed by a usual amount.",
)
@click.option(
    "--members",
    type=click.IntRange(10, 2000),
    default=200,
    show_default=True,
    help="Size of the ensemble.",
)
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", required=True, help="For the results."
)
@click.option("--overwrite", is_flag=True, help="Replace results that DIR holds.")
def command(
    garden: Path,
    weather: str,
    events: str,
    begin: str | None,
    stop: str | None,
    wind_height: float | None,
    zone: str | None,
    forecast: str,
    members: int,
    out: Path,
    overwrite: bool,
) -> None:
    """Live through a time that is over, by the very steps of the running service.

    The weather's columns are those of `irrigate et0`, its time the END of a row; an hour without
    a value is filled and marked. The events have the columns time, pot, kind, value and unit:
    given (a volume, cans, seconds of hose), till-ran and till-ran-twice (a volume or nothing),
    weighed, finger (wet, moist, dry), wilting, probe (% or m3/m3), planted, canopy (40 x 60, cm),
    and rain (a depth, or none, some, ran through; pot left empty). pot is a label, several, or
    all. The record is all that was done: a round that it does not mention was not walked.

    DIR gets hours.csv (every pot and hour, as it looks when everything is known), decisions.csv
    (what would have been said, as it was known then) and summary.json.
    """
    check_folder(out, overwrite=overwrite)
    text = YamlGardenFile(garden).read()
    site = text.garden.site
    local = zone_named(zone) if zone else ZoneInfo(site.time_zone)
    told = read_told(
        weather, site, local, wind_height,
        asked_moment("--from", begin, local), asked_moment("--to", stop, local),
    )  # fmt: skip
    span = Span(told.start, told.end, begin is not None, stop is not None)
    record = read_events(events, text.garden, local, span)
    for remark in told.remarks:
        click.echo(f"weather: {remark}", err=True)
    lived, hours = _lived(
        Scenario(
            text, told.hours, record.events, told.start, told.end, members, FORECASTS[forecast]
        )
    )
    asked = {"members": members, "forecast": forecast, "garden_file_sha256": text.digest}
    write_folder(
        out,
        {
            "hours.csv": hours.csv(),
            "decisions.csv": decisions_csv(lived.actions, lived.garden),
            "summary.json": summary_json(_summary(asked, told, record, lived, hours)),
        },
    )
    click.echo(_said(told, record, lived, out))


def _lived(scenario: Scenario) -> tuple[Replayed, HourTable]:
    """Live through it with a bar, and gather what became of every pot."""
    length = scenario.end - scenario.start
    with Bar("replaying") as bar:
        lived = replayed(scenario, lambda step: bar.reached((step.at - scenario.start) / length))
        hours = HourTable()
        for hour in lived.hours():
            hours.add(hour)
    return lived, hours


def _summary(
    asked: dict[str, Any], told: Told, record: Record, lived: Replayed, hours: HourTable
) -> dict[str, Any]:
    pots, whole = hours.totals(lived.garden)
    return {
        "irrigate": version("irrigate"),
        "garden": lived.garden.name,
        **asked,
        "first_time": stamp(told.start),
        "last_time": stamp(told.end),
        "hours_with_weather_put_in": told.filled(),
        "weather_remarks": list(told.remarks),
        **_counted(lived),
        "events_taken": len(record.events),
        "event_rows_left_out": record.left_out,
        "facts": lived.facts,
        "whole_garden": whole,
        "pots": pots,
    }


def _counted(lived: Replayed) -> dict[str, int]:
    """Return how many decisions there were of each sort, and the messages that went out."""
    sorts = [occasion(action) for _, action in lived.actions]
    return {
        "decisions": len(sorts),
        "rounds": sorts.count("round"),
        "warnings": sorts.count("warning"),
        "notices": sorts.count("notice"),
        "held": sorts.count("held"),
        "messages": len(lived.messages),
    }


def _said(told: Told, record: Record, lived: Replayed, out: Path) -> str:
    """Return what was done in a few words."""
    counted = _counted(lived)
    rows = f" ({record.left_out} rows lie outside)" if record.left_out else ""
    return (
        f"{stamp(told.start)} to {stamp(told.end)}: {len(record.events)} events{rows},"
        f" {counted['rounds']} rounds told, {counted['warnings']} warnings;"
        f" hours.csv, decisions.csv and summary.json are in {out}"
    )
