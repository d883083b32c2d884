"""Narrowing of lists. A value that cannot be read is named beside its field and narrows nothing."""

from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any

import django_filters
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Case, F, OuterRef, Q, QuerySet, Subquery, When

from registry.forms.open_fields import NumberField
from registry.forms.quantity import DayField, MarkedEmpty, QuantityField
from registry.models import Outlook, PavementStanding, Person, Surface
from registry.models.choices import Word
from registry.models.outlook import OutlookQuerySet
from registry.models.pavement import ASKING
from registry.units import Kind, System

SORTS = {
    "name": "name",
    "due": "next test, soonest first",
    "sweep": "sweep by, soonest first",
    "chance": "chance below the action level at the worst place, highest first",
    "word": "condition, worst first",
    "lowest": "lowest rate first",
    "tested": "last test, longest ago first",
    "placed": "placed, oldest first",
    "area": "area, largest first",
}
BY_OUTLOOK = {"sweep": F("sweep_by_on"), "chance": -F("worst_p_below")}
WORST_FIRST = (*ASKING, Word.WATCH, Word.WORKING)


class AmountField(QuantityField):
    """A quantity in SI, or None; the kinds of empty make no sense as a limit."""

    def __init__(self, kind: Kind, **options: Any) -> None:
        super().__init__(kind, takes_empties=False, **options)

    def clean(self, value: Any) -> float | None:  # type: ignore[override]
        """Read the text in the viewer's system; a limit is its number in SI alone."""
        written = super().clean(value)
        if isinstance(written, MarkedEmpty):
            raise ValidationError("Write a number, or leave it blank.")
        return None if written is None else written.si


class PercentField(NumberField):
    """A chance in per cent, to a share from 0 to 1, or None."""

    def __init__(self, label: str) -> None:
        help_text = "in per cent, 0 to 100"
        super().__init__(least=0, most=100, takes_empties=False, label=label, help_text=help_text)

    def clean(self, value: Any) -> float | None:  # type: ignore[override]
        """Read the number; the kinds of empty make no sense as a limit."""
        written = super().clean(value)
        if isinstance(written, MarkedEmpty):
            raise ValidationError("Write a number, or leave it blank.")
        return None if written is None else written.value / 100


class AmountFilter(django_filters.Filter):
    """A limit written as a quantity."""

    field_class = AmountField


class DayFilter(django_filters.Filter):
    """A limit written as a day."""

    field_class = DayField


class StandingFilter(django_filters.Filter):
    """A filter on the stored condition; the set gathers all of them into one question.

    `asks` turns the cleaned value into a condition on PavementStanding, given the day.
    """

    def __init__(self, field: forms.Field, asks: Callable[[Any, date], Q]) -> None:
        super().__init__(label=field.label)
        self.asks = asks
        self.shown_field = field

    @property
    def field(self) -> forms.Field:
        """Return the form field that the filter reads."""
        return self.shown_field

    def filter(self, qs: QuerySet, value: Any) -> QuerySet:
        """Leave the rows alone; `PavementFilters.filter_queryset` asks for all at once."""
        return qs


class OutlookFilter(StandingFilter):
    """A filter on the stored outlook; `asks` gives a condition on Outlook."""


def _within(name: str, how: str) -> Callable[[Any, date], Q]:
    return lambda value, today: Q(**{f"{name}__{how}": value})


def _day(label: str) -> DayField:
    return DayField(label=label, required=False)


def _tick(label: str) -> forms.BooleanField:
    return forms.BooleanField(label=label, required=False)


class PavementFilters(django_filters.FilterSet):
    """Filters of the list and the map of pavements.

    `standings` and `outlooks` are those the person may see, one a pavement at most.
    """

    text = django_filters.CharFilter(label="name, site, address or number", method="keep_text")
    owner = django_filters.CharFilter(label="owner", method="keep_owner")
    surface = django_filters.MultipleChoiceFilter(
        label="surface",
        choices=Surface.choices,
        widget=forms.CheckboxSelectMultiple,
        distinct=False,
    )
    word = StandingFilter(
        forms.MultipleChoiceField(
            label="condition",
            required=False,
            choices=[(w.value, w.label) for w in WORST_FIRST],
            widget=forms.CheckboxSelectMultiple,
        ),
        _within("word", "in"),
    )
    area_from = AmountFilter("area_m2", "gte", kind=Kind.AREA, label="area, from")
    area_to = AmountFilter("area_m2", "lte", kind=Kind.AREA, label="area, up to")
    action_from = StandingFilter(
        AmountField(kind=Kind.RATE, label="action level, from"), _within("action_rate_mm_h", "gte")
    )
    action_to = StandingFilter(
        AmountField(kind=Kind.RATE, label="action level, up to"),
        _within("action_rate_mm_h", "lte"),
    )
    placed_from = DayFilter("placed_on", "gte", label="placed on or after")
    placed_to = DayFilter("placed_on", "lte", label="placed on or before")
    tested_from = StandingFilter(_day("last test on or after"), _within("last_tested_on", "gte"))
    tested_to = StandingFilter(_day("last test on or before"), _within("last_tested_on", "lte"))
    never_tested = StandingFilter(
        _tick("no usable test"), lambda value, today: Q(last_tested_on__isnull=True)
    )
    overdue = StandingFilter(
        _tick("test overdue"), lambda value, today: Q(next_test_due_on__lt=today)
    )
    sweep_from = OutlookFilter(_day("sweep by, on or after"), _within("sweep_by_on", "gte"))
    sweep_to = OutlookFilter(_day("sweep by, on or before"), _within("sweep_by_on", "lte"))
    chance_from = OutlookFilter(
        PercentField("chance below the action level at the worst place, from"),
        _within("worst_p_below", "gte"),
    )
    chance_to = OutlookFilter(
        PercentField("chance below the action level at the worst place, up to"),
        _within("worst_p_below", "lte"),
    )
    sort = django_filters.ChoiceFilter(
        label="in order of", choices=tuple(SORTS.items()), empty_label=None, method="put_in_order"
    )

    def __init__(
        self,
        data: Mapping[str, Any],
        queryset: QuerySet,
        *,
        standings: QuerySet[PavementStanding],
        outlooks: OutlookQuerySet,
        person: Person,
        at: datetime,
    ) -> None:
        super().__init__(data, queryset)
        self.standings, self.outlooks = standings, outlooks
        self.at = at
        for field in self.form.fields.values():
            if isinstance(field, QuantityField):
                field.system = System(person.shown_system)
                field.label = f"{field.label}, {field.unit}"

    @property
    def narrowed_by(self) -> list[str]:
        """Return what the rows were narrowed by: "condition: clean, restore".

        Neither the order nor what could not be read narrows anything.
        """
        unread = {"sort", *self.form.errors}
        asked = [(name, self.data.getlist(name)) for name in self.filters if name not in unread]
        return [self._said(name, texts) for name, texts in asked if any(texts)]

    def _said(self, name: str, texts: list[str]) -> str:
        field = self.form.fields[name]
        if isinstance(field, forms.BooleanField):
            return str(field.label)
        labels = dict(getattr(field, "choices", ()))
        return f"{field.label}: {', '.join(str(labels.get(t, t)) for t in texts if t)}"

    def ids(self) -> list[int]:
        """Return all ids in order: fetching them asks less than counting and then a page."""
        return list(self.qs.values_list("pk", flat=True))

    def filter_queryset(self, queryset: QuerySet) -> QuerySet:
        """Apply every filter that could be read."""
        asked, foretold = Q(), Q()
        for name, value in self.form.cleaned_data.items():
            one = self.filters[name]
            if isinstance(one, OutlookFilter) and value is not None:
                foretold &= one.asks(value, self.at.date())
            elif isinstance(one, StandingFilter) and value not in (None, "", [], False):
                asked &= one.asks(value, self.at.date())
            elif value not in (None, "", []):
                queryset = one.filter(queryset, value)
        if asked:
            queryset = queryset.filter(pk__in=self.standings.filter(asked).values("pavement"))
        if foretold:
            queryset = queryset.filter(pk__in=self.outlooks.filter(foretold).values("pavement"))
        return queryset

    def keep_text(self, queryset: QuerySet, name: str, value: str) -> QuerySet:
        """Keep pavements that the text finds."""
        return queryset.matching(value)

    def keep_owner(self, queryset: QuerySet, name: str, value: str) -> QuerySet:
        """Keep pavements whose owner's name holds the text."""
        return queryset.owned_by(value, at=self.at)

    def put_in_order(self, queryset: QuerySet, name: str, value: str) -> QuerySet:
        """Order the rows; those without the number come last."""
        if value == "placed":
            return queryset.order_by(F("placed_on").asc(nulls_last=True), "name", "pk")
        if value == "area":
            return queryset.order_by(F("area_m2").desc(nulls_last=True), "name", "pk")
        if value == "name":
            return queryset
        if value in BY_OUTLOOK:
            return self._ordered(queryset, self._outlooks_to_order_by(), BY_OUTLOOK[value])
        key = {
            "due": F("next_test_due_on"),
            "lowest": F("lowest_mm_h"),
            "tested": F("last_tested_on"),
            "word": Case(*(When(word=w, then=n) for n, w in enumerate(WORST_FIRST))),
        }[value]
        return self._ordered(queryset, self.standings, key)

    def _outlooks_to_order_by(self) -> OutlookQuerySet:
        """Return those the person may see; asked once where rows are narrowed by them already.

        There is one outlook a pavement: what narrowed a row is what orders it.
        """
        asked = self.form.cleaned_data.items()
        is_narrowed = any(
            isinstance(self.filters[name], OutlookFilter) and value is not None
            for name, value in asked
        )
        return Outlook.objects.all() if is_narrowed else self.outlooks

    def _ordered(self, queryset: QuerySet, rows: QuerySet, key: Any) -> QuerySet:
        mine = rows.filter(pavement=OuterRef("pk")).annotate(sort_key=key)
        queryset = queryset.annotate(sort_key=Subquery(mine.values("sort_key")[:1]))
        return queryset.order_by(F("sort_key").asc(nulls_last=True), "name", "pk")
