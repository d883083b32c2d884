"""The defects of table 2F: place, looks, severity by eye, and the moves that its words tell.

A day that is not written is never made up silently: the move stands under the last look before
it, or the last day of the month that is written, and says so.
"""

import re
from dataclasses import dataclass
from datetime import date

from registry.actions.link_defects import link_defects
from registry.actions.move_defect import move_defect
from registry.actions.record_defect import record_defect
from registry.actions.record_observation import record_observation
from registry.demo.demands import SLOPE_CUT_OFF
from registry.demo.ground import GROUNDS
from registry.demo.observations import Look, read_looks
from registry.demo.people import MANAGER, Author, Cast
from registry.demo.tables import Line, read_table
from registry.gathering.defect_place import put_in_place
from registry.models import Defect, DefectLink, Observation, Pavement
from registry.plan import PlaceError
from registry.units import System

KINDS = {
    "animal prints": "prints",
    "raveling": "raveling",
    "crack, across": "crack",
    "raveling, line along snow stakes": "edge_raveling",
    "clogged strip": "clogged",
    "settlement over old trench": "settlement",
    "raveling at edge": "edge_raveling",
    "oil, surface closed": "stain",
    "joint stone low": "joint_stone_low",
    "corner break, rocks": "corner_break",
    "lip from root": "lip",
    "moss": "growth",
    "sealed spot from placing": "sealed_spot",
    "raveling at joint": "edge_raveling",
}
READ_AS = {"C8 new panel, joint with B8, U 1.0-10.0": "C8|B8 U 1.0-10.0"}
"""Places that say in other words what the plan can read."""

NEVER_LOOKS = frozenset(
    {
        # In the new concrete: a look at D-118.
        "2026-05-19: 3 ft² at joint with B8 in the new panel",
        # After the repair: "same" may mean the raveling or its patch, so no look is made of it.
        "2025-05-20: same",
    }
)
NO_DAY = "day not written"


@dataclass(frozen=True)
class Step:
    """A move. `on` None: no day is written, so it stands under the last look before it."""

    to_state: str
    on: date | None = None
    why: str = ""
    is_back: bool = False


CONFIRMED, WATCHING, ORDERED = Step("confirmed"), Step("watching"), Step("repair_ordered")

STEPS: dict[str, tuple[Step, ...]] = {
    "D-101": (Step("no_action"),),
    "D-102": (CONFIRMED, WATCHING),
    "D-103": (Step("removed", date(2025, 5, 14)),),
    "D-104": (Step("removed", date(2025, 5, 13)),),
    "D-105": (CONFIRMED, WATCHING),
    "D-106": (
        CONFIRMED,
        ORDERED,
        Step("repaired", date(2024, 6, 30), f"repaired 2024-06, {NO_DAY}"),
        Step("sound", date(2025, 5, 20), "patch sound"),
    ),
    "D-107": (
        Step("removed", SLOPE_CUT_OFF, f"replaced 2025-08, {NO_DAY}; the town's day of the works"),
    ),
    "D-108": (CONFIRMED, ORDERED),
    "D-109": (
        CONFIRMED,
        ORDERED,
        Step("repaired", date(2022, 6, 14), "recast"),
        Step("sound", date(2023, 5, 17), "none found"),
        Step("closed", date(2026, 5, 20), "none found"),
    ),
    "D-110": (CONFIRMED, ORDERED),
    "D-111": (
        CONFIRMED,
        ORDERED,
        Step("repaired", date(2022, 6, 21), "refilled"),
        Step("repair_ordered", date(2025, 5, 21), "low again: 90 ft²", is_back=True),
        Step("repaired", date(2025, 6, 17), "refilled"),
    ),
    "D-112": (
        CONFIRMED,
        ORDERED,
        Step("repaired", date(2025, 9, 10)),
        Step("sound", date(2026, 5, 20)),
    ),
    "D-113": (CONFIRMED, Step("made_safe", date(2023, 6, 1), "ramped")),
    "D-114": (CONFIRMED, WATCHING),
    "D-115": (Step("no_action"),),
    "D-116": (
        Step("not_found_once", date(2026, 5, 19), "not found; the light is not written"),
        Step("not_found_closed", date(2026, 5, 19), "looked for once; no plan, no scale, no panel"),
    ),
}
"""A notice alone (D-117, D-118) confirms nothing: both stay noted."""

SENT_TO_TOWN = {"D-113": date(2023, 9, 11)}
"""Table 3E, F-23-01: the owner sent the town proof of the ramp; no other table tells of any."""

FIRST_KNOWN = {"D-114": (date(2024, 8, 31), "2024-08")}
"""No look is dated: known by the end of the month in which it was first brushed."""


def record_defects(cast: Cast, pavements: dict[str, Pavement]) -> None:
    """Store table 2F. The manager keeps it."""
    numbers = {ground.manager: ground.key for ground in GROUNDS if ground.manager}
    author = cast.as_author(MANAGER)
    rows = {
        line["defect"]: _record(line, pavements[numbers[line["pavement"]]], author)
        for line in read_table("2F_defects")
    }
    new = rows["D-118"]
    link_defects(
        new,
        relation=DefectLink.Relation.RECURS,
        other=rows["D-104"],
        on=new.first_seen_on,
        why="same place, new concrete",
        **author,
    )


def _record(line: Line, pavement: Pavement, author: Author) -> Defect:
    kind = KINDS[line["kind"]]
    looks, remarks = read_looks(line["observations"], kind, never_looks=NEVER_LOOKS)
    row = Defect(
        pavement=pavement,
        other_number=line["defect"],
        kind=kind,
        on_accessible_route="yes" if "on accessible route" in line["observations"] else "",
        as_written={name: line[name] for name in ("kind", "observations", "severity", "state")},
    )
    known = FIRST_KNOWN.get(line["defect"])
    first_on = known[0] if known else looks[0].on
    if known:
        row.as_written["first_seen_on"] = f"{known[1]}, {NO_DAY}"
        row.known_before = "no day written; seen in springs before"
        remarks.append(f"severity {line['severity']}, of no dated look")
    _put_in_place(row, line["location (panel, ft right and up; or station)"], first_on)
    row.submitted_on = SENT_TO_TOWN.get(line["defect"])
    row.note = ". ".join([*remarks, line["state"]]).strip() + "."
    record_defect(row, **author)
    _record_looks(row, line["severity"], looks, author)
    _move(row, looks, author)
    return row


def _put_in_place(row: Defect, written: str, on: date) -> None:
    """Place a defect; what cannot be read stays words, with the panels they begin with."""
    row.place = READ_AS.get(written, written)
    try:
        put_in_place(row, system=System.INCH_POUND, on=on)
    except PlaceError:
        named = re.match(r"[A-Z]\d+(?:-[A-Z]\d+)?", written)
        if named is not None:
            row.place = named[0]
            put_in_place(row, system=System.INCH_POUND, on=on)
        row.place, row.first_seen_on = written, on
        row.outline, row.outline_kind, row.is_provisional = [], "", True
    row.as_written["place"] = written


def _record_looks(row: Defect, severity: str, looks: list[Look], author: Author) -> None:
    """Store the looks. The last severity written is that of the last look that found it."""
    found = [look for look in looks if look.is_found]
    words = re.findall("low|moderate|high", severity)
    by_eye = dict(zip((look.on for look in reversed(found)), reversed(words), strict=False))
    for look in looks:
        given = by_eye.get(look.on, "")
        written = {"seen": look.text} | dict.fromkeys(look.measures, look.text)
        observation = Observation(
            defect=row,
            seen_on=look.on,
            found="found" if look.is_found else "not_found",
            method="photo" if "photo" in look.rest else "",
            severity=given,
            severity_by_eye=bool(given),
            note=look.rest,
            submitted_on=_sent_on(row, look),
            as_written=written | ({"severity": severity} if given else {}),
            **look.measures,
        )
        record_observation(observation, **author)


def _sent_on(row: Defect, look: Look) -> date | None:
    """Of a defect that was sent to the town went what had been seen of it by then."""
    sent = row.submitted_on
    return sent if sent is not None and look.on <= sent else None


def _move(row: Defect, looks: list[Look], author: Author) -> None:
    steps = STEPS.get(row.other_number, ())
    for n, step in enumerate(steps):
        on, why = step.on, step.why
        if on is None:
            following = next((later.on for later in steps[n:] if later.on), date.max)
            before = [look.on for look in looks if look.on < following]
            on, why = max(before, default=row.first_seen_on), NO_DAY
        move_defect(row, to_state=step.to_state, on=on, why=why, is_back=step.is_back, **author)
