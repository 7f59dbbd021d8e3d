"""The console, the channel in memory, the direct outbox, and the cleaning of text."""

from __future__ import annotations

import io
import os
import pty
import subprocess
import sys
from collections.abc import Callable
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from irrigate.errors import DeliveryError
from irrigate.garden.pots import Person
from irrigate.outside.channels.console import ConsoleChannel
from irrigate.outside.channels.direct import DirectOutbox
from irrigate.outside.channels.memory import MemoryChannel
from irrigate.outside.channels.plain_text import body_of, clean, title_of
from irrigate.ports import Message

Make = Callable[..., Message]


def test_console_prints_plainly(message: Make):
    """A message is printed with whom it is for, its title and its text, and a blank line."""
    stream = io.StringIO()
    ConsoleChannel(stream=stream).deliver(
        message("console", title="3 pots", body="Water 3.\n\n- 7")
    )
    assert stream.getvalue() == "Sam: 3 pots\nWater 3.\n\n- 7\n\n"


def test_console_prints_where_output_goes_now(message: Make, capsys):
    """Without a stream of its own it prints to what is the standard output at that moment."""
    ConsoleChannel().deliver(message("console", title="3 pots", body="½ can"))
    assert capsys.readouterr().out == "Sam: 3 pots\n½ can\n\n"


def test_console_keeps_to_the_width(message: Make):
    """Long lines are broken between words, further lines set in, short ones left alone."""
    stream = io.StringIO()
    body = "Water 3, 7, 12 and 15: one can each, in two passes.\n  only if dry: 9, 11, 21, 22, 23"
    ConsoleChannel(stream=stream, width=24).deliver(message("console", title="t", body=body))
    printed = stream.getvalue().split("\n")
    assert max(map(len, printed)) <= 24
    assert " ".join(stream.getvalue().split()) == " ".join(f"Sam: t {body}".split())
    assert "    21, 22, 23" in printed


def test_console_asks_a_real_terminal(message: Make):
    """On a terminal of 30 columns no line is longer than that."""
    import fcntl
    import struct
    import termios

    leader, follower = pty.openpty()
    try:
        fcntl.ioctl(follower, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 30, 0, 0))
        with os.fdopen(follower, "w") as stream:
            ConsoleChannel(stream=stream).deliver(message("console", body="one can each " * 9))
            printed = os.read(leader, 4096).decode().replace("\r\n", "\n")
    finally:
        os.close(leader)
    assert printed.count("one") == 9
    assert max(map(len, printed.split("\n"))) <= 30


def test_console_without_the_letters(message: Make):
    """Where the output knows only ASCII, the rest of the message still arrives."""
    stream = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    ConsoleChannel(stream=stream).deliver(message("console", body="½ can at 35 °C"))
    stream.seek(0)
    assert stream.read().endswith("? can at 35 ?C\n\n")


def test_console_gone(message: Make):
    """If nobody reads the output any more, that is a failed delivery and no crash."""
    reading, writing = os.pipe()
    os.close(reading)
    with pytest.raises(DeliveryError, match="nothing can be printed"):
        ConsoleChannel(stream=os.fdopen(writing, "w", closefd=True)).deliver(message("console"))


def test_console_carries_no_escape_codes(message: Make):
    """A name of a pot cannot colour, move or clear the terminal."""
    stream = io.StringIO()
    ConsoleChannel(stream=stream).deliver(message("console", body="pot \x1b[2J\x9b31m\x07 7"))
    assert "\x1b" not in stream.getvalue()
    assert "\x9b" not in stream.getvalue()
    assert "\x07" not in stream.getvalue()


def test_console_is_flushed(tmp_path):
    """What was delivered is out, even if the process ends without warning right after."""
    program = (
        "import os\n"
        "from irrigate.garden.pots import Person\n"
        "from irrigate.outside.channels.console import ConsoleChannel\n"
        "from irrigate.ports import Message\n"
        "ConsoleChannel().deliver(Message('k', Person('Sam'), 'water 3', 'now'))\n"
        "os._exit(0)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert done.stdout == "Sam: water 3\nnow\n\n"


@given(st.text(st.characters(), max_size=60))
def test_clean_is_settled_and_encodable(text: str):
    """Cleaned text has no control characters, takes UTF-8, and cleaning again changes nothing."""
    once = clean(text)
    assert clean(once) == once
    once.encode("utf-8")
    assert not any(
        ord(letter) < 32 or 127 <= ord(letter) < 160
        for letter in once.replace("\n", "").replace("\t", "")
    )


@given(st.text(st.characters(), max_size=60))
def test_title_is_one_line(text: str):
    """Whatever the title holds, it goes out as one line."""
    title = title_of(Message("k", Person("Sam"), text, ""))
    assert len(title.splitlines()) <= 1


@given(st.text(st.characters(categories=["L", "N", "P", "S", "Zs"]), max_size=60))
def test_clean_leaves_what_people_write(text: str):
    """Letters of all scripts, numbers, signs and spaces stay as they are."""
    assert clean(text) == text


def test_repeated_is_said(message: Make):
    """Only a message that may be a repeat says so."""
    assert body_of(message("phone", body="b", repeated=True)) == (
        "b\n\n(You may have had this one already.)"
    )
    assert body_of(message("phone", body="b")) == "b"


def test_memory_keeps_a_history(message: Make):
    """The channel in memory fails as planned, then delivers, and remembers both."""
    channel = MemoryChannel("phone", [DeliveryError("first"), None])
    with pytest.raises(DeliveryError, match="first"):
        channel.deliver(message("phone", key="a"))
    channel.deliver(message("phone", key="b"))
    channel.deliver(message("phone", key="c"))
    assert [one.key for one in channel.attempts] == ["a", "b", "c"]
    assert [one.key for one in channel.delivered] == ["b", "c"]


def test_direct_tries_each_way_once(clock, message: Make):
    """The direct outbox tries each way once, on the spot, and tells what became of each."""
    phone, mail = MemoryChannel("phone", [DeliveryError("phone: refused")]), MemoryChannel("mail")
    outbox = DirectOutbox([phone, mail], clock)
    outbox.post(message("phone", "mail", "pigeon"))
    receipts = outbox.receipts()
    assert [(one.person, one.ok, one.attempt, one.final) for one in receipts] == [
        ("Sam/phone", False, 1, True),
        ("Sam/mail", True, 1, True),
        ("Sam/pigeon", False, 0, True),
    ]
    assert receipts[0].detail == "phone: refused"
    assert "pigeon" in receipts[2].detail
    assert outbox.receipts() == []


def test_direct_not_late(clock, message: Make):
    """The direct outbox delivers nothing that is of no use any more, and nothing to nobody."""
    phone = MemoryChannel("phone")
    outbox = DirectOutbox([phone], clock)
    outbox.post(message("phone", expires_at=clock.now() - timedelta(seconds=1)))
    outbox.post(message())
    assert [one.ok for one in outbox.receipts()] == [False, False]
    assert phone.attempts == []


def test_direct_leaves_the_keyboard_alone(clock, message: Make):
    """Somebody who stops the program at the keyboard stops it during a delivery too."""
    outbox = DirectOutbox([MemoryChannel("phone", [KeyboardInterrupt()])], clock)
    with pytest.raises(KeyboardInterrupt):
        outbox.post(message("phone"))
