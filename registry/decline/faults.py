"""What is said when records or settings cannot be used."""

from registry.faults import DomainError


class DeclineError(DomainError):
    """Records, options or a question that the model of decline cannot work with."""
