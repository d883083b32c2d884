"""Narrowing of the list of defects. What cannot be read is named beside its field."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

import django_filters
from django import forms
from django.db.models import Exists, OuterRef, Q, QuerySet

from registry.models import Defect, Pavement, Seat
from registry.models.choices import Role
from registry.models.defect import DefectQuerySet

SEVERITY = (("high", "high"), ("moderate", "moderate"), ("low", "low"), ("none", "not graded"))
STATES = (("open", "open"), ("closed", "closed"))
SORTS = (
    ("pavement", "pavement, then number"),
    ("seen", "last seen, longest ago first"),
    ("first", "first seen, newest first"),
    ("kind", "kind"),
)


MOST_TO_CHOOSE = 200
"""So many pavements can be chosen from a list; of more, the text finds one by its name."""


class DefectFilters(django_filters.FilterSet):
    """Filters of the list of defects. `asked` says what the looks are asked beyond the columns."""

    text = django_filters.CharFilter(label="place, number, remark, pavement", method="keep_text")
    kind = django_filters.MultipleChoiceFilter(
        label="kind", choices=Defect._meta.get_field("kind").choices,
        widget=forms.CheckboxSelectMultiple, distinct=False,
    )  # fmt: skip
    severity = django_filters.MultipleChoiceFilter(
        label="severity when last graded", choices=SEVERITY,
        widget=forms.CheckboxSelectMultiple, method="leave",
    )  # fmt: skip
    is_open = django_filters.ChoiceFilter(
        label="open or closed", choices=STATES, empty_label="both", method="keep_open"
    )
    state = django_filters.MultipleChoiceFilter(
        label="state", choices=Defect._meta.get_field("state").choices,
        widget=forms.CheckboxSelectMultiple, distinct=False,
    )  # fmt: skip
    pavement = django_filters.ModelChoiceFilter(
        label="pavement", queryset=Pavement.objects.none(), empty_label="all"
    )
    owner = django_filters.CharFilter(label="owner", method="keep_owner")
    first_seen = django_filters.NumberFilter(
        label="year first seen", field_name="first_seen_on", lookup_expr="year",
        min_value=1900, max_value=2999,
    )  # fmt: skip
    overdue = django_filters.BooleanFilter(
        label="look overdue", method="leave", widget=forms.CheckboxInput
    )
    urgent = django_filters.BooleanFilter(
        label="urgent: lip on an accessible route", method="leave", widget=forms.CheckboxInput
    )
    sort = django_filters.ChoiceFilter(
        label="in order of", choices=SORTS, empty_label=None, method="leave"
    )

    def __init__(
        self,
        data: Mapping[str, Any],
        queryset: DefectQuerySet,
        *,
        pavements: QuerySet,
        at: datetime,
    ) -> None:
        super().__init__(data, queryset)
        self.at = at
        self.filters["pavement"].queryset = pavements.order_by("name")
        if len(pavements.order_by().values_list("pk")[: MOST_TO_CHOOSE + 1]) > MOST_TO_CHOOSE:
            # Links of pavements still narrow by it; a list of 20 000 names is no choice.
            self.filters["pavement"].extra["widget"] = forms.HiddenInput

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

    def leave(self, rows: DefectQuerySet, name: str, value: object) -> DefectQuerySet:
        """Leave the rows: what is asked here is asked of the looks the person may see."""
        return rows

    def keep_text(self, rows: DefectQuerySet, name: str, value: str) -> DefectQuerySet:
        """Keep those with a text in place, panels, remark, numbers or the pavement's name."""
        if "\0" in value:
            return rows.none()
        found = Q(place__icontains=value) | Q(panels_text__icontains=value)
        found |= Q(note__icontains=value) | Q(other_number__icontains=value)
        found |= Q(pavement__name__icontains=value)
        if value.isascii() and value.isdecimal() and len(value) < 9:
            found |= Q(number=int(value))
        return rows.filter(found)

    def keep_open(self, rows: DefectQuerySet, name: str, value: str) -> DefectQuerySet:
        """Keep the open ones, or those closed."""
        return rows.open() if value == "open" else rows.closed()

    def keep_owner(self, rows: DefectQuerySet, name: str, value: str) -> DefectQuerySet:
        """Keep those on pavements of an owner of today."""
        if "\0" in value:
            return rows.none()
        held = Seat.objects.held_at(self.at).filter(
            role=Role.OWNER, organisation__name__icontains=value
        )
        return rows.filter(Exists(held.filter(pavement=OuterRef("pavement"))))
