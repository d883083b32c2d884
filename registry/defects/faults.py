"""Broken rules about defects, in the user's words."""

from registry.faults import DomainError


class UnknownKind(DomainError):
    """A code that names no kind of defect."""


class MeasureError(DomainError):
    """What was measured at a defect cannot be true as written."""


class CannotMove(DomainError):
    """A defect may not go from one state to another in this way."""


class CannotCompare(DomainError):
    """Sightings or extents that cannot be laid side by side as given."""
