"""The form of a work order: what is asked for, and its corrections."""

from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from registry.forms.entry import Groups
from registry.forms.hours import ListsForm
from registry.forms.quantity import ClockField, DayField, join_clock
from registry.forms.work_order_rows import ReadRows, RowsFields
from registry.models import WorkOrder
from registry.models.entry import Change
from registry.models.work_order import DO_NOT
from registry.units import Kind

PRICE = ("price_agreed", "price_basis")
ROWS = ("covers_all", "rows_text")
"""Corrected with the panels and spots, see `work_order_rows`."""
COLUMNS: tuple[str, ...] = (
    "method", "reason", "because", "covers_all", "rows_text", "area_m2", "passes", "pattern",
    "must_be_dry", "lowest_c", "do_not", "earliest_on", "earliest_why", "latest_on", "latest_why",
    "sweeper", "contact", "cars_out_by", "people_needed", "licence_needed", "efficiency",
    "edges_h", "set_up_h", "dump_and_water_h", "dump_place", "water_point",
    "after_test_due_on", *PRICE, "asked_by", "asked_on", "number", "submitted_on", "note",
)  # fmt: skip


def do_not_in_words(codes: Any) -> str:
    """Return what an order forbids as a line tells of it."""
    return ", ".join(DO_NOT[code] for code in codes or ())


class WorkOrderCorrectForm(ListsForm):
    """What a stored order says, to be put right; its rows and spots are not."""

    parent_name = "pavement"
    quantities = {"area_m2": Kind.AREA, "lowest_c": Kind.TEMPERATURE}
    ranges = {"efficiency": (0, 1), "passes": (1, 20), "people_needed": (1, 50)}
    plain = frozenset({"note", "because", "rows_text", "asked_by", "number", "price_basis"})
    said = {"do_not": do_not_in_words}
    groups: Groups = (
        ("What", ("method", "reason", "because")),
        ("Where", ("area_m2",)),
        ("How", ("passes", "pattern", "must_be_dry", "lowest_c", "do_not")),
        ("By when", ("earliest_on", "earliest_why", "latest_on", "latest_why")),
        (
            "At the site",
            ("contact", "cars_out_by", "notice_day", "notice_clock", "people_needed"),
        ),
        ("By whom, to where", ("sweeper", "licence_needed", "dump_place", "water_point")),
        ("Hours on site", ("efficiency", "edges_h", "set_up_h", "dump_and_water_h")),
        ("Did it work", ("after_test_due_on",)),
        ("Who asks", ("asked_by", "asked_on", "number", "submitted_on")),
    )
    do_not = forms.MultipleChoiceField(
        label="do not",
        choices=list(DO_NOT.items()),
        required=False,
        initial=list(DO_NOT),
        widget=forms.CheckboxSelectMultiple,
    )
    notice_day = DayField(label="notice posted, day", required=False)
    notice_clock = ClockField(label="notice posted, clock at the site")

    class Meta:
        model = WorkOrder
        fields = COLUMNS
        help_texts = {
            "number": "left blank, the next number of the year is given",
            "covers_all": "untick it, then tap the rows or write them",
            "rows_text": "A-C, D3-D8; or in words where no panels are drawn",
        }

    def __init__(
        self,
        *args: Any,
        sweepers: QuerySet,
        dump_places: QuerySet,
        water_points: QuerySet,
        shows_price: bool = True,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        for name, rows, empty in (
            ("sweeper", sweepers, "not chosen yet"),
            ("dump_place", dump_places, "not chosen yet"),
            ("water_point", water_points, "none needed, or not chosen yet"),
        ):
            self.fields[name].queryset = rows
            self.fields[name].empty_label = empty
        self.fields["number"].required = self.is_correction
        self.notice_then = self.instance.notice_posted_at
        if self.notice_then is not None:
            at = self.notice_then.astimezone(ZoneInfo(self.parent.site.time_zone))
            shown = {"notice_day": at.date(), "notice_clock": f"{at:%H:%M}"}
            self.initial = {**self.initial, **shown}
        left_out = (*(() if shows_price else PRICE), *(ROWS if self.is_correction else ()))
        for name in left_out:
            del self.fields[name]
        self.columns = [name for name in self.columns if name not in left_out]
        if shows_price:
            self.groups = (*self.groups, ("Price", PRICE))

    def clean(self) -> dict[str, Any]:
        """Join the notice's clock to its day; refuse days in the wrong order."""
        cleaned = super().clean()
        first, last = cleaned.get("earliest_on"), cleaned.get("latest_on")
        if first and last and last < first:
            self.add_error("latest_on", "The latest day is the earliest, or after it.")
        self._take_notice(cleaned.get("notice_day"), cleaned.get("notice_clock"))
        return cleaned

    def _take_notice(self, day: Any, clock: Any) -> None:
        if bool(day) != bool(clock):
            missing = "notice_clock" if day else "notice_day"
            self.add_error(missing, "A notice has a day and a clock: its hours count from there.")
        elif day:
            try:
                at = join_clock(day, clock, self.parent.site.time_zone)
                self.instance.notice_posted_at = at
                self.texts["notice_posted_at"] = f"{day.isoformat()} {clock}"
            except ValidationError as fault:
                self.add_error("notice_clock", fault)
        else:
            self.instance.notice_posted_at = None

    def changes(self) -> dict[str, Change]:
        """Return the corrections of a valid form, the notice among them."""
        found = super().changes()
        new = self.instance.notice_posted_at
        if new != self.notice_then:
            text = self.texts.get("notice_posted_at", "")
            found["notice_posted_at"] = Change(new, text, seen=self.notice_then, is_seen_known=True)
        return found


class WorkOrderForm(RowsFields, WorkOrderCorrectForm):
    """A new order: rows tapped or typed, spots before and after."""

    def __init__(
        self,
        *args: Any,
        there: QuerySet,
        spots: QuerySet,
        read_rows: ReadRows,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.offer_rows(there, spots, read_rows)
        rows: dict[str, tuple[str, ...]] = {
            "Where": ("covers_all", "panels", "twice", "rows_text", "area_m2"),
            "Did it work": ("before_spots", "after_spots", "after_test_due_on"),
        }
        self.fields["submitted_on"].required = False
        if not self.has_panels:
            del rows["Where"]
        self.groups = tuple((legend, rows.get(legend, names)) for legend, names in self.groups)

    def clean(self) -> dict[str, Any]:
        """Read rows as typed into panels, where panels are drawn."""
        cleaned = super().clean()
        self.check_rows(cleaned)
        return cleaned
