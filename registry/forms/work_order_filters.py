"""Narrowing of the list of work orders. What cannot be read is named beside its field."""

from collections.abc import Mapping
from typing import Any

import django_filters
from django import forms
from django.db.models import Q, QuerySet

from registry.models import Crew, Pavement, WorkOrder
from registry.models.work_order import WorkOrderQuerySet

STAGES = (
    ("open", "still to be swept"),
    ("settle", "to check, bill or pay"),
    ("ended", "paid or dropped"),
)
SORTS = (
    ("day", "day"),
    ("latest", "latest day"),
    ("asked", "asked for, newest first"),
    ("pavement", "pavement"),
)

MOST_OFFERED = 200
"""Pavements in the choice of one: more would weigh more than the list itself."""


class WorkOrderFilters(django_filters.FilterSet):
    """Filters of the list of work orders."""

    text = django_filters.CharFilter(label="order no., pavement, reason", method="keep_text")
    stage = django_filters.ChoiceFilter(
        label="stage", choices=STAGES, empty_label="all", method="keep_stage"
    )
    state = django_filters.MultipleChoiceFilter(
        label="state", choices=WorkOrder._meta.get_field("state").flatchoices,
        widget=forms.CheckboxSelectMultiple, distinct=False,
    )  # fmt: skip
    crew = django_filters.ModelChoiceFilter(
        label="crew", queryset=Crew.objects.none(), empty_label="all"
    )
    from_day = django_filters.DateFilter(
        label="dated from", field_name="dated_for", lookup_expr="gte"
    )
    to_day = django_filters.DateFilter(
        label="dated up to", field_name="dated_for", lookup_expr="lte"
    )
    pavement = django_filters.ModelChoiceFilter(
        label="pavement", queryset=Pavement.objects.none(), empty_label="all"
    )
    sort = django_filters.ChoiceFilter(
        label="in order of", choices=SORTS, empty_label=None, method="leave"
    )

    def __init__(
        self,
        data: Mapping[str, Any],
        queryset: WorkOrderQuerySet,
        *,
        pavements: QuerySet,
        crews: QuerySet,
    ) -> None:
        super().__init__(data, queryset)
        self.filters["pavement"].queryset = pavements
        self.filters["crew"].queryset = crews.order_by("name")
        self._offer(pavements, data.get("pavement", ""))

    def _offer(self, pavements: QuerySet, chosen: str) -> None:
        """Offer the pavements by name; of very many the chosen alone, the rest by their name."""
        field = self.form.fields["pavement"]
        found = list(pavements.order_by("name")[: MOST_OFFERED + 1])
        if len(found) > MOST_OFFERED:
            field.help_text = "Too many to list: write the name into the first field."
            is_id = chosen.isascii() and chosen.isdecimal()
            found = list(pavements.filter(pk=int(chosen))) if is_id else []
        field.widget.choices = [("", "all"), *((row.pk, str(row)) for row in found)]

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

    def leave(self, rows: WorkOrderQuerySet, name: str, value: object) -> WorkOrderQuerySet:
        """Leave the rows: the view puts them in order."""
        return rows

    def keep_text(self, rows: WorkOrderQuerySet, name: str, value: str) -> WorkOrderQuerySet:
        """Keep those with a text in number, reason or the pavement's name."""
        found = Q(number__icontains=value) | Q(because__icontains=value)
        return rows.filter(found | Q(pavement__name__icontains=value))

    def keep_stage(self, rows: WorkOrderQuerySet, name: str, value: str) -> WorkOrderQuerySet:
        """Keep the open ones, those to settle, or those at their end."""
        if value == "open":
            return rows.open()
        if value == "settle":
            return rows.to_settle()
        return rows.filter(state__in=("paid", "dropped"))
