"""The drawing key of the inspection sheet: what a pen draws on the plan, and what it means.

(Practice of the trade as printed on our own sheet; no published source.)
"""

from dataclasses import dataclass

from registry.drawing.hatches import Hatch, hatched
from registry.drawing.lettering import SMALLEST_PT, line_height_mm, text_width_mm
from registry.drawing.primitives import (
    Anchor,
    Area,
    Circle,
    Drawing,
    Item,
    Mark,
    Point,
    Symbol,
    Text,
)


@dataclass(frozen=True)
class KeyEntry:
    """One sign: its symbol, its word, and the hatch of an area of it, if areas have one."""

    symbol: Symbol
    word: str
    hatch: Hatch | None = None


KEY = (
    KeyEntry(Symbol.RAVELING, "raveling", Hatch.RAVELING),
    KeyEntry(Symbol.CRACK, "crack"),
    KeyEntry(Symbol.SEALED, "sealed", Hatch.SEALED),
    KeyEntry(Symbol.CLOGGED, "clogged", Hatch.CLOGGED),
    KeyEntry(Symbol.SCRAPE, "scrape, arrow: its way"),
    KeyEntry(Symbol.LIP, "lip"),
    KeyEntry(Symbol.DIP, "dip"),
    KeyEntry(Symbol.STAIN, "stain", Hatch.STAIN),
    KeyEntry(Symbol.PONDING, "ponding", Hatch.PONDING),
    KeyEntry(Symbol.SPOT, "test spot"),
    KeyEntry(Symbol.PHOTO, "photo, way it looks"),
)
_OF_SYMBOL = {entry.symbol: entry for entry in KEY}
_SIGN_MM = 7.0


def hatch_of(symbol: Symbol) -> Hatch | None:
    """Hatch of an area with that sign; None where the outline alone is drawn."""
    entry = _OF_SYMBOL.get(symbol)
    return entry.hatch if entry else None


def numbered(at: Point, number: int, *, bold: bool = False) -> tuple[Item, ...]:
    """A known defect: its number in a ring."""
    text = str(number)
    radius = 2.4 if len(text) < 3 else 3.1
    foot = (at[0], at[1] + 0.36 * SMALLEST_PT * 0.353)
    return (
        Circle(at, radius, fill=None),
        Text(foot, text, SMALLEST_PT, Anchor.MIDDLE, bold),
    )


def key_items(x_mm: float, y_mm: float, width_mm: float) -> tuple[tuple[Item, ...], float]:
    """The whole key with its upper left corner there; answers the items and their height."""
    step = line_height_mm() + 0.9
    widest = max(text_width_mm(word) for word in (*(entry.word for entry in KEY), _KNOWN, _UNSEEN))
    columns = max(1, int(width_mm // (_SIGN_MM + widest + 3)))
    signs = [(_sign(entry), entry.word) for entry in KEY]
    signs += [(_known_sign, _KNOWN), (_unseen_sign, _UNSEEN)]
    rows = -(-len(signs) // columns)
    items: list[Item] = []
    for nth, (sign, word) in enumerate(signs):
        column, row = divmod(nth, rows)
        left = x_mm + column * width_mm / columns
        foot = y_mm + (row + 1) * step - 1.2
        items.extend(sign((left + _SIGN_MM / 2, foot - 1.1)))
        items.append(Text((left + _SIGN_MM + 1.2, foot), word))
    return (tuple(items), rows * step)


def key_drawing(width_mm: float) -> Drawing:
    """The key alone, as wide as asked and as high as it needs."""
    items, height = key_items(0.0, 0.0, width_mm)
    words = ", ".join(entry.word for entry in KEY)
    return Drawing(width_mm, height + 1.0, items, "Drawing key", f"Signs for {words}.")


_KNOWN = "known defect"
_UNSEEN = "not seen: say why"


def _sign(entry: KeyEntry):  # type: ignore[no-untyped-def]  # a sign drawn at a point
    def draw(at: Point) -> tuple[Item, ...]:
        if entry.symbol == Symbol.PHOTO:
            foot = (at[0] - 3.0, at[1] + 1.1)
            return (Text(foot, "n"), Mark((at[0] + 1.8, at[1]), Symbol.PHOTO, 3.6, turn_deg=90))
        return (Mark(at, entry.symbol, 3.4),)

    return draw


def _known_sign(at: Point) -> tuple[Item, ...]:
    foot = (at[0], at[1] + 1.1)
    return (Circle(at, 2.1), Text(foot, "n", SMALLEST_PT, Anchor.MIDDLE))


def _unseen_sign(at: Point) -> tuple[Item, ...]:
    box = (
        (at[0] - 2.8, at[1] - 1.6),
        (at[0] + 2.8, at[1] - 1.6),
        (at[0] + 2.8, at[1] + 1.6),
        (at[0] - 2.8, at[1] + 1.6),
    )
    return (Area(box), hatched(box, Hatch.NOT_SEEN))
