"""What is said when planning cannot go on from what was given."""

from registry.faults import DomainError


class CannotMoveOrder(DomainError):
    """A work order may not go from one state to another in this way."""


class PlanningError(DomainError):
    """Numbers or dates that no work on a pavement can have."""
