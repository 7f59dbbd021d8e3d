"""Secrets by name: where a message goes, with the password in it, is nobody else's business.

A secret comes from the environment (``IRRIGATE_REACH_PHONE`` for the way called ``phone``) or
from a file with a line ``phone: …``; the environment goes first.
"""

from __future__ import annotations

import errno
import os
import re
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import NoReturn

import yaml

from irrigate.errors import SecretError

PREFIX = "IRRIGATE_REACH_"
_LARGEST_BYTES = 65_536
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")


class Secret:
    """A value that is neither printed, logged, copied nor stored; only `reveal` gives it."""

    __slots__ = ("__value", "name")

    def __init__(self, name: str, value: str) -> None:
        self.name = name
        self.__value = value

    def reveal(self) -> str:
        """Return the value itself, for whoever must use it."""
        return self.__value

    def __repr__(self) -> str:
        return f"Secret({self.name!r})"

    def __reduce__(self) -> NoReturn:
        # Pickling and copying would both lay the value open in a form that does print.
        raise TypeError(f"{self!r} cannot be pickled or copied")


class Secrets:
    """The secrets at hand; each is looked up, and its file checked, when it is asked for."""

    def __init__(self, environment: Mapping[str, str], file: Path | None = None) -> None:
        self._environment = environment
        self._file = file

    def named(self, name: str) -> Secret:
        """Return the secret called ``name``, or raise `SecretError` saying where to put it."""
        if not _NAME.fullmatch(name):
            raise SecretError(
                f"a way to reach somebody cannot be called {name!r}: "
                "use letters, digits and dashes, such as 'phone' or 'mail-sam'"
            )
        value = self._environment.get(variable(name), "").strip()
        if not value and self._file is not None:
            value = read_secret_file(self._file).get(name, "").strip()
        if not value:
            raise SecretError(f"nothing says how to reach {name!r}: {self._how_to_add(name)}")
        return Secret(name, value)

    def _how_to_add(self, name: str) -> str:
        by_environment = f"set {variable(name)} in the environment"
        if self._file is None:
            return by_environment
        return (
            f"write a line `{name}: …` into {self._file} (then chmod 600 it), or {by_environment}"
        )


def variable(name: str) -> str:
    """Return the name of the environment's variable for a secret."""
    return PREFIX + name.upper().replace("-", "_")


def read_secret_file(path: Path) -> dict[str, str]:
    """Return the file's secrets by name; {} if there is no file; refuse one open to others."""
    text = _guarded_text(path)
    return {} if text is None else _parsed(text, path)


def _guarded_text(path: Path) -> str | None:
    """Return the text of the file, checked by what was opened, not by what the path names next."""
    try:
        # NONBLOCK: opening a pipe would wait for a writer.
        descriptor = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_CLOEXEC | os.O_NONBLOCK)
    except FileNotFoundError:
        return None
    except OSError as failure:
        if failure.errno == errno.ELOOP:
            raise SecretError(
                f"{path}: is a link to another file; give the path of that file itself"
            ) from None
        raise SecretError(f"{path}: cannot be read ({failure.strerror})") from None
    try:
        _check_owner_only(os.fstat(descriptor), path)
        content = os.read(descriptor, _LARGEST_BYTES + 1)
    finally:
        os.close(descriptor)
    if len(content) > _LARGEST_BYTES:
        raise SecretError(f"{path}: is too long for a file of secrets; is it the right file?")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SecretError(f"{path}: is not UTF-8 text; save it again as UTF-8") from None


def _check_owner_only(status: os.stat_result, path: Path) -> None:
    if not stat.S_ISREG(status.st_mode):
        raise SecretError(f"{path}: is not a plain file")
    if status.st_uid not in (os.geteuid(), 0):
        raise SecretError(
            f"{path}: belongs to somebody else, who could change it; mend it with "
            f"`chown {os.geteuid()} {path}`"
        )
    if status.st_mode & 0o077:
        mode = stat.S_IMODE(status.st_mode)
        raise SecretError(
            f"{path}: can be opened by others (mode {mode:04o}); mend it with `chmod 600 {path}`"
        )


def _parsed(text: str, path: Path) -> dict[str, str]:
    """Return the ``name: value`` pairs; a fault is told by line and column, never by the text."""
    try:
        # Only the tree is taken: every value stays the text that it is (`no` is no False).
        root = yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.MarkedYAMLError as fault:
        mark = fault.problem_mark or fault.context_mark
        raise SecretError(
            f"{_place(path, mark)}: is not a line `name: value`; put the value in 'quotes' "
            "if it holds a colon and a space, or a # after a space"
        ) from None  # its own text quotes the line, and with it the secret
    except yaml.YAMLError:
        raise SecretError(f"{path}: holds characters that are no text") from None
    if root is None:
        return {}
    if not isinstance(root, yaml.MappingNode):
        raise SecretError(f"{_place(path, root.start_mark)}: expected lines `name: value`")
    found: dict[str, str] = {}
    for key, value in root.value:
        place = _place(path, key.start_mark)
        if not isinstance(key, yaml.ScalarNode) or not isinstance(value, yaml.ScalarNode):
            raise SecretError(f"{place}: expected one name and one value on a line")
        if key.value in found:
            raise SecretError(f"{place}: the same name is there twice; take one away")
        found[key.value] = value.value
    return found


def _place(path: Path, mark: yaml.Mark | None) -> str:
    return str(path) if mark is None else f"{path}:{mark.line + 1}:{mark.column + 1}"
