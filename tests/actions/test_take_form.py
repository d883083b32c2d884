"""A form is taken once: work and memory of it are stored together, or neither."""

import pytest
from django.http import HttpResponse, HttpResponseRedirect, QueryDict

from registry.actions.take_form import SentBefore, key_of, take_form
from registry.models import SentForm
from tests.factories import PersonFactory

pytestmark = pytest.mark.django_db


def test_key_rests_on_person_place_and_words_but_not_on_the_token():
    ann, bob = PersonFactory(), PersonFactory()
    said = QueryDict("form_key=1&note=a&csrfmiddlewaretoken=x")
    same = QueryDict("csrfmiddlewaretoken=y&note=a&form_key=1")
    assert key_of(ann, "/a/", said) == key_of(ann, "/a/", same)
    others = {
        key_of(ann, "/a/", said),
        key_of(bob, "/a/", said),
        key_of(ann, "/b/", said),
        key_of(ann, "/a/", QueryDict("form_key=1&note=b")),
        key_of(ann, "/a/", QueryDict("form_key=1&note=a&note=a")),
    }
    assert len(others) == 5


def test_second_is_told_where_the_first_led_and_does_no_work():
    ann, done = PersonFactory(), []

    def work():
        done.append(1)
        return HttpResponseRedirect("/there/")

    take_form(ann, "k", work)
    with pytest.raises(SentBefore) as before:
        take_form(ann, "k", work)
    assert before.value.form.answered_with == "/there/"
    assert done == [1]


def test_answer_that_leads_nowhere_is_not_remembered():
    take_form(PersonFactory(), "k", lambda: HttpResponse("put this right"))
    assert not SentForm.objects.exists()
