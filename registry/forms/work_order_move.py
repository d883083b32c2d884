"""Forms of what becomes of an order: its moves, calling it off, and the check after."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from registry.forms.quantity import ClockField, DayField, join_clock
from registry.forms.row_choice import TestsField
from registry.models import Cleaning, Pavement, WorkOrder
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.units import System

WORDS = dict(WorkOrder._meta.get_field("state").flatchoices)
MOST_WHY = 280


class _AtASite(forms.Form):
    """A form whose clock belongs to a day at the site."""

    clock_of: tuple[str, str] = ("clock", "on")

    def __init__(self, *args: Any, pavement: Pavement, **options: Any) -> None:
        super().__init__(*args, **options)
        self.pavement = pavement

    def clean(self) -> dict[str, Any]:
        """Join the clock to its day."""
        cleaned = super().clean() or self.cleaned_data
        name, day_name = self.clock_of
        clock, day = cleaned.get(name), cleaned.get(day_name)
        self.at: datetime | None = None
        if clock and isinstance(day, date):
            try:
                self.at = join_clock(day, clock, self.pavement.site.time_zone)
            except ValidationError as fault:
                self.add_error(name, fault)
        return cleaned


class OrderMoveForm(_AtASite):
    """What may follow, and the way back to where it was, with a reason."""

    clock_of = ("starts_clock", "dated_for")

    to = forms.ChoiceField(label="to")
    on = DayField(label="on")
    signed_by = forms.CharField(label="signed", max_length=160, required=False)
    dated_for = DayField(label="dated for, the day", required=False)
    starts_clock = ClockField(label="to begin at, clock at the site")
    crew = forms.ModelChoiceField(
        label="crew", queryset=None, required=False, empty_label="not chosen yet"
    )
    invoice = forms.CharField(label="invoice no.", max_length=80, required=False)
    why = forms.CharField(
        label="because",
        max_length=MOST_WHY,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Needed for a way back.",
    )

    def __init__(
        self,
        *args: Any,
        following: Iterable[str],
        earlier: Iterable[str],
        crews: QuerySet,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        forward = [(code, WORDS[code]) for code in following]
        back = [(f"back-{code}", f"back to {WORDS[code]}") for code in dict.fromkeys(earlier)]
        self.fields["to"].choices = [("", "choose"), *forward, *back]
        self.fields["crew"].queryset = crews
        offered = {code for code, _ in forward}
        if "dated" not in offered:
            for name in ("dated_for", "starts_clock", "crew"):
                del self.fields[name]
        if "billed" not in offered:
            del self.fields["invoice"]

    def clean(self) -> dict[str, Any]:
        """Ask for the reason of a way back, and for the day of an order that is dated."""
        cleaned = super().clean()
        to = str(cleaned.get("to", ""))
        if to.startswith("back-") and not cleaned.get("why"):
            self.add_error("why", "Say why it goes back.")
        if to == "dated" and not cleaned.get("dated_for") and "dated_for" not in self.errors:
            self.add_error("dated_for", "Say for which day.")
        return cleaned

    @property
    def given(self) -> dict[str, Any]:
        """Return what the action takes."""
        to, asked = self.cleaned_data["to"], self.cleaned_data
        given = {name: asked[name] for name in ("on", "why", "signed_by")}
        given |= {"to_state": to.removeprefix("back-"), "is_back": to.startswith("back-")}
        if to == "dated":
            given |= {"dated_for": asked["dated_for"], "crew": asked["crew"], "starts_at": self.at}
        if to == "billed":
            given["invoice"] = asked["invoice"]
        return given


class CallOffForm(_AtASite):
    """Turned away at the site, or called off before; an event, with its cost."""

    state = forms.ChoiceField(
        label="what happened",
        choices=[
            ("turned_away", "turned away: the crew came"),
            ("called_off", "called off: the crew did not come"),
        ],
        widget=forms.RadioSelect,
    )
    on = DayField(label="date")
    clock = ClockField(label="clock at the site")
    who = forms.CharField(
        label="by whom", max_length=160, help_text="a name; or weather, machine, cars"
    )
    why = forms.CharField(label="because", max_length=200)
    cost = forms.DecimalField(
        label="call-out cost", min_value=0, max_digits=12, decimal_places=2, required=False
    )

    def event(self) -> Cleaning:
        """Return the unsaved event."""
        asked = self.cleaned_data
        clock = f"{asked['on'].isoformat()} {asked['clock']}" if self.at else ""
        return Cleaning(
            state=asked["state"],
            done_on=asked["on"],
            started_at=self.at,
            why_not=asked["why"],
            not_done_by=asked["who"],
            cost=asked["cost"],
            as_written={"started_at": clock} if clock else {},
        )


class OrderCheckForm(forms.Form):
    """The check of what was done: accepted, or to redo and why; the tests after it."""

    verdict = forms.ChoiceField(
        label="it is",
        choices=[("accepted", "accepted"), ("to_redo", "to redo")],
        widget=forms.RadioSelect,
    )
    on = DayField(label="checked on")
    checked_by = forms.CharField(label="checked by", max_length=120)
    after_tests = TestsField(
        label="tests after it, dry and at the same spots as before", queryset=None, required=False,
        widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip
    why = forms.CharField(
        label="because",
        max_length=MOST_WHY,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Needed where it is to be redone.",
    )

    def __init__(
        self, *args: Any, tests: InfiltrationTestQuerySet, system: str, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.fields["after_tests"].system = System(system)
        self.fields["after_tests"].queryset = tests
        if not tests:
            del self.fields["after_tests"]

    def clean(self) -> dict[str, Any]:
        """Ask why it is to be redone."""
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("verdict") == "to_redo" and not cleaned.get("why"):
            self.add_error("why", "Say why it is to be redone.")
        return cleaned
