"""The form of a limit: what a permit, contract or house rule sets, and when."""

from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError

from registry.faults import DomainError
from registry.forms.entry import PartForm, has_unit, shown_quantity
from registry.forms.keypad import keys_for
from registry.forms.open_fields import NumberField
from registry.models import RuleSetting
from registry.models.rule import TEMPERATURES, WORD_LIMITS, WORK_LIMITS, RuleName
from registry.units import Kind, read_quantity, unit_sign

RANGES: dict[str, tuple[float, float]] = {
    RuleName.DRY_H: (0, 336),
    RuleName.WASH_AFTER_PLACING_DAYS: (0, 730),
    RuleName.AFTER_SAND_DAYS: (1, 180),
    RuleName.AFTER_TEST_DAYS: (1, 90),
    RuleName.LOOK_BACK_MONTHS: (1, 120),
    RuleName.WATCH_FACTOR: (1, 20),
    RuleName.WATCH_YEARS_LEFT: (0, 10),
    RuleName.WATCH_RESERVE_PERCENT: (0, 100),
    RuleName.WATCH_TEST_MONTHS: (1, 36),
    RuleName.BACK_BELOW_MONTHS: (1, 36),
}
"""Least and most of what can be meant; common practice, no source."""
BROKEN = frozenset({RuleName.DRY_H, RuleName.WATCH_FACTOR, RuleName.WATCH_YEARS_LEFT})
"""Limits that need not be whole: hours, times, years."""
GROUPS = (("limits of the work", WORK_LIMITS), ("thresholds of the condition word", WORD_LIMITS))
COLDEST_C, WARMEST_C = -20.0, 30.0
"""Around what a limit of frost or of a wash can be meant to be; common practice, no source."""


class RuleSettingForm(PartForm):
    """One limit, its value, by which document, from when to when."""

    parent_name: ClassVar[str] = "organisation"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "name", "source_document", "from_on"})
    groups = (
        ("Which limit", ("name", "value")),
        ("By whom, from when", ("source_document", "from_on", "to_on")),
    )
    name = forms.ChoiceField(
        label="limit",
        choices=[(group, [(n.value, n.label) for n in names]) for group, names in GROUPS],
    )
    value = forms.CharField(label="value", max_length=24)

    class Meta:
        model = RuleSetting
        fields = ("name", "value", "source_document", "from_on", "to_on", "note")
        help_texts = {
            "source_document": "its name is printed beside what the limit decides",
            "to_on": "the first day on which it no longer holds",
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        unit = unit_sign(Kind.TEMPERATURE, self.chosen_system)
        self.fields["value"].help_text = (
            f"in what the limit says, without a unit; a temperature in {unit}, unless you write "
            "another"
        )
        self.fields["value"].widget.attrs.update(
            autocomplete="off", size="10", **keys_for(takes_empties=False, insert="-")
        )
        if self.is_correction:
            rule, value = str(self.before["name"]), float(self.before["value"] or 0)
            self.initial["value"] = self._shown(rule, value)

    def clean(self) -> dict[str, Any]:
        """Refuse a second setting of the same limit for a day that has one."""
        cleaned = super().clean()
        if isinstance(cleaned.get("value"), float) and not self.errors:
            self._refuse_second(cleaned)
        return cleaned

    def _settled(self, name: str, value: Any) -> Any:
        if name != "value":
            return super()._settled(name, value)
        try:
            found = self._read(str(value), self.cleaned_data.get("name", ""))
        except (DomainError, ValidationError) as fault:
            words = fault.messages[0] if isinstance(fault, ValidationError) else str(fault)
            self.add_error("value", words)
            return None
        self.texts[name] = str(value)
        return found

    def _read(self, text: str, rule: str) -> float:
        if rule in TEMPERATURES:
            return self._temperature(text)
        least, most = RANGES.get(rule, (0, 1e6))
        whole = rule not in BROKEN
        read = NumberField(least=least, most=most, whole=whole, takes_empties=False).clean(text)
        if read is None or not hasattr(read, "value"):
            raise ValidationError("This has to be written down.")
        return float(read.value)

    def _temperature(self, text: str) -> float:
        """Return degrees Celsius. Raises DomainError, ValidationError out of range."""
        found = read_quantity(text, Kind.TEMPERATURE, system=self.chosen_system).si
        if not COLDEST_C <= found <= WARMEST_C:
            low, high = (
                shown_quantity(end, Kind.TEMPERATURE, self.chosen_system)
                for end in (COLDEST_C, WARMEST_C)
            )
            raise ValidationError(f"“{text}” is out of range: {low} to {high}.")
        return found

    def _shown(self, rule: str, value: float) -> str:
        if rule in TEMPERATURES:
            return shown_quantity(value, Kind.TEMPERATURE, self.chosen_system)
        return f"{value:g}"

    def _line(self, name: str, old: Any) -> tuple[str, str]:
        if name != "value" or self.before["name"] not in TEMPERATURES:
            return super()._line(name, old)
        unit = unit_sign(Kind.TEMPERATURE, self.chosen_system)
        after = self.texts[name]
        return self._shown(self.before["name"], old), after if has_unit(
            after
        ) else f"{after} {unit}"

    def _refuse_second(self, cleaned: dict[str, Any]) -> None:
        own = self.rows(self.parent).filter(void_at=None, double_of=None)
        others = own.filter(pavement=None, name=cleaned["name"])
        for row in others.exclude(pk=self.instance.pk).order_by("pk"):
            if row.shares_a_day(cleaned.get("from_on"), cleaned.get("to_on")):
                self.add_error(
                    "from_on",
                    f"“{row.source_document}” sets this limit for some of these days. Write on "
                    "which day that one ends, or give this one other days.",
                )
                return
