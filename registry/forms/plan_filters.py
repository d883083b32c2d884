"""What a plan shows: the day, and which defects. What cannot be read is named beside its field."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

import django_filters
from django.core.exceptions import ValidationError

from registry.forms.quantity import DayField
from registry.models import Defect, Observation, Photo
from registry.models.defect import DefectQuerySet
from registry.models.photo import PhotoQuerySet

NO_SEVERITY = "none"
NO_PHOTOS = "none"


def _choices(model: Any, name: str) -> list[tuple[str, str]]:
    return [(code, str(label)) for code, label in model._meta.get_field(name).flatchoices if code]


class DayNotPastField(DayField):
    """A day up to `last`; nobody knows how a plan will be."""

    last: date | None = None

    def clean(self, value: Any) -> date | None:
        """Read the date; refuse one that has not come."""
        day = super().clean(value)
        if day is not None and self.last is not None and day > self.last:
            raise ValidationError("That day has not come yet.")
        return day


class DayShownFilter(django_filters.Filter):
    """The day the plan is shown as of; the rows come as of it already."""

    field_class = DayNotPastField

    def filter(self, qs: Any, value: Any) -> Any:
        """Leave the rows alone."""
        return qs


class PlanFilters(django_filters.FilterSet):
    """Filters of the defects on a plan. Their rows carry `state_then` and `severity_then`."""

    on = DayShownFilter(label="the plan as it was on")
    kind = django_filters.ChoiceFilter(
        label="kind",
        choices=_choices(Defect, "kind"),
        empty_label="every kind",
    )
    severity = django_filters.ChoiceFilter(
        label="severity when last graded",
        choices=[*_choices(Observation, "severity"), (NO_SEVERITY, "not graded")],
        empty_label="every severity",
        method="keep_severity",
    )
    state = django_filters.ChoiceFilter(
        label="state then",
        choices=[("all", "all, closed ones too"), *_choices(Defect, "state")],
        empty_label="open ones",
        method="keep_state",
    )
    year = django_filters.ChoiceFilter(
        label="first seen in", empty_label="every year", field_name="first_seen_on__year"
    )

    photos = django_filters.ChoiceFilter(
        label="photos",
        choices=[*_choices(Photo, "subject"), (NO_PHOTOS, "no photos")],
        empty_label="every photo",
        method="keep_every_defect",
    )

    def __init__(self, data: Mapping[str, Any], *, today: date, years: list[int]) -> None:
        super().__init__(data, Defect.objects.none())
        self.form.fields["on"].last = today
        field = self.form.fields["year"]
        field.choices = [(str(year), str(year)) for year in years]
        field.error_messages["invalid_choice"] = "No defect here was first seen in that year."

    def as_of(self, known: Callable[[date], DefectQuerySet], usual: date) -> date:
        """Take the rows known on the day asked for, or on the usual one, and return that day."""
        self.form.full_clean()
        day: date = self.form.cleaned_data.get("on") or usual
        self.queryset = known(day)
        return day

    @property
    def narrowed(self) -> bool:
        """Say whether the defects are narrowed, the day aside."""
        asked = {name for name, value in self.form.cleaned_data.items() if value}
        return bool(asked - {"on", "photos"})

    def photos_of(self, rows: PhotoQuerySet) -> PhotoQuerySet:
        """Keep the photos asked for: of everything, of one kind of thing, or none."""
        asked = self.form.cleaned_data.get("photos")
        if asked == NO_PHOTOS:
            return rows.none()
        return rows.filter(subject=asked) if asked else rows

    def filter_queryset(self, queryset: DefectQuerySet) -> DefectQuerySet:
        """Apply every filter that could be read; open defects alone where no state is asked for."""
        rows: DefectQuerySet = super().filter_queryset(queryset)
        return rows if self.form.cleaned_data.get("state") else rows.open_then()

    def keep_every_defect(self, rows: DefectQuerySet, name: str, value: str) -> DefectQuerySet:
        """Leave the defects alone where only photos are chosen."""
        return rows

    def keep_severity(self, rows: DefectQuerySet, name: str, value: str) -> DefectQuerySet:
        """Keep those that had the severity when last graded by then, or were never graded."""
        if value == NO_SEVERITY:
            return rows.filter(severity_then__isnull=True)
        return rows.filter(severity_then=value)

    def keep_state(self, rows: DefectQuerySet, name: str, value: str) -> DefectQuerySet:
        """Keep those in the state they had then."""
        return rows if value == "all" else rows.filter(state_then=value)
