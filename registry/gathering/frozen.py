"""Whether a dispute freezes an entry: new lines are taken, corrections and voids are not.

Frozen is what lies under a callback in dispute: the callback with all that hangs on it, its
warranty with its holiday list, the placing record of its pavement with panels, joints and edges,
what tells of the claimed panels (shares, cores, lots, winter log, acceptance tests), and every
record attached to it with its parts: looks and well readings of a visit, photos of what they show,
marks and outlines on a photo. A callback that was moved back out of its dispute, or on which a
court ruled, freezes on: only a settlement that both sides signed ends that. The lines of a
settlement are no record under the dispute: they are put right until one side signs them, and are
closed then. (House rule from the terms of the trade: at a dispute the record under it is frozen;
common practice, no source.)
"""

from collections.abc import Collection, Iterable, Iterator

from django.db.models import Q

from registry.models import (
    AgreedDate,
    Callback,
    CallbackAttachment,
    CallbackMove,
    Cleaning,
    Core,
    Defect,
    Edge,
    HandOver,
    HolidayList,
    ImportBatch,
    InfiltrationTest,
    Joint,
    Load,
    Lot,
    Observation,
    Panel,
    Photo,
    PhotoExtent,
    PhotoMarks,
    PlacingDay,
    RaveledShare,
    Repair,
    SettlementLine,
    Visit,
    Warranty,
    WellReading,
    WinterEntry,
)
from registry.models.callback import CallbackQuerySet
from registry.models.entry import Entry
from registry.placing.claim_moves import IN_DISPUTE, is_frozen

OF_THE_PAVEMENT = (
    PlacingDay, Lot, Core, RaveledShare, WinterEntry, Repair, HandOver, Panel, Joint,
)  # fmt: skip
BY_ATTACHMENT = (InfiltrationTest, Visit, Defect, Cleaning, WinterEntry, Photo, Core)

SIGNED = frozenset({"giver", "taker", "in_effect"})
WHY_SIGNED = "This certificate is signed and closed. Draw up another one that says what is right."
WHY_SETTLEMENT_SIGNED = (
    "This line belongs to a settlement that is signed: it is closed. To change it, move the "
    "callback back into the dispute, because it is wrong; then both sides sign it anew."
)
WHY_DATE_SIGNED = (
    "Both sides signed this date: neither changes it alone. Add another date for the step, which "
    "counts once the other side confirms it."
)
MOVED_BACK = "moved back out of a dispute that nothing settled"
RULED = "ruled by a court and not settled by both sides"
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


def why_signed(row: Entry) -> str:
    """Return why an entry that somebody signed is closed; empty where it is not.

    Such are certificates, the lines of a settlement, and dates that the other side confirmed.
    """
    if isinstance(row, AgreedDate):
        confirmed = AgreedDate.objects.confirmed().filter(pk=row.pk).exists()
        return WHY_DATE_SIGNED if confirmed else ""
    if isinstance(row, HandOver):
        closed = HandOver.objects.filter(pk=row.pk, state__in=SIGNED).exists()
        return WHY_SIGNED if closed else ""
    if not isinstance(row, SettlementLine):
        return ""
    return WHY_SETTLEMENT_SIGNED if row.callback.has_signed_settlement() else ""


def why_frozen(callback: Callback) -> str:
    """Return the refusal of a correction, in words."""
    what = "is in dispute" if callback.state in IN_DISPUTE else f"was {_after(callback)}"
    return (
        f"This entry lies under {callback}, which {what}: the record is frozen. Add a new "
        "line that says what is right; nothing that is there is changed."
    )


def said_of_freeze(callback: Callback, moves: Iterable[CallbackMove]) -> str:
    """Return what a callback's page says of its freeze, empty where nothing is frozen.

    moves  all of the callback, oldest first
    """
    if not is_frozen(callback.state, [(one.to_state, one.is_back) for one in moves]):
        return ""
    what = "In dispute" if callback.state in IN_DISPUTE else _after(callback).capitalize()
    return f"{what}: the record under it is frozen. New lines are taken, corrections are not."


def _after(callback: Callback) -> str:
    """Return in words how a callback that is in dispute no longer left it without a settlement."""
    last = callback.moves.filter(Q(to_state="ruled") | Q(is_back=True)).order_by("at", "pk").last()
    return MOVED_BACK if last is None or last.is_back else RULED


def _above(row: Entry, rows: CallbackQuerySet) -> Callback | None:
    """Look from the entry upward: callback, warranty, load, placing day, pavement."""
    above = getattr(row, "callback", None)
    if isinstance(row, SettlementLine):
        return None
    if isinstance(above, Callback) and not isinstance(row, OF_THE_PAVEMENT):
        return rows.filter(pk=above.pk).first()
    warranty = row if isinstance(row, Warranty) else getattr(row, "warranty", None)
    if isinstance(warranty, Warranty):
        return rows.filter(warranty=warranty).first()
    if isinstance(row, HolidayList):
        return rows.filter(warranty__holiday_list=row).first()
    if isinstance(row, Edge):
        row = row.panel
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
    carriers = [one for one in _part_of(row) if isinstance(one, BY_ATTACHMENT)]
    if not carriers:
        return None
    named = Q()
    for one in carriers:
        name = type(one)._meta.model_name or ""
        named |= Q(**{COLUMNS.get(name, name): one})
    attached = CallbackAttachment.objects.standing().filter(named)
    return rows.filter(pk__in=attached.values("callback")).first()


def _part_of(row: Entry | None) -> Iterator[Entry]:
    """Yield an entry and all that it is a part of or shows, any of which may be attached."""
    if row is None:
        return
    yield row
    if isinstance(row, Observation | WellReading) and row.visit is not None:
        yield row.visit
    if isinstance(row, Observation):
        yield row.defect
    if isinstance(row, PhotoMarks | PhotoExtent):
        yield from _part_of(row.photo)
    if isinstance(row, PhotoExtent):
        yield from _part_of(row.observation)
    if isinstance(row, Photo):
        for one in (row.defect, row.visit, row.infiltration_test, row.observation):
            yield from _part_of(one)
