"""The forms of one sheet copied in, in the sheet's order, and what they say together."""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.http import QueryDict

from registry.actions.copy_sheet import NewOnSheet, SheetRead
from registry.actions.note_defect import SAME
from registry.defects import KINDS, offers
from registry.faults import DomainError
from registry.forms.defect import SameForm
from registry.forms.sheet_copy import (
    MOST_ROWS,
    NEW_ROWS,
    CopiedRowForm,
    NewRowForm,
    SheetHeadForm,
    WellRowForm,
    system_typed,
    typed_of,
)
from registry.gathering.defect_place import sighted
from registry.gathering.known_defects import Known, Seen, known_on
from registry.gathering.layouts import FoundLayout, find_layout
from registry.gathering.sheet_places import read_sheet_place
from registry.gathering.visit_panels import panels_of_sheet, panels_on, plan_in_force
from registry.models import Defect, Panel, Pavement, PrintedSheet
from registry.numerals import whole_number
from registry.plan import Layout

NOT_ON_IT = "not on the sheet that was carried"
UNITS = {code: kind.unit for code, kind in KINDS.items()}
ASKS = {code: kind.asks for code, kind in KINDS.items()}


@dataclass
class CopiedRow:
    """A row of the KNOWN block: as printed, and the form of its right half.

    `form` is None where the defect was voided since, which `note` says.
    """

    number: int
    place: str
    kind: str
    last_seen: str
    form: CopiedRowForm | None
    note: str = ""


class Copying:
    """One copying in. `today` is the day at the site, taken where the sheet's date is not read."""

    def __init__(
        self,
        sheet: PrintedSheet,
        pavement: Pavement,
        *,
        seen: Seen,
        data: QueryDict | None,
        today: date,
        printed_on: date,
    ) -> None:
        self.printed_on = printed_on
        self.sheet, self.pavement, self.data, self.seen = sheet, pavement, data, seen
        self.system = system_typed(data, sheet.system)
        self.day = _day_in(data)
        self.panels = self._panels(self.day or today)
        self.drawn = self._drawn(self.day or today)
        self.head = SheetHeadForm(
            data, parent=pavement, system=self.system, panels=self.panels, auto_id="head_%s"
        )
        known = known_on(seen, self.day) if self.day else []
        self.known = list(self._printed_rows(known))
        self.extra = [self._extra_row(k) for k in known if k.defect.pk not in self._printed_ids()]
        self.new = [self._new_row(n) for n in range(_rows_in(data))]
        self.wells = [
            WellRowForm(data, well=well, system=self.system)
            for well in pavement.wells.standing().select_related("pavement__site")
        ]

    def _panels(self, day: date) -> list[Panel]:
        if self.sheet.plan is not None:
            return panels_of_sheet(self.sheet, day)
        return panels_on(self.pavement, day)

    def _drawn(self, day: date) -> FoundLayout:
        plan = self.sheet.plan or plan_in_force(self.pavement, day)
        if plan is None:
            return FoundLayout(None)
        return find_layout(self.pavement, plan, system=self.system)

    @property
    def layout(self) -> Layout | None:
        """Return what places of the sheet are read on."""
        return self.drawn.layout

    def _printed_rows(self, known: Sequence[Known]) -> Iterator[CopiedRow]:
        needed = {k.defect.pk for k in known}
        defects = self.pavement.defects.in_bulk(self._printed_ids())
        for number, place, kind, last_seen, *row_id in self.sheet.content.get("known", ()):
            defect = defects.get(row_id[0]) if row_id else None
            if defect is None or defect.is_void or defect.double_of_id:
                note = (
                    "Taken out of the record since: what the sheet says of it goes into the remark."
                )
                yield CopiedRow(number, place, kind, last_seen, None, note)
                continue
            is_needed = defect.pk in needed or self.day is None
            note = "" if is_needed else f"It was not open on {self.day}; it may stay blank."
            form = self._row_form(defect, is_needed=is_needed)
            yield CopiedRow(number, place, kind, last_seen, form, note)

    def _printed_ids(self) -> list[int]:
        return [row[4] for row in self.sheet.content.get("known", ()) if len(row) > 4]

    def _row_form(self, defect: Defect, *, is_needed: bool, **options: object) -> CopiedRowForm:
        kind = KINDS[defect.kind]
        return CopiedRowForm(
            self.data,
            defect=defect,
            unit=kind.unit,
            asks_lip="lip_m" in kind.asks,
            is_needed=is_needed,
            system=self.system,
            auto_id="row_%s",
            **options,
        )

    def _extra_row(self, known: Known) -> CopiedRow:
        """A defect known on that day that the sheet does not name: noted after the printing."""
        defect = known.defect
        form = self._row_form(defect, is_needed=True)
        if self.data is not None and form.add_prefix("found") not in self.data:
            given = {"found": "could_not_look", "why_not": NOT_ON_IT}
            form = self._row_form(defect, is_needed=True, initial=given)
            form.is_bound = False
        last = f"{known.last.seen_on}" if known.last else f"{defect.first_seen_on}"
        return CopiedRow(defect.number, defect.place, KINDS[defect.kind].label, last, form)

    def _new_row(self, nth: int) -> NewRowForm:
        plan = "panels"
        if self.layout is not None and not self.layout.panels:
            plan = "stations" if self.layout.baseline is not None else "squares"
        return NewRowForm(
            self.data, plan=plan, units=UNITS, asks=ASKS, system=self.system, prefix=f"n{nth}",
            auto_id="new_%s",
        )  # fmt: skip

    @property
    def known_forms(self) -> list[CopiedRowForm]:
        """Return the forms of the known defects, those the sheet does not name last."""
        return [row.form for row in (*self.known, *self.extra) if row.form is not None]

    def is_valid(self) -> bool:
        """Read everything; every wrong place is marked, none hides another."""
        unsent = [row for row in self.extra if row.form is not None and not row.form.is_bound]
        if unsent:
            numbers = ", ".join(str(row.number) for row in unsent)
            self.head.add_error(
                None,
                f"Known on that day, but not on the sheet: no. {numbers}. They stand below the "
                "printed rows; look at them and store again.",
            )
        forms = [self.head, *self.known_forms, *self.wells]
        sound = [form.is_valid() for form in forms] + [self._places_read()]
        return all(sound) and not unsent

    def _places_read(self) -> bool:
        self.found: list[NewOnSheet] = []
        sound = True
        for form in self.new:
            if form.is_blank:
                continue
            if form.is_valid() and self.day is not None:
                self._place(form, self.day)
            sound = sound and not form.errors
        return sound

    def _place(self, form: NewRowForm, day: date) -> None:
        try:
            found = read_sheet_place(
                form.place_text,
                sheet=self.sheet,
                pavement=self.pavement,
                system=self.system,
                panels=self.panels,
                on=self._day_of_plan(day),
            )
        except DomainError as fault:
            form.add_error("first", fault.message)
            return
        row = form.defect()
        row.pavement, row.place = self.pavement, found.place
        for name, value in found.fields.items():
            setattr(row, name, value)
        look = form.look(note=form.cleaned_data["note"])
        decided = self._decided(form, row)
        if decided is not None:
            relation, other = decided
            self.found.append(NewOnSheet(row, look, relation, other))

    def _decided(self, form: NewRowForm, row: Defect) -> tuple[str, Defect | None] | None:
        """What a person says the row is to a known defect; None where that is still asked."""
        known = self.seen.defects.filter(kind=row.kind).select_related("panel")
        rows = {old.pk: old for old in known if old.state != "part_of"}
        found = offers(sighted(row), [sighted(old) for old in rows.values()])
        offered = [(offer, rows[int(offer.ref)]) for offer in found]
        if not offered:
            return "", None
        name = f"{form.prefix}-same"
        form.same_form = SameForm(
            self.data if self.data and name in self.data else None,
            offered=[(old.pk, str(old), offer.relation) for offer, old in offered],
            prefix=form.prefix,
        )
        if not form.same_form.is_valid():
            form.add_error(None, "It lies where a defect is known. Say in this row what it is.")
            return None
        relation, pk = form.same_form.decided
        other = next((old for _, old in offered if old.pk == pk), None)
        if relation == SAME and other is not None and self._has_row(other):
            form.add_error(None, f"{other} has a row of its own above: write what is now there.")
            return None
        return relation, other

    def _has_row(self, defect: Defect) -> bool:
        return any(form.defect.pk == defect.pk for form in self.known_forms)

    def _day_of_plan(self, day: date) -> date:
        """The day of the visit, or of the printing where the plan was drawn anew between."""
        there = any(panel.exists_to_on is None or panel.exists_to_on > day for panel in self.panels)
        return day if there or not self.panels else self.printed_on

    def read(self) -> SheetRead:
        """Return what a valid copy says. Raises ValidationError of a clock that was not."""
        visit = self.head.visit()
        answers = [
            form.observation(seen_on=visit.done_on)
            for form in self.known_forms
            if form.cleaned_data.get("found")
        ]
        readings = [form.reading(visit) for form in self.wells if not form.is_blank]
        given = self.head.cleaned_data
        return SheetRead(
            visit=visit,
            answers=answers,
            new=self.found,
            walked=self.head.walked_panels(),
            unseen=self.head.unseen_panels(),
            panels=self.panels,
            readings=readings,
            dirt_known=given.get("known") or (),
            dirt_new=self.head.new_sources(),
            signed_by=visit.signed_by,
            ended_at=visit.ended_at,
            next_due_on=visit.next_due_on,
            why_not_entered=given.get("why_not", ""),
        )

    def typed(self) -> dict[str, str]:
        """Return what was typed, by its place on the sheet."""
        return typed_of(self.data or QueryDict(), dict(self._labels()))

    def _labels(self) -> Iterator[tuple[str, str]]:
        for legend, names in self.head.groups:
            for name in names:
                if name in self.head.fields:
                    yield _label(self.head[name], legend)
        for form in self.known_forms:
            yield from (_label(field, f"known no. {form.defect.number}") for field in form)
        for nth, row in enumerate(self.new, start=1):
            yield from (_label(field, f"new row {nth}") for field in row)
        for well in self.wells:
            yield from (_label(field, f"well {well.row_well}") for field in well)


def _label(field: BoundField, where: str) -> tuple[str, str]:
    return field.html_name, f"{where}: {field.label}"


def _day_in(data: QueryDict | None) -> date | None:
    if not data:
        return None
    day: date | None = None
    with suppress(ValidationError):  # the field itself says what is wrong with its day
        day = SheetHeadForm.base_fields["done_on"].clean(data.get("done_on"))
    return day


def _rows_in(data: QueryDict | None) -> int:
    rows = whole_number(data.get("rows", "") if data else "", most_figures=3) or NEW_ROWS
    more = NEW_ROWS if data and "more_rows" in data else 0
    return min(max(rows, NEW_ROWS) + more, MOST_ROWS)
