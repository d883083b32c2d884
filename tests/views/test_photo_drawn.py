"""Then and now, marks and covers: apart from the picture, each by its own side."""

import json

import pytest
from django.test import Client
from django.urls import reverse

from registry.gathering.photo_files import has_copy
from registry.models import JournalLine, Photo, PhotoMarks
from tests import factories
from tests.views.record import manager_of, wrongs
from tests.views.stored_photos import stored_photo

pytestmark = pytest.mark.django_db


@pytest.fixture
def pavement(client):
    pavement, person = manager_of()
    client.force_login(person)
    return pavement


@pytest.fixture
def organisation(pavement):
    return pavement.seats.get().organisation


@pytest.fixture
def photo(pavement, organisation):
    return stored_photo(pavement, organisation)


def other_side(pavement, role="evaluator"):
    organisation = factories.MembershipFactory().organisation
    factories.SeatFactory(pavement=pavement, organisation=organisation, role=role)
    client = Client()
    client.force_login(organisation.people.get())
    return client, organisation


def at(name, photo):
    return reverse(name, args=[photo.pk])


def draw(client, photo, text):
    return client.post(at("photo_marks", photo), {"marks": text})


def test_marks_are_kept_apart_and_drawn_over_the_page_size(client, photo, organisation):
    text = "arrow 20,30 40,50 loose stones\nring 60,40 66,40\noutline 10,10 20,10 20,30"
    assert draw(client, photo, text).status_code == 302
    row = PhotoMarks.objects.get()
    assert row.entered_for == organisation
    assert row.drawn[0] == {
        "kind": "arrow",
        "points": [[0.2, 0.3], [0.4, 0.5]],
        "words": "loose stones",
    }
    shown = client.get(at("photo_page", photo)).content.decode()
    for words in ("<polyline", "<circle", "<polygon", ">loose stones</text>"):
        assert words in shown
    again = client.get(at("photo_marks", photo)).content.decode()
    assert "arrow 20,30 40,50 loose stones" in again


def test_marks_drawn_anew_void_those_before_and_none_take_them_away(client, photo):
    draw(client, photo, "line 1,1 2,2")
    draw(client, photo, "line 3,3 4,4")
    assert PhotoMarks.objects.count() == 2
    assert PhotoMarks.objects.standing().get().drawn[0]["points"] == [[0.03, 0.03], [0.04, 0.04]]
    draw(client, photo, "")
    assert not PhotoMarks.objects.standing().exists()
    assert PhotoMarks.objects.count() == 2


def test_each_side_draws_its_own_and_leaves_the_others(client, pavement, photo):
    draw(client, photo, "words 10,10 ours")
    theirs, _ = other_side(pavement)
    draw(theirs, photo, "words 20,20 theirs")
    assert PhotoMarks.objects.standing().count() == 2
    shown = theirs.get(at("photo_page", photo)).content.decode()
    assert ">ours</text>" in shown
    assert ">theirs</text>" in shown


def test_who_reads_only_what_is_shown_sees_no_third_sides_marks(client, pavement, photo):
    Photo.objects.filter(pk=photo.pk).update(submitted_on="2024-05-01")
    draw(client, photo, "words 10,10 ours")
    third, _ = other_side(pavement)
    draw(third, photo, "words 20,20 evaluators")
    town, _ = other_side(pavement, "municipality")
    shown = town.get(at("photo_page", photo)).content.decode()
    assert ">ours</text>" in shown
    assert "evaluators" not in shown


@pytest.mark.parametrize(
    "text",
    [
        "arrow",
        "arrow 20 30",
        "arrow 20,30",
        "arrow 20,30 20,30",
        "star 1,1 2,2",
        "line 120,10 2,2",
        "words 10,10",
        "ring 1,1 2,2 3,3",
        "words 10,10 " + "x" * 121,
    ],
)
def test_a_line_that_is_no_mark_is_refused_and_kept_as_typed(client, photo, text):
    answer = draw(client, photo, text)
    assert wrongs(answer)
    assert text[:40] in answer.content.decode()
    assert not PhotoMarks.objects.exists()


def test_words_of_a_mark_are_never_markup(client, photo):
    draw(client, photo, "words 10,10 <script>alert(1)</script>")
    shown = client.get(at("photo_page", photo)).content.decode()
    assert "<script>alert" not in shown
    assert "&lt;script&gt;alert" in shown


def test_covers_are_stored_by_a_line_with_a_reason_and_the_copy_is_made_anew(
    client, photo, django_capture_on_commit_callbacks
):
    given = {"covers": "box 90,40 55,10", "shown_to": "own", "why": "a face"}
    assert "why" in wrongs(client.post(at("photo_covers", photo), {**given, "why": ""}))
    assert client.post(at("photo_covers", photo), given).status_code == 302
    photo.refresh_from_db()
    assert photo.covers == [[0.55, 0.1, 0.9, 0.4]]
    assert photo.shown_to == "own"
    assert not has_copy(photo), "the old copy shows the face: it is not handed out any more"
    assert client.get(reverse("photo_view", args=[photo.pk, "copy"])).status_code == 404
    line = JournalLine.objects.corrections().get()
    assert line.changes["covers"] == ["0 covered", "1 covered"]


@pytest.mark.parametrize("text", ["box 1,1", "box 1,1 1,1", "ring 1,1 2,2", "box 1,1 101,2"])
def test_a_line_that_is_no_cover_is_refused(client, photo, text):
    given = {"covers": text, "shown_to": "all", "why": "a face"}
    assert wrongs(client.post(at("photo_covers", photo), given))
    photo.refresh_from_db()
    assert photo.covers == []


def pair(client, now, then):
    return client.post(at("photo_pair", now), {"then": then.pk if then else ""})


def dated(photo, day):
    Photo.objects.filter(pk=photo.pk).update(taken_on=day)
    photo.refresh_from_db()
    return photo


def test_then_and_now_stand_side_by_side_from_either_page(client, pavement, organisation, photo):
    now = dated(photo, "2025-04-20")
    then = dated(stored_photo(pavement, organisation), "2024-04-18")
    assert pair(client, now, then).status_code == 302
    shown = client.get(at("photo_pair", now)).content.decode()
    assert shown.index(f"/photos/{then.pk}/page/") < shown.index(f"/photos/{now.pk}/page/")
    assert 'type="range"' in shown
    assert at("photo_pair", now) in client.get(at("photo_page", then)).content.decode()
    assert pair(client, now, None).status_code == 302
    now.refresh_from_db()
    assert now.pair_of is None
    verbs = JournalLine.objects.about(now).values_list("verb", flat=True)
    assert {"paired", "pair taken back"} <= set(verbs)


def test_a_later_photo_is_no_then_and_no_photo_is_its_own(client, pavement, organisation, photo):
    now = dated(photo, "2024-04-18")
    later = dated(stored_photo(pavement, organisation), "2025-04-20")
    assert "after this one" in pair(client, now, later).content.decode()
    assert wrongs(pair(client, now, now))
    undated = dated(stored_photo(pavement, organisation), None)
    assert pair(client, now, undated).status_code == 302
    assert "itself paired" in pair(client, undated, now).content.decode()


def test_a_then_that_one_may_not_see_is_not_shown_beside_the_now(client, pavement, organisation):
    then = stored_photo(pavement, organisation, shown_to="own")
    now = stored_photo(pavement, organisation, pair_of=then)
    theirs, _ = other_side(pavement)
    shown = theirs.get(at("photo_pair", now)).content.decode()
    assert f"/photos/{then.pk}/" not in shown
    assert "no earlier one" in shown
    assert f"/photos/{then.pk}/" not in theirs.get(at("photo_page", now)).content.decode()


def test_a_void_photo_stays_readable_and_leaves_the_list(client, pavement, photo):
    client.post(at("photo_void", photo), {"why": ""})
    photo.refresh_from_db()
    assert not photo.is_void
    client.post(at("photo_void", photo), {"why": "of the neighbour's lot"})
    shown = client.get(at("photo_page", photo)).content.decode()
    assert "of the neighbour&#x27;s lot" in shown
    assert "Draw marks" not in shown
    listed = client.get(reverse("photo_list", args=[pavement.pk])).content.decode()
    assert at("photo_page", photo) not in listed
    assert wrongs(draw(client, photo, "line 1,1 2,2"))


def test_stored_marks_are_plain_data(client, photo):
    draw(client, photo, "line 1,1 2,2")
    assert json.loads(json.dumps(PhotoMarks.objects.get().drawn))
