"""Questions asked in a terminal until they are answered, or answered by options beforehand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from irrigate.errors import InputError

Draft = TypeVar("Draft")
Taken = tuple[Draft, str]
"""What is known after an answer, and how the answer was understood."""

UNDO = "undo"


@dataclass(frozen=True, slots=True)
class Question(Generic[Draft]):
    """One thing to ask.

    Parameters
    ----------
    option : the option that answers it beforehand, and its name in what is said of it.
    prompt : what stands before the cursor.
    why : one line on what it is for.
    default : from what is known so far, the text that Enter alone stands for; None for none.
    take : from what is known and the answer's text to what is known then; `ValueError` or
        `InputError` says what is wrong with it.
    many : asked again until an empty line; the default then stands for all lines.
    """

    option: str
    prompt: str
    why: str
    default: Callable[[Draft], str | None]
    take: Callable[[Draft, str], Taken[Draft]]
    many: bool = False


@dataclass(frozen=True, slots=True)
class Terminal:
    """Who is asked: ``read_line`` raises `EOFError` where there is nothing more to read."""

    read_line: Callable[[str], str]
    say: Callable[[str], None]


def given(question: Question[Draft], draft: Draft, texts: Sequence[str]) -> Draft:
    """Answer a question by its option's texts; what is wrong is said of the option."""
    for text in texts:
        try:
            draft, _ = question.take(draft, text)
        except (ValueError, InputError) as wrong:
            raise InputError(f"{question.option}: {wrong}") from None
    return draft


def asked(question: Question[Draft], draft: Draft, terminal: Terminal) -> Draft:
    """Ask until the answer can be taken; return what is known then."""
    terminal.say(f"\n{question.why}")
    return _lines(question, draft, terminal) if question.many else _one(question, draft, terminal)


def by_default(question: Question[Draft], draft: Draft) -> Draft:
    """Answer a question by its default; a list that has none stays empty."""
    default = question.default(draft)
    if default is None and question.many:
        return draft
    if default is None:
        raise InputError(f"{question.option}: has no default here; please give it")
    return given(question, draft, (default,))


def _one(question: Question[Draft], draft: Draft, terminal: Terminal) -> Draft:
    default = question.default(draft)
    shown = f" [{default}]" if default else ""
    while True:
        text = terminal.read_line(f"{question.prompt}{shown}: ").strip() or default or ""
        if not text:
            terminal.say("  This one has no default: please answer it.")
            continue
        understood = _taken(question, draft, text, terminal)
        if understood is not None:
            return understood


def _lines(question: Question[Draft], draft: Draft, terminal: Terminal) -> Draft:
    """Take line after line; an empty one, or the end of what is typed, ends them."""
    before: list[Draft] = []
    default = question.default(draft)
    while True:
        shown = f" [{default}]" if default and not before else ""
        try:
            text = terminal.read_line(f"{question.prompt}{shown}: ").strip()
        except EOFError:
            terminal.say("")
            text = ""
        if text.casefold() == UNDO and before:
            draft = before.pop()
            terminal.say("  The last line is taken back.")
            continue
        if not text:
            if before or not default:
                return draft
            text = default
        understood = _taken(question, draft, text, terminal)
        if understood is not None:
            before.append(draft)
            draft = understood
            if text == default:
                return draft


def _taken(question: Question[Draft], draft: Draft, text: str, terminal: Terminal) -> Draft | None:
    """Return what is known after an answer; None, with a word why, if it cannot be taken."""
    try:
        draft, echo = question.take(draft, text)
    except (ValueError, InputError) as wrong:
        terminal.say("".join(f"  {line}\n" for line in str(wrong).splitlines()).rstrip("\n"))
        return None
    if echo:
        terminal.say(f"  {echo}")
    return draft
