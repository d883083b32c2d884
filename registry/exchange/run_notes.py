"""What the columns of the file of tests have no room for stands in front of its note, in words.

`After cleaning.` is the reason of a test: without it a test on the day of a wash is one that came
too soon, and an accepted rate is no as-built. `5.1 lb left.` is the water left in the ring of a
stopped run. The words stay in the note as whoever wrote it has them.
"""

import re
from dataclasses import dataclass

from registry.exchange.workbook_in import plain_number
from registry.models import Ended, InfiltrationTest, ReasonForTest
from registry.units import Kind, System, unit_sign

REASONS = {label: code for code, label in ReasonForTest.choices}
_ENDS = r"\s*(?:[.;,:]\s*|$)"
_FRONT = re.compile(
    rf"(?:(?P<reason>(?i:{'|'.join(map(re.escape, REASONS))}))(?:{_ENDS}|(?= [A-Z]{{1,3}}-\d)))?"
    rf"(?:(?P<left>\d+(?:\.\d+)?) ?(?P<unit>lb|kg) left(?: in (?:the )?ring)?{_ENDS})?"
)
_SYSTEMS = {unit_sign(Kind.MASS, system): system for system in System}


@dataclass(frozen=True)
class Front:
    """What stands in front of a note; `rest` is what follows it.

    reason  code of the reason, ""
    left    water left in the ring, in the unit of `system`; None
    """

    reason: str = ""
    left: float | None = None
    system: System | None = None
    rest: str = ""


def read_front(note: str, ended: str) -> Front:
    """Return what a note says first; water is left by a stopped run alone."""
    text = note.strip()
    found = _FRONT.match(text)
    if found is None:
        return Front(rest=text)
    reason = REASONS[found["reason"].lower()] if found["reason"] else ""
    if found["left"] is None or ended != Ended.STOPPED:
        end = found.end() if found["left"] is None else found.start("left")
        return Front(reason, rest=text[end:].strip())
    system = _SYSTEMS[found["unit"]]
    return Front(reason, float(found["left"]), system, text[found.end() :].strip())


def note_of(row: InfiltrationTest) -> str:
    """Return the note of a test with its reason and the water left in front, each told once."""
    note = row.note.strip()
    told = read_front(note, row.ended)
    is_told = row.water_left in (None, told.left) and row.reason in ("", told.reason)
    front = [] if is_told else [_reason_told(row), _left_told(row)]
    return " ".join(part for part in (*front, note) if part)


def _reason_told(row: InfiltrationTest) -> str:
    label = str(ReasonForTest(row.reason).label) if row.reason else ""
    return f"{label[0].upper()}{label[1:]}." if label else ""


def _left_told(row: InfiltrationTest) -> str:
    if row.water_left is None:
        return ""
    return f"{plain_number(row.water_left)} {unit_sign(Kind.MASS, System(row.system))} left."
