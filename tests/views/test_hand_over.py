"""A hand-over is drawn up from the record, signed by both in turn, and closed."""

import io

import pypdf
import pytest
from django.urls import reverse

from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.void_entry import CannotBeVoided, void_entry
from registry.models import HandOver
from registry.models.choices import Role
from registry.models.entry import Change
from tests.claim_rows import NOBODY, terms
from tests.factories import CleaningFactory, MembershipFactory, SeatFactory, WorkOrderFactory
from tests.placing_factories import CoverFactory, LoadFactory, PlacingDayFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def warranty(db):
    return terms()


@pytest.fixture
def sides(warranty):
    there = {"pavement": warranty.pavement}
    placer = SeatFactory(**there, role=Role.CONTRACTOR, organisation=warranty.contractor)
    owner = SeatFactory(**there, role=Role.OWNER)
    return {
        name: MembershipFactory(organisation=seat.organisation)
        for name, seat in (("placer", placer), ("owner", owner))
    }


@pytest.fixture
def certificate(client, warranty, sides):
    day = PlacingDayFactory(pavement=warranty.pavement, entered_for=sides["placer"].organisation)
    LoadFactory(placing_day=day)
    void = {"void_at": day.entered_at, "void_why": "of another job"}
    LoadFactory(placing_day=day, **void)
    bare = PlacingDayFactory(pavement=warranty.pavement, placed_on="2023-08-24")
    CoverFactory(placing_day=bare, **void)
    CoverFactory(placing_day=day)
    CleaningFactory(pavement=warranty.pavement, done_on="2024-04-10")
    order = WorkOrderFactory(pavement=warranty.pavement)
    client.force_login(sides["placer"].person)
    fields = {
        "system": "inch_pound", "number": "HO-1", "is_first": "on",
        "taker": sides["owner"].organisation.pk, "taker_name": "A. Owner",
        "giver_name": "J. Hollin", "effective_at": "2023-09-15 12:00", "by_deed": "contract 2306",
        "open_things": f"work order {order}, asked for: goes to the taker",
        "not_known": "who swept in 2023", "taker_walked": "yes",
    }  # fmt: skip
    answer = client.post(reverse("hand_over_add", args=[warranty.pavement_id]), fields)
    assert answer.status_code == 302, answer.context["form"].errors
    return HandOver.objects.get()


def lines_of(row):
    return {what: (mark, words) for what, mark, words in row.lines}


def test_certificate_is_drawn_up_from_the_record(certificate):
    lines = lines_of(certificate)
    assert lines["load record"] == ("y", "1 load on 1 day")
    assert lines["cleanings"] == ("y", "1, 2024-04-10 to 2024-04-10")
    assert lines["winter log"] == ("not in existence", "")
    assert certificate.warranty_then["last_days"] == [["the whole", "2025-09-14"]]
    assert certificate.open_things[0][1] == "goes to the taker"
    assert [move.to_state for move in certificate.moves.all()] == ["drawn_up"]


def test_open_thing_that_nobody_named_is_listed_without_an_end(certificate, client, sides):
    WorkOrderFactory(pavement=certificate.pavement, number="W-99")
    fields = {
        "system": "inch_pound", "number": "HO-2", "taker": sides["owner"].organisation.pk,
        "effective_at": "2023-10-15 12:00", "open_things": "",
    }  # fmt: skip
    client.post(reverse("hand_over_add", args=[certificate.pavement_id]), fields)
    found = HandOver.objects.get(number="HO-2").open_things
    assert ["work order W-99, asked for", ""] in found


def move(client, row, to):
    address = reverse("hand_over_move", args=[row.pavement_id, row.pk])
    given = {"to": to, "on": "2023-09-15", "signed_by": "somebody"}
    return client.post(address, given).status_code


def drawn_up(client, pavement, taker, **fields):
    typed = {"system": "inch_pound", "number": "HO-2", "taker": taker.organisation.pk}
    return client.post(reverse("hand_over_add", args=[pavement.pk]), {**typed, **fields})


def test_hand_over_before_the_placing_is_refused_and_one_in_the_midst_of_it_is_asked(
    client, warranty, sides
):
    pavement = warranty.pavement
    for placed_on in ("2023-08-22", "2023-08-24"):
        PlacingDayFactory(
            pavement=pavement, entered_for=sides["placer"].organisation, placed_on=placed_on
        )
    client.force_login(sides["placer"].person)
    first = {"is_first": "on", "effective_at": "2023-08-21 12:00"}
    answer = drawn_up(client, pavement, sides["owner"], **first, note="part 1")
    assert "before that" in str(answer.context["form"].errors)
    first["effective_at"] = "2023-08-23 12:00"
    answer = drawn_up(client, pavement, sides["owner"], **first)
    assert "Placing went on until 2023-08-24" in str(answer.context["form"].errors)
    assert not HandOver.objects.exists()
    answer = drawn_up(client, pavement, sides["owner"], **first, note="lanes A and C")
    assert answer.status_code == 302, answer.context["form"].errors


def test_many_open_orders_are_one_line_that_can_be_sent(client, warranty, sides):
    first, *_, last = [WorkOrderFactory(pavement=warranty.pavement) for _ in range(21)]
    client.force_login(sides["placer"].person)
    page = client.get(reverse("hand_over_add", args=[warranty.pavement_id]))
    told = f"all 21 open work orders, the first {first}, the last {last}"
    assert page.context["form"].initial["open_things"] == [[told, ""]]
    assert "---------" not in page.content.decode()
    fields = {"is_first": "on", "effective_at": "2023-09-15 12:00"}
    fields["open_things"] = f"{told}: go to the taker"
    answer = drawn_up(client, warranty.pavement, sides["owner"], **fields)
    assert answer.status_code == 302, answer.context["form"].errors
    assert HandOver.objects.get().open_things == [[told, "go to the taker"]]


def test_both_sign_in_turn_and_then_the_owner_reads_the_placing_record(certificate, client, sides):
    day = certificate.pavement.placing_days.earliest("placed_on")
    page = reverse("placing_day_page", args=[day.pk])
    certificate.pavement.warranties.update(state="not_started")
    client.force_login(sides["owner"].person)
    assert client.get(page).status_code == 404
    assert move(client, certificate, "giver") == 200  # not the taker's to sign
    client.force_login(sides["placer"].person)
    assert move(client, certificate, "offered") == 302
    assert move(client, certificate, "giver") == 302
    assert move(client, certificate, "taker") == 200  # not the giver's to sign
    client.force_login(sides["owner"].person)
    assert move(client, certificate, "taker") == 302
    assert move(client, certificate, "in_effect") == 302
    assert client.get(page).status_code == 200


def test_signed_certificate_is_closed(certificate):
    HandOver.objects.update(state="giver")
    with pytest.raises(CannotBeCorrected, match="signed and closed"):
        change = {"copies": Change("one each", "one each")}
        correct_entry(certificate, changes=change, why="forgot", **NOBODY)
    with pytest.raises(CannotBeVoided, match="signed and closed"):
        void_entry(certificate, why="forgot", **NOBODY)


@pytest.mark.parametrize("system", ["inch_pound", "si"])
def test_paper_has_every_block_on_one_page(certificate, client, sides, system):
    person = sides["placer"].person
    person.shown_system = system
    person.save(update_fields=["shown_system"])
    address = reverse("hand_over_paper", args=[certificate.pavement_id, certificate.pk])
    answer = client.post(address)
    assert answer["Content-Type"] == "application/pdf"
    pages = pypdf.PdfReader(io.BytesIO(answer.content)).pages
    said = " ".join(pages[0].extract_text().split())
    assert len(pages) == 1
    HandOver.objects.update(  # a fuller one stands in a closer pitch, signatures on the same page
        open_things=[[f"work order {n}", "goes to the taker"] for n in range(1, 6)],
        not_known="\n".join(f"not known {n}" for n in range(1, 5)),
    )
    pages = pypdf.PdfReader(io.BytesIO(client.post(address).content)).pages
    fuller = " ".join(pages[0].extract_text().split())
    assert len(pages) == 1 and "not known 4" in fuller and "contractor" in fuller
    for words in (
        "HAND-OVER CERTIFICATE", "2023-09-15 12:00", "WHAT IS HANDED OVER", "load record",
        "goes to the taker", "2025-09-14", "who swept in 2023", "never says who is liable",
        "entries after the effective day included", "plan in hand: yes",
    ):  # fmt: skip
        assert words in said, words
