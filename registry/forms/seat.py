"""Forms of seats: appoint an organisation, end a seat."""

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django import forms

from registry.forms.one_line import check_one_line
from registry.forms.quantity import DayField
from registry.models import Organisation, Pavement, Section
from registry.models.choices import Role


class OrganisationField(forms.CharField):
    """An organisation by its name, whatever the case; `known` are offered while typing."""

    def __init__(self, **options: Any) -> None:
        super().__init__(max_length=160, validators=[check_one_line], **options)
        self.widget.attrs.update({"autocomplete": "off", "list": "known-organisations"})


def find_organisation(name: str) -> Organisation | None:
    """Return the organisation of a name, or None."""
    return Organisation.objects.filter(name__iexact=name).first()


class SeatForm(forms.Form):
    """Appoint an organisation to a seat at a pavement."""

    role = forms.ChoiceField(label="Seat")
    organisation = OrganisationField(label="Organisation")
    email = forms.EmailField(
        label="E-mail of a person there",
        required=False,
        help_text="Only for an organisation that is not here yet: the person is invited.",
    )
    section = forms.ModelChoiceField(
        Section.objects.none(), label="Only this section", required=False, empty_label="all of it"
    )
    from_on = DayField(label="From")
    last_on = DayField(label="Last day", required=False, help_text="Empty: until somebody ends it.")
    warranty_last_on = DayField(
        label="Last day of warranty", required=False, help_text="For a contractor."
    )
    source_document = forms.CharField(
        label="By which contract or letter", max_length=200, required=False
    )

    def __init__(
        self,
        *args: Any,
        pavement: Pavement,
        roles: Iterable[str],
        sections: Any,
        today: date,
        **options: Any,
    ) -> None:
        options.setdefault("initial", {"from_on": today})
        super().__init__(*args, **options)
        self.zone = ZoneInfo(pavement.site.time_zone)
        given = set(roles)
        self.fields["role"].choices = [(r.value, r.label) for r in Role if r.value in given]
        self.fields["section"].queryset = sections
        if not sections.exists():
            del self.fields["section"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        name, email = cleaned.get("organisation"), cleaned.get("email")
        found = find_organisation(name) if name else None
        if name and found is None and not email and "email" not in self.errors:
            self.add_error(
                "organisation",
                f"No organisation here is called “{name}”. Put the name right, or give the e-mail "
                "address of a person there.",
            )
        if found is not None and email:
            self.add_error("email", f"{found} is here already; its own people invite others.")
        cleaned["found"] = found
        self._check_days(cleaned)
        return cleaned

    def _check_days(self, cleaned: dict[str, Any]) -> None:
        begins, last = cleaned.get("from_on"), cleaned.get("last_on")
        if begins and last and last < begins:
            self.add_error("last_on", "The last day comes before the first.")
        if cleaned.get("warranty_last_on") and cleaned.get("role") != Role.CONTRACTOR:
            self.add_error("warranty_last_on", "Only a contractor's seat has a warranty.")

    def term(self) -> dict[str, Any]:
        """Return the fields of the seat's term; days are the site's own."""
        cleaned = self.cleaned_data
        last = cleaned["last_on"]
        return {
            "role": cleaned["role"],
            "from_at": self._start_of(cleaned["from_on"]),
            "to_at": self._start_of(last + timedelta(days=1)) if last else None,
            "section": cleaned.get("section"),
            "warranty_last_on": cleaned["warranty_last_on"],
            "source_document": cleaned["source_document"],
        }

    def _start_of(self, day: date) -> datetime:
        return datetime.combine(day, time.min, self.zone)
