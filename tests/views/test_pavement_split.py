"""A split pavement and its parts lead to each other; a missing action level leads to its form."""

from datetime import date

import pytest
from django.urls import reverse

from registry.actions.note_defect import note_defect
from registry.actions.record_observation import record_observation
from registry.actions.refresh_standing import refresh_standings
from registry.gathering.defect_place import put_in_place
from registry.models import Defect, Observation, Pavement
from registry.models.choices import Role
from registry.units import System
from tests.actions.plans import drawn_lot, panel_of
from tests.factories import (
    CriteriaFactory,
    MembershipFactory,
    PavementFactory,
    PhotoFactory,
    SeatFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def member():
    return MembershipFactory()


def held(member, role=Role.MANAGER, **fields):
    row = PavementFactory(**fields)
    SeatFactory(pavement=row, organisation=member.organisation, role=role)
    return row


def read_page(client, member, name, *args):
    client.force_login(member.person)
    return client.get(reverse(name, args=args)).content.decode()


def test_parts_and_whole_lead_to_each_other_where_they_may_be_read(client, member):
    whole = held(member, name="Old court", state="split")
    north = held(member, name="North part", parent=whole)
    south = PavementFactory(name="South part", parent=whole)
    page = read_page(client, member, "pavement_page", whole.pk)
    assert f'href="{reverse("pavement_page", args=[north.pk])}">North part' in page
    assert "South part" not in page, "another's part is not named"
    page = read_page(client, member, "pavement_page", north.pk)
    assert f'Split from <a href="{reverse("pavement_page", args=[whole.pk])}">Old court' in page
    SeatFactory(pavement=south, organisation=member.organisation, role=Role.MANAGER)
    assert "South part" in read_page(client, member, "pavement_page", whole.pk)


@pytest.mark.parametrize(
    ("state", "words"), [("split", "split into parts"), ("removed", "removed")], ids=str
)
def test_what_is_there_no_more_has_no_condition_and_is_asked_for_no_test(
    client, member, state, words
):
    whole = held(member, name="Old court", state=state)
    page = read_page(client, member, "pavement_page", whole.pk)
    assert f"This pavement is {words}: it has no condition of today." in page
    assert "<strong>Test.</strong>" not in page
    assert f"none: {words}" in read_page(client, member, "pavement_list")
    assert "not worked out yet" not in read_page(client, member, "pavement_map")


def test_whole_that_may_not_be_read_is_not_named(client, member):
    part = held(member, name="Part", parent=PavementFactory(name="Old court"))
    page = read_page(client, member, "pavement_page", part.pk)
    assert "Split from a pavement that your seats do not read." in page
    assert "Old court" not in page


@pytest.mark.parametrize(
    ("role", "is_led"), [(Role.MANAGER, True), (Role.MUNICIPALITY, False)], ids=str
)
def test_missing_action_level_leads_who_may_to_its_form(client, member, role, is_led):
    lot = held(member, role)
    refresh_standings([lot.pk])
    link = f'not known: <a href="{reverse("entry_add", args=["criteria", lot.pk])}">add criteria'
    assert (link in read_page(client, member, "pavement_page", lot.pk)) is is_led
    assert (link in read_page(client, member, "pavement_list")) is is_led
    CriteriaFactory(pavement=lot, action_rate_mm_h=300, from_on=date(2020, 1, 1))
    refresh_standings([lot.pk])
    for page in ("pavement_page", "pavement_list"):
        args = [lot.pk] if page == "pavement_page" else []
        assert link not in read_page(client, member, page, *args)


SPLIT = {"first": "A side", "second": "B side", "on": "2024-06-03", "why": "plat 9"}


@pytest.fixture
def lot(member):
    """Panels A1, A2, B1, B2, owned by the member's side."""
    row = drawn_lot(area_m2=48.0)
    SeatFactory(pavement=row, organisation=member.organisation, role=Role.OWNER)
    return row


def noted(lot, place, **fields):
    row = Defect(pavement=lot, kind="raveling", place=place, first_seen_on=date(2024, 4, 18))
    put_in_place(row, system=System.SI, on=row.first_seen_on)
    look = Observation(seen_on=row.first_seen_on, area_m2=0.7, method="tape")
    side = fields.get("side")
    return note_defect(row, first_look=look, by=None, organisation=side)


def press(client, lot, **answers):
    left = [panel_of(lot, name).pk for name in ("A1", "A2")]
    return client.post(
        reverse("pavement_split", args=[lot.pk]), {**SPLIT, "panels": left, **answers}
    )


def test_page_of_a_split_asks_about_what_lies_on_both_parts_and_keeps_what_was_typed(
    client, member, lot
):
    plain, over = noted(lot, "A1 · 1.00 R · 2.00 U"), noted(lot, "A1|B1 · 1.00-3.00 U")
    client.force_login(member.person)
    asked = press(client, lot)
    page = asked.content.decode()
    assert asked.status_code == 200
    assert f'name="defect-{over.pk}"' in page and "say which" in page and "plat 9" in page
    assert f'name="defect-{plain.pk}"' not in page
    done = press(client, lot, **{f"defect-{over.pk}": "1"})
    assert done.status_code == 302
    found = dict(Defect.objects.exclude(carried_from=None).values_list("carried_from", "pavement"))
    parts = {part.name: part.pk for part in Pavement.objects.filter(parent=lot)}
    assert found == {plain.pk: parts["A side"], over.pk: parts["B side"]}


def test_split_is_not_for_who_does_not_see_what_has_to_be_decided(client, member, lot):
    """A municipality that was not told of a defect learns no more of it than that there is one."""
    noted(lot, "A1|B1 · 1.00-3.00 U")
    town = MembershipFactory()
    SeatFactory(pavement=lot, organisation=town.organisation, role=Role.MUNICIPALITY)
    client.force_login(town.person)
    page = press(client, lot).content.decode()
    assert "owner has to enter" in page and "defect 1" not in page
    assert not Pavement.objects.filter(parent=lot).exists()


def test_pages_of_a_carried_defect_lead_there_and_back_with_looks_photos_and_growth(
    client, member, lot
):
    old = noted(lot, "A1 · 1.00 R · 2.00 U", side=member.organisation)
    stand = PhotoFactory(pavement=lot, defect=old)
    client.force_login(member.person)
    press(client, lot)
    new = Defect.objects.get(carried_from=old)
    later = Observation(defect=new, seen_on=date(2025, 4, 18), area_m2=1.4, method="tape")
    record_observation(later, by=None, organisation=member.organisation)
    page = read_page(client, member, "defect_page", new.pk)
    assert f'href="{reverse("defect_page", args=[old.pk])}">defect 1 of {lot.name}' in page
    assert reverse("photo_page", args=[stand.pk]) in page
    assert "repeated from before the split" in page
    assert page.count("2024-04-18") > 1 and "Growth" in page
    page = read_page(client, member, "defect_page", old.pk)
    assert f'href="{reverse("defect_page", args=[new.pk])}">defect 1 of A side' in page
    assert "carried on at a part" in page
    now = PhotoFactory(pavement=new.pavement, defect=new, entered_for=member.organisation)
    page = read_page(client, member, "photo_pair", now.pk)
    assert f'value="{stand.pk}"' in page, "the old stand is offered"
    client.post(reverse("photo_pair", args=[now.pk]), {"then": stand.pk})
    now.refresh_from_db()
    assert now.pair_of == stand


def test_a_defect_of_a_part_recurs_from_one_closed_before_the_split(client, member, lot):
    old, still = noted(lot, "A1 · 1.00 R · 2.00 U"), noted(lot, "B2 · 1.00 R · 2.00 U")
    Defect.objects.filter(pk=old.pk).update(state="closed")
    client.force_login(member.person)
    press(client, lot)
    part = Pavement.objects.get(parent=lot, name="A side")
    new = Defect(pavement=part, kind="raveling", first_seen_on=date(2026, 4, 18), number=9)
    new.entered_for = member.organisation
    new.save()
    page = read_page(client, member, "defect_page", new.pk)
    assert f"{lot.name}, no. {old.number}: raveling, area" in page
    assert f"{lot.name}, no. {still.number}:" not in page, "it goes on at a part"
    sent = {"relation": "part_of", "closed": old.pk, "on": "2026-04-18"}
    refused = client.post(reverse("defect_link", args=[new.pk]), sent).content.decode()
    assert "can only recur at the place of one that was closed there" in refused
    client.post(reverse("defect_link", args=[new.pk]), {**sent, "relation": "recurs"})
    assert f"defect {old.number}</a> of {lot.name}, from before its split" in read_page(
        client, member, "defect_page", new.pk
    )
    assert "defect 9</a> of A side recurs" in read_page(client, member, "defect_page", old.pk)


def test_who_does_not_read_the_whole_is_told_only_that_there_was_one(client, member, lot):
    noted(lot, "A1 · 1.00 R · 2.00 U")
    client.force_login(member.person)
    press(client, lot)
    new = Defect.objects.get(pavement__name="A side")
    buyer = MembershipFactory()
    SeatFactory(pavement=new.pavement, organisation=buyer.organisation, role=Role.BUYER)
    page = read_page(client, buyer, "defect_page", new.pk)
    assert "from a defect that your seats do not read" in page
    assert lot.name not in page
