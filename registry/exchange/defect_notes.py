"""What the columns of the file of defects have no room for stands in front of its note, in words.

`No. 12.` tells two defects of one kind at one place apart. `Measured by tape.` keeps growth
comparable. `Place provisional.` says that the place hangs on a datum that is lost. `Blade went
up.` tells the way of a plow scrape; of another kind those words are part of the remark.
"""

import re
from dataclasses import dataclass

from registry.models import Observation

METHODS = {label: code for code, label in Observation.Method.choices}
DIRECTIONS = {label: code for code, label in Observation.Direction.choices}
_ENDS = r"(?:\s+|$)"
_BLADE_FIRST = re.compile(
    rf"Blade went (?P<direction>{'|'.join(map(re.escape, DIRECTIONS))})\.{_ENDS}"
)
_MARKS = re.compile(
    rf"(?:No\. (?P<number>[\w./-]{{1,40}}?)\.{_ENDS})?"
    rf"(?:Measured by (?P<method>{'|'.join(map(re.escape, METHODS))})\.{_ENDS})?"
    rf"(?P<provisional>Place provisional\.{_ENDS})?"
    r"(?P<rest>.*)",
    re.DOTALL,
)


@dataclass(frozen=True)
class Marks:
    """What stands in a note: number on the papers, codes of method and direction, the remark."""

    number: str = ""
    method: str = ""
    is_provisional: bool = False
    rest: str = ""
    direction: str = ""


def read_note(text: str, *, tells_direction: bool) -> Marks:
    """Return what a note says, its marks taken off.

    tells_direction  whether its kind of defect has a direction
    """
    found = _MARKS.fullmatch(text.strip())
    if found is None:
        return Marks(rest=text.strip())
    method = METHODS.get(found["method"] or "", "")
    rest, direction = found["rest"].strip(), ""
    if tells_direction and (blade := _BLADE_FIRST.match(rest)):
        rest, direction = rest[blade.end() :], DIRECTIONS[blade["direction"]]
    return Marks(found["number"] or "", method, bool(found["provisional"]), rest, direction)


def write_note(marks: Marks) -> str:
    """Return the note with its marks in front."""
    methods = {code: label for label, code in METHODS.items()}
    ways = {code: label for label, code in DIRECTIONS.items()}
    parts = [
        f"No. {marks.number}." if marks.number else "",
        f"Measured by {methods[marks.method]}." if marks.method else "",
        "Place provisional." if marks.is_provisional else "",
        f"Blade went {ways[marks.direction]}." if marks.direction else "",
        marks.rest.strip(),
    ]
    return " ".join(part for part in parts if part)
