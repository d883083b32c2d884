"""Refuse an entry of something done on a day that has not come yet where the pavement lies."""

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.utils import timezone

from registry.faults import DomainError
from registry.models import Pavement
from registry.models.entry import Entry

DONE_ON = {
    "infiltrationtest": ("started_on", "An infiltration test"),
    "cleaning": ("done_on", "A cleaning"),
    "visit": ("done_on", "A visit"),
    "defect": ("first_seen_on", "A defect"),
    "observation": ("seen_on", "A look"),
}
"""Kind of entry -> the field that holds its day, and what to call it."""


class DayAhead(DomainError):
    """The day of an entry has not come yet at its site."""


def refuse_days_ahead(row: Entry, *, now: datetime | None = None) -> None:
    """Raise DayAhead where what the row tells is dated after today at the site.

    The site's clock rules, not the server's: just after midnight in UTC it is still yesterday in
    a town west of it. An entry whose kind has no such day passes.
    """
    if row._meta.model_name not in DONE_ON:
        return
    field, called = DONE_ON[row._meta.model_name]
    done_on: date | None = getattr(row, field)
    about: Any = getattr(row, "defect", row)  # each kind of DONE_ON hangs on a pavement
    pavement: Pavement = about.pavement
    today = (now or timezone.now()).astimezone(ZoneInfo(pavement.site.time_zone)).date()
    if done_on is not None and done_on > today:
        raise DayAhead(
            f"{done_on} lies ahead: today is {today} at the site. {called} is written down once "
            "it was done."
        )
