"""Who sees defects, looks and visits over all pavements: what each pavement’s page shows.

Conditions are written for all seats together, since a person may hold thousands of them; the rule
of one pavement by itself is `models.sight`. A pavement that was split or stands twice is listed to
its readers once: in its parts, and in the entry that is kept.
"""

from collections.abc import Collection
from typing import TypeVar
from zoneinfo import ZoneInfo

from django.db.models import BooleanField, Exists, ExpressionWrapper, OuterRef, Q, QuerySet
from django.db.models.functions import TruncDate
from django.utils import timezone

from registry.access.holding import (
    all_visible_pavements,
    of_own_side,
    pavements_held_as,
    seats_of,
)
from registry.models import Callback, CallbackAttachment, Defect, Observation, Person, Seat, Visit
from registry.models.choices import Role
from registry.models.defect import DefectQuerySet
from registry.models.entry import EntryQuerySet
from registry.models.observation import ObservationQuerySet
from registry.models.pavement import ENDED
from registry.models.rights import KEEPERS, READERS_OF_ALL
from registry.models.seat import SeatQuerySet
from registry.models.sight import NOTHING
from registry.models.visit import VisitQuerySet
from registry.once import kept

Rows = TypeVar("Rows", bound=QuerySet)


def all_visible_defects(person: Person, among: Collection[int] | None = None) -> DefectQuerySet:
    """Return the defects a person may see over all their pavements, or over those `among` them.

    Where seats differ from place to place, each pavement's own rule holds: readers of all see
    all there, a municipality what was sent to it, a contractor what was found while its warranty
    runs or its callback is open, everybody what their own side wrote.
    """
    shown = _shown(person, "pavement") | _entered_before_the_end(person, "pavement")
    if _held(person, {Role.CONTRACTOR}):
        part = Q(section=None) | Q(section=OuterRef("section"))
        part |= Q(section=OuterRef("panel__section"))
        here = _contractors(person).filter(part, pavement=OuterRef("pavement"))
        running = here.filter(_runs(person), warranty_last_on__gte=OuterRef("first_seen_on"))
        shown |= Q(Exists(running)) | Q(Exists(here.filter(_waited_for())))
        shown |= _attached(person, "defect")
    rows = Defect.objects.filter(_read_or(person, shown, "pavement", among))
    return _of(rows, among, "pavement")


def all_visible_observations(
    person: Person, among: Collection[int] | None = None
) -> ObservationQuerySet:
    """Return the looks a person may see over all their pavements, as `all_visible_defects`.

    `among`, ids of pavements, leaves all others out before any seat is looked at.
    """
    at = "defect__pavement"
    shown = _look_shown(person) & Q(defect__in=all_visible_defects(person, among).values("pk"))
    return _of(Observation.objects.filter(_read_or(person, shown, at, among)), among, at)


def looks_of_listed(person: Person) -> ObservationQuerySet:
    """Return the looks a person may see of defects that they see: no door of its own.

    For subqueries on rows of `all_visible_defects` alone, which need not ask the rule of the
    defect and its pavement once more for each look.
    """
    shown = _look_shown(person)
    if _held(person, READERS_OF_ALL):
        readers = pavements_held_as(person, READERS_OF_ALL).values("pk")
        shown |= Q(defect__pavement__in=readers)
    return Observation.objects.filter(shown)


def _look_shown(person: Person) -> Q:
    """The rule of the look itself, where one does not read all."""
    at = "defect__pavement"
    shown = _shown(person, at) | _entered_before_the_end(person, at)
    if _held(person, {Role.CONTRACTOR}):
        here = _contractors(person).filter(pavement=OuterRef(at))
        running = here.filter(_runs(person), warranty_last_on__gte=OuterRef("seen_on"))
        shown |= Q(Exists(running)) | Q(Exists(here.filter(_waited_for())))
        shown |= Q(defect__in=_attachments(person, "defect").values("defect"))
    return shown


def all_visible_visits(person: Person, among: Collection[int] | None = None) -> VisitQuerySet:
    """Return the visits a person may see over all their pavements, as `all_visible_defects`.

    A contractor of one section sees none, since a visit is of the whole pavement.
    """
    shown = _shown(person, "pavement") | _done_before_the_end(person)
    if _held(person, {Role.CONTRACTOR}):
        here = _contractors(person).filter(section=None, pavement=OuterRef("pavement"))
        running = here.filter(_runs(person), warranty_last_on__gte=OuterRef("done_on"))
        shown |= Q(Exists(running)) | Q(Exists(here.filter(_waited_for())))
        shown |= _attached(person, "visit")
    rows = Visit.objects.filter(_read_or(person, shown, "pavement", among))
    return _of(rows, among, "pavement")


def _of(rows: Rows, among: Collection[int] | None, at: str) -> Rows:
    return rows if among is None else rows.filter(**{f"{at}__in": among})


def _read_or(person: Person, shown: Q, at: str, among: Collection[int] | None = None) -> Q:
    """All where one reads all; elsewhere what is `shown`. at: the column of the pavement."""
    visible = _of(all_visible_pavements(person), among, "pk").values("pk")
    shown &= Q(**{f"{at}__in": visible})
    if not _held(person, READERS_OF_ALL):
        return shown
    readers = pavements_held_as(person, READERS_OF_ALL, among).values("pk")
    return Q(**{f"{at}__in": readers}) | shown


def _shown(person: Person, at: str) -> Q:
    """One's own side's for ever; to a municipality what was submitted."""
    own = of_own_side(person, at)
    if not _held(person, {Role.MUNICIPALITY}):
        return own
    if _roles(person) == {(Role.MUNICIPALITY, False)}:  # then it reviews all that it sees
        reviewed = ~Q(**{f"{at}__state__in": ENDED}) & Q(**{f"{at}__double_of": None})
    else:
        reviewed = Q(**{f"{at}__in": pavements_held_as(person, {Role.MUNICIPALITY}).values("pk")})
    return (Q(submitted_on__isnull=False) & reviewed) | own


def _former(person: Person, at: str) -> tuple[SeatQuerySet, Q]:
    """Return seats of a keeper that ended at the row's pavement, and that nothing reads all now."""
    ended = seats_of(person).filter(role__in=KEEPERS, to_at__isnull=False, pavement=OuterRef(at))
    held = seats_of(person).held_at(timezone.now()).filter(role__in=READERS_OF_ALL)
    return ended, ~Q(Exists(held.filter(pavement=OuterRef(at))))


def _entered_before_the_end(person: Person, at: str) -> Q:
    if not _held(person, KEEPERS, ended=True):
        return NOTHING
    ended, none_now = _former(person, at)
    return Q(Exists(ended.filter(to_at__gt=OuterRef("entered_at")))) & none_now


def _done_before_the_end(person: Person) -> Q:
    """As `models.sight.before`, by the day at each site; the clock decides on the day itself."""
    if not _held(person, KEEPERS, ended=True):
        return NOTHING
    ended, none_now = _former(person, "pavement")
    clock = Q(Exists(ended.filter(to_at__gt=OuterRef("started_at"))))
    came = Q(Exists(ended.filter(to_at__gt=OuterRef("entered_at"))), started_at=None)
    shown = Q(pk__in=())
    for zone in _zones(ended_by=person):
        days = ended.annotate(day=TruncDate("to_at", tzinfo=ZoneInfo(zone)))
        on_the_day = Q(Exists(days.filter(day=OuterRef("done_on")))) & (clock | came)
        past = Q(Exists(days.filter(day__gt=OuterRef("done_on")))) | on_the_day
        shown |= Q(pavement__site__time_zone=zone) & past
    return shown & none_now


def _zones(*, ended_by: Person) -> list[str]:
    """Return the time zones of the sites at which a person's side once was a keeper."""

    def fetch() -> list[str]:
        return _zones_at(seats_of(ended_by).filter(role__in=KEEPERS, to_at__isnull=False))

    return kept(("zones once kept", ended_by.pk), fetch)


def _zones_at(seats: SeatQuerySet) -> list[str]:
    zones = seats.order_by("pavement__site__time_zone").values_list("pavement__site__time_zone")
    return [zone for (zone,) in zones.distinct()]


def _held(person: Person, roles: Collection[str], *, ended: bool = False) -> bool:
    """Say whether one's side ever held such a seat, with an end where `ended`."""
    return any(role in roles and (has_end or not ended) for role, has_end in _roles(person))


def _roles(person: Person) -> set[tuple[str, bool]]:
    """Return the roles that one's side holds or held, each with and without an end."""

    def fetch() -> set[tuple[str, bool]]:
        has_end = ExpressionWrapper(Q(to_at__isnull=False), output_field=BooleanField())
        rows = seats_of(person).annotate(has_end=has_end).order_by().values_list("role", "has_end")
        return set(rows.distinct())

    return kept(("seats by role and end", person.pk), fetch)


def _contractors(person: Person) -> SeatQuerySet:
    """Return the seats held now as contractor."""
    now = timezone.now()
    return seats_of(person, now).held_at(now).filter(role=Role.CONTRACTOR)


def _runs(person: Person) -> Q:
    """The warranty of a seat runs today, by the day at its site."""
    now, runs = timezone.now(), Q(pk__in=())
    for zone in _zones_of_work(person):
        today = now.astimezone(ZoneInfo(zone)).date()
        runs |= Q(pavement__site__time_zone=zone, warranty_last_on__gte=today)
    return runs


def _zones_of_work(person: Person) -> list[str]:
    """Return the time zones of the sites where a person's side is a contractor with a warranty."""

    def fetch() -> list[str]:
        return _zones_at(_contractors(person).filter(warranty_last_on__isnull=False))

    return kept(("zones of work", person.pk), fetch)


def _waited_for() -> Q:
    """A callback at the pavement of a seat waits for its holder."""
    rows = Callback.objects.open()
    return Q(
        Exists(rows.filter(contractor=OuterRef("organisation"), pavement=OuterRef("pavement")))
    )


def _attached(person: Person, column: str) -> Q:
    return Q(pk__in=_attachments(person, column).values(column))


def _attachments(person: Person, column: str) -> EntryQuerySet:
    """Return what is attached to callbacks that one's side answers or answered, for ever."""
    once = Seat.objects.filter(
        pk__in=seats_of(person).filter(role=Role.CONTRACTOR).values("pk"),
        organisation=OuterRef("callback__contractor"),
        pavement=OuterRef(f"{column}__pavement"),
    )
    return CallbackAttachment.objects.standing().filter(
        Exists(once), **{f"{column}__isnull": False}
    )
