"""The one ancestor of every broken rule that a user is told about."""

from typing import Any


class DomainError(Exception):
    """A rule of the trade is broken; the message is in the user's words and can be shown."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


class UnitError(DomainError):
    """What was written is not a quantity, time or date that can be read."""


class Ambiguous(UnitError):
    """More than one reading is possible; a person has to choose.

    `choices` is a tuple of (label, value); a single choice still asks for a yes.
    """

    def __init__(self, message: str, choices: tuple[tuple[str, Any], ...]) -> None:
        super().__init__(message)
        self.choices = tuple(choices)
