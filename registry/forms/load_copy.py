"""A load sheet that came back, typed in in the sheet's own order, one row a ticket."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import cast

from django import forms
from django.http import QueryDict

from registry.forms.load import LoadForm, SpreadForm
from registry.forms.sheet_copy import MOST_ROWS
from registry.models import Load, PlacingDay, Spread
from registry.models.choices import ReadingSystem
from registry.numerals import whole_number

FEWEST, MORE = 6, 6
BEFORE = (
    "number", "ticket", "batched_at", "arrived_at", "discharge_from_at", "discharge_to_at",
    "site_water_l", "site_water_by", "look", "density_kg_m3",
)  # fmt: skip
LANE = ("lane", "from_m", "to_m")
AFTER = ("cover_first_at", "cover_last_at")
OF_ALL = ("plant", "mix", "volume_m3")
"""Written once on the sheet for every load of it."""


class LoadSheetHeadForm(forms.Form):
    """What stands at the head of the sheet for all loads: units, plant, mix, what a load holds."""

    system = forms.ChoiceField(label="This sheet is in", choices=ReadingSystem.choices)
    plant = forms.CharField(label="plant", max_length=120, required=False)
    mix = forms.CharField(label="mix", max_length=120, required=False)
    volume_m3 = forms.CharField(label="each load holds", max_length=40, required=False)


@dataclass
class CopiedLoad:
    """One row: the forms of its load and of its lane."""

    nth: int
    load: LoadForm
    lane: SpreadForm

    @property
    def fields(self) -> list[forms.BoundField]:
        """Return the fields in the order of the sheet."""
        lane = [self.lane[name] for name in LANE]
        return [self.load[n] for n in BEFORE] + lane + [self.load[n] for n in AFTER]

    @property
    def typed(self) -> dict[str, str]:
        """Return what was typed by place on the sheet."""
        return typed_at(f"Row {self.nth}", self.fields)

    @property
    def has_lane(self) -> bool:
        """Say whether limits of the load were typed."""
        return any(self.lane[name].value() for name in LANE)

    @property
    def is_further_lane(self) -> bool:
        """Say whether nothing but a load number and a lane was typed."""
        others = [self.load[name].value() for name in (*BEFORE[1:], *AFTER)]
        return self.has_lane and not any(others)

    @property
    def is_wrong(self) -> bool:
        """Say whether something of it has to be put right."""
        return bool(self.load.errors or self.lane.errors)


class CopiedLoads:
    """One copying in of a load sheet for a placing day."""

    def __init__(self, day: PlacingDay, *, data: QueryDict | None, system: str) -> None:
        self.day = day
        self.head = LoadSheetHeadForm(data, initial={"system": system})
        chosen = str(self.head["system"].value())
        self.system = chosen if chosen in ReadingSystem.values else system
        self.rows = [self._row(nth, data) for nth in range(1, self._count(data) + 1)]

    def _count(self, data: QueryDict | None) -> int:
        count = whole_number(data.get("rows", "")) if data is not None else None
        more = MORE if data is not None and "more_rows" in data else 0
        return min(max(count or FEWEST, 1) + more, MOST_ROWS)

    def _row(self, nth: int, data: QueryDict | None) -> CopiedLoad:
        prefix = f"row{nth}"
        given = None
        if data is not None:
            given = data.copy()
            given[f"{prefix}-system"] = self.system
            for name in OF_ALL:
                given[f"{prefix}-{name}"] = data.get(name, "")
        load = LoadForm(given, parent=self.day, system=self.system, prefix=prefix)
        lane = SpreadForm(given, parent=load.instance, system=self.system, prefix=prefix)
        return CopiedLoad(nth, load, lane)

    @property
    def filled(self) -> list[CopiedLoad]:
        """Return the rows in which something was typed."""
        return [row for row in self.rows if row.typed]

    def is_valid(self) -> bool:
        """Read every row in which something was typed; a blank row is no load."""
        is_good = self.head.is_valid()
        if not self.filled:
            self.head.add_error(None, "Nothing was typed: there is no load on the sheet.")
            return False
        first: set[str] = set()
        for row in self.filled:
            number = str(row.load["number"].value() or "").strip()
            is_further = row.is_further_lane and number in first
            is_good &= self._is_good(row, number in first and not is_further, is_further)
            first.add(number)
        return is_good

    def _is_good(self, row: CopiedLoad, is_twice: bool, is_further: bool) -> bool:
        is_good = row.lane.is_valid() if row.has_lane else True
        if is_further:
            return is_good
        is_good &= row.load.is_valid()
        if is_twice:
            words = "This load no. stands above already. A further lane of it is typed by itself."
            row.load.add_error("number", words)
            return False
        for name in OF_ALL:
            for fault in row.load.errors.get(name, ()):
                if not self.head.errors.get(name):
                    self.head.add_error(name, str(fault))
        return is_good

    def read(self) -> list[tuple[Load, list[Spread]]]:
        """Return the loads of a valid sheet, each with its lanes."""
        found: dict[str, tuple[Load, list[Spread]]] = {}
        for row in self.filled:
            number = str(row.load["number"].value()).strip()
            if number not in found:
                found[number] = (cast(Load, row.load.entry()), [])
            if row.has_lane:
                found[number][1].append(cast(Spread, row.lane.entry()))
        return list(found.values())

    def typed(self) -> dict[str, str]:
        """Return what was typed by place on the sheet, readable or not; blanks are left out."""
        found = typed_at("Head", [self.head[name] for name in OF_ALL])
        for row in self.rows:
            found |= row.typed
        return found


def typed_at(place: str, fields: Iterable[forms.BoundField]) -> dict[str, str]:
    """Return what was typed in fields by their place on the sheet, blanks left out."""
    found = {}
    for bound in fields:
        text = str(bound.value() or "").strip()
        choices = {str(code): str(word) for code, word in getattr(bound.field, "choices", ())}
        if text:
            found[f"{place}: {bound.label}"] = choices.get(text, text)
    return found
