"""Each command line in the documents names a command that there is, with options that it has."""

from __future__ import annotations

import re
import shlex

import click
import pytest

from irrigate.cli.main import COMMANDS, irrigate
from tests.docs.documents import Piece, blocks, inline

_CALL = re.compile(r"(?:\.venv/bin/)?irrigate(?= |$)")
_PROMPT = re.compile(r"^\s*(?:\$ |sudo |-u \S+ )*")


def command_lines() -> list[Piece]:
    """Return the calls of `irrigate` in blocks of shell and between backticks."""
    found = []
    for piece in blocks():
        if piece.language in ("sh", "bash", "shell", "console"):
            found += [
                Piece(piece.where, "", _PROMPT.sub("", line).partition(" #")[0])
                for line in piece.text.replace("\\\n", " ").splitlines()
            ]
    found += list(inline())
    return [piece for piece in found if _CALL.match(piece.text)]


def parse(line: str) -> None:
    """Parse a command line as click would, without running it; its `UsageError` if it is wrong."""
    arguments = shlex.split(line)[1:]
    context = irrigate.make_context("irrigate", [], resilient_parsing=True)
    if not arguments:
        return
    name, *rest = arguments
    command = irrigate.get_command(context, name)
    if command is None and name not in ("--help", "-h", "--version"):
        raise click.UsageError(f"there is no command {name}")
    if command is not None:
        _parse_rest(command, name, rest, context)


def _parse_rest(command: click.Command, name: str, rest: list[str], parent: click.Context) -> None:
    below = click.Context(command, info_name=name, parent=parent, resilient_parsing=False)
    _, left, _ = command.make_parser(below).parse_args(list(rest))
    if isinstance(command, click.Group) and left:
        inner = command.get_command(below, left[0])
        if inner is None:
            raise click.UsageError(f"{name} has no command {left[0]}")
        _parse_rest(inner, left[0], left[1:], below)
    elif left:
        raise click.UsageError(f"{name} takes no {' '.join(left)}")


@pytest.mark.parametrize("piece", command_lines(), ids=lambda piece: f"{piece.where} {piece.text}")
def test_a_command_line_can_be_parsed(piece):
    """The command is there, it has the options, and it takes as many arguments."""
    parse(piece.text)


def test_command_lines_are_found():
    """The README's table names the commands that a gardener needs."""
    named = {shlex.split(piece.text)[1] for piece in command_lines() if " " in piece.text}
    assert {"run", "check", "outlook", "log", "explain", "demo"} <= named <= {*COMMANDS}


@pytest.mark.parametrize(
    "line",
    [
        "irrigate chekc",
        "irrigate check --verbose",
        "irrigate check one.yaml two.yaml",
        "irrigate run --garden",
        "irrigate demo garden.yaml",
    ],
)
def test_a_wrong_command_line_would_be_found(line):
    """A command, option or argument that there is not is refused by the same way through."""
    with pytest.raises(click.UsageError):
        parse(line)


def test_each_option_that_is_mentioned_exists():
    """An option of ours that the README names by itself is one of some command."""
    context = click.Context(irrigate)
    known = {"--help", "--version"}
    for name in COMMANDS:
        command = irrigate.get_command(context, name)
        assert command is not None
        known |= {option for one in command.params for option in (*one.opts, *one.secondary_opts)}
    mentioned = {
        piece.text.split()[0]
        for piece in inline()
        if piece.where.startswith("README") and re.match(r"--[a-z]", piece.text)
    }
    assert mentioned <= known
    assert "--secrets" in mentioned
