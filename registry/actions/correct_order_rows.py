"""Put right which rows an order is for and which spots are tested before and after it."""

from collections.abc import Iterable, Mapping

from django.db import transaction

from registry.actions.ask_for_work_order import CannotOrder, panels_of_order, refuse_strangers
from registry.actions.correct_entry import CannotBeCorrected
from registry.actions.write_journal import write_line
from registry.gathering.order_rows import cleanings_that_count, rows_in_words
from registry.models import (
    CleanedPanel,
    OrderedPanel,
    Organisation,
    Panel,
    Person,
    Spot,
    WorkOrder,
)
from registry.planning.order_moves import OPEN, STATES


@transaction.atomic
def correct_order_rows(
    row: WorkOrder,
    *,
    covers_all: bool,
    rows_text: str,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
    panels: Iterable[Panel] = (),
    twice: Iterable[Panel] = (),
    before_spots: Iterable[Spot] = (),
    after_spots: Iterable[Spot] = (),
    stands: Mapping[str, str] | None = None,
) -> WorkOrder:
    """Store the rows and spots of an order anew, with one line of old and new.

    stands  what the writer saw of it (`rows_in_words`); None where nobody looked
    Rows change only while the order is open; a panel that was swept on it stays. Spots change at
    any time. Raises CannotOrder or CannotBeCorrected in words.
    """
    if not why.strip():
        raise CannotBeCorrected("Say why the rows are corrected.")
    locked = WorkOrder.objects.select_for_update().get(pk=row.pk)
    if locked.is_void:
        raise CannotBeCorrected("This order is void; a void order is not corrected.")
    before = rows_in_words(locked)
    if stands is not None and dict(stands) != before:
        raise CannotBeCorrected("Somebody else changed the rows meanwhile. Look at them again.")
    spots = [list(before_spots), list(after_spots)]
    was_all = locked.covers_all
    locked.covers_all, locked.rows_text = covers_all, rows_text.strip()
    named = panels_of_order(locked, list(panels), list(twice))
    refuse_strangers(locked, [*named, *spots[0], *spots[1]])
    _store(locked, named, spots)
    after = rows_in_words(locked)
    changes = {name: [before[name], after[name]] for name in after if before[name] != after[name]}
    if not changes:
        raise CannotBeCorrected("Nothing was changed.")
    if {"where", "twice"} & set(changes):
        _refuse_loss(locked, set(named), was_all=was_all)
    write_line(locked, "corrected", by=by, organisation=organisation, why=why, changes=changes)
    row.refresh_from_db()
    return locked


def _store(row: WorkOrder, named: Mapping[Panel, bool], spots: list[list[Spot]]) -> None:
    row.full_clean(validate_unique=False, exclude={"do_not", "number"})
    row.save(update_fields=["covers_all", "rows_text"])
    row.panels.all().delete()
    OrderedPanel.objects.bulk_create(
        OrderedPanel(order=row, panel=panel, is_twice=is_twice) for panel, is_twice in named.items()
    )
    row.before_spots.set(spots[0])
    row.after_spots.set(spots[1])


def _refuse_loss(row: WorkOrder, named: set[Panel], *, was_all: bool) -> None:
    """Refuse rows of an order that is over, and to take away what was swept on it."""
    if row.state not in OPEN:
        raise CannotOrder(
            f"The order is “{STATES[row.state]}”: its rows stay as they were asked. "
            "Its spots may still be changed."
        )
    done = cleanings_that_count(row)
    if not done.exists():
        return
    if row.covers_all != was_all:
        raise CannotOrder("Part of it is done: add rows or take them away by their names.")
    if row.covers_all:
        return
    swept = CleanedPanel.objects.filter(cleaning__in=done, is_missed=False)
    lost = [part.panel for part in swept.select_related("panel") if part.panel not in named]
    if lost:
        names = ", ".join(sorted({panel.name for panel in lost}))
        raise CannotOrder(f"Swept on this order already, so they stay on it: {names}.")
