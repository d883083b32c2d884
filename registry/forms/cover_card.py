"""The lines of a cover walk card as they stand on the paper; `cover_copy` makes entries of them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from django import forms

from registry.forms.entry import EntryForm
from registry.forms.load_copy import typed_at
from registry.forms.quantity import DayField
from registry.models import Cover, EarlyLoad
from registry.models.choices import ReadingSystem
from registry.units import read_empty

DITTO = frozenset({'"', "''", "”", "“", "do"})
UNCOVERS, EARLY = 2, 3
SAY_DAY = 'Write the day too, or " for the day of the line above.'
ANSWERS = (("", ""), ("yes", "y"), ("no", "n"))
CAUSES = (("", ""), ("wind", "w, wind"), ("animal", "a, animal"), ("person", "p, person"),
          ("rain", "r, rain"))  # fmt: skip


def _text(label: str, most: int = 60) -> forms.CharField:
    return forms.CharField(label=label, max_length=most, required=False)


def _ticks(label: str, choices: Iterable[tuple[str, str]]) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=list(choices), required=False)


class CardHeadForm(forms.Form):
    """What holds for the whole card: its units, and when the day was released to traffic."""

    system = forms.ChoiceField(label="This sheet is in", choices=ReadingSystem.choices)
    released_on = DayField(label="released to traffic on", required=False)


class StripForm(forms.Form):
    """The head of a card: its strip, and what is known of the sheet over it."""

    panels = _text("STRIP, panels", 240)
    last_on = _text("last foot covered, date")
    last_clock = _text("last foot covered, clock")
    sheet = _text("sheet")
    misted = _ticks("misted", ANSWERS)
    laps = _ticks("laps", (("", ""), *Cover._meta.get_field("laps").flatchoices))
    edges = _ticks("edges", (("", ""), *Cover._meta.get_field("edges").flatchoices))


class WalkForm(forms.Form):
    """One line of the card: a walk, and what lay bare."""

    on = _text("date")
    clock = _text("clock")
    by = _text("by", 120)
    all_lies = _ticks("all lies", (("", ""), ("yes", "y")))
    panels = _text("bare: panels", 240)
    bare_from = _text("from")
    bare_to = _text("to")
    cause = _ticks("w a p r", CAUSES)
    relaid = _text("relaid: how", 160)


class UncoveredForm(forms.Form):
    """Panels uncovered for good."""

    on = _text("date")
    clock = _text("clock")
    panels = _text("panels", 240)
    by = _text("by", 120)


class OnItEarlyForm(forms.Form):
    """Feet or wheels before the release."""

    what = _ticks("what", (("", ""), *EarlyLoad._meta.get_field("what").flatchoices))
    panels = _text("panels", 240)
    on = _text("date")
    clock = _text("clock")
    by = _text("by", 120)


@dataclass
class Line:
    """One line of the card as typed, and the entries it makes."""

    name: str
    form: forms.Form
    made: list[EntryForm] = field(default_factory=list)

    @property
    def typed(self) -> dict[str, str]:
        """Return what was typed by place on the card."""
        return typed_at(self.name, self.form)

    @property
    def is_wrong(self) -> bool:
        """Say whether something of it has to be put right."""
        return bool(self.form.errors)

    def said(self, *names: str) -> dict[str, str]:
        """Return what stands in fields, "" for those that cannot be read."""
        return {name: str(self.form.cleaned_data.get(name) or "").strip() for name in names}

    def instant(self, on: str, clock: str, place: str = "on") -> str:
        """Return day and clock as one text; a line at fault where the day is missing."""
        if not clock or " " in clock or "T" in clock or read_empty(clock) is not None:
            return clock
        if not on:
            self.form.add_error(place, SAY_DAY)
        return f"{on} {clock}".strip()

    def make(self, entry: EntryForm, places: Mapping[str, str]) -> None:
        """Read an entry; its faults are told at the places of the card."""
        self.made.append(entry)
        if entry.is_valid():
            return
        for name, faults in entry.errors.items():
            place = places.get(name)
            for fault in faults:
                words = str(fault) if place or name == "__all__" else f"{name}: {fault}"
                self.form.add_error(place, words)
