"""Copy in cover walk cards that came back: strips, walks, what lay bare, by the usual actions."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypedDict

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.copy_load_sheet import WhoCopied, held_as_double
from registry.actions.copy_sheet import storable
from registry.actions.correct_entry import correct_entry
from registry.actions.write_journal import write_line
from registry.models import (
    Cover,
    CoverBreak,
    CoverWalk,
    EarlyLoad,
    Organisation,
    Person,
    PlacingDay,
    PrintedSheet,
    SheetCopy,
    Uncover,
)
from registry.models.choices import Source
from registry.models.entry import Change, Entry

MADE = (Cover, CoverWalk, CoverBreak, Uncover, EarlyLoad)


class Author(TypedDict):
    """Who writes, and for whom."""

    by: Person | None
    organisation: Organisation | None


@dataclass(frozen=True)
class CardRead:
    """What the cards say, read.

    entries      unsaved rows in the order of the card
    corrections  (strip on the record, what the pen says of it)
    released     the day of release, where it is another than on the record
    """

    entries: Sequence[Entry]
    corrections: Sequence[tuple[Cover, Mapping[str, Change]]] = ()
    released: Mapping[str, Change] = field(default_factory=dict)


@transaction.atomic
def copy_cover_card(
    sheet: PrintedSheet,
    *,
    day: PlacingDay,
    card: CardRead,
    typed: Mapping[str, str],
    by: Person | None,
    organisation: Organisation | None,
) -> SheetCopy:
    """Store the first copy with its entries; hold a later one as a double.

    Whatever the entries' own actions refuse is raised, and nothing is stored.
    """
    who = WhoCopied(storable(typed), by, organisation)
    double = held_as_double(sheet, who, _still_stands)
    if double is not None:
        return double
    given: Author = {"by": by, "organisation": organisation}
    for row in card.entries:
        row.placing_day = day  # type: ignore[attr-defined]
        row.source, row.sheet_number = Source.PAPER, sheet.number
        add_entry(row, **given)
    why = f"copied in from {sheet.number}"
    for cover, changes in card.corrections:
        correct_entry(cover, changes=changes, why=why, **given)
    if card.released:
        correct_entry(day, changes=card.released, why=why, **given)
    write_line(day, "copied in", why=f"from {sheet.number}", **given)
    return SheetCopy.objects.create(
        sheet=sheet, placing_day=day, typed=who.typed, copied_by=by, copied_for=organisation
    )


@transaction.atomic
def hold_card_double(
    sheet: PrintedSheet,
    *,
    typed: Mapping[str, str],
    by: Person | None,
    organisation: Organisation | None,
) -> SheetCopy | None:
    """Hold a second copy as typed, readable or not; None where there is no first to compare."""
    return held_as_double(sheet, WhoCopied(storable(typed), by, organisation), _still_stands)


def _still_stands(sheet: PrintedSheet, day: PlacingDay) -> bool:
    """Say whether something that the first copy made is not void, or it made no rows at all."""
    made = [
        row.is_void
        for table in MADE
        for row in table.objects.filter(placing_day=day, sheet_number=sheet.number)
    ]
    return not made or not all(made)
