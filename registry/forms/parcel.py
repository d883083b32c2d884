"""The form of a parcel of land under a site."""

from typing import Any

from registry.forms.entry import PartForm
from registry.models import Parcel


class ParcelForm(PartForm):
    """A parcel number with its days; gaps between owners and parcels stay gaps."""

    parent_name = "site"

    class Meta:
        model = Parcel
        fields = (
            "number",
            "legal_description",
            "agreement_state",
            "agreement",
            "split_from",
            "merged_into",
            "from_on",
            "to_on",
            "note",
        )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        others = Parcel.objects.standing().filter(site=self.parent.pk).exclude(pk=self.instance.pk)
        for name, empty in (("split_from", "not split"), ("merged_into", "not merged")):
            self.fields[name].queryset = others
            self.fields[name].empty_label = empty

    def clean(self) -> dict[str, Any]:
        """Ask for the record number of an agreement that is said to be recorded."""
        cleaned = super().clean()
        answered = cleaned.get("agreement") or "agreement" in self.empties
        if cleaned.get("agreement_state") == "recorded" and not answered:
            self.add_error("agreement", "Write its record number and date, or nk.")
        return cleaned
