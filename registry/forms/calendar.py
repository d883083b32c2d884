"""Narrowing of the calendar, and whose calendar is given out as a feed."""

from collections.abc import Iterable, Mapping

from django import forms

from registry.models import Crew, Organisation

WHOLE = "organisation"


class CalendarFilterForm(forms.Form):
    """Narrowing to one crew or one owner; what cannot be read is named beside its field.

    The choices are rows fetched already, so that reading an answer asks the database nothing.
    """

    crew = forms.TypedChoiceField(label="crew", required=False, coerce=int, empty_value=None)
    owner = forms.TypedChoiceField(label="owner", required=False, coerce=int, empty_value=None)

    def __init__(
        self,
        data: Mapping[str, str],
        *,
        crews: Iterable[Crew],
        owners: Iterable[Organisation],
    ) -> None:
        super().__init__(data)
        self._choose("crew", [(crew.pk, str(crew)) for crew in crews])
        self._choose("owner", [(owner.pk, str(owner)) for owner in owners])

    def _choose(self, name: str, choices: list[tuple[int, str]]) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.TypedChoiceField)
        field.choices = [("", "all"), *choices]

    def chosen(self, name: str) -> int | None:
        """Return the id that was chosen, or None for all and for what cannot be read."""
        self.is_valid()
        value: int | None = self.cleaned_data.get(name)
        return value


class CalendarFeedForm(forms.Form):
    """Whose calendar: the whole organisation's, or a crew's."""

    whose = forms.ChoiceField(label="whose calendar", widget=forms.RadioSelect)

    def __init__(
        self,
        data: Mapping[str, str] | None,
        *,
        organisation: Organisation,
        crews: Iterable[Crew],
    ) -> None:
        super().__init__(data, initial={"whose": WHOLE})
        self.crews = {str(crew.pk): crew for crew in crews}
        field = self.fields["whose"]
        assert isinstance(field, forms.ChoiceField)
        all_of_it = (WHOLE, f"all that {organisation} sees")
        field.choices = [all_of_it, *((pk, str(crew)) for pk, crew in self.crews.items())]

    @property
    def crew(self) -> Crew | None:
        """Return the crew that was chosen, or None for the whole organisation."""
        return self.crews.get(self.cleaned_data["whose"])
