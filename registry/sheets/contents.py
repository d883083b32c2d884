"""What a sheet says, gathered before anything is drawn. The same content, the same bytes.

Lengths are metres in plan coordinates; `system` is the one the sheet is printed and filled in.
"""

import hashlib
import json
from dataclasses import asdict, dataclass
from datetime import date

from registry.drawing.plan_marks import SweptArea
from registry.drawing.primitives import Symbol
from registry.plan import Layout, PlanShape
from registry.units import System


@dataclass(frozen=True)
class Heading:
    """What stands at the head of every page. A blank sheet has none of the pavement's words.

    `line` stands in place of the numbers, and of the plan's, where a sheet is of no one pavement.
    """

    title: str
    system: System
    printed_on: date
    pavement: str = ""
    street: str = ""
    own_number: str = ""
    other_numbers: tuple[str, ...] = ()
    plan_number: int | None = None
    is_blank: bool = False
    line: str = ""


@dataclass(frozen=True)
class SheetMark:
    """The number of one print and the address its square of dots opens."""

    number: str
    address: str


@dataclass(frozen=True)
class KnownDefect:
    """A defect that is looked for again. `shape` and `sign` put it on the plan, where known.

    `row_id` is kept with the print, so that its number leads to the defect for ever.
    """

    number: int
    place: str
    kind: str
    last_extent: str = ""
    severity: str = ""
    last_seen_on: date | None = None
    shape: PlanShape | None = None
    sign: Symbol = Symbol.OTHER
    row_id: int = 0

    @property
    def last_seen(self) -> str:
        """Extent, severity and day of the last look: "7 ft2, low 2025-05-19"."""
        extent = ", ".join(filter(None, (self.last_extent, self.severity)))
        day = self.last_seen_on.isoformat() if self.last_seen_on else ""
        return " ".join(filter(None, (extent, day)))


@dataclass(frozen=True)
class PlannedSpot:
    """A spot to be tested: a fixed point, or one of a draw with its drawn right and up."""

    name: str
    place: str = ""
    stratum: str = ""
    is_fixed: bool = True
    right_m: float | None = None
    up_m: float | None = None


@dataclass(frozen=True)
class InspectionContent:
    heading: Heading
    layout: Layout | None = None
    spots: tuple[PlannedSpot, ...] = ()
    known: tuple[KnownDefect, ...] = ()


@dataclass(frozen=True)
class InfiltrationContent:
    heading: Heading
    spots: tuple[PlannedSpot, ...] = ()
    method: str = ""


@dataclass(frozen=True)
class SweepOrder:
    """A work order in the words of its sheet; an empty one leaves a line to write on.

    must_be_dry: "yes", "no" or "". do_not: what is forbidden, in words.
    """

    number: str = ""
    asked_by: str = ""
    approved_by: str = ""
    approved_on: str = ""
    price: str = ""
    dated_for: str = ""
    crew: str = ""
    entrance: str = ""
    contact: str = ""
    window: str = ""
    gate: str = ""
    height: str = ""
    axle: str = ""
    cars_out_by: str = ""
    notice: str = ""
    noise: str = ""
    water_point: str = ""
    dump: str = ""
    decant: str = ""
    method: str = ""
    rows: str = ""
    passes: str = ""
    pattern: str = ""
    must_be_dry: str = ""
    lowest: str = ""
    do_not: tuple[str, ...] = ()
    before_spots: str = ""
    before_tests: str = ""
    after_spots: str = ""
    after_due: str = ""


@dataclass(frozen=True)
class SweepContent:
    heading: Heading
    layout: Layout | None = None
    order: SweepOrder = SweepOrder()
    swept: tuple[SweptArea, ...] = ()


@dataclass(frozen=True)
class DayStopWords:
    """A stop of a crew's day in words; clock times "07:30" at the stop.

    kind    "SWEEP", "DUMP" or "WATER"; lines: (label, words) of what is known, in order
    alarms  what must be settled before the crew goes there
    path    of the page its square of dots opens, behind the address of the server; "" has none
    """

    number: int
    kind: str
    name: str
    order: str = ""
    drive: str = ""
    arrives: str = ""
    begins: str = ""
    ends: str = ""
    lines: tuple[tuple[str, str], ...] = ()
    alarms: tuple[str, ...] = ()
    path: str = ""


@dataclass(frozen=True)
class DayContent:
    """A crew's day, `on` as "2026-09-14". `facts` are (label, words) at its head; `left_out` what
    stands in the round and is not for today.
    """

    heading: Heading
    on: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    stops: tuple[DayStopWords, ...] = ()
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True)
class LoadRowWords:
    """A load in the words of its row, or a further lane of the load above it."""

    load: str = ""
    ticket: str = ""
    batched: str = ""
    arrived: str = ""
    discharged: tuple[str, str] = ("", "")
    water: str = ""
    water_by: str = ""
    look: str = ""
    density: str = ""
    lane: str = ""
    limits: tuple[str, str] = ("", "")
    covered: tuple[str, str] = ("", "")


@dataclass(frozen=True)
class LoadContent:
    """The load sheet of a placing day; `limits` are words by name, empty ones a line to write on.

    `day_id` is kept with the print, so that what comes back is filed under its day.
    """

    heading: Heading
    on: str = ""
    foreman: str = ""
    subbase: str = ""
    limits: tuple[tuple[str, str], ...] = ()
    rows: tuple[LoadRowWords, ...] = ()
    day_id: int = 0


@dataclass(frozen=True)
class CoverStrip:
    """A strip under its cover, in words. `hourly` are the clocks of the first walks.

    `cover_id` is kept with the print, so that what comes back finds its strip; 0 for none.
    """

    panels: str = ""
    last_covered: str = ""
    required: str = ""
    not_before: str = ""
    hourly: tuple[str, ...] = ()
    cover_id: int = 0


@dataclass(frozen=True)
class CoverContent:
    """The cover walk cards of a placing day, one page a strip."""

    heading: Heading
    on: str = ""
    strips: tuple[CoverStrip, ...] = (CoverStrip(),)
    day_id: int = 0


@dataclass(frozen=True)
class HandOverContent:
    """A hand-over certificate in words.

    facts, warranty  (label, words);  lines (what, y, n or not in existence, words)
    opens            (what is open, what becomes of it)

    `row_id` is kept with the print, so that its number leads to the certificate.
    """

    heading: Heading
    facts: tuple[tuple[str, str], ...] = ()
    lines: tuple[tuple[str, str, str], ...] = ()
    state: tuple[tuple[str, str], ...] = ()
    opens: tuple[tuple[str, str], ...] = ()
    warranty: tuple[tuple[str, str], ...] = ()
    care: tuple[tuple[str, str], ...] = ()
    not_known: tuple[str, ...] = ()
    copies: str = ""
    walked: str = ""
    signed: tuple[tuple[str, str], ...] = ()
    is_first: bool = False
    row_id: int = 0


Content = (
    InspectionContent
    | InfiltrationContent
    | SweepContent
    | DayContent
    | LoadContent
    | CoverContent
    | HandOverContent
)


@dataclass(frozen=True)
class DrawnSheet:
    """A finished sheet."""

    pdf: bytes
    pages: int


def digest_of(content: Content) -> str:
    """SHA-256 of everything the sheet says but its number."""
    said = json.dumps(asdict(content), sort_keys=True, default=str)
    return hashlib.sha256(said.encode()).hexdigest()
