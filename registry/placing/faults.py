"""What is said when the placing day or a warranty cannot be as described, or gives no number."""

from dataclasses import dataclass

from registry.faults import DomainError


class PlacingError(DomainError):
    """Something about a load, a cover or a core that cannot be."""


class ClaimError(DomainError):
    """Something about a warranty, a notice or a settlement that cannot be."""


class CannotMovePlacing(DomainError):
    """A load, cover, lot, repair, warranty or callback may not go to that state in this way."""


@dataclass(frozen=True)
class NotGiven:
    """Stands in the place of a number or date that may not be given, and says why."""

    reason: str
