"""Marks and covers as lines of text, one a line: typed by hand, or written by drawing.

    arrow 20,30 40,50 loose stones
    ring 60,40 66,40
    box 55,10 90,40

Points are per cent of the picture, from the left and from the top.
"""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.open_fields import LinesField
from registry.models import Photo

_POINT = re.compile(r"(\d{1,3}(?:\.\d{1,4})?),(\d{1,3}(?:\.\d{1,4})?)")
HOW = "Write it as: arrow 20,30 40,50 and then words, if any."
HOW_BOX = "Write it as: box 55,10 90,40 (left,top and right,bottom in per cent)."


def _points(words: list[str]) -> list[list[float]]:
    """Take the points off the front of the words of a line."""
    found = []
    while words and (point := _POINT.fullmatch(words[0])):
        found.append([round(float(part) / 100, 6) for part in point.groups()])
        words.pop(0)
    return found


def _percent(fraction: float) -> str:
    return f"{round(100 * fraction, 2):g}"


class MarksField(LinesField):
    """Marks, one a line; cleans to the stored form of `imaging.marks`."""

    def read_line(self, line: str) -> dict[str, Any]:
        """Return one mark; which kinds there are, the action says."""
        kind, *words = line.split()
        points = _points(words)
        if not points:
            raise ValidationError(HOW)
        return {"kind": kind.lower(), "points": points, "words": " ".join(words)}

    def write_line(self, stored: Any) -> str:
        """Return "arrow 20,30 40,50 loose stones"."""
        points = " ".join(f"{_percent(x)},{_percent(y)}" for x, y in stored["points"])
        return f"{stored['kind']} {points} {stored.get('words', '')}".strip()


class CoversField(LinesField):
    """Covers, one a line; cleans to [[left, top, right, bottom], ...] in fractions."""

    def read_line(self, line: str) -> list[float]:
        """Return one rectangle, its corners in either order."""
        kind, *words = line.split()
        points = _points(words)
        if kind.lower() != "box" or len(points) != 2 or words:
            raise ValidationError(HOW_BOX)
        (one_x, one_y), (other_x, other_y) = points
        return [min(one_x, other_x), min(one_y, other_y), max(one_x, other_x), max(one_y, other_y)]

    def write_line(self, stored: Any) -> str:
        """Return "box 55,10 90,40"."""
        left, top, right, bottom = (_percent(side) for side in stored)
        return f"box {left},{top} {right},{bottom}"


class MarksForm(forms.Form):
    """The marks of one side on a photo."""

    marks = MarksField(
        label="marks, one a line",
        help_text=(
            "arrow, ring, line, outline or words, then points in per cent from the left and from "
            "the top, then words: arrow 20,30 40,50 loose stones"
        ),
        max_length=40_000,
    )


class CoversForm(forms.Form):
    """Which parts are covered in copies that go out, and who sees the photo at all."""

    covers = CoversField(
        label="covered parts, one a line",
        help_text="box, then two corners in per cent from the left and the top: box 55,10 90,40",
    )
    shown_to = forms.ChoiceField(
        label="may be shown to", choices=Photo._meta.get_field("shown_to").flatchoices
    )
    why = forms.CharField(label="because", max_length=280)
