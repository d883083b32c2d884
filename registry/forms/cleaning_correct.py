"""A stored cleaning put right: its columns, its panels covered and missed, its tests around it."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.db.models import Exists, OuterRef

from registry.forms.cleaning import TESTS, CleaningForm
from registry.forms.seen import TOO_OLD
from registry.models import Cleaning, InfiltrationTest, Panel
from registry.models.cleaning import named_with
from registry.models.seen import Changes, read_seen, write_seen

PANELS = ("covered", "missed")


class CleaningCorrectForm(CleaningForm):
    """The form of a new cleaning with everything that is stored, to be changed.

    Tests that its writer may not see stay named with it, and are not shown.
    """

    named_seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, stored: Cleaning, **options: Any) -> None:
        super().__init__(*args, stored=stored, **options)
        self.stands = named_with(stored)
        self.initial["named_seen"] = write_seen(self.stands)
        self.whys = dict(self.stands["missed"])
        self.initial["covered"] = self.stands["covered"]
        self.initial["missed"] = list(self.whys)
        if len(set(self.whys.values())) == 1 and not stored.missed_why:
            self.initial["missed_why"] = next(iter(self.whys.values()))
        self.unseen: dict[str, list[InfiltrationTest]] = {}
        tests = self._tests_named()
        for name, ids in zip(TESTS, (self.stands["before"], self.stands["after"]), strict=True):
            self._take_stored_tests(name, [test for test in tests if test.pk in ids])

    def _tests_named(self) -> list[Any]:
        """Return the tests around it, each with `is_shown`: may its writer see it."""
        ids = {*self.stands["before"], *self.stands["after"]}
        if not ids:
            return []
        visible = self.fields[TESTS[0]].queryset.order_by().filter(pk=OuterRef("pk"))
        rows = InfiltrationTest.objects.filter(pk__in=ids).select_related("spot")
        return list(rows.annotate(is_shown=Exists(visible)))

    def _take_stored_tests(self, name: str, named: list[Any]) -> None:
        shown = [test for test in named if test.is_shown]
        self._keep_offering(name, shown)
        self.initial[name] = [test.pk for test in shown]
        self.unseen[name] = [test for test in named if not test.is_shown]

    def clean_named_seen(self) -> str:
        """Take what was named when this form was opened."""
        text: str = self.cleaned_data["named_seen"]
        if not text:  # a page opened before panels and tests were asked for: they stay
            if any(self.cleaned_data.get(name) for name in (*PANELS, *TESTS)):
                self.add_error(None, TOO_OLD)
        elif (then := read_seen(text)) is None or set(then) != set(self.stands):
            self.add_error(None, TOO_OLD)
        else:
            self.stands = then
        return text

    def named(self) -> dict[str, Any] | None:
        """Return panels and tests as wanted, for the action; None where they stay as they were."""
        given = self.cleaned_data
        if not given.get("named_seen"):
            return None
        wanted: dict[str, Any] = {
            "covered": list(given.get("covered") or ()),
            "missed": self._missed(given.get("missed") or ()),
            **{name: [*given[name], *self.unseen[name]] for name in TESTS},
        }
        shown = {name: set(self.initial[name]) for name in (*PANELS, *TESTS)}
        same = all({row.pk for row in given.get(n) or ()} == pks for n, pks in shown.items())
        if same and wanted["missed"] == {panel: self.whys[panel.pk] for panel in wanted["missed"]}:
            return None
        return {**wanted, "stands": self.stands}

    def _missed(self, panels: Any) -> Mapping[Panel, str]:
        """A panel that was missed before keeps its own reason, unless another is written now."""
        why = self.cleaned_data.get("missed_why", "")
        is_new = why != (self.initial.get("missed_why") or "")
        return {p: why if is_new else self.whys.get(p.pk, why) for p in panels}

    def changes(self) -> Changes:
        """Return the corrections of its columns."""
        found = super().changes()
        if (
            found.get("missed_why")
            and self.cleaned_data["missed_why"] == self.initial["missed_why"]
        ):
            del found["missed_why"]  # told of its panels already
        return found

    def clean(self) -> dict[str, Any]:
        """With panels named, it is not the whole pavement."""
        cleaned = super().clean()
        if cleaned.get("covered") or cleaned.get("missed"):
            self.row_values["covers_all"] = False
        return cleaned
