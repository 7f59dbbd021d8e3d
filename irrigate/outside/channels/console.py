"""Messages on a terminal or in a log of the standard output."""

from __future__ import annotations

import os
import sys
import textwrap
from typing import TextIO

from irrigate.errors import DeliveryError
from irrigate.outside.channels.plain_text import body_of, title_of
from irrigate.ports import Message


class ConsoleChannel:
    """Prints messages plainly; on a terminal lines are broken at its width."""

    def __init__(
        self, name: str = "console", stream: TextIO | None = None, width: int | None = None
    ) -> None:
        self.name = name
        self._stream = stream
        self._width = width

    def deliver(self, message: Message) -> None:
        """Print the message for its person and flush it."""
        # Asked for late: whoever runs us may have put another stream in place of the first.
        stream = self._stream if self._stream is not None else sys.stdout
        lines = [f"{message.person.name}: {title_of(message)}", *body_of(message).split("\n")]
        text = "\n".join(_broken(lines, self._width or _terminal_width(stream))) + "\n\n"
        try:
            stream.write(_as_far_as_it_can(text, stream))
            stream.flush()
        except (OSError, ValueError) as gone:  # ValueError: the stream was closed
            raise DeliveryError(f"{self.name}: nothing can be printed any more") from gone


def _broken(lines: list[str], width: int | None) -> list[str]:
    """Return the lines with the long ones broken between words, further lines set in."""
    if width is None:
        return lines
    broken: list[str] = []
    for line in lines:
        indent = line[: len(line) - len(line.lstrip())]
        broken += textwrap.wrap(
            line,
            max(width, len(indent) + 10),
            subsequent_indent=indent + "  ",
            break_long_words=False,
            break_on_hyphens=False,
        ) or [""]
    return broken


def _terminal_width(stream: TextIO) -> int | None:
    """Return the width of the terminal behind the stream, or None where there is none."""
    try:
        return os.get_terminal_size(stream.fileno()).columns or None
    except (OSError, ValueError):  # a file, a pipe, or a stream in memory
        return None


def _as_far_as_it_can(text: str, stream: TextIO) -> str:
    """Return the text with what the stream's encoding lacks replaced, so that the rest arrives."""
    encoding = getattr(stream, "encoding", None)
    return text.encode(encoding, "replace").decode(encoding) if encoding else text
