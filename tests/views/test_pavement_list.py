"""The list and the map of pavements: who sees which, narrowed, sorted, in pages."""

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from registry.models.choices import Role
from tests.factories import (
    InfiltrationTestFactory,
    MembershipFactory,
    NumberFactory,
    PavementFactory,
    SeatFactory,
    StandingFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MembershipFactory()


def held(member, role=Role.MANAGER, standing=None, **fields):
    pavement = PavementFactory(**fields)
    SeatFactory(pavement=pavement, organisation=member.organisation, role=role)
    StandingFactory(pavement=pavement, **(standing or {}))
    return pavement


def names(client, member, query="", page="pavement_list"):
    client.force_login(member.person)
    answer = client.get(f"{reverse(page)}?{query}")
    assert answer.status_code == 200
    return [row.pavement.name for row in answer.context["rows"]]


def text_of(client, member, query=""):
    client.force_login(member.person)
    return client.get(f"{reverse('pavement_list')}?{query}").content.decode()


def test_only_pavements_with_a_seat_are_listed(client, member):
    held(member, name="Ours")
    StandingFactory(pavement=PavementFactory(name="Theirs"))
    assert names(client, member) == ["Ours"]


def test_row_names_numbers_owner_condition_and_dates(client, member):
    lot = held(
        member,
        name="North lot",
        placed_on=date(2023, 8, 22),
        standing={
            "word": "clean",
            "lowest_mm_h": 99.06,
            "lowest_sign": "<",
            "lowest_spot": "U",
            "lowest_on": date(2024, 5, 2),
            "action_rate_mm_h": 317.5,
            "last_tested_on": date(2024, 5, 2),
            "next_test_due_on": date(2025, 5, 2),
        },
    )
    NumberFactory(pavement=lot, number="BC-01")
    SeatFactory(pavement=lot, role=Role.OWNER, organisation__name="Canal Street Holdings")
    text = text_of(client, member)
    for part in (
        "BC-01",
        "Canal Street Holdings",
        "clean",
        "&lt; 3.9 in/h",
        "12.5 in/h",
        "2023-08-22",
        "2024-05-02",
        "2025-05-02",
        "overdue",
        "1076 ft²",
    ):
        assert part in text


def test_numbers_are_shown_in_the_viewers_units(client, member):
    held(member, standing={"lowest_mm_h": 1270.0, "lowest_on": date(2024, 5, 2)})
    member.person.shown_system = "si"
    member.person.save(update_fields=["shown_system"])
    text = text_of(client, member)
    assert "1270 mm/h" in text
    assert "100 m²" in text
    assert "in/h" not in text


def test_contractor_is_not_shown_the_condition(client, member):
    held(member, role=Role.CONTRACTOR, standing={"word": "not_working"})
    text = text_of(client, member)
    assert "not shown to your seat" in text
    assert "#not_working" not in text


def test_contractor_cannot_find_a_hidden_condition_by_narrowing(client, member):
    held(member, role=Role.CONTRACTOR, standing={"word": "clean"})
    assert names(client, member, "word=clean") == []
    assert names(client, member, "overdue=on") == []


def test_municipality_sees_the_condition_from_what_it_was_sent(client, member):
    lot = held(member, role=Role.MUNICIPALITY, standing={"word": "clean"})
    StandingFactory(pavement=lot, viewpoint="town", word="not_decided")
    assert names(client, member, "word=not_decided") == [lot.name]
    assert names(client, member, "word=clean") == []


def test_person_of_two_seats_sees_each_pavement_as_its_seat_does(client, member):
    kept = held(member, name="Kept", standing={"word": "clean"})
    StandingFactory(pavement=kept, viewpoint="town", word="watch")
    reviewed = held(member, role=Role.MUNICIPALITY, name="Reviewed", standing={"word": "clean"})
    StandingFactory(pavement=reviewed, viewpoint="town", word="watch")
    assert names(client, member, "word=clean") == ["Kept"]
    assert names(client, member, "word=watch") == ["Reviewed"]


def test_condition_that_time_has_overtaken_is_shown_with_its_date(client, member):
    held(member, standing={"changes_on": date(2024, 2, 1), "as_of_on": date(2024, 1, 1)})
    assert "as of 2024-01-01" in text_of(client, member)


def test_fifty_stand_on_a_page(client, member):
    for n in range(51):
        held(member, name=f"Lot {n:02}")
    assert len(names(client, member)) == 50
    assert names(client, member, "page=2") == ["Lot 50"]
    assert "51 pavements" in text_of(client, member)
    assert names(client, member, "page=no") == [f"Lot {n:02}" for n in range(50)]


def test_links_to_other_pages_keep_what_was_asked(client, member):
    for n in range(51):
        held(member, name=f"Lot {n:02}")
    assert "?text=lot&amp;page=2" in text_of(client, member, "text=lot")


def test_empty_list_says_what_to_do_first(client, member):
    assert "No pavements yet." in text_of(client, member)
    held(member)
    assert "No pavement is like this." in text_of(client, member, "text=zzz")


def test_map_lists_the_same_pavements(client, member):
    held(member, name="North lot")
    held(member, name="South lot")
    assert names(client, member, "text=north", page="pavement_map") == ["North lot"]


def points(client, member, query=""):
    client.force_login(member.person)
    return client.get(f"{reverse('pavement_points')}?{query}").json()


def test_points_are_rows_of_what_the_person_may_see(client, member):
    lot = held(member, name="Lot", lon=-71.4, lat=41.8, standing={"word": "clean"})
    held(member, name="Nowhere")
    PavementFactory(lon=1.0, lat=1.0)
    assert points(client, member) == {
        "rows": [[lot.pk, -71.4, 41.8, "clean", "Lot"]],
        "without_position": 1,
    }


def test_points_hide_the_condition_where_the_seat_does(client, member):
    lot = held(member, role=Role.SWEEPER, lon=1.0, lat=2.0, standing={"word": "clean"})
    assert points(client, member)["rows"] == [[lot.pk, 1.0, 2.0, "", lot.name]]


def test_position_of_the_site_stands_in_for_the_pavements(client, member):
    held(member, site__lon=5.0, site__lat=6.0)
    assert points(client, member)["rows"][0][1:3] == [5.0, 6.0]


@pytest.mark.parametrize("page", ["pavement_list", "pavement_map", "pavement_points"])
def test_twenty_more_rows_ask_no_more_queries(client, member, page, django_assert_max_num_queries):
    def fill(count):
        for _ in range(count):
            lot = held(member, lon=1.0, lat=2.0)
            NumberFactory(pavement=lot)
            InfiltrationTestFactory(pavement=lot)

    held(member, role=Role.MUNICIPALITY)
    fill(2)
    client.force_login(member.person)
    with django_assert_max_num_queries(12) as few:
        client.get(reverse(page), {"sort": "due"})
    fill(20)
    with django_assert_max_num_queries(12) as many:
        client.get(reverse(page), {"sort": "due"})
    assert len(many) == len(few)


def test_overdue_is_before_today(client, member):
    held(member, name="Late", standing={"next_test_due_on": date(2024, 1, 1)})
    held(member, name="Today", standing={"next_test_due_on": timezone.now().date()})
    assert names(client, member, "overdue=on") == ["Late"]
