"""The form of the raveled shares of many panels, of one day and one way of grading."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.open_fields import NumberField, WrittenNumber
from registry.forms.quantity import DayField, MarkedEmpty
from registry.models import Pavement, RaveledShare
from registry.models.raveled_share import GradedBy


class RaveledSharesForm(forms.Form):
    """One percent a panel; what is left open was not graded."""

    looked_on = DayField(label="date")
    graded_by = forms.ChoiceField(label="graded by", choices=[("", "choose"), *GradedBy.choices])
    looked_by = forms.CharField(label="by", max_length=160, required=False)

    def __init__(
        self, *args: Any, pavement: Pavement, names: Sequence[str], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.pavement, self.names = pavement, names
        for name in names:
            self.fields[f"panel-{name}"] = NumberField(
                least=0, most=100, label=f"{name}, raveled %", takes_empties=False
            )

    @property
    def lanes(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the fields of the panels under their lanes."""
        found: dict[str, list[forms.BoundField]] = {}
        for name in self.names:
            lane = "".join(sign for sign in name if sign.isalpha())
            found.setdefault(f"Lane {lane}", []).append(self[f"panel-{name}"])
        return list(found.items())

    def clean(self) -> dict[str, Any]:
        """Refuse a day on which these panels were graded in this way before."""
        cleaned = super().clean() or self.cleaned_data
        if not self.rows_given(cleaned) and not self.errors:
            raise ValidationError("Write down the share of one panel at least; 0 is a share.")
        on, how = cleaned.get("looked_on"), cleaned.get("graded_by")
        if on and how:
            rows = self.pavement.raveled_shares.standing().filter(looked_on=on, graded_by=how)
            for name in rows.filter(panel__in=self.rows_given(cleaned)).values_list(
                "panel", flat=True
            ):
                words = f"{name} was graded on that day already; correct that entry."
                self.add_error(f"panel-{name}", words)
        return cleaned

    def rows_given(self, cleaned: dict[str, Any]) -> dict[str, WrittenNumber]:
        """Return the panels with a share."""
        found = {name: cleaned.get(f"panel-{name}") for name in self.names}
        return {
            name: value
            for name, value in found.items()
            if value is not None and not isinstance(value, MarkedEmpty)
        }

    def entries(self) -> list[RaveledShare]:
        """Return the unsaved rows, with what was written kept beside."""
        given = {name: self.cleaned_data[name] for name in ("looked_on", "graded_by", "looked_by")}
        return [
            RaveledShare(
                pavement=self.pavement,
                panel=name,
                share=written.value / 100,
                as_written={"share": f"{written.text} %"},
                **given,
            )
            for name, written in self.rows_given(self.cleaned_data).items()
        ]
