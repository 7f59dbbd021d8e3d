"""The command `irrigate schema`: the garden file's JSON schema, for editors."""

from __future__ import annotations

import json
from pathlib import Path

import click

from irrigate.errors import InputError
from irrigate.settings.json_schema import garden_schema


@click.command("schema")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Write it into this file instead of printing it.",
)
def command(out: Path | None) -> None:
    """Write the JSON schema of the garden file, with which an editor completes and checks it.

    Lay it beside your garden file as garden.schema.json. Editors that know YAML find it by the
    first line of the sample garden.
    """
    text = schema_text()
    if out is None:
        click.echo(text, nl=False)
        return
    try:
        out.write_text(text, encoding="utf-8")
    except OSError as failed:
        raise InputError(f"{out}: cannot be written ({failed.strerror})") from failed
    click.echo(f"{out} is written.")


def schema_text() -> str:
    """Return the schema as a file holds it."""
    return json.dumps(garden_schema(), indent=2, ensure_ascii=False) + "\n"
