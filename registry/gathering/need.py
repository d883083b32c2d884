"""One line of what needs a person now."""

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from registry.models import Pavement


@dataclass(frozen=True)
class Need:
    """One line: `by_on` is a date, or None where `by_words` says by when.

    `kind` parts the lines without a date: "visit", "claim", "order", "condition", "doubts", "dirt"
    or "sent_in". `row_id` is the pavement's; `page` and `page_id` name the thing's own page.
    """

    what: str
    why: str
    pavement_name: str
    site_name: str
    row_id: int
    kind: str = ""
    by_on: date | None = None
    by_words: str = ""
    days: int | None = None
    word: str = ""
    page: str = ""
    page_id: int = 0


def days_to(on: date | None, at: datetime | None, zone: str) -> int | None:
    """Return the days from an instant, by the clock of a place, to a day; None without either."""
    if on is None or at is None:
        return None
    return (on - at.astimezone(ZoneInfo(zone)).date()).days


def line_of(
    what: str,
    why: str,
    pavement: Pavement,
    *,
    on: date | None = None,
    at: datetime | None = None,
    kind: str = "",
    by_words: str = "",
    word: str = "",
) -> Need:
    """Return a line about a pavement, dated by the clock of its site."""
    return Need(
        what=what,
        why=why,
        pavement_name=pavement.name,
        site_name=pavement.site.name,
        row_id=pavement.pk,
        kind=kind,
        by_on=on,
        by_words=by_words,
        days=days_to(on, at, pavement.site.time_zone),
        word=word,
    )
