"""The form of the structure below a pavement, with its layers."""

from typing import Any

from django import forms
from django.db import models

from registry.forms.entry import Groups, PartForm, shown_quantity
from registry.forms.open_fields import NumberField
from registry.forms.quantity import MarkedEmpty, QuantityField, unit_hint
from registry.models import Layer, Structure
from registry.units import Kind, System

KINDS = Layer._meta.get_field("kind").flatchoices
ASSUMED_VOIDS = 0.40  # common practice for washed stone that nobody measured


class LayerForm(forms.Form):
    """One layer; left blank where there is none."""

    depth_mm = QuantityField(Kind.SMALL_LENGTH, label="depth")
    stone_size = forms.CharField(label="stone size", max_length=60, required=False)
    void_ratio = NumberField(
        label="void ratio, if measured",
        least=0.01,
        most=0.99,
        help_text="Blank: 0.40, assumed.",
    )

    def __init__(self, *args: Any, layer: Layer, system: System, **options: Any) -> None:
        self.layer = layer
        super().__init__(*args, **options)
        depth = self.fields["depth_mm"]
        depth.system = system
        depth.help_text = unit_hint(Kind.SMALL_LENGTH, system)
        if layer.depth_mm is not None:
            self.initial["depth_mm"] = shown_quantity(layer.depth_mm, Kind.SMALL_LENGTH, system)
        self.initial["stone_size"] = layer.stone_size
        if layer.void_ratio_is_measured:
            self.initial["void_ratio"] = f"{layer.void_ratio:g}"

    @property
    def word(self) -> str:
        """Return which layer it is."""
        return str(self.layer.get_kind_display())

    def clean(self) -> dict[str, Any]:
        """A depth above zero; a layer that is there has a depth or a stone."""
        cleaned = super().clean() or self.cleaned_data
        depth = cleaned.get("depth_mm")
        if depth is not None and not isinstance(depth, MarkedEmpty) and depth.si <= 0:
            self.add_error("depth_mm", "A depth is more than zero; write nk if not known.")
        ratio = cleaned.get("void_ratio")
        if ratio and not depth and not cleaned.get("stone_size"):
            self.add_error("depth_mm", "A void ratio belongs to a layer: write its depth, or nk.")
        return cleaned

    def described(self) -> Layer | None:
        """Return the layer as written, unsaved; None where there is none."""
        depth, ratio = self.cleaned_data["depth_mm"], self.cleaned_data["void_ratio"]
        if depth is None and not self.cleaned_data["stone_size"]:
            return None
        measured = ratio is not None and not isinstance(ratio, MarkedEmpty)
        kept = self.layer.void_ratio if self.layer.pk else ASSUMED_VOIDS
        if self.layer.void_ratio_is_measured:
            kept = ASSUMED_VOIDS
        return Layer(
            kind=self.layer.kind,
            depth_mm=None if depth is None or isinstance(depth, MarkedEmpty) else depth.si,
            stone_size=self.cleaned_data["stone_size"],
            void_ratio=ratio.value if measured else kept,
            void_ratio_is_measured=measured,
        )


class StructureForm(PartForm):
    """Layers, underdrain, soil, slope and overflow, from and to a day."""

    quantities = {
        "underdrain_diameter_mm": Kind.SMALL_LENGTH,
        "underdrain_above_bottom_mm": Kind.SMALL_LENGTH,
        "orifice_mm": Kind.SMALL_LENGTH,
        "soil_rate_mm_h": Kind.INTENSITY,
        "overflow_below_surface_mm": Kind.SMALL_LENGTH,
    }
    ranges = {"surface_slope_percent": (0, 40), "bottom_slope_percent": (0, 40)}
    groups: Groups = (
        ("Which part, from when", ("section", "from_on", "to_on")),
        ("Cloth and liner", ("geotextile", "liner")),
        (
            "Underdrain",
            (
                "underdrain",
                "underdrain_diameter_mm",
                "underdrain_above_bottom_mm",
                "underdrain_outlet",
                "orifice_mm",
                "cleanouts",
            ),
        ),
        (
            "Soil and slope",
            (
                "soil_group",
                "soil_rate_mm_h",
                "soil_tested_on",
                "soil_method",
                "surface_slope_percent",
                "bottom_slope_percent",
                "check_dams",
            ),
        ),
        ("Overflow", ("overflow_below_surface_mm", "overflow_goes_to")),
    )

    class Meta:
        model = Structure
        fields = (
            "section",
            "from_on",
            "to_on",
            "geotextile",
            "liner",
            "underdrain",
            "underdrain_diameter_mm",
            "underdrain_above_bottom_mm",
            "underdrain_outlet",
            "orifice_mm",
            "cleanouts",
            "soil_group",
            "soil_rate_mm_h",
            "soil_tested_on",
            "soil_method",
            "surface_slope_percent",
            "bottom_slope_percent",
            "check_dams",
            "overflow_below_surface_mm",
            "overflow_goes_to",
            "note",
        )
        help_texts = {
            "orifice_mm": "The hole that holds the outflow back.",
            "soil_group": "A takes water fastest, D slowest: from the permit or the soil survey.",
            "check_dams": "How many steps in the stone hold water back on a slope.",
        }

    @classmethod
    def rows(cls, parent: models.Model) -> models.QuerySet:
        """Return the structures of a pavement with their layers."""
        return super().rows(parent).select_related("section").prefetch_related("layers")

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        data = self.data if self.is_bound else None
        self.layer_forms = [
            LayerForm(data, prefix=f"layer-{n}", layer=layer, system=self.chosen_system)
            for n, layer in enumerate(self._layers())
        ]

    def _layers(self) -> list[Layer]:
        stored = list(self.instance.layers.order_by("pk")) if self.is_correction else []
        there = {layer.kind for layer in stored}
        order = [kind for kind, _ in KINDS]
        fresh = [Layer(kind=kind) for kind in order if kind not in there]
        return sorted([*stored, *fresh], key=lambda layer: order.index(layer.kind))

    def is_valid(self) -> bool:
        """Say whether the structure and each of its layers can be read."""
        layers_hold = [form.is_valid() for form in self.layer_forms]
        return super().is_valid() and all(layers_hold)

    def extras(self) -> dict[str, Any]:
        """Return the layers that are there, as written."""
        described = [form.described() for form in self.layer_forms]
        return {"layers": [layer for layer in described if layer is not None]}
