"""Who sees which infiltration test, cleaning, price, seat and journal line, seat by seat.

The table of who reads what is the trade's custom between owner, keeper, contractor and town
(common practice, no source); the cast holds one seat each at one pavement that was sold.
"""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.utils import timezone

from registry import access
from registry.models import JournalLine, Organisation, Pavement, Person
from registry.models.choices import Role
from tests.factories import (
    CleaningFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    OrganisationFactory,
    PanelFactory,
    PavementFactory,
    PersonFactory,
    SeatFactory,
    SectionFactory,
    SiteFactory,
    SpotFactory,
)

pytestmark = pytest.mark.django_db
ZONE = ZoneInfo("America/New_York")
TODAY = datetime.now(ZONE).date()
SALE_DAY = TODAY - timedelta(days=30)
SALE = datetime.combine(SALE_DAY, time(14), ZONE)
YEAR_AGO = TODAY - timedelta(days=365)
BUILT = TODAY - timedelta(days=3 * 365)

CAST = {
    "owner": {"role": Role.OWNER, "from_at": SALE},
    "manager": {"role": Role.MANAGER, "from_at": SALE},
    "contractor": {"role": Role.CONTRACTOR, "warranty_last_on": TODAY},
    "contractor after warranty": {
        "role": Role.CONTRACTOR,
        "warranty_last_on": TODAY - timedelta(days=1),
    },
    "contractor, warranty not known": {"role": Role.CONTRACTOR},
    "contractor whose seat ended": {
        "role": Role.CONTRACTOR,
        "warranty_last_on": TODAY,
        "to_at": SALE,
    },
    "tester": {"role": Role.TESTER},
    "former tester": {"role": Role.TESTER, "to_at": SALE},
    "sweeper": {"role": Role.SWEEPER},
    "town": {"role": Role.MUNICIPALITY},
    "former town": {"role": Role.MUNICIPALITY, "to_at": SALE},
    "buyer": {"role": Role.BUYER},
    "former buyer in view": {"role": Role.BUYER, "to_at": SALE},
    "evaluator": {"role": Role.EVALUATOR},
    "former evaluator": {"role": Role.EVALUATOR, "to_at": SALE},
    "seller": {"role": Role.OWNER, "to_at": SALE},
    "seller's manager": {"role": Role.MANAGER, "to_at": SALE},
    "producer": {"role": Role.PRODUCER},
}

RECORDS = {
    "acceptance": {"started_on": BUILT, "reason": "acceptance"},
    "yearly": {"started_on": YEAR_AGO, "reason": "yearly"},
    "submitted": {"started_on": YEAR_AGO, "reason": "yearly", "submitted_on": YEAR_AGO},
    "tester's": {"started_on": YEAR_AGO, "entered_for": "tester"},
    "town's": {"started_on": YEAR_AGO, "entered_for": "town"},
    "morning of the sale": {"started_on": SALE_DAY, "started_at": SALE - timedelta(hours=1)},
    "afternoon of the sale": {"started_on": SALE_DAY, "started_at": SALE},
    "sale day, came in before": {"started_on": SALE_DAY, "entered_at": SALE - timedelta(hours=1)},
    "sale day, came in after": {"started_on": SALE_DAY, "entered_at": SALE + timedelta(hours=1)},
    "last week": {"started_on": TODAY - timedelta(days=7), "entered_for": "owner"},
}
ALL = set(RECORDS)
OLD = {"acceptance", "yearly", "submitted", "tester's", "town's"}
OF_SELLER = OLD | {"morning of the sale", "sale day, came in before"}

SEES_TESTS = {
    "owner": ALL,
    "manager": ALL,
    "contractor": ALL,
    "contractor after warranty": {"acceptance"},
    "contractor, warranty not known": {"acceptance"},
    "contractor whose seat ended": {"acceptance"},
    "tester": {"tester's"},
    "former tester": set(),
    "sweeper": set(),
    "town": {"submitted", "town's"},
    "former town": set(),
    "buyer": ALL,
    "former buyer in view": set(),
    "evaluator": ALL,
    "former evaluator": set(),
    "seller": OF_SELLER,
    "seller's manager": OF_SELLER,
    "producer": set(),
}


@dataclass
class Cast:
    pavement: Pavement
    people: dict[str, Person]
    organisations: dict[str, Organisation]

    def sees(self, name: str) -> set[str]:
        return set(
            access.visible_tests(self.people[name], self.pavement).values_list("number", flat=True)
        )


@pytest.fixture
def cast():
    pavement = PavementFactory()
    cast = Cast(pavement, {}, {})
    for name, seat in CAST.items():
        member = MembershipFactory(organisation__name=name)
        cast.people[name], cast.organisations[name] = member.person, member.organisation
        SeatFactory(pavement=pavement, organisation=member.organisation, **seat)
    for number, fields in RECORDS.items():
        writer = cast.organisations.get(fields.get("entered_for", ""), None)
        row = {**fields, "entered_for": writer or OrganisationFactory()}
        InfiltrationTestFactory(pavement=pavement, number=number, **row)
    return cast


def test_every_role_is_in_the_table():
    assert {seat["role"] for seat in CAST.values()} == set(Role)
    assert set(SEES_TESTS) == set(CAST)


def test_each_seat_sees_its_tests_and_no_other(cast):
    assert {name: cast.sees(name) for name in CAST} == SEES_TESTS


def test_single_test_is_found_exactly_where_the_list_shows_it(cast):
    rows = {row.number: row for row in cast.pavement.infiltration_tests.all()}
    found = {name: set() for name in CAST}
    for name, person in cast.people.items():
        for number, row in rows.items():
            try:
                access.get_test(person, row.pk)
            except Http404:
                continue
            found[name].add(number)
    assert found == SEES_TESTS


def test_outsider_and_former_member_see_no_pavement(cast):
    outsider = PersonFactory()
    left = MembershipFactory(
        organisation=cast.organisations["owner"], to_at=timezone.now() - timedelta(seconds=1)
    ).person
    for person in (outsider, left):
        assert not access.visible_pavements(person).exists()
        with pytest.raises(Http404):
            access.get_pavement(person, cast.pavement.pk)


def test_producer_and_a_seat_to_come_show_no_pavement(cast):
    ahead = MembershipFactory()
    SeatFactory(
        pavement=cast.pavement,
        organisation=ahead.organisation,
        from_at=timezone.now() + timedelta(days=1),
    )
    for person in (ahead.person, cast.people["producer"]):
        assert not access.visible_pavements(person).exists()


def test_void_pavement_is_gone_for_everybody(cast):
    Pavement.objects.update(void_at=timezone.now(), void_why="twice")
    for person in cast.people.values():
        assert not access.visible_pavements(person).exists()


@pytest.mark.parametrize(
    ("what", "allowed"),
    [
        ("edit", {"owner", "manager"}),
        ("record_test", {"owner", "manager", "tester", "town"}),
        ("record_cleaning", {"owner", "manager", "sweeper"}),
        ("set_criteria", {"town"}),
        ("submit", {"owner", "manager"}),
        ("sell", {"owner", "town"}),
        ("appoint", {"owner", "manager"}),
    ],
)
def test_who_writes(cast, what, allowed):
    may = {name for name, person in cast.people.items() if access.may(person, cast.pavement, what)}
    assert may == allowed


def test_criteria_stay_hidden_from_a_tester_when_its_seat_has_ended(cast):
    hidden = {n for n, p in cast.people.items() if not access.may_see_criteria(p, cast.pavement)}
    assert hidden == {"tester", "former tester", "sweeper", "producer"}


def test_where_no_municipality_reviews_owner_and_manager_set_criteria():
    seat = SeatFactory(role=Role.MANAGER)
    person = MembershipFactory(organisation=seat.organisation).person
    assert access.may(person, seat.pavement, "set_criteria")
    SeatFactory(pavement=seat.pavement, role=Role.MUNICIPALITY)
    assert not access.may(person, seat.pavement, "set_criteria")


def test_only_the_writer_corrects_and_nobody_after_its_seat_ended(cast):
    row = InfiltrationTestFactory(
        pavement=cast.pavement, started_on=YEAR_AGO, entered_for=cast.organisations["seller"]
    )
    for name in ("seller", "owner", "manager", "contractor", "buyer"):
        with pytest.raises(PermissionDenied):
            access.get_test(cast.people[name], row.pk, to="correct")
    own = cast.pavement.infiltration_tests.get(number="tester's")
    assert access.get_test(cast.people["tester"], own.pk, to="correct") == own


def test_contractor_of_a_section_sees_its_section_alone():
    section = SectionFactory()
    spots = {
        "in": SpotFactory(
            pavement=section.pavement,
            panel=PanelFactory(pavement=section.pavement, section=section),
        ),
        "out": SpotFactory(
            pavement=section.pavement, panel=PanelFactory(pavement=section.pavement)
        ),
        "nowhere": SpotFactory(pavement=section.pavement),
    }
    for number, spot in spots.items():
        for reason in ("acceptance", "yearly"):
            InfiltrationTestFactory(
                pavement=section.pavement, spot=spot, number=f"{number} {reason}", reason=reason
            )
    seat = SeatFactory(
        pavement=section.pavement,
        section=section,
        role=Role.CONTRACTOR,
        warranty_last_on=TODAY,
    )
    person = MembershipFactory(organisation=seat.organisation).person
    rows = access.visible_tests(person, section.pavement)
    assert set(rows.values_list("number", flat=True)) == {"in acceptance", "in yearly"}


def test_acceptance_of_somebody_elses_later_work_is_not_the_contractors(cast):
    InfiltrationTestFactory(
        pavement=cast.pavement, number="of the repair", reason="acceptance", started_on=TODAY
    )
    assert "of the repair" not in cast.sees("contractor after warranty")
    assert "of the repair" in cast.sees("contractor")


def test_condition_is_shown_from_the_readings_one_may_see(cast):
    shown = {n: access.viewpoint_of(p, cast.pavement) for n, p in cast.people.items()}
    holders = {"owner", "manager", "buyer", "evaluator"}
    assert {name for name, view in shown.items() if view == "holder"} == holders
    assert {name for name, view in shown.items() if view == "town"} == {"town"}


CLEANINGS = {
    "seller's": {"done_on": YEAR_AGO, "entered_for": "seller's manager"},
    "seller's, submitted": {"done_on": YEAR_AGO, "submitted_on": YEAR_AGO},
    "sweeper's": {"done_on": YEAR_AGO, "entered_for": "sweeper"},
    "morning of the sale": {"done_on": SALE_DAY, "started_at": SALE - timedelta(hours=2)},
    "afternoon of the sale": {"done_on": SALE_DAY, "started_at": SALE + timedelta(hours=2)},
    "last week": {"done_on": TODAY - timedelta(days=7), "entered_for": "owner"},
}
BEFORE_SALE = {"seller's", "seller's, submitted", "sweeper's", "morning of the sale"}
AFTER_SALE = {"afternoon of the sale", "last week"}
SEES_CLEANINGS = {
    "owner": set(CLEANINGS),
    "manager": set(CLEANINGS),
    "sweeper": {"sweeper's"},
    "town": {"seller's, submitted"},
    "buyer": set(CLEANINGS),
    "evaluator": set(CLEANINGS),
    "seller": BEFORE_SALE,
    "seller's manager": BEFORE_SALE,
}
SEES_PRICES = {
    "owner": AFTER_SALE,
    "manager": AFTER_SALE,
    "sweeper": {"sweeper's"},
    "seller": BEFORE_SALE,
    "seller's manager": BEFORE_SALE,
}


@pytest.fixture
def cleaned(cast):
    for number, fields in CLEANINGS.items():
        writer = cast.organisations.get(fields.get("entered_for", ""), None)
        row = {**fields, "entered_for": writer or OrganisationFactory()}
        CleaningFactory(pavement=cast.pavement, number=number, cost=450, **row)
    return cast


def test_each_seat_sees_its_cleanings_and_no_other(cleaned):
    for name, person in cleaned.people.items():
        rows = access.visible_cleanings(person, cleaned.pavement)
        expected = SEES_CLEANINGS.get(name, set())
        assert set(rows.values_list("number", flat=True)) == expected, name


def test_prices_are_shown_to_who_paid_or_wrote_them_and_never_to_a_buyer(cleaned):
    rows = list(cleaned.pavement.cleanings.select_related("pavement__site"))
    for name, person in cleaned.people.items():
        shown = {row.number for row in rows if access.may_see_prices(person, row)}
        assert shown == SEES_PRICES.get(name, set()), name


def test_corrected_price_is_hidden_in_the_journal_too(cleaned):
    row = cleaned.pavement.cleanings.get(number="seller's")
    JournalLine.objects.create(
        pavement=cleaned.pavement,
        subject_kind="cleaning",
        subject_id=row.pk,
        verb="corrected",
        changes={"cost": ["450", "540"], "passes": ["1", "2"]},
    )
    for name, shown in [("owner", "not shown"), ("buyer", "not shown"), ("seller", "540")]:
        line = access.visible_lines_about(cleaned.people[name], row)[0]
        assert line.changes["cost"][1] == shown
        assert line.changes["passes"] == ["1", "2"]


def test_journal_is_whole_to_who_reads_all_and_ones_own_to_the_others(cast):
    for name in ("owner", "tester"):
        JournalLine.objects.create(
            pavement=cast.pavement,
            subject_kind="pavement",
            subject_id=cast.pavement.pk,
            verb=name,
            by_organisation=cast.organisations[name],
        )
    seen = {
        name: set(access.visible_journal(person, cast.pavement).values_list("verb", flat=True))
        for name, person in cast.people.items()
    }
    assert seen["buyer"] == {"owner", "tester"}
    assert seen["tester"] == {"tester"}
    assert seen["town"] == set()
    assert seen["seller"] == set()


def names_of(seats) -> set[str]:
    return {seat.organisation.name for seat in seats}


def test_buyer_in_view_is_known_to_owner_and_manager_alone(cast):
    for name in ("owner", "manager", "buyer"):
        assert "buyer" in names_of(access.visible_seats(cast.people[name], cast.pavement))
    for name in ("tester", "sweeper", "contractor", "town", "seller"):
        assert "buyer" not in names_of(access.visible_seats(cast.people[name], cast.pavement))


def test_seller_does_not_see_who_came_after(cast):
    seen = names_of(access.visible_seats(cast.people["seller"], cast.pavement))
    assert "tester" in seen
    assert not {"owner", "manager"} & seen


def test_sale_to_come_is_not_told_to_the_tester(cast):
    SeatFactory(
        pavement=cast.pavement,
        organisation__name="next owner",
        from_at=timezone.now() + timedelta(days=9),
    )
    assert "next owner" in names_of(access.visible_seats(cast.people["owner"], cast.pavement))
    assert "next owner" not in names_of(access.visible_seats(cast.people["tester"], cast.pavement))


def test_seat_is_ended_by_who_gives_such_or_holds_it(cast):
    seats = {seat.organisation.name: seat for seat in cast.pavement.seats.all()}
    may = {name: set() for name in CAST}
    for name, person in cast.people.items():
        rights = access.rights_at(person, cast.pavement)
        may[name] = {whose for whose, seat in seats.items() if rights.ending(seat)}
    below = {
        "tester", "sweeper", "buyer", "evaluator", "contractor", "contractor after warranty",
        "contractor, warranty not known",
    }  # fmt: skip
    assert may["owner"] == below | {"manager"}
    assert may["manager"] == below | {"manager"}
    assert may["tester"] == {"tester"}
    assert may["town"] == may["seller"] == may["former tester"] == set()


def test_date_of_the_seats_end_is_the_sites_day():
    """23:30 at the site is the next day in UTC: the test of that next day is not the seller's."""
    end = datetime(2024, 6, 3, 23, 30, tzinfo=ZONE)
    seat = SeatFactory(to_at=end)
    person = MembershipFactory(organisation=seat.organisation).person
    for day in (date(2024, 6, 3), date(2024, 6, 4)):
        InfiltrationTestFactory(
            pavement=seat.pavement, started_on=day, number=str(day), entered_at=end - timedelta(1)
        )
    rows = access.visible_tests(person, seat.pavement)
    assert [row.number for row in rows] == ["2024-06-03"]


def test_site_and_its_gate_are_shown_to_who_holds_a_seat_there_now(cast):
    site = cast.pavement.site
    sees = {name for name, p in cast.people.items() if access.visible_sites(p).exists()}
    former = {"seller", "seller's manager"} | {name for name in CAST if name.startswith("former")}
    assert sees == set(CAST) - former - {"producer", "contractor whose seat ended"}
    with pytest.raises(Http404):
        access.get_site(cast.people["seller"], site.pk)


def test_site_entered_for_an_organisation_goes_with_its_sold_pavements():
    member = MembershipFactory()
    site = SiteFactory(organisation=member.organisation)
    assert access.own_sites(member.person).get() == site
    pavement = PavementFactory(site=site)
    seat = SeatFactory(pavement=pavement, organisation=member.organisation)
    assert access.own_sites(member.person).get() == site
    type(seat).objects.update(to_at=SALE)
    assert not access.own_sites(member.person).exists()
    assert not access.visible_sites(member.person).exists()
