"""The looks at a defect as table 2F writes them in one cell: days, extents, "same", "none"."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from registry.demo.tables import feet, square_feet

_DATED = re.compile(r"(?:(?P<what>[a-z ]+), )?(?P<on>\d{4}-\d{2}-\d{2}):? (?P<text>.+)")
_BARE = re.compile(r"\d+(?:\.\d+)?(?! ?(?:ft|in|mm|×|prints|[\d./]))")
_NUMBER = r"(\d+/\d+|\d+(?:\.\d+)?)"


def _inches(length_in: float) -> float:
    return feet(length_in / 12)


def _millimetres(length_mm: float) -> float:
    return length_mm / 1000


Unit = Callable[[float], float]
Pattern = tuple[str, tuple[tuple[str, Unit], ...]]

BARE_UNIT = {
    "raveling": "ft²",
    "sealed_spot": "ft²",
    "clogged": "ft",
    "settlement": "in",
    "lip": "in",
}
"""The unit that a number without one takes: that of the first look in the same cell."""

_ANY_KIND: tuple[Pattern, ...] = (
    (rf"{_NUMBER} ft × {_NUMBER} ft", (("length_m", feet), ("width_m", feet))),
    (rf"{_NUMBER} ft × {_NUMBER} in", (("length_m", feet), ("width_m", _inches))),
    (rf"{_NUMBER} ft²", (("area_m2", square_feet),)),
    (rf"{_NUMBER} in (?:deep|down)", (("depth_m", _inches),)),
    (rf"{_NUMBER} mm lip", (("lip_m", _millimetres),)),
    (rf"{_NUMBER} prints", (("count", int),)),
)
_OF_KIND: dict[str, tuple[Pattern, ...]] = {
    "crack": (
        (rf"{_NUMBER} ft", (("length_m", feet),)),
        (rf"{_NUMBER} mm", (("crack_width_m", _millimetres),)),
    ),
    "corner_break": ((rf"{_NUMBER} × \d+ in", (("size_m", _inches),)),),
    "clogged": ((rf"{_NUMBER} ft", (("width_m", feet),)),),
    "settlement": (
        (rf"{_NUMBER} in", (("depth_m", _inches),)),
        (rf"over {_NUMBER} ft", (("length_m", feet),)),
    ),
    "lip": ((rf"{_NUMBER} in", (("lip_m", _inches),)),),
}


@dataclass
class Look:
    """One dated look. `measures` are columns of an observation, SI; `rest` words left over."""

    on: date
    text: str
    is_found: bool
    measures: dict[str, Any] = field(default_factory=dict)
    rest: str = ""


def read_looks(
    cell: str, kind: str, *, never_looks: frozenset[str]
) -> tuple[list[Look], list[str]]:
    """Return the looks of a cell, oldest first, and the words that are no look at this defect.

    A piece without a day is no look, nor is "none" before the defect was first found, nor what
    stands in `never_looks`.
    """
    looks: list[Look] = []
    remarks: list[str] = []
    for piece in cell.replace("**", "").split("; "):
        dated = _DATED.fullmatch(piece)
        if dated is None or piece in never_looks:
            remarks.append(piece)
            continue
        look = _look(date.fromisoformat(dated["on"]), dated["text"], kind, looks)
        if dated["what"]:
            remarks.append(dated["what"])
        if look.is_found or looks:
            looks.append(look)
        else:
            remarks.append(piece)
    return looks, remarks


def _look(on: date, text: str, kind: str, earlier: list[Look]) -> Look:
    if text == "none" or text.startswith("not found"):
        return Look(on, text, is_found=False, rest=text)
    if text == "same":
        return Look(on, text, is_found=True, measures=dict(earlier[-1].measures), rest=text)
    measures, rest = _measures(text, kind)
    return Look(on, text, is_found=True, measures=measures, rest=rest)


def _measures(text: str, kind: str) -> tuple[dict[str, Any], str]:
    """Return what the words measure, and the words that no pattern takes."""
    measures: dict[str, Any] = {}
    bare = _BARE.match(text)
    rest = f"{bare[0]} {BARE_UNIT[kind]}{text[bare.end() :]}" if bare else text
    for pattern, columns in (*_ANY_KIND, *_OF_KIND.get(kind, ())):
        found = re.search(rf"(?<![\d/.]){pattern}", rest)
        if found is None or any(name in measures for name, _ in columns):
            continue
        for (name, unit), written in zip(columns, found.groups(), strict=True):
            measures[name] = unit(_value(written))
        rest = rest[: found.start()] + rest[found.end() :]
    if re.search(r"\brocks\b", rest):
        measures["moves"] = True
        rest = rest.replace("rocks", "")
    return measures, re.sub(r"\(\s*\)|^[\s,]+|[\s,]+$", "", rest).strip(" ,")


def _value(written: str) -> float:
    above, _, below = written.partition("/")
    return float(above) / float(below) if below else float(above)
