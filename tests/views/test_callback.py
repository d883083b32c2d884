"""Warranties are written down, callbacks taken in, answered, disputed and settled by pages."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.models import Callback, CallbackNote, JournalLine, SettlementLine, Warranty
from registry.models.choices import Role
from tests.claim_rows import lived_through, notice, terms
from tests.factories import MembershipFactory, SeatFactory, SectionFactory
from tests.placing_factories import CallbackNoteFactory
from tests.placing_rows import north_lot

pytestmark = pytest.mark.django_db
SECRET = "we would go to 40 percent on lane D"


def seat(pavement, role, organisation=None, **more):
    given = {"pavement": pavement, "role": role, **more}
    if organisation is not None:
        given["organisation"] = organisation
    return MembershipFactory(organisation=SeatFactory(**given).organisation)


@pytest.fixture
def dispute(db):
    return notice(terms())


@pytest.fixture
def placer(dispute, client):
    member = seat(dispute.pavement, Role.CONTRACTOR, dispute.contractor)
    client.force_login(member.person)
    return member


def post(client, name, args, **fields):
    return client.post(reverse(name, args=args), fields)


def faults(answer):
    return answer.context["form"].errors if answer.context else {}


def test_warranty_is_written_down_and_gives_its_last_day(client):
    member = seat(terms().pavement, Role.CONTRACTOR)
    client.force_login(member.person)
    pavement = member.organisation.seats.get().pavement
    fields = {
        "system": "inch_pound", "number": "H-2405", "contractor": member.organisation.pk,
        "start_on": "2024-06-28", "years": "2", "remind_days": "60", "notice_closes": "17:00",
        "exclusions": "color and streaks\nclause 7: steel edge without shoes",
    }  # fmt: skip
    answer = post(client, "entry_add", ["warranty", pavement.pk], **fields)
    assert answer.status_code == 302, faults(answer)
    row = Warranty.objects.get(number="H-2405")
    assert row.exclusions == [
        ["appearance", "color and streaks"],
        ["steel_edge", "clause 7: steel edge without shoes"],
    ]
    page = client.get(reverse("warranty_page", args=[row.pk])).content.decode()
    assert "2026-06-27" in page and "2026-04-28" in page  # the last day, and 60 days before it


def test_correcting_terms_with_every_field_filled_asks_at_most_12_questions(client):
    row = terms()
    owner = seat(row.pavement, Role.OWNER)
    filled = {"owner": owner.organisation, "entered_for": owner.organisation}
    filled["section"] = SectionFactory(pavement=row.pavement)
    Warranty.objects.filter(pk=row.pk).update(**filled)
    client.force_login(owner.person)
    address = reverse("entry_correct", args=["warranty", row.pavement_id, row.pk])
    with CaptureQueriesContext(connection) as asked:
        assert client.get(address).status_code == 200
    assert len(asked) <= 12


def test_callback_is_taken_in_and_counted_by_the_terms(client, dispute, placer):
    fields = {
        "system": "inch_pound", "number": "CB-9", "claim": "raveling at the apron",
        "as_received": "Stones again.", "received_at": "2024-04-26 17:42",
        "warranty": dispute.warranty_id, "discovered_on": "2024-04-20",
    }  # fmt: skip
    answer = post(client, "callback_add", [dispute.pavement_id], **fields)
    assert answer.status_code == 302, faults(answer)
    row = Callback.objects.get(number="CB-9")
    assert row.counted_on == date(2024, 4, 29) and row.contractor == dispute.contractor
    page = client.get(reverse("callback_page", args=[row.pk])).content.decode()
    assert "after 17:00" in page and "2024-05-06" in page


def test_callback_without_a_clock_is_refused_in_words(client, dispute, placer):
    fields = {"system": "inch_pound", "number": "CB-9", "claim": "raveling"}
    answer = post(client, "callback_add", [dispute.pavement_id], **fields)
    assert "received_at" in faults(answer)
    assert not Callback.objects.filter(number="CB-9").exists()


def test_callback_moves_by_the_rules_and_each_side_by_its_own(client, dispute, placer):
    where = ("callback_move", [dispute.pk])
    given = {"on": "2024-05-02", "signed_by": "J."}
    assert post(client, *where, to="acknowledged", **given).status_code == 302
    answer = post(client, *where, to="closed", **given)
    assert answer.status_code == 200 and "to" in faults(answer)
    owner = seat(dispute.pavement, Role.OWNER)
    client.force_login(owner.person)
    answer = post(client, *where, to="visit_set", **given)
    assert answer.status_code == 302  # either side sets the visit
    answer = post(client, *where, to="visited", **given)
    assert answer.status_code == 302
    answer = post(client, *where, to="finding_issued", **given)
    assert "to" in faults(answer)  # the finding is the contractor's
    dispute.refresh_from_db()
    assert dispute.state == "visited"


@pytest.mark.parametrize("role", [Role.CONTRACTOR, Role.OWNER])
def test_correction_is_offered_to_the_side_that_wrote_it_alone(client, dispute, placer, role):
    dispute.entered_for = placer.organisation
    dispute.save(update_fields=["entered_for"])
    if role == Role.OWNER:
        client.force_login(seat(dispute.pavement, role).person)
    correct = reverse("callback_correct", args=[dispute.pk])
    offered = correct in client.get(reverse("callback_page", args=[dispute.pk])).content.decode()
    assert (offered, client.get(correct).status_code) == (
        (True, 200) if role == Role.CONTRACTOR else (False, 403)
    )


def test_note_kept_inside_is_on_no_page_of_any_other_side(client, dispute, placer):
    fields = {
        "system": "inch_pound", "kind": "inside", "happened_on": "2024-07-10", "text": SECRET,
        "who": "J. Hollin",
    }  # fmt: skip
    answer = post(client, "entry_add", ["callback_note", dispute.pk], **fields)
    assert answer.status_code == 302, faults(answer)
    note = CallbackNote.objects.get(kind="inside")
    assert note.inside_of == placer.organisation
    assert SECRET in client.get(reverse("callback_page", args=[dispute.pk])).content.decode()
    for role in (Role.OWNER, Role.MANAGER, Role.EVALUATOR, Role.BUYER):
        client.force_login(seat(dispute.pavement, role).person)
        for page in PAGES:
            args = [dispute.pavement_id] if page in OF_PAVEMENT else [dispute.pk]
            answer = client.get(reverse(page, args=args), follow=True)
            assert SECRET not in answer.content.decode(), (role, page)
        kept = ["callback_note", dispute.pk, note.pk]
        assert client.get(reverse("entry_correct", args=kept)).status_code in (403, 404)


PAGES = (
    "callback_page", "callback_panels", "warranty_list", "pavement_page", "pavement_timeline",
    "pavement_edit", "repair_list",
)  # fmt: skip
OF_PAVEMENT = {
    "warranty_list",
    "pavement_page",
    "pavement_timeline",
    "pavement_edit",
    "repair_list",
}


def test_journal_of_a_note_kept_inside_is_read_at_no_pavement(dispute):
    from_inside = CallbackNoteFactory(
        callback=dispute, kind="inside", inside_of=dispute.contractor, text=SECRET
    )
    lines = JournalLine.objects.filter(pavement=dispute.pavement)
    assert not lines.filter(subject_kind="callbacknote", subject_id=from_inside.pk).exists()


def test_letter_never_becomes_a_note_kept_inside(client, dispute, placer):
    letter = CallbackNoteFactory(callback=dispute, entered_for=placer.organisation)
    address = reverse("entry_correct", args=["callback_note", dispute.pk, letter.pk])
    form = client.get(address).context["form"]
    sent = {
        "system": "inch_pound", "kind": "inside", "happened_on": "2024-04-26", "text": "x",
        "who": "", "happened_at": "", "seen": form.initial["seen"], "why": "hide it",
    }  # fmt: skip
    answer = client.post(address, sent)
    assert "kind" in faults(answer)
    letter.refresh_from_db()
    assert letter.kind == "letter_in"


def test_disputed_callback_is_not_corrected_and_takes_a_new_note(client, dispute, placer):
    lived_through(dispute, until="disputed")
    address = reverse("callback_correct", args=[dispute.pk])
    Callback.objects.update(entered_for=placer.organisation)
    form = client.get(address).context["form"]
    sent = {name: form[name].value() or "" for name in form.fields}
    sent |= {"claim": "another claim", "why": "misread"}
    sent["received_at"] = "2024-04-26 17:42"
    answer = client.post(address, sent)
    assert "in dispute" in answer.content.decode()
    dispute.refresh_from_db()
    assert dispute.claim == "raveling, north lot"
    fields = {"system": "inch_pound", "kind": "event", "happened_on": "2024-07-19", "text": "slips"}
    answer = post(client, "entry_add", ["callback_note", dispute.pk], **fields)
    assert answer.status_code == 302, faults(answer)


def test_settlement_of_the_dispute_comes_out_as_printed(client):
    """Table 1L of the demonstration: 41 184 together, 29 952 and 11 232."""
    row = notice(terms(pavement=north_lot(with_shares=False)))
    client.force_login(seat(row.pavement, Role.CONTRACTOR, row.contractor).person)
    for panels, area, price, shares in (
        ("C5-C11", "1008", "26.00", "contractor 100, owner 0"),
        ("D8-D11", "576", "26.00", "contractor 25, owner 75"),
        ("D7, B11, C4", "432", "0", "contractor 0, owner 100"),
    ):
        fields = {
            "system": "inch_pound", "panels_text": panels, "area": area, "area_unit": "ft2",
            "unit_price": price, "currency": "$", "share_percents": shares,
        }  # fmt: skip
        answer = post(client, "entry_add", ["settlement_line", row.pk], **fields)
        assert answer.status_code == 302, faults(answer)
    page = client.get(reverse("callback_page", args=[row.pk])).content.decode()
    assert "price, $ a ft²" in page
    for amount in ("$ 26208.00", "14976.00", "3744.00", "11232.00", "41184.00", "29952.00"):
        assert amount in page


def test_shares_that_do_not_add_up_are_refused(client, dispute, placer):
    fields = {
        "system": "inch_pound", "panels_text": "A1", "area": "144", "area_unit": "ft2",
        "unit_price": "26", "currency": "CAD", "share_percents": "contractor 25, owner 70",
    }  # fmt: skip
    answer = post(client, "entry_add", ["settlement_line", dispute.pk], **fields)
    assert "add up to 100 %: contractor 25, owner 70 is 95 %" in str(faults(answer))


def test_shares_with_decimals_are_taken_in_words_where_no_panels_are_drawn(client, dispute, placer):
    fields = {
        "system": "inch_pound", "panels_text": "0+30 to 0+40", "area": "144", "area_unit": "ft2",
        "unit_price": "26", "currency": "CAD",
        "share_percents": "contractor 35.8, owner 64.1, town 0.1",
    }  # fmt: skip
    answer = post(client, "entry_add", ["settlement_line", dispute.pk], **fields)
    assert answer.status_code == 302, faults(answer)


def test_settlement_without_a_currency_or_in_two_is_never_added_up(client, dispute, placer):
    fields = {
        "system": "inch_pound", "panels_text": "0+30 to 0+40", "area": "144", "area_unit": "ft2",
        "unit_price": "26", "share_percents": "contractor 100",
    }  # fmt: skip
    answer = post(client, "entry_add", ["settlement_line", dispute.pk], **fields)
    assert "currency" in faults(answer)
    for place, currency in (("0+30 to 0+40", "CAD"), ("0+50 to 0+60", "$")):
        fields |= {"panels_text": place, "currency": currency}
        answer = post(client, "entry_add", ["settlement_line", dispute.pk], **fields)
        assert answer.status_code == 302, faults(answer)
    page = client.get(reverse("callback_page", args=[dispute.pk])).content.decode()
    assert "different currencies (CAD, $): they are not added up" in page
    SettlementLine.objects.update(currency="")
    page = client.get(reverse("callback_page", args=[dispute.pk])).content.decode()
    assert "The currency is not written down" in page


def test_repair_with_a_price_says_its_currency(client, dispute, placer):
    fields = {
        "system": "inch_pound", "number": "R-9", "reason": "goodwill", "method": "panel_replaced",
        "panels_text": "0+30 to 0+40", "unit_price": "26", "price_unit": "ft2",
    }  # fmt: skip
    answer = post(client, "entry_add", ["repair", dispute.pavement_id], **fields)
    assert "Say in which currency" in str(faults(answer))


def test_limit_added_later_sets_the_next_day(client, dispute, placer):
    dispute.warranty.limits.all().delete()
    Callback.objects.update(next_due_on=None)
    answer = post(
        client, "entry_add", ["answer_limit", dispute.warranty_id],
        system="inch_pound", step="acknowledge", days="3", counting="calendar", after="counted",
    )  # fmt: skip
    assert answer.status_code == 302, faults(answer)
    dispute.refresh_from_db()
    assert dispute.next_due_on == date(2024, 5, 2)


def test_page_of_evidence_marks_what_comes_from_the_record(client):
    pavement = north_lot()
    row = notice(terms(pavement=pavement), panels=["C8", "D10"])
    client.force_login(seat(pavement, Role.CONTRACTOR, row.contractor).person)
    page = client.get(reverse("callback_panels", args=[row.pk])).content.decode()
    assert "filled from the record" in page
    assert "Loads: 8 (100%)" in page and "it never says who is liable" in page


def test_two_limits_of_one_step_are_refused_in_words(client, dispute, placer):
    answer = post(
        client, "entry_add", ["answer_limit", dispute.warranty_id],
        system="inch_pound", step="acknowledge", days="3", counting="calendar", after="counted",
    )  # fmt: skip
    assert answer.status_code == 200 and answer.context["form"].errors
