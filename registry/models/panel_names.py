"""Rows and panels as people write them, "A-C, D3-D8; C4", read into names of a plan."""

from collections.abc import Iterable

from registry.faults import DomainError
from registry.models.panel import plan_order


class NoSuchRow(DomainError):
    """Words that name no row or panel of the plan."""


def read_names(text: str, names: Iterable[str]) -> list[str]:
    """Return the names of panels meant by a text, in the order of the plan.

    A letter is a whole row; a span of letters several; a span of panels those between in the
    order of the plan. Raises NoSuchRow for what names none.
    """
    rows = sorted(set(names), key=plan_order)
    found: set[str] = set()
    for part in filter(None, (part.strip() for part in text.replace(";", ",").split(","))):
        words = part.casefold().removeprefix("rows").removeprefix("row").strip()
        first, _, last = (piece.strip() for piece in words.replace("–", "-").partition("-"))
        meant = _between(first, last or first, rows)
        if not meant:
            raise NoSuchRow(f"“{part}” names no row or panel of this plan.")
        found |= set(meant)
    return [name for name in rows if name in found]


def _between(first: str, last: str, rows: list[str]) -> list[str]:
    if first.isalpha() and last.isalpha():
        low, high = (len(first), first), (len(last), last)
        return [name for name in rows if low <= _letters(name) <= high]
    folded = [name.casefold() for name in rows]
    if first not in folded or last not in folded:
        return []
    return rows[folded.index(first) : folded.index(last) + 1]


def _letters(name: str) -> tuple[int, str]:
    letters = "".join(sign for sign in name.casefold() if sign.isalpha())
    return len(letters), letters
