"""The form of a sale: buyer, hour of the deed, seats the buyer keeps, and every open item."""

from collections.abc import Iterable
from typing import Any, Protocol

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.quantity import ClockField, DayField, join_clock
from registry.forms.seat import OrganisationField, find_organisation
from registry.models import Pavement, Seat


class Item(Protocol):
    """An open item: its key, what it is, and what ending it means (empty: it cannot be)."""

    key: str
    what: str
    ending: str


class SaleForm(forms.Form):
    """A sale at a day and hour of the site's clock, ahead or entered late."""

    buyer = OrganisationField(
        label="Buyer", help_text="An organisation that is here; invite it as buyer in view first."
    )
    sold_on = DayField(label="Day on which the deed takes effect")
    sold_clock = ClockField(label="Hour, by the clock at the site", required=True)
    fold = forms.ChoiceField(
        label="If that hour came twice",
        required=False,
        choices=[("", "it did not"), ("first", "the first"), ("second", "the second")],
        help_text="In the night when clocks are set back.",
    )
    document = forms.CharField(label="Deed: number, place, day", max_length=200)
    kept = forms.MultipleChoiceField(
        label="Seats the buyer gives anew",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Only those the buyer has appointed in writing. The others end at that hour.",
    )

    def __init__(
        self,
        *args: Any,
        pavement: Pavement,
        seats: Iterable[Seat],
        items: Iterable[Item],
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.zone = pavement.site.time_zone
        self.items = tuple(items)
        self.fields["kept"].choices = [(str(seat.pk), str(seat)) for seat in seats]
        if not self.fields["kept"].choices:
            del self.fields["kept"]
        for item in self.items:
            self.fields[f"{item.key}-what"] = forms.ChoiceField(
                label=item.what, choices=_endings(item), widget=forms.RadioSelect
            )
            self.fields[f"{item.key}-who"] = forms.CharField(label="by (name)", max_length=80)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if name := cleaned.get("buyer"):
            cleaned["found"] = find_organisation(name)
            if cleaned["found"] is None:
                self.add_error("buyer", f"No organisation here is called “{name}”.")
        day, clock = cleaned.get("sold_on"), cleaned.get("sold_clock")
        if day and clock:
            try:
                cleaned["at"] = join_clock(day, clock, self.zone, cleaned.get("fold") or "")
            except ValidationError as fault:
                self.add_error("sold_clock", fault)
        return cleaned

    def kept_ids(self) -> frozenset[int]:
        """Return the ids of the seats that the buyer gives anew."""
        return frozenset(int(pk) for pk in self.cleaned_data.get("kept", ()))

    def decided(self) -> dict[str, tuple[bool, str]]:
        """Return for each open item whether it is taken over, and by whom."""
        return {
            item.key: (
                self.cleaned_data[f"{item.key}-what"] == "taken_over",
                self.cleaned_data[f"{item.key}-who"],
            )
            for item in self.items
        }


def _endings(item: Item) -> list[tuple[str, str]]:
    taken = [("taken_over", "taken over by the buyer")]
    return [*taken, ("ended", item.ending)] if item.ending else taken
