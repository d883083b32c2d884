"""What is said when a round cannot be worked out from what was given."""

from registry.faults import DomainError


class RoundError(DomainError):
    """Crews, places, orders, travel or a plan that no round can be made of."""
