"""Lists of a plan as people write them: rectangles, points, ties, one a line."""

import re
from typing import Any

from django.core.exceptions import ValidationError

from registry.forms.open_fields import LinesField
from registry.units import Kind, from_si, unit_sign

_N = r"(\d+(?:[.,]\d+)?)"
_UNIT = r"\s*(ft|m)?"
_RECTANGLE = re.compile(
    rf"R\s*{_N}\s*(?:-|–|to)\s*{_N}[\s,;·]+U\s*{_N}\s*(?:-|–|to)\s*{_N}{_UNIT}", re.IGNORECASE
)
_POINT = re.compile(rf"([RL])\s*{_N}[\s,;·]+U\s*{_N}{_UNIT}", re.IGNORECASE)
_TIE = re.compile(r"(.+?)\s+to\s+(.+)")


class _Measures(LinesField):
    def _metres(self, number: str, unit: str | None) -> float:
        return self.length(f"{number} {unit}" if unit else number)

    def _shown(self, metres: float) -> str:
        return f"{from_si(metres, Kind.LENGTH, self.system):.6g}"

    @property
    def _unit(self) -> str:
        return unit_sign(Kind.LENGTH, self.system)


class RectanglesField(_Measures):
    """Rectangles "R 0-48 U 0-10" from the datum; cleans to [right, up, width, length]."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("help_text", "One a line, right and up of the datum: R 0-48 U 0-10.")
        super().__init__(**options)

    def read_line(self, line: str) -> list[float]:
        """Return right, up, width and length in metres."""
        found = _RECTANGLE.fullmatch(line)
        if found is None:
            raise ValidationError("Write it as R 0-48 U 0-10.")
        left, right, low, high = (self._metres(found[n], found[5]) for n in (1, 2, 3, 4))
        if right <= left or high <= low:
            raise ValidationError("Write the smaller measure first; both sides are above zero.")
        return [left, low, right - left, high - low]

    def write_line(self, stored: Any) -> str:
        """Return "R 0-48 U 0-10 ft"."""
        left, low, width, length = stored
        across = f"R {self._shown(left)}-{self._shown(left + width)}"
        return f"{across} U {self._shown(low)}-{self._shown(low + length)} {self._unit}"


class PointsField(_Measures):
    """Points right (or left) and up of the datum: "R 12 U 60", "L 4.5 U 80"; in metres."""

    def read_line(self, line: str) -> list[float]:
        """Return right and up in metres."""
        found = _POINT.fullmatch(line)
        if found is None:
            raise ValidationError("Write it as R 12 U 60, or L 12 U 60 left of the datum.")
        side = -1.0 if found[1].upper() == "L" else 1.0
        return [side * self._metres(found[2], found[4]) + 0.0, self._metres(found[3], found[4])]

    def write_line(self, stored: Any) -> str:
        """Return "R 12 U 60 ft"."""
        right, up = stored
        side = "L" if right < 0 else "R"
        return f"{side} {self._shown(abs(right))} U {self._shown(up)} {self._unit}"


class TiesField(_Measures):
    """Distances from the datum to fixed things: "31.4 to hydrant bolt"."""

    def read_line(self, line: str) -> dict[str, Any]:
        """Return the distance in metres and what it goes to."""
        found = _TIE.fullmatch(line)
        if found is None:
            raise ValidationError("Write how far, then to what: 31.4 to hydrant bolt.")
        distance_m = self.length(found[1])
        if distance_m <= 0:
            raise ValidationError("A tie has a length above zero.")
        return {"distance_m": distance_m, "to": found[2].strip()}

    def write_line(self, stored: Any) -> str:
        """Return "31.4 ft to hydrant bolt"."""
        return f"{self._shown(stored['distance_m'])} {self._unit} to {stored['to']}"


FEATURES = {
    "drain": "drain",
    "well": "well",
    "overflow": "overflow",
    "cleanout": "cleanout",
    "run-on": "run_on",
    "landmark": "landmark",
}
_FEATURE = re.compile(rf"({'|'.join(FEATURES)})\b\s*(.*?)\s*:\s*(.+)", re.IGNORECASE)


class FeaturesField(PointsField):
    """Things on a plan: "drain north: R 12 U 60", "run-on lawn: R 0 U 5 to R 6 U 5"."""

    def read_line(self, line: str) -> dict[str, Any]:  # type: ignore[override]
        """Return kind, name and place in metres; where a run-on arrow goes to, too."""
        found = _FEATURE.fullmatch(line)
        if found is None:
            raise ValidationError(
                f"Write it as drain north: R 12 U 60. It begins with {', '.join(FEATURES)}."
            )
        kind = FEATURES[found[1].lower()]
        begin, sign, end = found[3].partition(" to ")
        if (kind == "run_on") != bool(sign):
            raise ValidationError(
                "Run-on goes from one point to another: run-on lawn: R 0 U 5 to R 6 U 5. "
                "Other things have one point."
            )
        right_m, up_m = super().read_line(begin.strip())
        feature = {"kind": kind, "name": found[2] or found[1].lower()}
        feature |= {"right_m": right_m, "up_m": up_m}
        return feature | ({"to": super().read_line(end.strip())} if sign else {})

    def write_line(self, stored: Any) -> str:
        """Return the line of a stored thing."""
        word = next((w for w, kind in FEATURES.items() if kind == stored["kind"]), "landmark")
        line = f"{word} {stored['name']}: {super().write_line((stored['right_m'], stored['up_m']))}"
        return f"{line} to {super().write_line(stored['to'])}" if stored.get("to") else line
