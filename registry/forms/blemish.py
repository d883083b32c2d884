"""The form of a blemish of the fresh surface."""

from typing import ClassVar

from registry.forms.load import OfADayForm
from registry.models import Blemish


class BlemishForm(OfADayForm):
    """What was seen where, and what was done on the spot."""

    plain: ClassVar[frozenset[str]] = frozenset({"note", "kind", "place", "fixed_how", "fixed_by"})

    class Meta:
        model = Blemish
        fields = ("kind", "place", "seen_at", "fixed", "fixed_how", "fixed_by", "note")
        help_texts = {"place": "panel and place in it: C8, 3 R, 5 U"}
