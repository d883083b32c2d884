"""The form of an edge of a panel."""

from typing import Any

from django.db import models

from registry.forms.entry import PartForm
from registry.models import Edge
from registry.units import Kind


class EdgeForm(PartForm):
    """One side of a panel and what it lies against."""

    quantities = {"edger_radius_mm": Kind.SMALL_LENGTH, "length_m": Kind.LENGTH}

    class Meta:
        model = Edge
        fields = (
            "panel",
            "side",
            "against",
            "hard_edge",
            "hand_compacted",
            "edger_radius_mm",
            "length_m",
            "note",
        )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["panel"].queryset = self.parent.panels.standing()
        self.fields["panel"].empty_label = "choose the panel"

    @classmethod
    def rows(cls, parent: models.Model) -> models.QuerySet:
        """Return the edges of a pavement's panels."""
        return Edge.objects.filter(panel__pavement=parent.pk).select_related("panel")
