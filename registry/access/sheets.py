"""Who sees a printed sheet: whoever may see what stands on it.

A sheet of spots and places shows the plan, which every seat at its pavement reads. One with known
defects is shown to who sees each of them; a load sheet or cover walk card to who sees its placing
day; a work order's to who sees the order; a certificate's to who sees the hand-over; a dossier's
to the side it was made for. What a person printed they have on paper already. After the last
seat has ended only what was printed before is shown. Every rule is that of the kind of record.
"""

from collections.abc import Callable, Collection, Hashable, Iterable, Mapping
from typing import Any

from django.db.models import Model, Q, QuerySet
from django.http import Http404

from registry.access.callbacks import callbacks_shown, hand_overs_shown
from registry.access.holding import all_visible_pavements, may_be_seen, rights_among
from registry.access.people import organisations_of
from registry.access.placing import placing_days_shown
from registry.access.work_orders import order_of_sheet
from registry.models import (
    Callback,
    Defect,
    Dossier,
    HandOver,
    Pavement,
    Person,
    PlacingDay,
    PrintedSheet,
    SheetKind,
    WorkOrder,
)
from registry.models.choices import Role
from registry.models.rights import KEEPERS, READERS_OF_ALL, Rights
from registry.models.sight import defects_shown, orders_shown

LOOKED_THROUGH = 300
"""Newest sheets that a list looks through; older ones are found by their number."""
NOTHING, ALL = Q(pk__in=()), ~Q(pk__in=())

Shown = Callable[[Rights], Q]


def get_sheet(person: Person, number: str) -> PrintedSheet:
    """Return a printed sheet by its number; 404 where a person may not see what is on it."""
    found = seen_sheets(person, _numbered(number))
    if not found:
        raise Http404("No such sheet.")
    return found[0]


def get_sheet_and_order(person: Person, number: str) -> tuple[PrintedSheet, WorkOrder | None]:
    """Return a sheet, and the order it was printed for where a person may write what became of it.

    Who may write to an order sees it, so that it is asked for once.
    """
    sheet = _numbered(number).first()
    if sheet is None or sheet.pavement is None:
        return get_sheet(person, number), None
    if not _is_theirs(sheet, rights_among(person, [sheet.pavement])):
        raise Http404("No such sheet.")
    order = order_of_sheet(person, sheet)
    return (sheet, order) if order is not None else (get_sheet(person, number), None)


def _numbered(number: str) -> QuerySet[PrintedSheet]:
    if "\0" in number:  # PostgreSQL takes no such text, not even to look for it
        raise Http404("No such sheet.")
    return PrintedSheet.objects.select_related("pavement__site", "crew").filter(number=number)


def visible_sheets(person: Person, numbers: Collection[str] = ()) -> list[PrintedSheet]:
    """Return the newest sheets that a person may see, or those of some numbers."""
    pavements = all_visible_pavements(person).values("pk")
    crews = Q(crew__organisation__in=organisations_of(person).values("pk"))
    rows = PrintedSheet.objects.filter(Q(pavement__in=pavements) | crews | _blank_of(person))
    rows = rows.filter(number__in=numbers) if numbers else rows
    return _seen(person, rows)


def sheets_at(person: Person, pavement: Pavement) -> list[PrintedSheet]:
    """Return the newest sheets of one pavement that a person may see."""
    return _seen(person, PrintedSheet.objects.filter(pavement=pavement))


def _seen(person: Person, rows: QuerySet[PrintedSheet]) -> list[PrintedSheet]:
    found = rows.select_related("pavement__site", "crew", "printed_by")
    return seen_sheets(person, found.order_by("-printed_at", "-pk")[:LOOKED_THROUGH])


def _blank_of(person: Person) -> Q:
    return Q(pavement__isnull=True, crew__isnull=True, printed_by=person)


def seen_sheets(person: Person, rows: Iterable[PrintedSheet]) -> list[PrintedSheet]:
    """Return those of some sheets that a person may see, by one question a kind of record."""
    sheets = list(rows)
    at = {sheet.pavement_id: sheet.pavement for sheet in sheets if sheet.pavement is not None}
    rights = rights_among(person, at.values())
    theirs = [sheet for sheet in sheets if _is_theirs(sheet, rights)]
    shown = {sheet.pk for sheet in theirs if sheet.printed_by_id == person.pk}
    for kind, of_kind in _by_kind(theirs).items():
        find = BY_KIND.get(kind)
        shown |= find(person, of_kind, rights) if find else {sheet.pk for sheet in of_kind}
    shown |= _without_pavement(person, sheets)
    return [sheet for sheet in sheets if sheet.pk in shown]


def _is_theirs(sheet: PrintedSheet, rights: Mapping[int, Rights]) -> bool:
    """Say whether a seat reads the pavement, and did so when the sheet was printed."""
    if sheet.pavement is None or not may_be_seen(sheet.pavement, rights[sheet.pavement.pk]):
        return False
    end = rights[sheet.pavement.pk].last_end
    return end is None or sheet.printed_at < end


def _without_pavement(person: Person, sheets: Iterable[PrintedSheet]) -> set[int]:
    loose = [sheet for sheet in sheets if sheet.pavement_id is None]
    own = {sheet.pk for sheet in loose if not sheet.crew_id and sheet.printed_by_id == person.pk}
    crews = {sheet.pk: sheet.crew.organisation_id for sheet in loose if sheet.crew is not None}
    if crews:
        sides = set(organisations_of(person).values_list("pk", flat=True))
        own |= {pk for pk, side in crews.items() if side in sides}
    return own


def _by_kind(sheets: Iterable[PrintedSheet]) -> dict[str, list[PrintedSheet]]:
    found: dict[str, list[PrintedSheet]] = {}
    for sheet in sheets:
        found.setdefault(sheet.kind, []).append(sheet)
    return found


def _on(sheet: PrintedSheet) -> dict[str, Any]:
    return sheet.content if isinstance(sheet.content, dict) else {}


def _rows_shown(
    rows: QuerySet[Any], at: Iterable[int | None], rights: Mapping[int, Rights], shown: Shown
) -> QuerySet[Any]:
    """Return the rows at some pavements that the rights at each of them show."""
    condition = NOTHING
    for pk in dict.fromkeys(pk for pk in at if pk is not None):
        condition |= Q(pavement=pk) & shown(rights[pk])
    return rows.filter(condition)


def _of_record(
    model: type[Model], key: str, shown: Shown, column: str = "pk"
) -> Callable[[Person, list[PrintedSheet], Mapping[int, Rights]], set[int]]:
    """Return the rule of sheets that stand for one row, named under a key of their content."""

    def find(person: Person, sheets: list[PrintedSheet], rights: Mapping[int, Rights]) -> set[int]:
        named = {sheet.pk: _on(sheet).get(key) for sheet in sheets}
        wanted = {name for name in named.values() if isinstance(name, int | str) and name != ""}
        if not wanted:
            return set()
        rows = model._default_manager.filter(**{f"{column}__in": wanted})
        at = (sheet.pavement_id for sheet in sheets)
        found = _rows_shown(rows, at, rights, shown).values_list("pavement_id", column)
        pairs: set[tuple[int, Hashable]] = set(found)
        return {
            sheet.pk
            for sheet in sheets
            if sheet.pavement_id is not None and (sheet.pavement_id, named[sheet.pk]) in pairs
        }

    return find


def _inspections(
    person: Person, sheets: list[PrintedSheet], rights: Mapping[int, Rights]
) -> set[int]:
    """Return the inspection sheets of which every known defect is shown."""
    known = {sheet.pk: {row[-1] for row in _on(sheet).get("known") or ()} for sheet in sheets}
    named = set().union(*known.values())
    seen: set[int] = set()
    if named:
        rows = Defect.objects.filter(pk__in=named)
        at = (sheet.pavement_id for sheet in sheets if known[sheet.pk])
        seen = set(_rows_shown(rows, at, rights, _defects_to_walk).values_list("pk", flat=True))
    return {sheet.pk for sheet in sheets if known[sheet.pk] <= seen}


def _defects_to_walk(rights: Rights) -> Q:
    """Return the condition of `access.defects.rows_to_walk`: a tester walks with all of them."""
    return ALL if rights.roles & (READERS_OF_ALL | {Role.TESTER}) else defects_shown(rights)


def _orders(person: Person, sheets: list[PrintedSheet], rights: Mapping[int, Rights]) -> set[int]:
    """Return the sheets of orders that are shown, those on which no order stands, and every one
    to who reads all: an order may bear another number since.
    """
    shown, others = set(), []
    for sheet in sheets:
        reads_all = rights[sheet.pavement_id or 0].roles & READERS_OF_ALL
        if reads_all or not _on(sheet).get("order"):
            shown.add(sheet.pk)
        else:
            others.append(sheet)
    return shown | _of_record(WorkOrder, "order", orders_shown, "number")(person, others, rights)


def _dossiers(person: Person, sheets: list[PrintedSheet], rights: Mapping[int, Rights]) -> set[int]:
    """Return the sheets of dossiers made for a person's own side, of callbacks it still sees."""
    at = (sheet.pavement_id for sheet in sheets)
    callbacks = _rows_shown(Callback.objects.all(), at, rights, callbacks_shown)
    own = organisations_of(person).values("pk")
    rows = Dossier.objects.filter(
        sheet__in=[sheet.pk for sheet in sheets],
        for_organisation__in=own,
        callback__in=callbacks.values("pk"),
    )
    return {pk for pk in rows.values_list("sheet", flat=True) if pk is not None}


def _statements(
    person: Person, sheets: list[PrintedSheet], rights: Mapping[int, Rights]
) -> set[int]:
    """Return the statements: keepers, a buyer and the municipality read them; an evaluator not."""
    readers = KEEPERS | {Role.BUYER, Role.MUNICIPALITY}
    return {
        sheet.pk
        for sheet in sheets
        if (held := rights[sheet.pavement_id or 0]).roles & readers
        or (held.past_until is not None and sheet.printed_at < held.past_until)
    }


BY_KIND: dict[str, Callable[[Person, list[PrintedSheet], Mapping[int, Rights]], set[int]]] = {
    SheetKind.INSPECTION: _inspections,
    SheetKind.SWEEP: _orders,
    SheetKind.DOSSIER: _dossiers,
    SheetKind.STATEMENT: _statements,
    SheetKind.HANDOVER: _of_record(HandOver, "hand_over", hand_overs_shown),
    SheetKind.LOAD: _of_record(PlacingDay, "placing_day", placing_days_shown),
    SheetKind.COVER: _of_record(PlacingDay, "placing_day", placing_days_shown),
}
"""Rules by kind. Of an infiltration sheet there is none beyond the pavement: it shows the plan."""
