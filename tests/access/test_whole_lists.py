"""What is asked for whole lists, or for the rows of one page, is what is asked row by row.

Seats, times, states and pools fall by seeded dice; `rights_at` judges each pavement by itself.
"""

import random
from datetime import timedelta

import pytest
from django.db.models import Exists, OuterRef
from django.utils import timezone

from registry import access
from registry.access.all_defects import all_visible_defects, all_visible_observations
from registry.models import Fit, Outlook, Pavement, PavementState, Pool, PoolPlace, Seat
from registry.models.choices import Role
from registry.models.rights import KEEPERS, MAY, READERS_OF_ALL
from tests.factories import (
    MembershipFactory,
    ObservationFactory,
    OrganisationFactory,
    PavementFactory,
    SiteFactory,
    StandingFactory,
)

pytestmark = pytest.mark.django_db
PAVEMENTS, SEATS = 24, 150
NOW = timezone.now()
TO_COME = (NOW + timedelta(days=60)).date()
DAYS = [timedelta(days=n) for n in (-900, -400, -30, 30)]
STATES = [PavementState.IN_SERVICE] * 6 + [PavementState.SPLIT, PavementState.REMOVED]


@pytest.fixture(params=range(4))
def people(request):
    """Four people with seats by dice, one of them with work at two organisations."""
    dice = random.Random(request.param)
    sides = OrganisationFactory.create_batch(5)
    members = [MembershipFactory(organisation=side) for side in sides[:4]]
    MembershipFactory(person=members[0].person, organisation=sides[4])
    MembershipFactory(person=members[1].person, organisation=sides[4], to_at=NOW + DAYS[2])
    pools = [
        Pool.objects.create(organisation=side, name="p", is_own=is_own)
        for side, is_own in zip(sides, (False, True, False, True, False), strict=True)
    ]
    pavements = [_pavement(dice, pools) for _ in range(PAVEMENTS)]
    for double in dice.sample(pavements, 3):
        double.double_of = next(p for p in pavements if p != double)
        double.save(update_fields=["double_of"])
    seen = set()
    for _ in range(SEATS):
        seat = _seat(dice, pavements, sides)
        key = (seat.pavement_id, seat.organisation_id, seat.role)
        if seat.to_at is not None or key not in seen:  # one open seat of a kind
            seat.save()
            seen |= {key} if seat.to_at is None else set()
    return [member.person for member in members]


def _pavement(dice, pools):
    is_void = dice.random() < 0.1
    void = {"void_at": NOW, "void_why": "entered twice"} if is_void else {}
    row = PavementFactory(state=dice.choice(STATES), **void)
    for viewpoint in ("holder", "town"):
        StandingFactory(pavement=row, viewpoint=viewpoint)
    pool = dice.choice(pools)
    if dice.random() < 0.7:
        days = {"from_on": (NOW + dice.choice(DAYS)).date(), "to_on": dice.choice([None, TO_COME])}
        PoolPlace.objects.create(pavement=row, pool=pool, by_document="permit", **days)
    fit = Fit.objects.create(
        pool=pool,
        as_of_on=NOW.date(),
        input_digest="0",
        code_version="1",
        converged=True,
        parameters={},
    )
    Outlook.objects.create(
        pavement=row,
        fit=dice.choice([fit, None]),
        as_of_on=NOW.date(),
        worked_out_at=NOW,
        why_not="no test yet",
    )
    return row


def _seat(dice, pavements, sides):
    begun = NOW + dice.choice(DAYS)
    ends = [None, None, begun, begun + timedelta(days=60), begun + timedelta(days=500)]
    return Seat(
        pavement=dice.choice(pavements),
        organisation=dice.choice(sides),
        role=dice.choice(Role.values),
        from_at=begun,
        to_at=dice.choice(ends),
    )


def keys(rows):
    return sorted(rows.values_list("pk", flat=True))


def test_all_that_is_visible_is_what_is_visible_one_by_one(people):
    for person in people:
        found = keys(access.all_visible_pavements(person))
        seats = access.seats_of(person).filter(role__in=MAY["read"], pavement=OuterRef("pk"))
        assert found == keys(Pavement.objects.filter(Exists(seats), void_at=None))
        assert found == keys(access.visible_pavements(person))
        assert found == [p.pk for p in _standing() if _rights_read(person, p)]
        assert 0 < len(found) < PAVEMENTS


def _standing():
    return Pavement.objects.filter(void_at=None).order_by("pk")


def _rights_read(person, pavement):
    return any(seat.role in MAY["read"] for seat in access.rights_at(person, pavement).seats)


@pytest.mark.parametrize("roles", [READERS_OF_ALL, KEEPERS, {Role.MUNICIPALITY}, {Role.SWEEPER}])
def test_what_is_held_among_a_few_is_what_of_all_held_is_among_them(people, roles):
    few = _few()
    for person in people:
        held = access.pavements_held_as(person, roles)
        assert keys(access.pavements_held_as(person, roles, few)) == keys(held.filter(pk__in=few))
        counted = _standing().counted_once()
        assert keys(held) == [
            p.pk for p in counted if access.rights_at(person, p).roles & set(roles)
        ]


def test_conditions_and_outlooks_of_a_few_are_those_of_all_that_are_theirs(people):
    few = _few()
    for person in people:
        roles = access.open_roles(person)
        standings, outlooks = access.seen_standings(person, roles), access.seen_outlooks(person)
        of_few = access.seen_standings(person, roles, few)
        assert keys(of_few) == keys(standings.filter(pavement__in=few))
        of_few = access.seen_outlooks(person, few)
        assert keys(of_few) == keys(outlooks.filter(pavement__in=few))
        counted = list(_standing().counted_once())
        views = ((p.pk, access.viewpoint_of(person, p)) for p in counted)
        shown = standings.order_by("pavement").values_list("pavement", "viewpoint")
        assert list(shown) == [(pk, view) for pk, view in views if view]
        pools = Pool.objects.filter(organisation__in=access.organisations_of(person), is_own=False)
        read = {p.pk for p in counted if access.rights_at(person, p).roles & READERS_OF_ALL}
        joined = {
            o.pavement_id
            for o in Outlook.objects.filter(fit__pool__in=pools).select_related("fit")
            for place in PoolPlace.objects.filter(pavement=o.pavement_id, pool=o.fit.pool_id)
            if place.from_on <= NOW.date()
        }
        assert set(outlooks.values_list("pavement", flat=True)) == read | joined


def _few():
    return [pk for pk in Pavement.objects.values_list("pk", flat=True) if pk % 3]


def test_among_none_nothing_is_found(people):
    for person in people:
        roles = access.open_roles(person)
        assert not access.pavements_held_as(person, READERS_OF_ALL, []).exists()
        assert not access.seen_standings(person, roles, []).exists()
        assert not access.seen_outlooks(person, []).exists()


def test_defects_and_looks_of_a_thousand_warranties_are_listed():
    """A condition for each seat would be deeper than a database takes (SQLite: 1 000)."""
    member = MembershipFactory()
    site = SiteFactory()
    lots = Pavement.objects.bulk_create(
        [PavementFactory.build(site=site, name=f"Lot {n}") for n in range(1001)]
    )
    last, seen = NOW.date() + DAYS[3], NOW.date() + DAYS[2]
    given = {"organisation": member.organisation, "role": Role.CONTRACTOR, "from_at": NOW + DAYS[0]}
    Seat.objects.bulk_create(
        [Seat(pavement=lot, warranty_last_on=last, **given) for lot in lots[:-1]]
    )
    for lot in (lots[0], lots[-1]):
        look = ObservationFactory(defect__pavement=lot, defect__first_seen_on=seen, seen_on=seen)
    assert look.defect.pavement == lots[-1]
    assert [row.pavement for row in all_visible_defects(member.person)] == lots[:1]
    looks = all_visible_observations(member.person)
    assert [row.defect.pavement for row in looks.select_related("defect__pavement")] == lots[:1]
