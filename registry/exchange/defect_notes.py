"""What the columns of the file of defects have no room for stands in front of its note, in words.

`No. 12.` tells two defects of one kind at one place apart. `Measured by tape.` keeps growth
comparable. `Place provisional.` says that the place hangs on a datum that is lost.
"""

import re
from dataclasses import dataclass

from registry.models import Observation

METHODS = {label: code for code, label in Observation.Method.choices}
_ENDS = r"(?:\s+|$)"
_MARKS = re.compile(
    rf"(?:No\. (?P<number>[\w./-]{{1,40}}?)\.{_ENDS})?"
    rf"(?:Measured by (?P<method>{'|'.join(map(re.escape, METHODS))})\.{_ENDS})?"
    rf"(?P<provisional>Place provisional\.{_ENDS})?"
    r"(?P<rest>.*)",
    re.DOTALL,
)


@dataclass(frozen=True)
class Marks:
    """What stands in a note: number on the papers, code of the method, and the remark itself."""

    number: str = ""
    method: str = ""
    is_provisional: bool = False
    rest: str = ""


def read_note(text: str) -> Marks:
    """Return what a note says, its marks taken off."""
    found = _MARKS.fullmatch(text.strip())
    if found is None:
        return Marks(rest=text.strip())
    method = METHODS.get(found["method"] or "", "")
    return Marks(found["number"] or "", method, bool(found["provisional"]), found["rest"].strip())


def write_note(marks: Marks) -> str:
    """Return the note with its marks in front."""
    labels = {code: label for label, code in METHODS.items()}
    parts = [
        f"No. {marks.number}." if marks.number else "",
        f"Measured by {labels[marks.method]}." if marks.method else "",
        "Place provisional." if marks.is_provisional else "",
        marks.rest.strip(),
    ]
    return " ".join(part for part in parts if part)
