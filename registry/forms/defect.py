"""Forms of a defect: where it lies, whether it is known, its moves and its links."""

from collections.abc import Iterable
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.entry import PartForm
from registry.forms.quantity import DayField
from registry.forms.reason import ReasonForm
from registry.models import Defect, DefectLink
from registry.models.defect import DefectQuerySet
from registry.units import Kind, unit_sign

NEW = "new"
"""What is decided where none of the known defects is meant."""

MOST_WHY = 240


class DefectForm(PartForm):
    """A defect at a place typed in the words of the plan's scheme.

    It asks no remark: the one of its first look stands beside it, and two of one name lost one.
    """

    plain = frozenset({"place", "placed_by", "causes"})
    groups = (
        ("Where", ("place", "placed_by", "section", "on_accessible_route")),
        ("What else is known of it", ("known_before", "other_number", "causes")),
    )

    class Meta:
        model = Defect
        fields = (
            "place", "placed_by", "section", "on_accessible_route", "known_before",
            "other_number", "causes",
        )  # fmt: skip

    def __init__(self, *args: Any, has_plan: bool, **options: Any) -> None:
        super().__init__(*args, **options)
        field = self.fields["place"]
        field.required = True
        unit = unit_sign(Kind.LENGTH, self.chosen_system)
        field.help_text = (
            f"In {unit}: C8 · 3.2 R · 8.5 U, C8 · 0-4 R · 2-9 U, C4 whole, C8|B8 U 1-10, a line "
            "A3, from R 0 U 5.8 to R 11.5 U 6.1, 1+42.5 L 3.0 on a path, g(2,1) on pavers."
            if has_plan
            else "No plan is drawn, so that any words are kept as written. Draw a plan soon."
        )
        self.fields["causes"].widget.attrs["rows"] = 2
        self.fields["section"].help_text = "Left alone where a panel is named: its section counts."
        self.fields["placed_by"].required = True


class DefectCorrectForm(DefectForm):
    """A known defect, to be put right; its kind is not: void it and note it anew."""

    plain = DefectForm.plain | {"note"}

    first_seen_on = DayField(label="first seen")

    class Meta:
        model = Defect
        fields = ("first_seen_on", *DefectForm.Meta.fields, "note")


class SameForm(forms.Form):
    """A person decides whether what was seen is known already; nothing is chosen beforehand."""

    same = forms.ChoiceField(label="which is it", widget=forms.RadioSelect)

    def __init__(self, *args: Any, offered: list[tuple[int, str, str]], **options: Any) -> None:
        super().__init__(*args, **options)
        choices = []
        for pk, name, relation in offered:
            if relation != DefectLink.Relation.RECURS:
                choices.append((f"same-{pk}", f"the same as {name}: this is a new look at it"))
            choices.append((f"recurs-{pk}", f"{name} has come back: a new defect, linked to it"))
            if relation != DefectLink.Relation.RECURS:
                choices.append((f"part_of-{pk}", f"a new one that is part of {name}"))
        choices.append((NEW, "none of them: a new defect"))
        self.fields["same"].choices = choices

    @property
    def decided(self) -> tuple[str, int | None]:
        """Return the relation, empty for a new one, and the id of the known defect."""
        relation, _, pk = self.cleaned_data["same"].partition("-")
        return ("", None) if relation == NEW else (relation, int(pk))


class MoveForm(forms.Form):
    """What may follow, and the way back to where it was, with a reason.

    What becomes part of another is linked to it instead, so that nobody has to ask of which.
    """

    to = forms.ChoiceField(label="to")
    on = DayField(label="on")
    why = forms.CharField(
        label="because",
        max_length=MOST_WHY,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Needed for a way back.",
    )

    def __init__(
        self, *args: Any, following: Iterable[str], earlier: Iterable[str], **options: Any
    ) -> None:
        super().__init__(*args, **options)
        words = dict(Defect._meta.get_field("state").flatchoices)
        forward = [(code, words[code]) for code in following if code != "part_of"]
        back = [(f"back-{code}", f"back to {words[code]}") for code in dict.fromkeys(earlier)]
        self.fields["to"].choices = [("", "choose"), *forward, *back]

    def clean(self) -> dict[str, Any]:
        """Ask for the reason of a way back."""
        cleaned = super().clean() or self.cleaned_data
        if str(cleaned.get("to", "")).startswith("back-") and not cleaned.get("why"):
            self.add_error("why", "Say why it goes back.")
        return cleaned

    @property
    def given(self) -> dict[str, Any]:
        """Return what the action takes."""
        state = self.cleaned_data["to"]
        return {
            "to_state": state.removeprefix("back-"),
            "is_back": state.startswith("back-"),
            "on": self.cleaned_data["on"],
            "why": self.cleaned_data["why"],
        }


class LinkForm(ReasonForm):
    """What this defect is to another of the same pavement."""

    relation = forms.ChoiceField(label="this one is", choices=DefectLink.Relation.choices)
    other = forms.IntegerField(label="defect no.", min_value=1, max_value=10**9)
    on = DayField(label="decided on")
    closed = forms.ChoiceField(label="or the one closed before the split", required=False)
    field_order = ("relation", "other", "closed", "on", "why")

    def __init__(
        self,
        *args: Any,
        others: DefectQuerySet,
        closed: Iterable[Defect] = (),
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.others = others
        self.closed_before = {str(row.pk): row for row in closed}
        if self.closed_before:
            named = [(pk, _closed_name(row)) for pk, row in self.closed_before.items()]
            self.fields["closed"].choices = [("", "none of them"), *named]
            self.fields["closed"].help_text = "It can only recur at the place of such a one."
            self.fields["other"].required = False
        else:
            del self.fields["closed"]
        self.fields["why"].required = False
        self.fields["why"].max_length = MOST_WHY
        self.fields["other"].widget.attrs.update(inputmode="numeric")

    def clean_other(self) -> Defect | None:
        """Find the defect of that number among those that are shown."""
        number = self.cleaned_data["other"]
        if number is None:
            return None
        found: Defect | None = self.others.filter(number=number).first()
        if found is None:
            raise ValidationError(f"There is no defect no. {number} on this pavement.")
        return found

    def clean(self) -> dict[str, Any]:
        """Take one of this pavement, or one closed before its split."""
        cleaned = super().clean() or self.cleaned_data
        chosen = self.closed_before.get(cleaned.pop("closed", ""))
        if chosen is not None and cleaned.get("other") is not None:
            raise ValidationError("Name one other defect, not two.")
        if chosen is not None:
            cleaned["other"] = chosen
        elif "other" in cleaned and cleaned["other"] is None:
            self.add_error("other", "Say which defect it is linked to.")
        return cleaned


def _closed_name(row: Defect) -> str:
    where = row.place or row.panels_text or "no place written"
    return f"{row.pavement}, no. {row.number}: {row.get_kind_display()}, {where}"
