"""The infiltration tests of the town's tables, raw readings as written."""

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from registry.actions.record_infiltration_test import record_infiltration_tests
from registry.demo.ground import GROUNDS
from registry.demo.people import CONTRACTOR, MANAGER, TESTER, TOWN, Cast
from registry.demo.spots import Spots
from registry.demo.statements import LEFT_OUT, STATED_LATER, sent_on
from registry.demo.tables import NOTHING, Line, clock, day, number, read_table
from registry.models import (
    Ended,
    InfiltrationTest,
    Pavement,
    ReasonForTest,
    Ring,
    TestMethod,
)
from registry.models.choices import Answer, ReadingSystem, Source
from registry.units import Kind, System, to_si

TO_STANDARD = "dry, prewet with 8 lb (3.6 kg): {}; neither stands in the table"
RAIN_DEPTH = re.compile(r"(\d+\.\d+) in rain ended|(\d+\.\d+) in at (\d\d:\d\d)")
SMALL_POUR = {ReadingSystem.INCH_POUND: 8.0, ReadingSystem.SI: 3.6}


@dataclass(frozen=True)
class Record:
    """One line of a table: where it belongs, who wrote it and the row that is stored."""

    key: str
    spot: str
    author: str
    row: InfiltrationTest


def record_tests(cast: Cast, pavements: dict[str, Pavement], rings: dict[str, Ring]) -> None:
    """Store every test of tables 1B, 1M, 2B and 3B, whatever use it may have."""
    spots = Spots(cast)
    together: dict[tuple[int, str], list[InfiltrationTest]] = defaultdict(list)
    for record in _records():
        row = record.row
        part = part_of(record.key, row.started_on)
        row.pavement = pavements[part]
        row.spot = spots.of(row.pavement, record.key, record.spot, record.author)
        row.stratum = row.spot.stratum
        if row.ring is not None:
            row.ring_listed = rings.get(f"{record.author}/{row.ring:g}")
        together[row.pavement.pk, record.author].append(row)
    # In the order of the tables: the contractor's come last and may point to the manager's.
    for (_, author), rows in together.items():
        if author == CONTRACTOR:
            for row in rows:
                _point_to_double(row)
        record_infiltration_tests(rows, **cast.as_author(author))


def _point_to_double(row: InfiltrationTest) -> None:
    """Let an acceptance test that the manager's papers have too point to that one.

    Twelve stand in two papers: one ring at one spot on one day, written down by both sides with
    slightly different readings. The manager's is kept, since its later tests go on from it, and
    no day counts twice; both stay readable.
    """
    kept = InfiltrationTest.objects.filter(
        spot=row.spot, started_on=row.started_on, number__startswith="T-"
    ).first()
    if kept is not None:
        row.double_of = kept
        row.note = f"The same acceptance test as {kept.number}, written down by both sides."


def part_of(key: str, on: date) -> str:
    """Return the key of the pavement a place belonged to on a day: the court was split in 2024."""
    return "PP-23-03 10A" if key == "PP-23-03" and on >= date(2024, 11, 1) else key


def list_rings(cast: Cast) -> list[Ring]:
    """Return the rings of the town's testers as measured, unsaved."""
    inches = {CONTRACTOR: (11.98, 12.05), MANAGER: (11.98, 12.05), TOWN: (12.02,)}
    rows = [
        Ring(
            organisation=cast[name],
            name=f"ring {n}",
            system=ReadingSystem.INCH_POUND,
            inside_diameter=diameter,
        )
        for name, diameters in inches.items()
        for n, diameter in enumerate(diameters, start=1)
    ]
    rows.append(
        Ring(
            organisation=cast[TESTER],
            name="ring 300",
            system=ReadingSystem.SI,
            inside_diameter=300.0,
        )
    )
    return rows


def _records() -> Iterator[Record]:
    jobs = {ground.job: ground for ground in GROUNDS if ground.job}
    numbers = {ground.manager: ground for ground in GROUNDS if ground.manager}
    for line in read_table("2B_tests"):
        ground = numbers[line["pavement"]]
        author = TESTER if line["units"] == "SI" else MANAGER
        if line["test"] == "T-340":
            author = "M. Osei"
        spot = line["point"] if line["point"] in (*ground.fixed, "A4 new") else line["location"]
        yield Record(ground.key, spot, author, _managed(line, ground.town))
    for line in read_table("3B_town_tests"):
        yield Record(line["town no."], line["point"], TOWN, _of_town(line))
    for table, ring in (
        ("1B_acceptance_tests", "ring inside diameter in"),
        ("1M_after_repair_tests", "ring in"),
    ):
        for line in read_table(table):
            yield Record(
                jobs[line["job"]].key, line["location"], CONTRACTOR, _acceptance(line, ring)
            )


def _row(line: Line, ring: str, water: str) -> InfiltrationTest:
    """Return what all tables have in common: readings as written, beside what was read."""
    written = {
        "ring": line[ring],
        "prewet_seconds": line["prewet s"],
        "water": line[water],
        "seconds": line["time s"],
    }
    system = ReadingSystem.SI if line.get("units") == "SI" else ReadingSystem.INCH_POUND
    row = InfiltrationTest(
        number=line["test"],
        started_on=day(line["date"]),
        system=system,
        as_written={name: text for name, text in written.items() if text not in NOTHING},
        note=line.get("note", ""),
        source=Source.PAPER,
        method=TestMethod.C1701,
        ended=Ended.DRAINED,
        ring=number(line[ring]),
        prewet_seconds=number(line["prewet s"]),
        water=_pounds(line[water]),
        seconds=number(line["time s"].removesuffix(" (typed)")),
    )
    if row.prewet_seconds is not None:
        row.prewet_water = SMALL_POUR[system]
    missing = {"ring": row.ring, "prewet_seconds": row.prewet_seconds, "water": row.water}
    row.empties = {name: "nk" for name, value in missing.items() if value is None}
    return row


def _pounds(text: str) -> float | None:
    """Return the number in the column of water: 18.14 "lb" is kept as typed; a pail has none."""
    found = re.fullmatch(r'(\d+(?:\.\d+)?)(?: "lb")?', text)
    return float(found[1]) if found else None


def _acceptance(line: Line, ring: str) -> InfiltrationTest:
    row = _row(line, ring, "water lb")
    row.reason = ReasonForTest.ACCEPTANCE
    if "cleaned" in line["location"]:
        row.reason = ReasonForTest.WARRANTY
        row.note = "B9, old concrete, cleaned before the test; nobody wrote when or how."
    row.rain_within_24_h = Answer.NO
    row.source_note = TO_STANDARD.format("an acceptance test to ASTM C1701")
    row.submitted_on = STATED_LATER.get(line["test"])
    return row


def _managed(line: Line, town_number: str) -> InfiltrationTest:
    row = _row(line, "ring ID", "water")
    if (comma := re.search(r'sheet says "([\d,]+)"', line["note"])) is not None:
        row.as_written["ring"] = comma[1]
    row.started_at = clock(row.started_on, line["start"])
    row.reason = _reason(line["note"])
    if line["test"] not in LEFT_OUT:
        row.submitted_on = sent_on(town_number, row.started_on, "10A")
    for name, value in (*_ended(line).items(), *_weather(line, line["used for trend?"]).items()):
        setattr(row, name, value)
    if "C1781" in line["note"]:
        row.method = TestMethod.C1781
    if line["units"] == "SI":
        row.tested_by = TESTER
    return row


def _of_town(line: Line) -> InfiltrationTest:
    row = _row(line, "ring in", "water lb")
    row.reason = _reason(line["note"])
    for name, value in (*_ended(line).items(), *_weather(line, line["used?"]).items()):
        setattr(row, name, value)
    if "C1781" in line["note"]:
        row.method = TestMethod.C1781
    return row


def _reason(note: str) -> str:
    words = (
        ("acceptance", ReasonForTest.ACCEPTANCE),
        ("after complaint", ReasonForTest.COMPLAINT),
        ("after cleaning", ReasonForTest.AFTER_CLEANING),
        ("after full vacuum", ReasonForTest.AFTER_CLEANING),
        ("after pressure wash", ReasonForTest.AFTER_CLEANING),
        ("audit", ReasonForTest.AUDIT),
    )
    if "same day as cleaning" in note:
        return ""
    return next((reason for word, reason in words if word in note), ReasonForTest.YEARLY)


def _ended(line: Line) -> dict[str, Any]:
    """Return how a run ended, and what its line says of a test that was none of the method."""
    ended = line["ended"]
    if ended == "not done":
        return {"state": "not_done", "not_done_why": "bike rack over the point", "ended": ""}
    if line["rate in/h"] == "not to standard":
        return {"method": TestMethod.OTHER, "empties": {"ring": "na", "water": "nm"}}
    if ended.startswith("too fast"):
        return {"ended": Ended.TOO_FAST}
    if not ended.startswith("stopped"):
        return {}
    left = re.search(r"([\d.]+) lb left", ended)
    return {
        "ended": Ended.STOPPED,
        "limit_min": 30.0,
        "water_left": float(left[1]) if left else None,
    }


def _weather(line: Line, used: str) -> dict[str, Any]:
    """Return what is known of the rain: usable was dry; else only what the remark says."""
    if used.startswith("yes"):
        why = "stated usable by the tester"
        return {"rain_within_24_h": Answer.NO, "source_note": TO_STANDARD.format(why)}
    if "within 24 h of rain" not in used:
        return {}
    depth = RAIN_DEPTH.search(line["note"])
    if depth is None:
        raise ValueError(f"no rain in the remark of {line['test']}")
    fell = float(depth[1] or depth[2])
    at = clock(day(line["date"]), depth[3] or "")
    return {
        "rain_within_24_h": Answer.YES,
        "rain_mm": to_si(fell, Kind.SMALL_LENGTH, System.INCH_POUND),
        "rain_ended_at": at,
    }
