"""Narrowing of the list of what is due. What cannot be read is named beside its field."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

import django_filters
from django import forms
from django.db.models import Case, Exists, F, OuterRef, Q, When

from registry.models import LATEST_BY, CleaningMethod, Seat
from registry.models.choices import Role
from registry.models.due import DueQuerySet

WITHIN = (
    ("late", "already past"),
    ("30", "30 days"),
    ("60", "60 days"),
    ("90", "90 days"),
    ("365", "a year"),
    ("none", "no latest day"),
)
SORTS: dict[str, str] = {
    "latest": "latest day",
    "rank": "need, what to sweep first",
    "earliest": "earliest sensible day",
    "gain": "expected gain, largest first",
    "pavement": "pavement",
}
ORDERS: dict[str, tuple[Any, ...]] = {
    # As `planning.sweep_order` puts them, but for travel; what is not known stands behind.
    "rank": (
        F("missed_window").desc(),
        Case(When(is_below=True, then=0), When(is_below__isnull=True, then=1), default=2),
        Case(When(months_left__isnull=False, then=0), When(is_level_far=True, then=1), default=2),
        F("months_left").asc(nulls_last=True),
        F("reserve").asc(nulls_last=True),
        F("run_on_m2").desc(nulls_last=True),
        "pk",
    ),
    "latest": (F("latest_on").asc(nulls_last=True), "pk"),
    "earliest": (F("earliest_on").asc(nulls_last=True), "pk"),
    "gain": (F("gain_median").desc(nulls_last=True), "pk"),
    "pavement": ("pavement__name", "pk"),
}
UNDECIDED = (("method", "the method"), ("day", "the latest day"), ("gain", "the gain"))


class DueFilters(django_filters.FilterSet):
    """Filters of the list of what is due."""

    pavement = django_filters.CharFilter(label="pavement", lookup_expr="name__icontains")
    site = django_filters.CharFilter(
        label="site", field_name="pavement__site", lookup_expr="name__icontains"
    )
    owner = django_filters.CharFilter(label="owner", method="keep_owner")
    within = django_filters.ChoiceFilter(
        label="latest day within", choices=WITHIN, empty_label="all", method="keep_within"
    )
    by = django_filters.ChoiceFilter(
        label="latest day by", field_name="latest_by", choices=list(LATEST_BY.items()),
        empty_label="all",
    )  # fmt: skip
    method = django_filters.MultipleChoiceFilter(
        label="proposed", choices=CleaningMethod.choices,
        widget=forms.CheckboxSelectMultiple, distinct=False,
    )  # fmt: skip
    undecided = django_filters.ChoiceFilter(
        label="not decided", choices=UNDECIDED, empty_label="all", method="keep_undecided"
    )
    no_longer = django_filters.BooleanFilter(
        label="sweeping is no longer enough", method="keep_no_longer", widget=forms.CheckboxInput
    )
    permit = django_filters.BooleanFilter(
        label="permit minimum of this year not reached yet", method="keep_short",
        widget=forms.CheckboxInput,
    )  # fmt: skip
    sort = django_filters.ChoiceFilter(
        label="in order of", choices=tuple(SORTS.items()), empty_label=None, method="leave"
    )

    def __init__(self, data: Mapping[str, Any], queryset: DueQuerySet, *, at: datetime) -> None:
        super().__init__(data, queryset)
        self.at = at

    @property
    def asked(self) -> dict[str, Any]:
        """Return what was read of the form; what could not be read asks nothing."""
        return self.form.cleaned_data if self.form.is_valid() else {}

    @property
    def narrowed_by(self) -> list[str]:
        """Return what the rows were narrowed by, in words."""
        return [
            str(field.label)
            for name, field in self.form.fields.items()
            if name != "sort" and name not in self.form.errors and self.asked.get(name)
        ]

    @property
    def is_ranked(self) -> bool:
        """Say whether the rows stand in the order of sweeping."""
        return bool(self.asked.get("sort") == "rank")

    @property
    def ordered(self) -> DueQuerySet:
        """Return the rows that are left, in the order asked for: by latest day unless told."""
        rows: DueQuerySet = self.qs
        return rows.order_by(*ORDERS[self.asked.get("sort") or "latest"])

    def leave(self, rows: DueQuerySet, name: str, value: object) -> DueQuerySet:
        """Leave the rows: `ordered` puts them in order."""
        return rows

    def keep_owner(self, rows: DueQuerySet, name: str, value: str) -> DueQuerySet:
        """Keep pavements whose owner of today has the text in its name."""
        held = Seat.objects.held_at(self.at).filter(
            role=Role.OWNER, organisation__name__icontains=value
        )
        return rows.filter(Exists(held.filter(pavement=OuterRef("pavement"))))

    def keep_within(self, rows: DueQuerySet, name: str, value: str) -> DueQuerySet:
        """Keep those whose latest day is past, comes within so many days, or is none."""
        today = self.at.date()
        if value == "none":
            return rows.filter(latest_on=None)
        if value == "late":
            return rows.filter(latest_on__lt=today)
        return rows.filter(latest_on__lte=today + timedelta(days=int(value)))

    def keep_undecided(self, rows: DueQuerySet, name: str, value: str) -> DueQuerySet:
        """Keep those of which something is not decided."""
        missing = {
            "method": Q(method=""),
            "day": Q(latest_on=None),
            "gain": Q(gain_median=None),
        }
        return rows.filter(missing[value])

    def keep_no_longer(self, rows: DueQuerySet, name: str, value: bool) -> DueQuerySet:
        """Keep those at which sweeping is no longer enough."""
        return rows.filter(no_longer_enough=True) if value else rows

    def keep_short(self, rows: DueQuerySet, name: str, value: bool) -> DueQuerySet:
        """Keep those that were cleaned less often this permit year than the permit asks."""
        return rows.filter(is_permit_short=True) if value else rows
