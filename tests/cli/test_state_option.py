"""Where a command looks for the service's state."""

from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from irrigate.cli.state_option import StateFolder, state_folder, state_option


def test_what_is_said_comes_before_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    """The option wins over both variables."""
    monkeypatch.setenv("IRRIGATE_STATE", "/from/variable")
    monkeypatch.setenv("STATE_DIRECTORY", "/from/unit")
    assert state_folder(Path("/said")).path == Path("/said")


def test_our_variable_comes_before_the_service_managers(monkeypatch: pytest.MonkeyPatch) -> None:
    """IRRIGATE_STATE wins over STATE_DIRECTORY."""
    monkeypatch.setenv("IRRIGATE_STATE", "/from/variable")
    monkeypatch.setenv("STATE_DIRECTORY", "/from/unit")
    assert state_folder().path == Path("/from/variable")


def test_of_several_folders_of_a_unit_the_first_is_ours(monkeypatch: pytest.MonkeyPatch) -> None:
    """systemd.exec(5), StateDirectory=: several directories are separated by colons."""
    monkeypatch.delenv("IRRIGATE_STATE", raising=False)
    monkeypatch.setenv("STATE_DIRECTORY", "/var/lib/first:/var/lib/second")
    assert state_folder().path == Path("/var/lib/first")


def test_without_any_word_it_is_installed_or_at_home(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """The installed folder if it is there, else one in the home folder."""
    monkeypatch.delenv("IRRIGATE_STATE", raising=False)
    monkeypatch.delenv("STATE_DIRECTORY", raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setattr("irrigate.cli.state_option.INSTALLED", tmp_path / "installed")
    assert state_folder().path == tmp_path / ".local/share/irrigate"
    (tmp_path / "installed").mkdir()
    assert state_folder().path == tmp_path / "installed"


def test_the_journal_and_the_spool_lie_in_it() -> None:
    """Both names are fixed, so that commands and service meet."""
    folder = StateFolder(Path("/state"))
    assert folder.journal == Path("/state/journal.sqlite")
    assert folder.spool == Path("/state/spool")


def test_a_command_gets_the_folder() -> None:
    """The option arrives as a StateFolder under the name ``state``."""

    @click.command()
    @state_option
    def shown(state: StateFolder) -> None:
        click.echo(state.journal)

    told = CliRunner().invoke(shown, ["--state", "here"])
    assert told.output == "here/journal.sqlite\n"
