"""Settings of organisations -> the thresholds of the condition word at a pavement on a day.

What the municipality sets (its permit) wins at each threshold, from both viewpoints. Where it sets
none, the holder's word goes by what the manager sets, then the owner; the town's word by the usual
value, so that nobody loosens by a setting of its own how the town judges it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from registry.gathering.work_limits import settings_on
from registry.measuring.word_limits import Threshold, WordLimits
from registry.models import Pavement, RuleSetting, Seat
from registry.models.choices import Role
from registry.models.rule import WORD_LIMITS

WHOSE = {
    "holder": (Role.MUNICIPALITY, Role.MANAGER, Role.OWNER),
    "town": (Role.MUNICIPALITY,),
}
"""By viewpoint, the seats whose settings count; of each threshold the first one's that sets it."""


@dataclass(frozen=True)
class Ruling:
    """The thresholds set at one pavement, with the seats of those who set them, oldest first."""

    pavement: Pavement
    viewpoint: str
    settings: tuple[RuleSetting, ...] = ()
    seats: tuple[Seat, ...] = ()

    def on(self, day: date) -> WordLimits:
        """Return the thresholds of a day. A seat that ends that day counts no longer."""
        found: dict[str, RuleSetting] = {}
        for organisation in self._in_order(day):
            own = (row for row in self.settings if row.organisation_id == organisation)
            found = settings_on(own, self.pavement.pk, day) | found
        return WordLimits(
            **{name: Threshold(row.value, row.source_document) for name, row in found.items()}
        )

    def changes_after(self, day: date) -> date | None:
        """Return the first later day on which a setting, or a seat that has any, begins or ends."""
        days = [d for row in self.settings for d in (row.from_on, row.to_on)]
        days += [self._day(at) for seat in self.seats for at in (seat.from_at, seat.to_at)]
        return min((d for d in days if d is not None and d > day), default=None)

    def _in_order(self, day: date) -> list[int]:
        held = [seat for seat in self.seats if self._holds(seat, day)]
        return [
            seat.organisation_id
            for role in WHOSE[self.viewpoint]
            for seat in held
            if seat.role == role
        ]

    def _holds(self, seat: Seat, day: date) -> bool:
        begun, ended = self._day(seat.from_at), self._day(seat.to_at)
        return begun is not None and begun <= day and (ended is None or day < ended)

    def _day(self, at: datetime | None) -> date | None:
        return at.astimezone(ZoneInfo(self.pavement.site.time_zone)).date() if at else None


def settings_asked(pavement: Pavement, viewpoint: str) -> QuerySet[RuleSetting]:
    """Return the query for the thresholds set by whoever counts from a viewpoint, at any time."""
    setters = seats_asked(pavement, viewpoint).values("organisation")
    return RuleSetting.objects.standing().filter(name__in=WORD_LIMITS, organisation__in=setters)


def seats_asked(pavement: Pavement, viewpoint: str) -> QuerySet[Seat]:
    """Return the query for the seats whose settings count from a viewpoint, at any time."""
    return Seat.objects.filter(pavement=pavement, section=None, role__in=WHOSE[viewpoint])


def ruling_of(
    pavement: Pavement, viewpoint: str, settings: Iterable[RuleSetting], seats: Iterable[Seat]
) -> Ruling:
    """Return the ruling from rows already fetched; seats of those who set nothing are left out."""
    given = tuple(settings)
    setters = {row.organisation_id for row in given}
    of_them = (seat for seat in seats if seat.organisation_id in setters)
    ordered = sorted(of_them, key=lambda seat: (seat.from_at, seat.pk))
    return Ruling(pavement, viewpoint, given, tuple(ordered))


def find_ruling(pavement: Pavement, viewpoint: str) -> Ruling:
    """Return the ruling at a pavement: one query, and one more where anything is set."""
    settings = list(settings_asked(pavement, viewpoint))
    seats = seats_asked(pavement, viewpoint) if settings else ()
    return ruling_of(pavement, viewpoint, settings, seats)
