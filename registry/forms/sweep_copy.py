"""The sheet of a work order that came back, typed in in the sheet's own order."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.quantity import ClockField, join_clock
from registry.forms.work_order_done import WorkOrderDoneForm
from registry.models import Cleaning

YES_NO = [("", "not ticked"), ("yes", "y"), ("no", "n")]
NOT_DONE = {
    "not_turned_away": ("turned_away", "turned away"),
    "not_weather": ("called_off", "weather"),
    "not_machine": ("called_off", "machine"),
}
"""Ticks of the block NOT DONE: the state of the event, and the words of the tick."""
BLOCKS = (
    ("Before", ("before_tests", "photos_before")),
    ("Done", ("state", "done_on", "arrive_clock", "started_clock", "ended_clock", "leave_clock",
              "operator", "swept_with", "machine", "surface", "rain_in_24_h", "debris_wet",
              "missed", "missed_why", "rows_text", "area_m2", "speed_km_h", "passes", "debris_m3",
              "debris_is_guessed", "debris_bags", "debris_kg", "spoil_to", "debris_look",
              "stone_in_hopper", "water_used_l", "water_disposal", "damage", "photos_after")),
    ("Not done", ("not_done_by", "not_done_clock", "call_out", "cost")),
    ("After", ("after_tests", "checked_words")),
    ("Foot", ("signed_words", "invoice_words", "note")),
)  # fmt: skip
NOTED = {
    "photos_before": "Photo before no.",
    "photos_after": "Photos after",
    "stone_in_hopper": "Stone or joint material in the hopper",
    "call_out": "Call-out",
    "checked_words": "After, on the sheet",
    "signed_words": "Signed",
    "invoice_words": "Invoice no.",
}
"""Places of the sheet that stand in the remark of the entry, with what stands in front of them."""


def _text(label: str, length: int = 120) -> forms.CharField:
    return forms.CharField(label=label, max_length=length, required=False)


def _ticks(label: str) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=YES_NO, required=False)


class SweepCopyForm(WorkOrderDoneForm):
    """Everything that the crew wrote. Places without a field of their own go into the remark."""

    state = forms.ChoiceField(
        label="the sheet says",
        choices=[
            ("done", "done"),
            ("in_part", "done, but rows are named as not done"),
            *((code, f"not done: {words}") for code, (_, words) in NOT_DONE.items()),
        ],
        widget=forms.RadioSelect,
    )
    photos_before = _text("photo before no.")
    arrive_clock = ClockField(label="arrive")
    leave_clock = ClockField(label="leave")
    rain_in_24_h = _ticks("rain in last 24 h")
    stone_in_hopper = _ticks("stone or joint material in hopper")
    photos_after = _text("photos after")
    not_done_by = _text("who", 160)
    not_done_clock = ClockField(label="at")
    call_out = _ticks("call-out")
    checked_words = _text("gain, accepted, redo, part, by, on")
    signed_words = _text("operator, for the site")
    invoice_words = _text("invoice no.", 80)

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["system"].label = "This sheet is in"
        self.fields["passes"].label = "passes per row"
        for name in ("last_rain", "pattern", "sheet_number"):
            self.fields.pop(name, None)

    @property
    def blocks(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the fields by the blocks of the sheet, in its order."""
        blocks = [(word, [self[n] for n in names if n in self.fields]) for word, names in BLOCKS]
        return [("Head", [self["system"]]), *blocks]

    @property
    def is_not_done(self) -> bool:
        """Say whether a tick of the block NOT DONE was typed."""
        return self.cleaned_data.get("state") in NOT_DONE

    def clean(self) -> dict[str, Any]:
        """Join the clocks of the sheet; ask who said that it is not done."""
        cleaned = super().clean()
        self.clocks: dict[str, Any] = {}
        for name in ("arrive_clock", "leave_clock", "not_done_clock"):
            self._join(name, cleaned)
        arrive, leave = self.clocks.get("arrive_clock"), self.clocks.get("leave_clock")
        if arrive and leave and leave <= arrive:
            self.add_error("leave_clock", "The crew leaves after it arrives.")
        if cleaned.get("state") in NOT_DONE:
            if not cleaned.get("not_done_by"):
                self.add_error("not_done_by", "Say who turned it away or called it off.")
            if cleaned.get("missed"):
                self.add_error("missed", "The sheet says that it was not done at all.")
        return cleaned

    def _join(self, name: str, cleaned: dict[str, Any]) -> None:
        clock, day = cleaned.get(name), cleaned.get("done_on")
        if not (clock and day):
            return
        try:
            self.clocks[name] = join_clock(day, clock, self.pavement.site.time_zone)
        except ValidationError as fault:
            self.add_error(name, fault)

    def event(self) -> Cleaning:
        """Return the unsaved cleaning, or the event that it was not done."""
        row = self._not_done() if self.is_not_done else self.entry()
        arrive, leave = self.clocks.get("arrive_clock"), self.clocks.get("leave_clock")
        if arrive and leave:
            row.hours_on_site = (leave - arrive).total_seconds() / 3600
        if self.cleaned_data.get("rain_in_24_h"):
            row.last_rain = f"in the last 24 h: {self.cleaned_data['rain_in_24_h']}"
        row.note = self._note()
        return row

    def _not_done(self) -> Cleaning:
        asked = self.cleaned_data
        state, words = NOT_DONE[asked["state"]]
        at = self.clocks.get("not_done_clock")
        clock = f"{asked['done_on'].isoformat()} {asked['not_done_clock']}" if at else ""
        return Cleaning(
            pavement=self.pavement,
            state=state,
            done_on=asked["done_on"],
            started_at=at,
            why_not=words if words != "turned away" else f"turned away by {asked['not_done_by']}",
            not_done_by=asked["not_done_by"],
            cost=asked.get("cost"),
            as_written={"started_at": clock} if clock else {},
        )

    def _note(self) -> str:
        said = [
            f"{words}: {self.cleaned_data[name]}."
            for name, words in NOTED.items()
            if self.cleaned_data.get(name)
        ]
        return " ".join(filter(None, (*said, self.cleaned_data.get("note", ""))))

    def typed(self) -> dict[str, str]:
        """Return what was typed by place on the sheet, readable or not; blanks are left out."""
        found = {}
        for block, fields in self.blocks:
            for bound in fields:
                text = self._shown(bound)
                if text and bound.name != "system":
                    found[f"{block}: {bound.label}"] = text
        return found

    def _shown(self, bound: forms.BoundField) -> str:
        value = bound.value()
        choices = {str(code): str(word) for code, word in getattr(bound.field, "choices", ())}
        if isinstance(value, list | tuple):
            return ", ".join(choices.get(str(one), str(one)) for one in value)
        if value in (None, "", False):
            return ""
        return choices.get(str(value), "yes" if value is True else str(value))
