"""Legend entries set one after another, broken to the width like words."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from registry.drawing.lettering import SMALLEST_PT, line_height_mm, text_width_mm, wrap
from registry.drawing.primitives import Item, Point, Text

_BETWEEN_MM = 4.0
_AFTER_SIGN_MM = 1.3


@dataclass(frozen=True)
class Entry:
    """A sign and its words. sign: draws itself with its middle at a point."""

    words: str
    sign: Callable[[Point], tuple[Item, ...]] | None = None
    sign_mm: float = 0.0

    @property
    def width_mm(self) -> float:
        gap = _AFTER_SIGN_MM if self.sign else 0.0
        return self.sign_mm + gap + text_width_mm(self.words)


@dataclass(frozen=True)
class Flowed:
    items: tuple[Item, ...]
    height_mm: float


def flow(entries: Sequence[Entry], x_mm: float, y_mm: float, width_mm: float) -> Flowed:
    """Entries from an upper left corner on; one wider than the width is broken into lines."""
    step = line_height_mm() + 0.7
    items: list[Item] = []
    x, row = 0.0, 0
    for entry in entries:
        if x > 0 and x + entry.width_mm > width_mm:
            x, row = 0.0, row + 1
        foot = y_mm + (row + 1) * step - 1.4
        left = x_mm + x
        if entry.sign is not None:
            items.extend(entry.sign((left + entry.sign_mm / 2, foot - 1.15)))
            left += entry.sign_mm + _AFTER_SIGN_MM
        lines = wrap(entry.words, width_mm - (left - x_mm)) or ("",)
        for nth, line in enumerate(lines):
            items.append(Text((left, foot + nth * step), line, SMALLEST_PT))
        row += len(lines) - 1
        x = (left - x_mm) + text_width_mm(lines[-1]) + _BETWEEN_MM
    rows = row + 1 if entries else 0
    return Flowed(tuple(items), rows * step)
