"""What is due at one pavement: method, rows, latest and earliest day, reason, gain and cost.

The latest day is that of the worst place by the fit, that of the permit, or so long after the last
sand, whichever is earliest. Where the earliest sensible day comes after it, both are given and the
conflict is said; neither is moved. A person decides.
"""

from dataclasses import dataclass
from datetime import date

from registry.planning.earliest_day import Earliest
from registry.planning.expected_gain import ExpectedGain
from registry.planning.limits import HOUSE_LIMITS, Limit, by_whom, days_in_words
from registry.planning.permit_minimums import PermitCount
from registry.planning.proposal import Proposal
from registry.planning.spend import UnitPrice
from registry.planning.words import NotDecided

MODEL, PERMIT, SAND = "fit", "permit", "last sand"
NO_LATEST = "no day: it stays above its action level within the years searched"


@dataclass(frozen=True)
class SweepBy:
    """By the fit: the day (None: not within the years searched) and the place that decides it.

    place  "" for the surface as a whole
    risk   of lying below the action level at which a place is due
    """

    on: date | None
    place: str = ""
    risk: float = 0.10


@dataclass(frozen=True)
class DueFacts:
    """What is known of one pavement on `as_of`.

    sweep_by, gain, earliest, proposal   a NotDecided says why there is none
    permits      counts of its permits, those that hold on the day
    rows         to do, as people write them;  area_m2 of them
    sand_by      `sand_within` after the last sand, where it was not swept since; None otherwise
    price        of the method;  is_below  lowest usable rate below the action level, None unknown
    """

    as_of: date
    proposal: Proposal | NotDecided
    earliest: Earliest | NotDecided
    sweep_by: SweepBy | NotDecided
    gain: ExpectedGain | NotDecided
    rows: str = ""
    area_m2: float | None = None
    price: UnitPrice | None = None
    permits: tuple[PermitCount, ...] = ()
    sand_by: date | None = None
    sand_within: Limit = HOUSE_LIMITS.after_sand_days
    is_below: bool | None = None


@dataclass(frozen=True)
class Due:
    """What to print.

    latest_on, latest_by   None: no day; by "fit", "permit" or "last sand", "" where none
    is_late      the latest day has passed
    conflict     "" or why earliest and latest do not go together
    reason       one line
    cost         of one cleaning, in the currency of the price
    not_decided  every reason why something here is missing
    """

    proposal: Proposal | NotDecided
    rows: str
    latest_on: date | None
    latest_by: str
    latest_why: str
    earliest_on: date | None
    earliest_why: str
    is_late: bool
    conflict: str
    reason: str
    gain: ExpectedGain | NotDecided
    cost: float | NotDecided
    not_decided: tuple[str, ...]


def due_of(facts: DueFacts) -> Due:
    """Return what is due at one pavement."""
    latest_on, latest_by, latest_why = _latest(facts)
    earliest = facts.earliest
    earliest_on = earliest.on if isinstance(earliest, Earliest) else None
    cost = _cost(facts)
    parts = (facts.proposal, facts.earliest, facts.sweep_by, facts.gain, cost)
    open_ = [part.reason for part in parts if isinstance(part, NotDecided)]
    if isinstance(earliest, Earliest):
        open_ += earliest.not_checked
    return Due(
        proposal=facts.proposal,
        rows=facts.rows,
        latest_on=latest_on,
        latest_by=latest_by,
        latest_why=latest_why,
        earliest_on=earliest_on,
        earliest_why=earliest.reason,
        is_late=latest_on is not None and latest_on < facts.as_of,
        conflict=_conflict(earliest, latest_on, latest_by),
        reason=_reason(facts, latest_why),
        gain=facts.gain,
        cost=cost,
        not_decided=tuple(dict.fromkeys(open_)),
    )


def _latest(facts: DueFacts) -> tuple[date | None, str, str]:
    """The earliest of the days, by whom and why; on one day the permit or the sand is named."""
    days = [(count.next_by, PERMIT, count.words) for count in facts.permits]
    sweep_by = facts.sweep_by
    if isinstance(sweep_by, SweepBy) and sweep_by.on is not None:
        place = f"at {sweep_by.place}" if sweep_by.place else "of the surface as a whole"
        reaches = "has reached" if sweep_by.on <= facts.as_of else "reaches"
        why = f"chance {place} to lie below the action level {reaches} {100 * sweep_by.risk:.0f} %"
        days.append((sweep_by.on, MODEL, why))
    if facts.sand_by is not None:
        within = f"within {days_in_words(facts.sand_within.value)} of the last sand"
        days.append((facts.sand_by, SAND, within + by_whom(facts.sand_within)))
    if days:
        return min(days, key=lambda found: (found[0], found[1] == MODEL))
    return None, "", sweep_by.reason if isinstance(sweep_by, NotDecided) else NO_LATEST


def _conflict(earliest: Earliest | NotDecided, latest_on: date | None, latest_by: str) -> str:
    if latest_on is None or isinstance(earliest, NotDecided):
        return ""
    if earliest.on is None:
        return f"To be done by {latest_on} ({latest_by}), but {earliest.reason}."
    if earliest.on <= latest_on:
        return ""
    words = (
        f"To be done by {latest_on} ({latest_by}), but not sensible before {earliest.on}: "
        f"{earliest.reason}."
    )
    if earliest.possible_on is not None and earliest.possible_on < earliest.on:
        words += f" Nothing rules it out from {earliest.possible_on} on, out of season."
    return words


def _reason(facts: DueFacts, latest_why: str) -> str:
    below = "below the action level; " if facts.is_below else ""
    what = f"; {facts.proposal.why}" if isinstance(facts.proposal, Proposal) else ""
    return f"{below}{latest_why}{what}"


def _cost(facts: DueFacts) -> float | NotDecided:
    if facts.price is None:
        return NotDecided("Not decided: the method has no price.", ("price",))
    return facts.price.of(facts.area_m2)
