"""A broken rule and where in the plan it is."""

from dataclasses import dataclass
from datetime import date

from registry.planning.rules import Breach


@dataclass(frozen=True)
class Found(Breach):
    """A breach with the crew, the day and the order or place it is about, as far as there are."""

    crew: str | None = None
    on: date | None = None
    order: str | None = None
