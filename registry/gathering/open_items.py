"""Rows of a pavement -> what is open at a sale: each is taken over or ended by name."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from registry.models import DirtSource, InfiltrationTest, Pavement


@dataclass(frozen=True)
class OpenItem:
    """One open thing. `ending` says in words what ending it means, and is empty where it cannot
    be ended but only taken over."""

    key: str
    what: str
    ending: str
    row: InfiltrationTest | DirtSource


def open_items(pavement: Pavement) -> tuple[OpenItem, ...]:
    """Return planned infiltration tests, unanswered doubts and sources of dirt (three queries)."""
    tests = InfiltrationTest.objects.filter(pavement=pavement).standing().select_related("spot")
    return (
        *_planned(tests.filter(state="planned").in_order()),
        *_doubts(tests.filter(state="done", has_open_doubts=True).in_order()),
        *_dirt(DirtSource.objects.filter(pavement=pavement).open()),
    )


def tests_of(items: Iterable[OpenItem]) -> set[int]:
    """Return the ids of the infiltration tests among open items."""
    return {item.row.pk for item in items if isinstance(item.row, InfiltrationTest)}


def _planned(rows: Iterable[InfiltrationTest]) -> Iterator[OpenItem]:
    for row in rows:
        what = f"Infiltration test planned at {row.spot} on {row.started_on}"
        yield OpenItem(f"planned-{row.pk}", what, "called off", row)


def _doubts(rows: Iterable[InfiltrationTest]) -> Iterator[OpenItem]:
    """A doubt ends by an answer alone: a sale answers nothing."""
    for row in rows:
        for doubt in row.doubts:
            if doubt["code"] not in row.answers:
                what = f"Doubt about infiltration test {row}: {doubt['message']}"
                yield OpenItem(f"doubt-{row.pk}-{doubt['code']}", what, "", row)


def _dirt(rows: Iterable[DirtSource]) -> Iterator[OpenItem]:
    for row in rows:
        what = f"Source of dirt: {row}{f', {row.detail}' if row.detail else ''}"
        yield OpenItem(f"dirt-{row.pk}", what, "stopped, it brings no dirt any more", row)
