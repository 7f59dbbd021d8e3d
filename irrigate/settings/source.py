"""The garden file's bytes made into text: size, encoding and stray characters checked."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from irrigate.errors import GardenFileError

LARGEST_FILE_BYTES = 1_000_000
"""Two hundred pots need about 20,000; whatever is larger than this is not a garden file."""

# Whatever breaks a line without being a line's end would shift every number that is told.
_STRAY = re.compile(
    "[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)


@dataclass(frozen=True, slots=True)
class Mark:
    """A place in the file, both numbers counted from 1."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Source:
    """A file's name as its reader knows it, its text, and the bytes it came from."""

    name: str
    text: str
    content: bytes
    lines: tuple[str, ...] = ()

    def fault(self, mark: Mark, what: str) -> str:
        """Say what is wrong at a place, in one line."""
        return f"{self.name}:{mark.line}:{mark.column}: {what}"

    def line(self, number: int) -> str:
        """Return one line of the text, counted from 1; empty past the end."""
        return self.lines[number - 1] if 0 < number <= len(self.lines) else ""


def read_source(path: Path) -> Source:
    """Read a file whole; a `GardenFileError` if it is missing, huge, or not plain UTF-8."""
    name = path.name
    start = Mark(1, 1)
    unread = Source(name, "", b"")
    if path.exists() and not path.is_file() and not path.is_dir():
        raise GardenFileError([f"{path}: is not an ordinary file"])  # a pipe would never end
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        raise GardenFileError([f"{path}: there is no such file"]) from None
    except IsADirectoryError:
        raise GardenFileError([f"{path}: is a folder; name the garden file in it"]) from None
    except PermissionError:
        raise GardenFileError([f"{path}: may not be read by this user"]) from None
    except OSError as failed:
        raise GardenFileError([f"{path}: cannot be read ({failed.strerror})"]) from None
    if len(content) > LARGEST_FILE_BYTES:
        limit = f"{LARGEST_FILE_BYTES // 1000} kB"
        raise GardenFileError([unread.fault(start, f"the file is larger than {limit}")])
    return source_of(content, name)


def source_of(content: bytes, name: str) -> Source:
    """Make bytes into text, or say where they are not plain UTF-8."""
    unread = Source(name, "", content)
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise GardenFileError([unread.fault(Mark(1, 1), "is UTF-16; save it as UTF-8")])
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        before = content[: wrong.start].decode("utf-8-sig", "replace")
        what = f"byte {content[wrong.start]:#04x} is not UTF-8; save the file as UTF-8"
        raise GardenFileError([unread.fault(_mark_after(before), what)]) from None
    stray = _STRAY.search(text)
    if stray:
        what = f"there is a stray character (U+{ord(stray[0]):04X}); delete it"
        raise GardenFileError([unread.fault(_mark_after(text[: stray.start()]), what)])
    return Source(name, text, content, tuple(text.splitlines()))


def _mark_after(before: str) -> Mark:
    lines = re.split("\r\n|\r|\n", before)
    return Mark(len(lines), len(lines[-1]) + 1)
