"""What is measured on a photo: the known rectangle in it, and the outline on it laid flat.

Points are pixels from the left and from the top, one or more a line: "120,340 880,350".
"""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from registry.forms.photo import PanelField
from registry.forms.quantity import DayField, MarkedEmpty, QuantityField
from registry.models import Photo
from registry.units import Kind, System

_POINT = re.compile(r"(\d{1,6}(?:\.\d{1,3})?)\s*,\s*(\d{1,6}(?:\.\d{1,3})?)")
MOST_POINTS = 2_000
WIDEST_SHOWN_PX = 20_000
RECTANGLES = {
    "panel": "a panel of the plan",
    "frame": "a frame of 1 m",
    "card": "a scale card, or another rectangle",
}
FRAME_M = 1.0


class PixelsField(forms.CharField):
    """Points in pixels of a picture; cleans to [(x, y), ...]."""

    def __init__(self, *, fewest: int, **options: Any) -> None:
        super().__init__(widget=forms.Textarea(attrs={"rows": 3, "autocomplete": "off"}), **options)
        self.fewest = fewest

    def clean(self, value: Any) -> list[tuple[float, float]]:
        """Read the points; what is left over is named."""
        text = super().clean(value)
        found = [(float(x), float(y)) for x, y in _POINT.findall(text)]
        left = _POINT.sub(" ", text).strip(" \t\r\n;")
        if left:
            raise ValidationError(
                f"“{left[:40]}” is no point. Write each as 120,340: pixels from the left, then "
                "from the top."
            )
        if len(found) > MOST_POINTS:
            raise ValidationError(f"At most {MOST_POINTS} points are taken.")
        if len(found) < self.fewest:
            raise ValidationError(f"Mark at least {self.fewest} points.")
        return found


class ShownField(forms.IntegerField):
    """How many pixels of the screen a picture was wide when it was tapped; a script says it."""

    def __init__(self) -> None:
        super().__init__(
            required=False, min_value=50, max_value=WIDEST_SHOWN_PX, widget=forms.HiddenInput
        )


class RectangleForm(forms.Form):
    """Four corners of a rectangle of known size in a photo."""

    rectangle = forms.ChoiceField(label="known rectangle", choices=list(RECTANGLES.items()))
    panel = PanelField(label="panel", queryset=None, required=False, empty_label="none")
    width = QuantityField(Kind.LENGTH, takes_empties=False, label="its width")
    height = QuantityField(Kind.LENGTH, takes_empties=False, label="its height")
    home = forms.CharField(
        label="where its home corner lies",
        max_length=80,
        required=False,
        help_text="Of a frame or card that lies square to the plan, if the outline is to land "
        "there: C8 · 3.2 R · 8.5 U. Leave it blank if not known.",
    )
    around = QuantityField(Kind.LENGTH, takes_empties=False, label="show beyond each side")
    corners = PixelsField(
        fewest=4,
        label="its four corners in the photo",
        help_text="In order: the home corner (down-left on the plan), the one to its right, far "
        "right, far left. In pixels of the photo as seen, from the left and from the top.",
    )
    corners_shown = ShownField()

    def __init__(self, *args: Any, panels: QuerySet, system: System, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["panel"].queryset = panels
        for field in self.fields.values():
            if isinstance(field, QuantityField):
                field.system = system
                field.label = f"{field.label}, {field.unit}"

    def _metres(self, name: str) -> float | None:
        read = self.cleaned_data.get(name)
        if isinstance(read, MarkedEmpty):
            self.add_error(name, "Write a length, or leave it blank.")
            return None
        return None if read is None else float(read.si)

    def clean(self) -> dict[str, Any]:
        """Ask for what the chosen kind of rectangle needs."""
        cleaned = super().clean() or self.cleaned_data
        sides = {name: self._metres(name) for name in ("width", "height", "around")}
        kind = cleaned.get("rectangle")
        if kind == "panel" and not cleaned.get("panel") and "panel" not in self.errors:
            self.add_error("panel", "Say which panel it is.")
        if kind == "card":
            for name in ("width", "height"):
                if sides[name] is None and name not in self.errors:
                    self.add_error(name, "Say how long this side is.")
        if kind == "frame":
            sides |= {"width": FRAME_M, "height": FRAME_M}
        if len(cleaned.get("corners") or ()) > 4:
            self.add_error("corners", "Mark the four corners, no more.")
        return {**cleaned, **sides}


class OutlineForm(forms.Form):
    """What is drawn on the photo laid flat, and what it is a look at."""

    outline_kind = forms.ChoiceField(
        label="what is drawn", choices=[("area", "an area, round it"), ("line", "a line, along it")]
    )
    outline = PixelsField(
        fewest=2,
        label="its points on the flat picture",
        help_text="In pixels of the flat picture, from the left and from the top: 120,340 180,350.",
    )
    outline_shown = ShownField()
    seen_on = DayField(label="seen on")
    seen_by = forms.CharField(label="seen by", max_length=160, required=False)
    note = forms.CharField(label="remark", max_length=280, required=False)

    def __init__(self, *args: Any, photo: Photo, **options: Any) -> None:
        super().__init__(*args, **options)
        if photo.observation_id:
            del self.fields["seen_on"], self.fields["seen_by"]


class LandForm(forms.Form):
    """A person decides that the outline on the photo becomes the defect's on the plan."""

    why = forms.CharField(label="because", max_length=280, initial="drawn on a photo laid flat")
