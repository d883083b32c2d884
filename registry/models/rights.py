"""What each role may do at a pavement, and the rights that a set of seats adds up to.

Kept beside the seats, since actions need it to refuse what a page should never have offered;
who holds which seat, and so which rows a person gets, is for `registry.access` alone.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from registry.models.choices import Role
from registry.models.organisation import Organisation
from registry.models.pavement import Pavement, PavementState
from registry.models.seat import Seat

READERS_OF_ALL = frozenset({Role.OWNER, Role.MANAGER, Role.BUYER, Role.EVALUATOR})
"""Roles that read every test and cleaning of the pavement."""

KEEPERS = frozenset({Role.OWNER, Role.MANAGER})
"""Roles that keep a copy of their own period after their seat has ended."""

MAY: dict[str, frozenset[str]] = {
    "read": frozenset(Role.values) - {Role.PRODUCER},
    "edit": KEEPERS,
    "record_test": frozenset({Role.MANAGER, Role.TESTER, Role.MUNICIPALITY, Role.OWNER}),
    "record_cleaning": frozenset({Role.MANAGER, Role.SWEEPER, Role.OWNER}),
    "order_cleaning": KEEPERS,
    "record_acceptance": frozenset({Role.CONTRACTOR}),
    "record_placing": frozenset({Role.CONTRACTOR}),
    "record_raveling": KEEPERS | {Role.CONTRACTOR, Role.EVALUATOR, Role.TESTER},
    "record_core": KEEPERS | {Role.CONTRACTOR, Role.EVALUATOR},
    "record_warranty": KEEPERS | {Role.CONTRACTOR},
    "record_winter": KEEPERS,
    "record_repair": KEEPERS | {Role.CONTRACTOR},
    "receive_callback": KEEPERS | {Role.CONTRACTOR},
    "hand_over": KEEPERS | {Role.CONTRACTOR},
    "record_visit": frozenset({Role.MANAGER, Role.TESTER, Role.MUNICIPALITY, Role.OWNER}),
    "record_defect": frozenset({Role.MANAGER, Role.MUNICIPALITY, Role.OWNER}),
    "add_photo": frozenset(Role.values) - {Role.PRODUCER, Role.BUYER},
    "set_criteria": frozenset({Role.MUNICIPALITY}),
    "set_condition": frozenset({Role.OWNER, Role.MANAGER, Role.MUNICIPALITY}),
    "submit": KEEPERS,
    "sell": frozenset({Role.OWNER, Role.MUNICIPALITY}),
    "split": frozenset({Role.OWNER, Role.MUNICIPALITY}),
    "appoint": KEEPERS,
    "print": frozenset({Role.OWNER, Role.MANAGER, Role.TESTER, Role.MUNICIPALITY, Role.CONTRACTOR}),
}
"""Who may do what at a pavement, by role of an open seat. A criteria set of a pavement that no
municipality reviews is its owner's or manager's to write (see `access.may`)."""

WHEN_SPLIT = frozenset({"read", "print"})
"""What may still be done at a pavement that was split: its parts carry the record on."""

_BELOW = frozenset({Role.TESTER, Role.SWEEPER, Role.CONTRACTOR, Role.EVALUATOR, Role.BUYER})
APPOINTS: dict[str, frozenset[str]] = {Role.OWNER: _BELOW | {Role.MANAGER}, Role.MANAGER: _BELOW}
"""Whom a role appoints. An owner comes by deed, a municipality by permit: nobody appoints them.
A manager appoints no second manager: that is the owner's choice."""


@dataclass(frozen=True)
class Rights:
    """What a person may do at one pavement: the seats they hold now and held before.

    `today` is the day at the site, at the instant `at`.
    """

    seats: tuple[Seat, ...]
    at: datetime
    today: date
    is_split: bool = False

    @property
    def open_seats(self) -> tuple[Seat, ...]:
        """Return the seats held now."""
        return tuple(s for s in self.seats if s.is_held_at(self.at))

    @property
    def roles(self) -> frozenset[str]:
        """Return the roles held now."""
        return frozenset(s.role for s in self.open_seats)

    @property
    def organisations(self) -> frozenset[int]:
        """Return the ids of the organisations through which a seat is or was held."""
        return frozenset(s.organisation_id for s in self.seats)

    @property
    def past_until(self) -> datetime | None:
        """Return the end of the latest seat as owner or manager where nothing open reads all."""
        if self.roles & READERS_OF_ALL:
            return None
        ends = [s.to_at for s in self.seats if s.to_at and s.role in KEEPERS]
        return max(ends, default=None)

    @property
    def viewpoint(self) -> str | None:
        """Return "holder", "town" or None: from which readings a condition may be shown."""
        if self.roles & READERS_OF_ALL:
            return "holder"
        return "town" if Role.MUNICIPALITY in self.roles else None

    @property
    def last_end(self) -> datetime | None:
        """Return the end of the last seat where none is open."""
        if self.open_seats:
            return None
        return max((s.to_at for s in self.seats if s.to_at), default=None)

    @property
    def sees_criteria(self) -> bool:
        """Say whether design criteria may be shown; a tester or sweeper sees the plan alone.

        Where no seat is open, those held before decide: the end of a seat shows nothing new.
        """
        roles = self.roles or {seat.role for seat in self.seats}
        return bool(roles - {Role.TESTER, Role.SWEEPER, Role.PRODUCER})

    @property
    def appoints(self) -> frozenset[str]:
        """Return the roles that may be given to others."""
        if self.is_split:
            return frozenset()
        return frozenset().union(*(APPOINTS.get(role, frozenset()) for role in self.roles))

    def appointing(self, role: str) -> Organisation | None:
        """Return the organisation whose open seat gives a role to others."""
        if role not in self.appoints:
            return None
        return next(s.organisation for s in self.open_seats if role in APPOINTS.get(s.role, ()))

    def ending(self, seat: Seat) -> Organisation | None:
        """Return the organisation that ends a seat: its holder, or one that gives such seats.

        None where these rights end it not at all: an owner's seat ends by its deed, a
        municipality's by its permit.
        """
        if seat.role in (Role.OWNER, Role.MUNICIPALITY) or seat.to_at is not None:
            return None
        if seat.pk in {held.pk for held in self.open_seats}:
            return seat.organisation
        return self.appointing(seat.role)

    def may(self, what: str) -> bool:
        """Say whether an open seat allows it."""
        return self.organisation_for(what) is not None

    def organisation_for(self, what: str) -> Organisation | None:
        """Return the organisation through whose seat it is allowed."""
        if self.is_split and what not in WHEN_SPLIT:
            return None
        allowing = (s for s in self.open_seats if s.role in MAY[what])
        return next((s.organisation for s in allowing if self._is_in_time(s, what)), None)

    def _is_in_time(self, seat: Seat, what: str) -> bool:
        """A contractor whose warranty is over reads on but writes no acceptance."""
        last = seat.warranty_last_on
        return what != "record_acceptance" or last is None or self.today <= last


def rights_of(seats: Iterable[Seat], pavement: Pavement, at: datetime) -> Rights:
    """Return what seats held at a pavement add up to at an instant."""
    today = at.astimezone(ZoneInfo(pavement.site.time_zone)).date()
    return Rights(tuple(seats), at, today, is_split=pavement.state == PavementState.SPLIT)
