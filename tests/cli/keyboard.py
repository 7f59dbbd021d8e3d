"""Somebody at a terminal: a command run behind a real pseudo-terminal, answered line by line."""

from __future__ import annotations

import os
import pty
import select
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path


def typed(
    arguments: Sequence[str],
    lines: Sequence[str],
    folder: Path,
    environment: Mapping[str, str],
    within_s: float = 60,
) -> tuple[int, str]:
    """Run `irrigate` in a folder and type a line at each prompt; return exit code and screen."""
    process, terminal = pty.fork()
    if process == 0:
        os.chdir(folder)
        os.execve(
            sys.executable,
            [sys.executable, "-m", "irrigate", *arguments],
            {**os.environ, **environment, "TERM": "dumb", "PYTHONUTF8": "1"},
        )
    shown = b""
    waiting = list(lines)
    give_up = time.monotonic() + within_s
    try:
        while time.monotonic() < give_up:
            ready, _, _ = select.select([terminal], [], [], 0.2)
            if ready:
                try:
                    news = os.read(terminal, 65_536)
                except OSError:  # the other end is closed
                    break
                if not news:
                    break
                shown += news
            if waiting and shown.endswith(b": "):
                line = f"{waiting.pop(0)}\n".encode()
                shown += b"\x00"  # so that one prompt is answered once
                os.write(terminal, line)
    finally:
        os.close(terminal)
    _, status = os.waitpid(process, 0)
    screen = shown.replace(b"\x00", b"").decode().replace("\r\n", "\n")
    return os.waitstatus_to_exitcode(status), screen
