"""Choices of rows of the record, in the order in which people look for them."""

from collections.abc import Iterable, Iterator
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.forms.models import ModelChoiceIterator

from registry.models import InfiltrationTest, Spot
from registry.models.panel import plan_order
from registry.units import Kind, System, show

LONGEST_ID = 18
"""Figures of an id; SQLite has no column for a number of twenty and breaks off asking for it."""


class RowsOnce(ModelChoiceIterator):
    """The rows of a choice, fetched once for all who ask the field: is there any, which, how many.

    A field lives as long as its form, so no row can be shown that was there for another page.
    """

    def __iter__(self) -> Iterator[Any]:
        if self.field.empty_label is not None:
            yield ("", self.field.empty_label)
        yield from map(self.choice, self.rows())

    def rows(self) -> Iterable[Any]:
        """Return the rows in the order in which they are offered."""
        return self.queryset


class SortedRows(RowsOnce):
    """The rows of a choice in the order of the field's `order_of`."""

    def rows(self) -> Iterable[Any]:
        """Return the rows sorted."""
        return sorted(self.queryset, key=self.field.order_of)


def short_ticks() -> forms.CheckboxSelectMultiple:
    """Return tick boxes that stand side by side: names of panels and spots are short."""
    return forms.CheckboxSelectMultiple(attrs={"class": "short"})


class ManyRowsField(forms.ModelMultipleChoiceField):
    """Several rows; an id that no row can have is refused like one that no row has."""

    iterator = RowsOnce

    def offer(self, rows: QuerySet) -> None:
        """Offer these very rows, not a copy: fields that offer the same fetch them once."""
        self._queryset = rows
        self.widget.choices = self.choices

    def _check_values(self, value: Any) -> Any:
        for pk in value if isinstance(value, list | tuple) else ():
            if len(str(pk)) > LONGEST_ID:
                params = {"value": pk}
                raise ValidationError(
                    self.error_messages["invalid_choice"], "invalid_choice", params
                )
        return super()._check_values(value)  # type: ignore[misc]  # Django's stubs leave it out


def test_words(row: InfiltrationTest, system: System) -> str:
    """Return what a test is told from others by: spot, day, rate, own number."""
    rate = row.result_rate_mm_h
    read = "no rate" if rate is None else show(rate, Kind.RATE, system, sign=row.result_sign)
    number = f" ({row.number})" if row.number else ""
    return f"{row.spot or 'no spot'}, {row.started_on:%Y-%m-%d}, {read}{number}"


class TestsField(ManyRowsField):
    """Several tests, told by spot, day and rate in `system`."""

    __test__ = False
    system = System.INCH_POUND

    def label_from_instance(self, obj: Any) -> str:
        """Return spot, day and rate."""
        return test_words(obj, self.system)


class PanelsField(ManyRowsField):
    """Several panels, in the order of the plan."""

    iterator = SortedRows

    @staticmethod
    def order_of(row: Any) -> Any:
        """Sort A2 before A10."""
        return plan_order(row.name), row.pk


class SpotField(forms.ModelChoiceField):
    """A spot. One that has ended says so and stands last: old sheets are still written down."""

    iterator = SortedRows

    @staticmethod
    def order_of(row: Spot) -> Any:
        """Sort spots that are there by name, then those that ended, the newest end first."""
        ended = -row.ended_on.toordinal() if row.ended_on else 0
        return row.ended_on is not None, ended, plan_order(row.name), row.pk

    def label_from_instance(self, obj: Any) -> str:
        """Return the name, and when it ended."""
        return f"{obj.name}, ended {obj.ended_on:%Y-%m-%d}" if obj.ended_on else str(obj.name)
