"""Every exception of the package, in one tree.

    IrrigateError                 anything this package raises on purpose
    ├── InputError                what somebody wrote or sent is wrong (exit code 2)
    │   ├── GardenFileError       the garden's YAML: all its faults at once
    │   ├── TableError            a CSV: file, line, column
    │   ├── AnswerError           an answer that was not understood
    │   └── SecretError           a secret is missing, or its file is open to others
    ├── WeatherError              a weather source failed or sent nonsense; the rest goes on
    ├── DeliveryError             a message could not be handed over
    └── JournalError              the journal is locked, damaged, or from a newer release

``InputError`` and its kin carry text that a gardener reads: where, what, how to mend it.
"""

from __future__ import annotations


class IrrigateError(Exception):
    """Anything this package raises on purpose."""


class InputError(IrrigateError):
    """Something a person wrote or sent is wrong; the text says where, what and how to mend it."""


class GardenFileError(InputError):
    """The garden's YAML is wrong; ``faults`` holds one line for each thing to mend."""

    def __init__(self, faults: list[str]) -> None:
        self.faults = list(faults)
        super().__init__("\n".join(self.faults))


class TableError(InputError):
    """A row or a column of a CSV cannot be right."""

    def __init__(self, path: str, line: int | None, column: str | None, what: str) -> None:
        self.path, self.line, self.column = path, line, column
        where = path if line is None else f"{path}:{line}"
        if column is not None:
            where += f": column {column}"
        super().__init__(f"{where}: {what}")


class AnswerError(InputError):
    """An answer that was not understood; the text says what was."""


class SecretError(InputError):
    """A secret is missing, or its file can be read by others."""


class WeatherError(IrrigateError):
    """A weather source failed, or what it sent cannot be used."""


class DeliveryError(IrrigateError):
    """A message could not be handed over.

    ``final``: trying again cannot help. ``perhaps_delivered``: it may have arrived all the same.
    """

    def __init__(self, what: str, *, final: bool = False, perhaps_delivered: bool = False) -> None:
        self.final, self.perhaps_delivered = final, perhaps_delivered
        super().__init__(what)


class JournalError(IrrigateError):
    """The journal is locked, damaged, or written by a newer release."""
