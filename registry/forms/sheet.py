"""Which sheet is printed, on what paper, in which units."""

import re

from django import forms
from django.core.exceptions import ValidationError

from registry.models import LETTERS, SheetKind
from registry.models.choices import ReadingSystem

PRINTED_KINDS = (SheetKind.INSPECTION, SheetKind.INFILTRATION)
"""What is printed of a pavement; the sheet of an order is printed from the order."""

PAPER = (("letter", "Letter, 8.5 × 11 in"), ("a4", "A4, 210 × 297 mm"))
UNITS_ASKED = "Units can be changed by pen on the sheet, for the whole sheet only."


class OrderSheetForm(forms.Form):
    """The sheet of a work order: on what paper, in which units."""

    paper = forms.ChoiceField(label="paper", choices=PAPER, widget=forms.RadioSelect)
    system = forms.ChoiceField(
        label="units",
        choices=ReadingSystem.choices,
        widget=forms.RadioSelect,
        help_text=UNITS_ASKED,
    )


def _kinds(*kinds: SheetKind) -> forms.ChoiceField:
    choices = [(kind.value, kind.label) for kind in kinds]
    return forms.ChoiceField(label="sheet", choices=choices, widget=forms.RadioSelect)


class DaySheetForm(OrderSheetForm):
    """A sheet of a placing day."""

    kind = _kinds(SheetKind.LOAD, SheetKind.COVER)
    field_order = ("kind", "paper", "system")


class BlankSheetForm(OrderSheetForm):
    """A sheet without a pavement."""

    kind = _kinds(*PRINTED_KINDS, SheetKind.SWEEP, SheetKind.LOAD, SheetKind.COVER)
    field_order = ("kind", "paper", "system")


class SheetForm(BlankSheetForm):
    """A sheet of a pavement."""

    kind = _kinds(*PRINTED_KINDS)
    filled = forms.ChoiceField(
        label="printed",
        choices=(
            ("filled", "with what is known of this pavement"),
            ("blank", "blank, to be filled by pen"),
        ),
        initial="filled",
        widget=forms.RadioSelect,
    )

    @property
    def is_blank(self) -> bool:
        """Say whether nothing of the pavement is to be printed."""
        return bool(self.cleaned_data["filled"] == "blank")


_SLIPS = str.maketrans("OQILBS", "001185")
"""Letters that stand for figures where a number is read off worn paper."""
_NUMBER = re.compile(r"([A-Z]{3})?[\s.,:;/_–—-]*([0-9OQILBS]{1,6})")


def likely_numbers(text: str) -> list[str]:
    """Return the sheet numbers a text may mean: "ins 417" is INS-0417, "417" one of each kind.

    They are named back and never taken without being asked.
    """
    found = _NUMBER.fullmatch(text.strip().upper())
    if found is None:
        return []
    figures = found[2].translate(_SLIPS).lstrip("0") or "0"
    letters = [found[1]] if found[1] in LETTERS.values() else []
    if found[1] is None:
        letters = list(LETTERS.values())
    return [f"{kind}-{int(figures):04d}" for kind in letters]


def sheet_number_in(text: str) -> str:
    """Return a number as it stands on a sheet (INS-0417), or nothing where the text is none."""
    return text if re.fullmatch(r"[A-Z]{3}-[0-9]{4,16}", text) else ""


class SheetNumberForm(forms.Form):
    """The number on a sheet that came back."""

    number = forms.CharField(label="sheet number", max_length=20, required=False)

    def clean_number(self) -> str:
        """Read "ins-0417 " as INS-0417; slips are kept for the page to name back."""
        number = self.cleaned_data["number"].strip().upper()
        if number and "-" not in number and not likely_numbers(number):
            raise ValidationError("A sheet number looks like INS-0417; it stands at the head.")
        return number
