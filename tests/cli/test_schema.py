"""The command `schema`: printed, written, refused."""

from __future__ import annotations

import json
from pathlib import Path

from irrigate.cli import main
from irrigate.cli.schema import schema_text


def test_it_is_printed(capsys):
    """Without an option the schema goes to the terminal, as it would into a file."""
    assert main.run(["schema"]) == 0
    printed = capsys.readouterr().out
    assert printed == schema_text()
    assert json.loads(printed)["title"] == "Garden file"


def test_it_is_written(tmp_path: Path, capsys):
    """With --out it goes into that file, which is said."""
    path = tmp_path / "garden.schema.json"
    assert main.run(["schema", "--out", str(path)]) == 0
    assert path.read_text(encoding="utf-8") == schema_text()
    assert capsys.readouterr().out == f"{path} is written.\n"


def test_a_file_that_cannot_be_written(tmp_path: Path, capsys):
    """A folder that is not there is told in one line, with exit code 2."""
    path = tmp_path / "nowhere" / "garden.schema.json"
    assert main.run(["schema", "--out", str(path)]) == 2
    assert capsys.readouterr().err == f"{path}: cannot be written (No such file or directory)\n"
