"""A message as plain text: what a pot is called may hold anything, what goes out may not."""

from __future__ import annotations

import unicodedata

from irrigate.ports import Message

# Said of a message that may have been received before: a doubled dose harms, so it is said.
AGAIN = "(You may have had this one already.)"

_LINE_BREAKS = {"\x0b": "\n", "\x0c": "\n", "\x85": "\n", "\u2028": "\n", "\u2029": "\n"}
# Marks that turn the direction of reading around can make a number read as another.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def title_of(message: Message) -> str:
    """Return the title on one line: no line break can begin a header of its own."""
    return " ".join(clean(message.title).split())


def body_of(message: Message) -> str:
    """Return the body, with a word where the message may have been received before."""
    body = clean(message.body).strip("\n")
    return f"{body}\n\n{AGAIN}" if message.repeated else body


def clean(text: str) -> str:
    """Return the text without control characters; line breaks become one kind, tabs stay."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(_clean_character(character) for character in text)


def _clean_character(character: str) -> str:
    if character in "\n\t":
        return character
    if character in _LINE_BREAKS:
        return "\n"
    category = unicodedata.category(character)
    if category == "Cs":  # half of a pair: no encoding takes it
        return "\N{REPLACEMENT CHARACTER}"
    return "" if category == "Cc" or character in _TURNING else character
