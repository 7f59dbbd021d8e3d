"""A new file is put in place whole, and never over another without a word."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from irrigate.errors import InputError
from irrigate.settings.new_file import write_new


def names(folder: Path) -> list[str]:
    """Return what lies in a folder."""
    return sorted(path.name for path in folder.iterdir())


def test_a_new_file_in_a_new_folder(tmp_path):
    """The folder is made, the text is all there, and nothing else is left beside it."""
    path = tmp_path / "config" / "garden.yaml"
    assert write_new(path, "garden: Zoë\n") is None
    assert path.read_bytes() == "garden: Zoë\n".encode()
    assert names(path.parent) == ["garden.yaml"]
    mask = os.umask(0)
    os.umask(mask)
    assert stat.S_IMODE(path.stat().st_mode) == 0o666 & ~mask


def test_an_old_file_is_left_alone(tmp_path):
    """Without force nothing is written, be it a file, a folder or a link to nowhere."""
    path = tmp_path / "garden.yaml"
    path.write_text("old")
    with pytest.raises(InputError, match="there is a file of this name; nothing was written"):
        write_new(path, "new")
    assert path.read_text() == "old"
    (tmp_path / "link.yaml").symlink_to(tmp_path / "nowhere")
    with pytest.raises(InputError, match="there is a file of this name"):
        write_new(tmp_path / "link.yaml", "new")
    with pytest.raises(InputError, match="is a folder; name the garden file"):
        write_new(tmp_path, "new", force=True)
    assert names(tmp_path) == ["garden.yaml", "link.yaml"]


def test_force_keeps_every_old_file(tmp_path):
    """With force the old one is kept beside the new one, and so is the one before it."""
    path = tmp_path / "garden.yaml"
    path.write_text("first")
    assert write_new(path, "second", force=True) == tmp_path / "garden.yaml.bak"
    assert write_new(path, "third", force=True) == tmp_path / "garden.yaml.bak2"
    assert {name: (tmp_path / name).read_text() for name in names(tmp_path)} == {
        "garden.yaml": "third",
        "garden.yaml.bak": "first",
        "garden.yaml.bak2": "second",
    }


def test_a_link_is_followed(tmp_path):
    """With force a link stays a link, and what it leads to is written."""
    target = tmp_path / "real.yaml"
    target.write_text("old")
    link = tmp_path / "garden.yaml"
    link.symlink_to(target)
    write_new(link, "new", force=True)
    assert link.is_symlink()
    assert target.read_text() == "new"


def test_where_nothing_can_be_written(tmp_path):
    """A folder that cannot be made is told with its reason."""
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match=r"cannot be written \("):
        write_new(tmp_path / "file" / "garden.yaml", "new")
