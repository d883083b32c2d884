"""Crews: people with a machine, their depot, shifts, breaks and hours."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from registry.clock_hours import write_clocks, write_hours
from registry.models.entry import Entry, void_has_reason


class Crew(Entry):
    """A crew of an organisation.

    `shifts` are rows of [weekday, from, to], a day without one being no working day; `breaks` rows
    of [from, to]. `licences` are names of what its operator holds; `licence_hours` how long it may
    work in one shift by licence or contract.
    """

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="crews"
    )
    name = models.CharField("crew", max_length=80)
    machine = models.ForeignKey(
        "registry.Machine", on_delete=models.PROTECT, null=True, blank=True, related_name="crews"
    )
    depot = models.ForeignKey(
        "registry.Depot", on_delete=models.PROTECT, null=True, blank=True, related_name="crews"
    )
    people = models.PositiveSmallIntegerField("people", default=2)
    shifts = models.JSONField("working days and shift", default=list, blank=True)
    breaks = models.JSONField("breaks", default=list, blank=True)
    licences = models.JSONField("licences held", default=list, blank=True)
    licence_hours = models.FloatField("most hours of work in a shift", null=True, blank=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            void_has_reason("crew"),
            models.UniqueConstraint(
                fields=("organisation", "name"),
                condition=Q(void_at__isnull=True),
                name="crew_name_once_in_an_organisation",
            ),
            models.CheckConstraint(name="crew_has_people", condition=Q(people__gt=0)),
            models.CheckConstraint(
                name="crew_hours_are_of_a_day",
                condition=Q(licence_hours__isnull=True)
                | Q(licence_hours__gt=0, licence_hours__lte=24),
            ),
        )

    def __str__(self) -> str:
        return self.name

    def clean(self) -> None:
        """Refuse a machine or depot of another organisation."""
        for name in ("machine", "depot"):
            chosen = getattr(self, name)
            if chosen is not None and chosen.organisation_id != self.organisation_id:
                raise ValidationError(f"The {name} belongs to another organisation.")

    @property
    def shifts_in_words(self) -> str:
        """Return working days and shift on one line."""
        return "; ".join(write_hours(self.shifts))

    @property
    def breaks_in_words(self) -> str:
        """Return the breaks on one line."""
        return "; ".join(write_clocks(begins, ends) for begins, ends in self.breaks)
