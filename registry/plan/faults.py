"""What the location scheme refuses, in the words of the person who wrote it."""

from registry.faults import DomainError


class PlanError(DomainError):
    """The plan itself cannot stand as described (overlapping panels, a name used twice)."""


class PlaceError(DomainError):
    """A place cannot be read, or is not on this plan on that day."""


class EarthError(DomainError):
    """The plan has no position on earth, or the one given cannot be true."""
