"""Forms of pools: set one up, let a pavement join or leave."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django import forms

from registry.forms.one_line import check_one_line
from registry.forms.quantity import DayField
from registry.models import Pool


class PoolForm(forms.Form):
    """A pool is known by its name."""

    name = forms.CharField(label="name of the pool", max_length=160, validators=[check_one_line])


class JoinForm(forms.Form):
    """By which consent or permit a pavement joins a pool, and from which day."""

    pool = forms.ChoiceField(label="pool")
    by_document = forms.CharField(
        label="by consent or permit",
        max_length=200,
        validators=[check_one_line],
        help_text="Who agreed, its date and number: “consent of the owner, 2026-06-01”.",
    )
    from_on = DayField(label="from")

    def __init__(self, *args: Any, pools: Iterable[Pool], today: date, **options: Any) -> None:
        options.setdefault("initial", {"from_on": today})
        super().__init__(*args, **options)
        self.pools = {str(pool.pk): pool for pool in pools}
        self.fields["pool"].choices = [
            (pk, f"{pool}, run by {pool.organisation}") for pk, pool in self.pools.items()
        ]

    def clean_pool(self) -> Pool:
        """Return the pool chosen."""
        return self.pools[self.cleaned_data["pool"]]
