"""What is found again after a repair: within the warranty of that repair, or after it.

The terms of a repair count what comes back before their last day as a failure of the repair. This
compares days, and never says who is liable. (Common practice of such terms, no source.)
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from registry.placing.faults import NotGiven
from registry.placing.warranty import Part


class Against(StrEnum):
    WITHIN = "within"
    AFTER = "after"
    BEFORE = "before"
    NOT_KNOWN = "not_known"


@dataclass(frozen=True)
class Mended:
    """A repair as it is compared.

    name     its number or method
    done_on  new concrete in, opened or done; None where it is not done, or no day was written
    part     the cover of the repaired part; a reason where none is known
    """

    name: str
    done_on: date | None
    part: Part | NotGiven


@dataclass(frozen=True)
class CameBack:
    """Where the day something was found again lies against the warranty of a repair."""

    against: Against
    words: str

    @property
    def short(self) -> str:
        """Return what a list has room for."""
        return SHORT[self.against]


SHORT = {
    Against.WITHIN: "came back within the repair’s warranty",
    Against.AFTER: "came back after the repair’s warranty",
    Against.BEFORE: "came back before the repair’s warranty begins",
    Against.NOT_KNOWN: "came back; warranty of the repair not known",
}

NO_REPAIR = CameBack(
    Against.NOT_KNOWN,
    "Warranty of the repair not known: no repair of it that was done before is seen here.",
)


def came_back(repair: Mended, *, found_on: date, panel: str = "") -> CameBack | None:
    """Compare the day something was found again with the warranty of a repair.

    panel    where it was found; "" where no panel is known, then the cover is taken as entered

    None where the repair was not done by then: nothing came back after it.
    """
    if repair.done_on is None or repair.done_on > found_on:
        return None
    lead, part = f"Found again {found_on}", repair.part
    last = part if isinstance(part, NotGiven) else _last_day(part, panel)
    if isinstance(last, NotGiven) or isinstance(part, NotGiven) or part.start_on is None:
        why = last.reason if isinstance(last, NotGiven) else "The start date is not agreed."
        told = f"{lead}: warranty of the repair not known ({repair.name}). {why}"
        return CameBack(Against.NOT_KNOWN, told)
    of = f"the repair’s warranty ({repair.name}, {part.name}"
    if found_on < part.start_on:
        told = f"{lead}: came back before {of}, first day {part.start_on}) begins."
        return CameBack(Against.BEFORE, told)
    if found_on > last:
        return CameBack(Against.AFTER, f"{lead}: came back after {of}, last day {last}).")
    told = (
        f"{lead}: came back within {of}, {part.start_on} to {last}, both included): a repair "
        "failure by its terms."
    )
    return CameBack(Against.WITHIN, told)


def _last_day(part: Part, panel: str) -> date | NotGiven:
    if panel and part.panels and panel not in part.panels:
        return NotGiven(f"The cover entered for it, {part.name}, does not name panel {panel}.")
    return part.last_day
