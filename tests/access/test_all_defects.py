"""Lists of defects, looks and visits over all pavements are those of each pavement by itself.

Seats, warranties, callbacks, sections and hours fall by seeded dice, in three time zones.
"""

import random
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.access.all_defects import (
    all_visible_defects,
    all_visible_observations,
    all_visible_visits,
    looks_of_listed,
)
from registry.access.callbacks import visible_repairs
from registry.access.defects import visible_defects, visible_observations, visible_visits
from registry.access.holding import sees
from registry.access.recurring import all_visible_repairs
from registry.models import Pavement, Seat
from registry.models.choices import Role
from tests import factories as made
from tests import placing_factories as placed

pytestmark = pytest.mark.django_db
NOW = timezone.now()
TODAY = NOW.date()
PAIRS = (
    (all_visible_defects, visible_defects),
    (all_visible_observations, visible_observations),
    (all_visible_visits, visible_visits),
    (all_visible_repairs, visible_repairs),
)
ZONES = ("America/Los_Angeles", "Europe/Berlin", "Pacific/Auckland")
ROLES = [*Role.values, *[Role.CONTRACTOR] * 5, *[Role.OWNER] * 2]


@pytest.fixture(params=range(4))
def people(request):
    """Three people at eighteen pavements, one of them with work at two organisations; a town's."""
    dice = random.Random(request.param)
    sides = made.OrganisationFactory.create_batch(4)
    members = [made.MembershipFactory(organisation=side) for side in sides[:3]]
    made.MembershipFactory(person=members[0].person, organisation=sides[3])
    for nth in range(18):
        void = {"void_at": NOW, "void_why": "entered twice"} if nth == 0 else {}
        site = made.SiteFactory(time_zone=ZONES[nth % 3])
        _at(dice, made.PavementFactory(site=site, **void), sides)
    return [*(member.person for member in members), _town(dice)]


def _town(dice):
    """One whose side reviews alone, everywhere that it sees."""
    member = made.MembershipFactory()
    for row in Pavement.objects.order_by("pk"):
        seat = {"pavement": row, "organisation": member.organisation, "role": Role.MUNICIPALITY}
        if dice.random() < 0.7:
            made.SeatFactory(**seat, from_at=NOW - timedelta(days=90))
        own = dice.choice([None, member.organisation])
        defect = made.DefectFactory(pavement=row, entered_for=own)
        made.ObservationFactory(defect=defect, entered_for=own)
    return member.person


def _at(dice, pavement, sides):
    sections = made.SectionFactory.create_batch(2, pavement=pavement)
    seen = set()
    for _ in range(dice.randrange(2, 6)):
        seat = _seat(dice, pavement, sides, sections)
        key = (seat.organisation_id, seat.role)
        if seat.to_at is not None or key not in seen:  # one open seat of a kind
            seat.save()
            seen |= {key} if seat.to_at is None else set()
    for side in dice.sample(sides, 2):
        state = dice.choice(["visited", "closed"])
        claim = placed.CallbackFactory(pavement=pavement, contractor=side, state=state)
        _rows(dice, pavement, sides, sections, claim)


def _seat(dice, pavement, sides, sections):
    role = dice.choice(ROLES)
    begun = NOW - timedelta(days=dice.choice([900, 60]))
    is_work = role == Role.CONTRACTOR
    return Seat(
        pavement=pavement,
        organisation=dice.choice(sides),
        role=role,
        section=dice.choice([None, None, *sections]) if is_work else None,
        warranty_last_on=_day(dice, (-40, -1, 0, 1, 90, None)) if is_work else None,
        from_at=begun,
        to_at=dice.choice([None, None, NOW - timedelta(days=dice.choice([3, 20, 30]))]),
    )


def _day(dice, days):
    day = dice.choice(days)
    return None if day is None else TODAY + timedelta(days=day)


def _rows(dice, pavement, sides, sections, claim):
    for _ in range(3):
        own = {"entered_for": dice.choice(sides)}
        on = _day(dice, (-50, -30, -20, -3, -1, 0))
        sent = {"submitted_on": dice.choice([None, TODAY])}
        section = dice.choice([None, *sections])
        defect = made.DefectFactory(
            pavement=pavement, section=section, first_seen_on=on, **own, **sent
        )
        looked = {"defect": defect, "seen_on": on, "entered_for": dice.choice(sides)}
        look = made.ObservationFactory(**looked, **sent)
        start = dice.choice([None, NOW - timedelta(days=20, hours=dice.randrange(24))])
        more = {"started_at": start, "done_on": start.date()} if start else {"done_on": on}
        visit = made.VisitFactory(pavement=pavement, **own, **sent, **more)
        callback = placed.CallbackFactory(pavement=pavement, contractor=dice.choice(sides), **sent)
        repair = placed.RepairFactory(
            pavement=pavement, callback=dice.choice([None, claim, callback]), **own
        )
        for row in (defect, look, visit, repair):
            came = NOW - timedelta(days=dice.choice([1, 10, 25, 40]))
            type(row).objects.filter(pk=row.pk).update(entered_at=came)
        if dice.random() < 0.3:
            placed.CallbackAttachmentFactory(
                callback=claim,
                winter_entry=None,
                **dice.choice([{"defect": defect}, {"visit": visit}]),
            )


def test_lists_are_the_pages_put_together(people):
    told = 0
    for person in people:
        standing = [each for each in Pavement.objects.all() if sees(person, each)]
        for listed_by, shown_by in PAIRS:
            pages = [shown_by(person, each).values_list("pk", flat=True) for each in standing]
            found = sorted(listed_by(person).values_list("pk", flat=True))
            assert found == sorted(pk for page in pages for pk in page), listed_by.__name__
            told += len(found)
    assert told


def test_looks_of_listed_defects_are_those_a_person_may_see(people):
    for person in people:
        looks = looks_of_listed(person).filter(defect__in=all_visible_defects(person))
        assert set(looks) == set(all_visible_observations(person))


def test_town_that_only_reviews_lists_its_own_and_what_was_sent(people):
    found = all_visible_defects(people[-1])
    assert found.filter(submitted_on=None).exists()
    assert found.filter(submitted_on__isnull=False).exists()
    assert (
        not found.filter(submitted_on=None)
        .exclude(entered_for__memberships__person=people[-1])
        .exists()
    )


def test_list_takes_as_few_queries_for_whoever_holds_seats_of_many_kinds(
    client, people, django_assert_max_num_queries
):
    for person in people:
        client.force_login(person)
        client.get(reverse("defect_list"))  # the session is stored on the first page
        with django_assert_max_num_queries(12):
            answer = client.get(reverse("defect_list"), {"overdue": "on", "sort": "seen"})
        assert answer.status_code == 200
