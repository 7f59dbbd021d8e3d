"""The command line's front door: which commands there are, and how errors leave it."""

from __future__ import annotations

import os
import sys
from importlib import import_module

import click

from irrigate.errors import InputError, IrrigateError

# Shows where an unexpected failure came from, for an engineer.
TRACE = "IRRIGATE_TRACE"

# Each command lives in a module of its own and is imported when it is called for,
# so that a short command does not pay for the libraries of a long one.
COMMANDS = {
    "init": "irrigate.cli.init",
    "run": "irrigate.cli.run",
    "log": "irrigate.cli.log",
    "outlook": "irrigate.cli.outlook",
    "explain": "irrigate.cli.explain",
    "skill": "irrigate.cli.skill",
    "demo": "irrigate.cli.demo",
    "check": "irrigate.cli.check",
    "et0": "irrigate.cli.et0",
    "replay": "irrigate.cli.replay",
    "schema": "irrigate.cli.schema",
}


class _LazyGroup(click.Group):
    """A group whose commands are imported on first use."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(COMMANDS[cmd_name]).command
        return command


@click.group(cls=_LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="irrigate", prog_name="irrigate")
def irrigate() -> None:
    """Say which pots to water, when, and how much."""


def main(arguments: list[str] | None = None) -> None:
    """Run one command and leave by its exit code: 0 done, 2 bad input, 1 anything else."""
    sys.exit(run(arguments))


def run(arguments: list[str] | None = None) -> int:
    """Run one command; return its exit code instead of leaving."""
    try:
        irrigate.main(args=arguments, standalone_mode=False, prog_name="irrigate")
    except click.exceptions.Exit as leaving:
        return int(leaving.exit_code)
    except click.ClickException as wrong:
        wrong.show()
        return wrong.exit_code
    except click.Abort:
        click.echo("stopped", err=True)
        return 130
    except InputError as wrong:
        click.echo(str(wrong), err=True)
        return 2
    except IrrigateError as failed:
        click.echo(f"irrigate: {failed}", err=True)
        return 1
    except BrokenPipeError:
        # The reader went away (a pager, `head`); say nothing more to it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as trouble:  # a gardener is not helped by a traceback
        if TRACE in os.environ:
            raise
        click.echo(
            f"irrigate: this should not have happened ({type(trouble).__name__}: {trouble}).\n"
            f"With {TRACE}=1 in the environment it shows where.",
            err=True,
        )
        return 1
    return 0
