"""The inspection visit as a person writes it: whole for a correction, in parts on the walk."""

import hashlib
from collections.abc import Sequence
from datetime import date, datetime
from typing import Any, ClassVar
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.entry import Groups, PartForm
from registry.forms.open_fields import MarkedDayField
from registry.forms.quantity import ClockField, DayField, join_clock
from registry.forms.rescaled import RescaledForm
from registry.forms.sent_again import sent_again
from registry.models import DirtSource, Visit
from registry.models.entry import Change
from registry.models.visit import REASONS
from registry.units import Kind

BEGIN: tuple[str, ...] = (
    "done_on", "walked_by", "walked_with", "reasons", "other_reason", "weather", "air_c",
    "surface", "low_sun",
)  # fmt: skip
WATER: tuple[str, ...] = (
    "water_stands", "water_place", "water_depth_m", "water_minutes", "ran_off", "ran_off_place",
    "rain_mm", "rain_hours", "rain_known_by",
)  # fmt: skip
GROUND: tuple[str, ...] = (
    "drains", "drains_note", "run_on_walked", "new_inflow", "winter_damage", "salt_left",
    "made_safe",
)  # fmt: skip
DIRT: tuple[str, ...] = ("dirt_from",)
END: tuple[str, ...] = ("note",)
MOST_MINUTES = 60 * 24 * 14
MOST_RAIN_HOURS = 24.0 * 14


class MonthOrDayField(DayField):
    """A day, or a month alone, "2026-11", which is kept as its first day and says so."""

    def __init__(self, **options: Any) -> None:
        super().__init__(required=False, **options)
        self.help_text = "a month alone, 2026-11, is kept as its first day"

    def clean(self, value: Any) -> date | None:
        """Read the day, or the month."""
        text = str(value or "").strip()
        if len(text) == 7 and text[4] == "-" and text.replace("-", "").isdigit():
            text = f"{text}-01"
        return super().clean(text)


def reasons_field() -> forms.MultipleChoiceField:
    """Return the ticks for why one goes; several at once are allowed."""
    return forms.MultipleChoiceField(
        label="why",
        choices=list(REASONS.items()),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )


class VisitPartForm(RescaledForm, PartForm):
    """A part of a visit. Clocks are read with their day; subclasses say which fields are theirs."""

    quantities = {
        "air_c": Kind.TEMPERATURE,
        "water_depth_m": Kind.SMALL_LENGTH,
        "rain_mm": Kind.SMALL_LENGTH,
    }
    scales = {"water_depth_m": 1000}
    ranges = {"water_minutes": (0, MOST_MINUTES), "rain_hours": (0.01, MOST_RAIN_HOURS)}
    clocks: ClassVar[dict[str, tuple[str, str]]] = {
        "started_at": ("started_clock", "done_on"),
        "ended_at": ("ended_clock", "done_on"),
        "rain_ended_at": ("rain_ended_clock", "rain_ended_day"),
    }

    class Meta:
        model = Visit
        fields: tuple[str, ...] = ()

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.stored_at = {name: getattr(self.instance, name) for name in self._clocked()}
        zone = ZoneInfo(self.parent.site.time_zone)
        shown: dict[str, Any] = {}
        for name, (clock, day) in self.clocks.items():
            at = getattr(self.instance, name)
            if clock in self.fields and at is not None:
                shown[clock] = f"{at.astimezone(zone):%H:%M}"
                if day == "rain_ended_day":
                    shown[day] = at.astimezone(zone).date()
        if self.is_correction:
            shown["seen"] = self._digest_of_mine()
        self.initial = {**self.initial, **shown}

    def _clocked(self) -> list[str]:
        return [name for name, (clock, _) in self.clocks.items() if clock in self.fields]

    def _digest_of_mine(self) -> str:
        """Stand for what the fields of this part hold: other parts may change meanwhile."""
        names = [*self.columns, *self._clocked()]
        held = "\n".join(f"{name}={getattr(self.instance, name)!r}" for name in names)
        return hashlib.sha256(held.encode()).hexdigest()[:16]

    def _line(self, name: str, old: Any) -> tuple[str, str]:
        if name == "reasons":
            return _in_words(old), _in_words(self.cleaned_data[name])
        return super()._line(name, old)

    def clean(self) -> dict[str, Any]:
        """Join clocks to their days; let a second press overwrite what came in meanwhile."""
        cleaned = super().clean()
        if self.is_correction and cleaned.get("seen") != self.initial["seen"]:
            fresh = {self.add_prefix("seen"): self.initial["seen"]}
            self.data = sent_again(self.data, fresh)
        for name in self._clocked():
            self._take_clock(name, cleaned)
        start, end = self.instance.started_at, self.instance.ended_at
        if start and end and end < start and "ended_clock" in self.fields:
            self.add_error("ended_clock", "The end must come after the start.")
        return cleaned

    def _take_clock(self, name: str, cleaned: dict[str, Any]) -> None:
        clock_name, day_name = self.clocks[name]
        clock, day = cleaned.get(clock_name), cleaned.get(day_name)
        if day_name not in self.fields:
            day = self.instance.done_on
        if not clock or not isinstance(day, date):
            if clock and day_name in self.fields and not day:
                self.add_error(day_name, "Write the day of this time too.")
            elif isinstance(day, date) and day_name == "rain_ended_day":
                self.add_error(clock_name, "Write the time too, or leave the day away.")
            setattr(self.instance, name, None)
            return
        try:
            at = join_clock(day, clock, self.parent.site.time_zone)
        except ValidationError as fault:
            self.add_error(clock_name, fault)
            return
        setattr(self.instance, name, at)
        self.texts[name] = f"{day.isoformat()} {clock}"

    def changes(self) -> dict[str, Change]:
        """Return the corrections of a valid form, its clocks among them."""
        found = super().changes()
        for name in self._clocked():
            old: datetime | None = self.stored_at[name]
            new: datetime | None = getattr(self.instance, name)
            if old != new:
                text = self.texts.get(name, "")
                found[name] = Change(new, text, seen=old, is_seen_known=True)
        return found


class VisitForm(VisitPartForm):
    """A visit, whole."""

    groups: Groups = (
        ("When and who", ("done_on", "started_clock", "ended_clock", "walked_by", "walked_with")),
        ("Why", ("reasons", "other_reason")),
        (
            "Weather",
            ("weather", "air_c", "surface", "low_sun", "rain_ended_day", "rain_ended_clock"),
        ),
        ("Water", WATER),
        ("Dirt, drains, winter", (*DIRT, *GROUND)),
    )

    reasons = forms.MultipleChoiceField(
        label="why", choices=list(REASONS.items()), required=False,
        widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip
    started_clock = ClockField(label="from, clock at the site")
    ended_clock = ClockField(label="to, clock at the site")
    rain_ended_day = MarkedDayField(label="rain ended, day", required=False)
    rain_ended_clock = ClockField(label="rain ended, clock")
    next_due_on = MonthOrDayField(label="next due")

    class Meta(VisitPartForm.Meta):
        fields = (*BEGIN, *WATER, *GROUND, *DIRT, "next_due_on", "signed_by", *END)


class VisitBeginForm(VisitPartForm):
    """What is written down before the first step."""

    reasons = reasons_field()
    started_clock = ClockField(label="from, clock at the site")
    rain_ended_day = MarkedDayField(label="rain ended, day", required=False)
    rain_ended_clock = ClockField(label="rain ended, clock")
    field_order = ("done_on", "started_clock", "walked_by", "walked_with")

    class Meta(VisitPartForm.Meta):
        fields = BEGIN

    @property
    def first(self) -> list[forms.BoundField]:
        """Return the fields that stand open; the others fold away."""
        return [self[n] for n in ("done_on", "started_clock", "walked_by", "reasons")]

    @property
    def more(self) -> list[forms.BoundField]:
        """Return the fields that fold away."""
        shown = {field.name for field in self.first}
        return [f for f in self.visible_fields() if f.name not in shown]


class _WalkPart(VisitPartForm):
    """A part of the walk, stored by itself; units are asked where something is measured."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["system"].required = self._measures

    @property
    def _measures(self) -> bool:
        return bool(self.quantities.keys() & self.fields.keys())

    @property
    def shown(self) -> list[forms.BoundField]:
        """Return the fields of this part, units last."""
        rest = [f for f in self.visible_fields() if f.name != "system"]
        return [*rest, self["system"]] if self._measures else rest

    @property
    def is_written(self) -> bool:
        """Say whether the visit holds anything of this part already."""
        return any(self.before.get(name) not in (None, "", []) for name in self.columns)


class VisitWaterForm(_WalkPart):
    """Water that stands or ran off, and the rain it came from."""

    rain_ended_day = MarkedDayField(label="rain ended, day", required=False)
    rain_ended_clock = ClockField(label="rain ended, clock")

    class Meta(VisitPartForm.Meta):
        fields = WATER


class VisitGroundForm(_WalkPart):
    """Drains, run-on, winter, what was made safe."""

    class Meta(VisitPartForm.Meta):
        fields = GROUND


class VisitDirtForm(_WalkPart):
    """Where dirt comes from: in words, sources on record, and a new one."""

    known = forms.ModelMultipleChoiceField(
        label="sources on record that still bring dirt",
        queryset=None,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    new_kind = forms.ChoiceField(
        label="a new source",
        choices=[("", "none"), *DirtSource._meta.get_field("kind").flatchoices],
        required=False,
    )
    new_detail = forms.CharField(
        label="new source: species, distance, place", max_length=160, required=False
    )

    class Meta(VisitPartForm.Meta):
        fields = DIRT

    def __init__(
        self,
        *args: Any,
        sources: Sequence[DirtSource] | None = None,
        named: Sequence[DirtSource] | None = None,
        **options: Any,
    ) -> None:
        """`sources` still bring dirt, `named` the visit names; both are fetched where not given."""
        visit: Visit = options["instance"]
        self.named = list(visit.dirt_sources.all() if named is None else named)
        super().__init__(*args, **options)
        field = self.fields["known"]
        field.queryset = DirtSource.objects.open().filter(pavement=self.parent)
        self.initial["known"] = [row.pk for row in self.named]
        offered = list(field.queryset) if sources is None else sources
        field.choices = [(row.pk, str(row)) for row in offered]
        if not offered:
            del self.fields["known"]

    def clean(self) -> dict[str, Any]:
        """Refuse a detail without its source."""
        cleaned = super().clean()
        if cleaned.get("new_detail") and not cleaned.get("new_kind"):
            self.add_error("new_kind", "Say what kind of source it is.")
        return cleaned

    def _digest_of_mine(self) -> str:
        """Stand for the sources named too: a tick taken away must have been seen."""
        named = sorted(row.pk for row in self.named)
        return hashlib.sha256(f"{super()._digest_of_mine()}{named}".encode()).hexdigest()[:16]

    def new_sources(self) -> list[DirtSource]:
        """Return the unsaved new source, if one was named."""
        return named_source(self.cleaned_data)

    def dropped_sources(self) -> list[DirtSource]:
        """Return those that the visit named and that are no longer ticked."""
        offered = {pk for pk, _ in self.fields["known"].choices} if "known" in self.fields else ()
        ticked = set(self.cleaned_data.get("known") or ())
        return [row for row in self.named if row.pk in offered and row not in ticked]


def named_source(cleaned: dict[str, Any]) -> list[DirtSource]:
    """Return the unsaved new source of dirt that a form names, if any."""
    kind, detail = cleaned.get("new_kind"), cleaned.get("new_detail", "")
    return [DirtSource(kind=kind, detail=detail)] if kind else []


class VisitCloseForm(forms.Form):
    """Sign and close, or say that nobody could enter."""

    signed_by = forms.CharField(label="signed", max_length=160, required=False)
    ended_clock = ClockField(label="to, clock at the site")
    next_due_on = MonthOrDayField(label="next due")
    why_not = forms.CharField(label="could not enter because", max_length=200, required=False)
    walked_all = forms.BooleanField(label="the whole pavement was walked", required=False)
    note = forms.CharField(label="remark", widget=forms.Textarea(attrs={"rows": 2}), required=False)

    def __init__(self, *args: Any, visit: Visit, has_panels: bool, **options: Any) -> None:
        super().__init__(*args, **options)
        self.visit = visit
        self.initial.setdefault("note", visit.note)
        self.initial.setdefault("signed_by", visit.signed_by or visit.walked_by)
        if has_panels:
            del self.fields["walked_all"]

    def clean(self) -> dict[str, Any]:
        """Join the clock to the day of the visit; refuse a next day before it."""
        cleaned = super().clean() or self.cleaned_data
        self.ended_at: datetime | None = None
        if clock := cleaned.get("ended_clock"):
            zone = self.visit.pavement.site.time_zone
            try:
                self.ended_at = join_clock(self.visit.done_on, clock, zone)
            except ValidationError as fault:
                self.add_error("ended_clock", fault)
        due = cleaned.get("next_due_on")
        if due and due <= self.visit.done_on:
            self.add_error("next_due_on", "The next visit comes after this one.")
        return cleaned

    def changes(self) -> dict[str, Change]:
        """Return what was written beside the signature."""
        found: dict[str, Change] = {}
        if self.ended_at is not None and self.ended_at != self.visit.ended_at:
            text = f"{self.visit.done_on.isoformat()} {self.cleaned_data['ended_clock']}"
            found["ended_at"] = Change(self.ended_at, text)
        if self.cleaned_data["note"] != self.visit.note:
            found["note"] = Change(self.cleaned_data["note"], "")
        if self.cleaned_data.get("walked_all") and not self.visit.walked_all:
            found["walked_all"] = Change(True, "")
        return found


def _in_words(reasons: list[str]) -> str:
    return ", ".join(REASONS.get(key, key) for key in reasons)
