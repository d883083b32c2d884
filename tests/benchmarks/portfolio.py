"""A portfolio of many pavements, stored in bulk; the same every time."""

from datetime import date, timedelta

from registry import models
from registry.models.choices import Role, Word
from tests.factories import LONG_AGO, MembershipFactory, OrganisationFactory

SURFACES = models.Surface.values
WORDS = Word.values
FIRST_DAY = date(2001, 3, 1)


def store_pavements(count: int, *, role: str = Role.MANAGER) -> models.Person:
    """Store `count` pavements on a twentieth as many sites, and return who may see them."""
    member = MembershipFactory()
    owners = [OrganisationFactory(name=f"Owner {n:03}") for n in range(100)]
    sites = models.Site.objects.bulk_create(
        models.Site(
            name=f"Site {n:04}",
            address=f"{n} Canal St",
            time_zone="America/New_York",
            lon=-71.5 + (n % 97) / 50,
            lat=41.5 + (n % 89) / 60,
        )
        for n in range(max(1, count // 20))
    )
    pavements = models.Pavement.objects.bulk_create(
        (_pavement(n, sites[n % len(sites)]) for n in range(count)), batch_size=1000
    )
    models.PavementNumber.objects.bulk_create(
        (
            models.PavementNumber(pavement=p, organisation=member.organisation, number=f"P-{n}")
            for n, p in enumerate(pavements)
        ),
        batch_size=2000,
    )
    models.Seat.objects.bulk_create(
        (
            models.Seat(pavement=p, organisation=organisation, role=of, from_at=LONG_AGO)
            for n, p in enumerate(pavements)
            for organisation, of in (
                (member.organisation, role),
                (owners[n % len(owners)], Role.OWNER),
            )
        ),
        batch_size=2000,
    )
    models.PavementStanding.objects.bulk_create(
        (
            _standing(n, p, viewpoint)
            for n, p in enumerate(pavements)
            for viewpoint in ("holder", "town")
        ),
        batch_size=2000,
    )
    models.Outlook.objects.bulk_create(
        (_outlook(n, p) for n, p in enumerate(pavements)), batch_size=2000
    )
    return member.person


def _pavement(n: int, site: models.Site) -> models.Pavement:
    return models.Pavement(
        site=site,
        name=f"Lot {n * 7919 % 100_003:06}",
        surface=SURFACES[n % len(SURFACES)],
        area_m2=50.0 + n % 3000,
        placed_on=FIRST_DAY + timedelta(days=n % 8000),
    )


def _standing(n: int, pavement: models.Pavement, viewpoint: str) -> models.PavementStanding:
    tested = FIRST_DAY + timedelta(days=8000 + n % 900)
    return models.PavementStanding(
        pavement=pavement,
        viewpoint=viewpoint,
        as_of_on=tested,
        word=WORDS[n % len(WORDS)],
        reason="The lowest usable result is at least 2 times the action level.",
        lowest_mm_h=20.0 + n % 5000,
        lowest_spot="U",
        lowest_on=tested,
        action_rate_mm_h=254.0,
        last_tested_on=tested,
        next_test_due_on=tested + timedelta(days=365),
        next_test_why="a year after the last test",
        input_digest="",
    )


def _outlook(n: int, pavement: models.Pavement) -> models.Outlook:
    on = FIRST_DAY + timedelta(days=9000)
    return models.Outlook(
        pavement=pavement,
        as_of_on=on,
        worked_out_at=LONG_AGO,
        p_below=(n % 101) / 200,
        worst_p_below=(n % 101) / 100,
        worst_place="T1",
        action_rate_mm_h=254.0,
        rate_mm_h=20.0 + n % 5000,
        sweep_by_on=on + timedelta(days=n % 3000),
        spots=[{"name": f"T{spot}", "p_below": 0.1} for spot in range(3)],
    )
