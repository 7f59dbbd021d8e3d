"""`irrigate replay`: the service stepped through weather and events that are over."""

from __future__ import annotations

from collections.abc import Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import click

from irrigate.assemble.replay import Replayed, Scenario, replayed
from irrigate.cli.events_csv import Record, Span, read_events
from irrigate.cli.garden_option import garden_option
from irrigate.cli.progress import Bar
from irrigate.cli.replay_skill import read_hold_out, skill_csv, skill_lines, skill_summary
from irrigate.cli.replay_tables import HourTable, decisions_csv, occasion, stamp, summary_json
from irrigate.cli.replay_weather import Told, asked_moment, read_told
from irrigate.cli.result_folder import check_folder, write_folder
from irrigate.cli.stamps import zone_named
from irrigate.outside.weather.memory import ForecastError
from irrigate.service.reporting import Report
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
    "--hold-out",
    "hold_out",
    multiple=True,
    metavar="KIND|SHARE",
    help="Foretell these reports and learn nothing from them: weighed, ran, finger, probe, wilting,"
    " drained, or a share of all such as 0.3 or 30%.",
)
@click.option(
    "--beliefs-only",
    is_flag=True,
    help="Run no week ahead and tell no round: much faster, and no decisions.csv.",
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
    hold_out: tuple[str, ...],
    beliefs_only: bool,
    out: Path,
    overwrite: bool,
) -> None:
    """Live through a time that is over, by the very steps of the running service.

    The weather's columns are those of `irrigate et0`, its time the END of a row; an hour without
    a value is filled and marked. The events have the columns time, pot, kind, value and unit:
    given (a volume, cans, seconds of hose), till-ran and till-ran-twice (a volume or nothing),
    weighed (kg, g or lb; weighed-anew for the first weight on another scale, or after it was
    tared: any zero will do, if no weight falls below nothing), finger (wet, moist, dry), wilting,
    probe (%, m3/m3, or a bare number between the pot's own two), drained (a volume), planted,
    canopy (40 x 60, cm), leaf-area (0.4, m2),
    and rain (a depth, or none, some, ran through; pot left empty). pot is a label, several, or
    all. The record is all that was done: a round that it does not mention was not walked.

    Each report is foretold from all that came before it, and only then learnt from. With
    --hold-out (again and again, or parted by commas) some are not learnt from at all; of litres
    till it ran that were held out, the belief is told as so much water given. Which reports a
    share falls on hangs on the reports themselves and is the same every time.

    DIR gets hours.csv (every pot and hour, as it looks when everything is known), skill.csv (every
    report beside what was foretold of it), decisions.csv (what would have been said, as it was
    known then) and summary.json.
    """
    check_folder(out, overwrite=overwrite)
    holding = read_hold_out(hold_out)
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
    lived, hours, reports = _lived(
        Scenario(
            text, told.hours, record.events, told.start, told.end, members, FORECASTS[forecast],
            holding, decides=not beliefs_only,
        )
    )  # fmt: skip
    asked = {
        "members": members, "forecast": forecast, "garden_file_sha256": text.digest,
        "held_out_kinds": sorted(holding.kinds), "held_out_share": holding.share,
    }  # fmt: skip
    summary = _summary(asked, told, record, lived, hours)
    files = {
        "hours.csv": hours.csv(),
        "skill.csv": skill_csv(reports, lived.garden),
        "summary.json": summary_json({**summary, "skill": skill_summary(reports)}),
    }
    if not beliefs_only:
        files["decisions.csv"] = decisions_csv(lived.actions, lived.garden)
    write_folder(out, files)
    click.echo(_said(told, record, lived, out, files))
    for line in skill_lines(reports, lived.garden):
        click.echo(line)


def _lived(scenario: Scenario) -> tuple[Replayed, HourTable, list[Report]]:
    """Live through it with a bar, and gather what became of every pot."""
    length = scenario.end - scenario.start
    with Bar("replaying") as bar:
        lived = replayed(scenario, lambda step: bar.reached((step.at - scenario.start) / length))
    hours, reports = HourTable(), list[Report]()
    with Bar("learning") as bar:
        for hour in lived.hours(reports.append):
            hours.add(hour)
            bar.reached((hour.at - scenario.start) / length)
    return lived, hours, reports


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


def _said(told: Told, record: Record, lived: Replayed, out: Path, files: Mapping[str, str]) -> str:
    """Return what was done in a few words."""
    counted = _counted(lived)
    rows = f" ({record.left_out} rows lie outside)" if record.left_out else ""
    decided = (
        f", {counted['rounds']} rounds told, {counted['warnings']} warnings"
        if "decisions.csv" in files
        else ""
    )
    *most, last = sorted(files)
    return (
        f"{stamp(told.start)} to {stamp(told.end)}: {len(record.events)} events{rows}{decided};"
        f" {', '.join(most)} and {last} are in {out}"
    )
