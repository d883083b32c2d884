"""The form of hours at a site."""

from typing import Any

from registry.forms.hours import HoursField, ListsForm, hours_in_words
from registry.models import Pavement, SiteWindow


class SiteWindowForm(ListsForm):
    """When crews may come, may be heard, or may not come."""

    parent_name = "site"
    said = {"hours": hours_in_words}
    plain = frozenset({"note", "kind", "because"})
    hours = HoursField(label="days and hours", required=True)

    class Meta:
        model = SiteWindow
        fields = ("kind", "hours", "pavement", "because", "from_on", "to_on", "note")
        help_texts = {"to_on": "the first day on which they no longer hold"}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["pavement"].queryset = Pavement.objects.standing().filter(site=self.parent.pk)
        self.fields["pavement"].empty_label = "the whole site"
