"""Doubts about a tester's own run tell nothing of tests that the tester's seat hides.

A run 2.2046 times as fast as the one before is asked about (1 kg = 2.2046 lb). Who knows the ratio
and the own rate knows the other's rate.
"""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from django.urls import reverse

from registry.actions.import_records import import_records
from registry.actions.judge_tests import judge_tests
from registry.measuring import veil
from registry.models import InfiltrationTest, Pavement
from registry.models.choices import Role
from tests.exchange.folders import folder, pavement, run
from tests.factories import MembershipFactory, OrganisationFactory, SeatFactory

pytestmark = pytest.mark.django_db
TELLING = ("2.20 times", "2022-05-03", "kilograms and pounds")


@pytest.fixture
def lot(tmp_path: Path) -> Pavement:
    """Tested by its owner's side on 2022-05-03, 2.2046 times as slow as what is read later."""
    owner = OrganisationFactory(time_zone="America/New_York", system="si")
    rows = (run(started_at="2022-05-03T10:00", seconds=f"{120.5 * 2.2046:.1f}", prewet_seconds=""),)
    import_records(folder(tmp_path / "own", pavements=(pavement(),), runs=rows), organisation=owner)
    return Pavement.objects.get()


@pytest.fixture
def tester(lot):
    return MembershipFactory(organisation=SeatFactory(pavement=lot, role=Role.TESTER).organisation)


def brought_in(lot, tester, path: Path, **changes):
    row = run(pavement_ref=f"record-{lot.pk}", prewet_seconds="", **changes)
    batch = import_records(folder(path, runs=(row,)), organisation=tester.organisation).batch
    return batch, InfiltrationTest.objects.order_by("pk").last()


def pages(client, lot, row):
    urls = (
        reverse("infiltration_test_page", args=[row.pk]),
        reverse("infiltration_test_list", args=[lot.pk]),
        reverse("pavement_page", args=[lot.pk]),
        reverse("pavement_timeline", args=[lot.pk]),
    )
    return {url: client.get(url).content.decode() for url in urls}


def test_import_asks_without_telling_the_ratio_or_the_day(lot, tester, tmp_path):
    batch, row = brought_in(lot, tester, tmp_path / "b")
    assert "ratio_kg_lb" in {d["code"] for d in row.doubts}
    told = str(batch.doubts)
    assert veil.MESSAGE in told and not any(words in told for words in TELLING)


def test_its_pages_tell_the_tester_no_more_and_the_owner_all(client, lot, tester, tmp_path):
    _, row = brought_in(lot, tester, tmp_path / "b")
    client.force_login(tester.person)
    shown = pages(client, lot, row)
    assert veil.MESSAGE in shown[reverse("infiltration_test_page", args=[row.pk])]
    leaks = [(url, w) for url, page in shown.items() for w in TELLING if w in page]
    assert leaks == []
    owner = MembershipFactory(organisation=lot.seats.get(role=Role.OWNER).organisation)
    client.force_login(owner.person)
    page = pages(client, lot, row)[reverse("infiltration_test_page", args=[row.pk])]
    assert "2.20 times from the test of 2022-05-03" in page and veil.MESSAGE not in page
    row.refresh_from_db()
    assert "ratio_kg_lb" in {d["code"] for d in row.doubts}


def test_tester_who_sees_all_there_is_keeps_the_whole_doubt(client, lot, tester, tmp_path):
    InfiltrationTest.objects.update(entered_for=tester.organisation)
    batch, row = brought_in(lot, tester, tmp_path / "b")
    assert "2.20 times" in str(batch.doubts)
    client.force_login(tester.person)
    assert "2.20 times" in pages(client, lot, row)[reverse("infiltration_test_page", args=[row.pk])]


def test_why_a_run_is_kept_out_does_not_name_a_hidden_test(client, lot, tester, tmp_path):
    _, row = brought_in(lot, tester, tmp_path / "b", started_at="2022-05-03T16:00", run="3")
    judge_tests([lot.pk])
    row.refresh_from_db()
    hidden = datetime(2022, 5, 3, 14, tzinfo=UTC)
    assert InfiltrationTest.objects.filter(started_at=hidden).exists()
    assert row.use == "looked_at" and "third_run" in {d["code"] for d in row.doubts}
    client.force_login(tester.person)
    told = pages(client, lot, row)
    words = "This is run 3 at this spot on one day"
    assert [url for url, page in told.items() if words in page] == []
    assert veil.MESSAGE in told[reverse("infiltration_test_list", args=[lot.pk])]


def test_form_shows_before_storing_what_the_page_shows_after(client, lot, tester):
    spot = lot.spots.get()
    client.force_login(tester.person)
    given = {
        "spot": spot.pk, "method": "c1701", "reason": "yearly", "started_on": "2023-05-01",
        "state": "done", "system": "si", "ring": "300", "water": "3.6", "seconds": "120.5",
        "ended": "drained", "run": "1",
    }  # fmt: skip
    answer = client.post(reverse("infiltration_test_add", args=[lot.pk]), given)
    judged = answer.context["judged"]
    assert judged is not None, answer.context["form"].errors
    page = answer.content.decode()
    assert veil.MESSAGE in page and not any(words in page for words in TELLING)


def test_reason_cut_short_within_a_message_keeps_nothing_of_it():
    doubts = [{"code": "third_run", "message": "This is run 3 at this spot."}]
    assert veil.veil_reason("Wet. This is run 3 at this", doubts) == f"Wet. {veil.MESSAGE}"
    assert veil.veil_reason("Decided by Ann on this", doubts) == "Decided by Ann on this"
    assert date(2022, 5, 3).isoformat() not in veil.MESSAGE
