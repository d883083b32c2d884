"""Whether a dispute freezes an entry: new lines are taken, corrections and voids are not.

Frozen is what lies under a callback in dispute: the callback with all that hangs on it, its
warranty, the placing record of its pavement, what tells of the claimed panels (shares, cores, lots,
winter log, acceptance tests), and every record attached to it. (House rule from the terms of the
trade: at a dispute the record under it is frozen; common practice, no source.)
"""

from collections.abc import Collection, Iterator

from django.db.models import Q

from registry.models import (
    Callback,
    CallbackAttachment,
    Cleaning,
    Core,
    Defect,
    HandOver,
    ImportBatch,
    InfiltrationTest,
    Load,
    Lot,
    Observation,
    Photo,
    PlacingDay,
    RaveledShare,
    Repair,
    Visit,
    Warranty,
    WinterEntry,
)
from registry.models.callback import CallbackQuerySet
from registry.models.callback_attachment import ATTACHED
from registry.models.entry import Entry

OF_THE_PAVEMENT = (PlacingDay, Lot, Core, RaveledShare, WinterEntry, Repair, HandOver)
BY_ATTACHMENT = (InfiltrationTest, Visit, Defect, Cleaning, WinterEntry, Photo, Core)

SIGNED = frozenset({"giver", "taker", "in_effect"})
WHY_SIGNED = "This certificate is signed and closed. Draw up another one that says what is right."
COLUMNS = {"infiltrationtest": "infiltration_test", "winterentry": "winter_entry"}
"""Columns of CallbackAttachment that are not called as their tables are."""


def frozen_under(row: Entry) -> Callback | None:
    """Return the callback in dispute under which an entry lies, None where it is free."""
    rows = Callback.objects.in_dispute().order_by("pk")
    if isinstance(row, Callback):
        return rows.filter(pk=row.pk).first()
    found = _above(row, rows)
    return found if found is not None else _attached(row, rows)


def frozen_of_batch(batch: ImportBatch, pavements: Collection[int]) -> Iterator[str]:
    """Yield in words what a spreadsheet brought to some pavements and a dispute there freezes."""
    disputed = Callback.objects.in_dispute().filter(pavement__in=pavements).values("pavement")
    for model in (InfiltrationTest, Visit, Defect, Cleaning):
        mine = model._default_manager.filter(import_batch=batch, void_at__isnull=True)
        for row in mine.filter(pavement__in=disputed):
            if (dispute := frozen_under(row)) is not None:
                yield f"{model._meta.verbose_name} {row}, frozen while {dispute} is in dispute"


def is_signed(row: Entry) -> bool:
    """Say whether an entry is a certificate that somebody signed: it is closed."""
    if not isinstance(row, HandOver):
        return False
    return HandOver.objects.filter(pk=row.pk, state__in=SIGNED).exists()


def why_frozen(callback: Callback) -> str:
    """Return the refusal of a correction, in words."""
    return (
        f"This entry lies under {callback}, which is in dispute: the record is frozen. Add a new "
        "line that says what is right; nothing that is there is changed."
    )


def _above(row: Entry, rows: CallbackQuerySet) -> Callback | None:
    """Look from the entry upward: callback, warranty, load, placing day, pavement."""
    above = getattr(row, "callback", None)
    if isinstance(above, Callback) and not isinstance(row, OF_THE_PAVEMENT):
        return rows.filter(pk=above.pk).first()
    warranty = row if isinstance(row, Warranty) else getattr(row, "warranty", None)
    if isinstance(warranty, Warranty):
        return rows.filter(warranty=warranty).first()
    day = _day_of(row)
    if day is not None:
        return rows.filter(pavement=day.pavement_id).first()
    if isinstance(row, OF_THE_PAVEMENT):
        return rows.filter(pavement=row.pavement_id).first()
    if isinstance(row, InfiltrationTest) and row.reason == "acceptance":
        return rows.filter(pavement=row.pavement_id).first()
    return None


def _day_of(row: Entry) -> PlacingDay | None:
    if isinstance(row, PlacingDay):
        return row
    load = getattr(row, "load", None)
    if isinstance(load, Load):
        return load.placing_day
    day = getattr(row, "placing_day", None)
    return day if isinstance(day, PlacingDay) else None


def _attached(row: Entry, rows: CallbackQuerySet) -> Callback | None:
    defect = row.defect if isinstance(row, Observation) else row
    name = type(defect)._meta.model_name or ""
    column = {"infiltrationtest": "infiltration_test", "winterentry": "winter_entry"}.get(
        name, name
    )
    if not isinstance(defect, BY_ATTACHMENT) or column not in ATTACHED:
        return None
    attached = CallbackAttachment.objects.standing().filter(Q(**{column: defect}))
    return rows.filter(pk__in=attached.values("callback")).first()
