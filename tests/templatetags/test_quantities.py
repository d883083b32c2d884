"""What templates show: quantities in the viewer's system, days, words."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders
from django.template import Context, RequestContext, Template

from registry.measuring.reading import Method
from registry.measuring.spot_decline import Decline, Segment, SpotTest, Withheld, decline_of
from registry.models.choices import Word
from registry.templatetags.quantities import latest_decline
from registry.units import UnitError
from tests.factories import PersonFactory


def shown(source, rf=None, person=None, **values):
    template = Template("{% load quantities %}" + source)
    if rf is None:
        return template.render(Context(values))
    request = rf.get("/")
    request.user = person
    return template.render(RequestContext(request, values))


@pytest.mark.parametrize(
    ("source", "values", "text"),
    [
        ("{% rate v sign %}", {"v": 99.06, "sign": "<"}, "&lt; 3.9 in/h"),
        ("{% rate v %}", {"v": 2540.0}, "100 in/h"),
        ("{% rate v %}", {"v": 2540.0, "system": "si"}, "2540 mm/h"),
        ("{% rate v %}", {"v": None}, ""),
        ("{% level v %}", {"v": 317.5}, "12.5 in/h"),
        ("{% level v %}", {"v": None}, ""),
        ("{% quantity v 'area' %}", {"v": 100.0}, "1076 ft²"),
        ("{% quantity v 'small_length' %}", {"v": 152.4, "system": "si"}, "152.4 mm"),
        ("{% unit 'area' %}", {"system": "si"}, "m²"),
        ("{{ v|day }}", {"v": date(2026, 5, 19)}, "2026-05-19"),
        ("{{ v|day }}", {"v": None}, ""),
        ("{{ v|stratum }}", {"v": "field"}, "stalls or middle"),
        (
            "{{ v|at_site:'America/New_York' }}",
            {"v": datetime(2026, 1, 1, 4, 30, tzinfo=UTC)},
            "2025-12-31 23:30",
        ),
    ],
)
def test_value_is_shown(source, values, text):
    assert shown(source, **values) == text


@pytest.mark.django_db
def test_viewers_own_system_is_shown_also_in_parts_that_get_nothing_else(rf):
    person = PersonFactory(shown_system="si")
    part = Template("{% load quantities %}{% rate 254.0 %}")
    assert shown("{% include part only %}", rf, person, part=part) == "254 mm/h"
    assert shown("{% rate 254.0 %}", rf, person, system="inch_pound") == "10 in/h"


def test_sign_that_is_no_bound_is_a_programmers_error():
    with pytest.raises(UnitError):
        shown("{% rate v sign %}", v=1.0, sign="~")


@pytest.mark.parametrize(
    ("word", "parts"),
    [
        ("clean", ("#clean", "condition--asks", "clean</span>")),
        ("working", ("#working", "working</span>")),
        (None, ("not worked out yet",)),
        ("", ("not worked out yet",)),
    ],
)
def test_condition_is_a_mark_and_then_the_word(word, parts):
    text = shown("{% condition w %}", w=word)
    assert [part for part in parts if part not in text] == []
    assert ("condition--asks" in text) is (word == "clean")


def test_unknown_condition_word_is_a_programmers_error():
    with pytest.raises(ValueError, match="splendid"):
        shown("{% condition w %}", w="splendid")


def stretch(slope, **fields):
    segment = Segment((), Method.C1701, "", None, None)
    return Decline(segment, span_years=3.0, slope=slope, **fields)


@pytest.mark.parametrize(
    ("decline", "loss", "reaches"),
    [
        (stretch(0.2231, reaches_on=date(2031, 12, 1)), "20 %", "2031-12"),
        (stretch(0.2231, sign=">", reaches_on=date(2031, 12, 1)), "> 20 %", "2031-12"),
        (stretch(0.0), "none shown", "no date"),
        (stretch(-0.0392), "none shown, rises 4 %", "no date"),
        (
            stretch(None, withheld=Withheld("too_few", "Too few to give a date: 2 of 3 tests.")),
            "not given",
            "Too few to give a date: 2 of 3 tests.",
        ),
    ],
)
def test_loss_of_a_spot_is_said_or_the_reason_for_none(decline, loss, reaches):
    told = {"loss": loss, "reaches": reaches, "beside": ""}
    assert latest_decline({"U": (decline,)}, "U") == told
    assert latest_decline({}, "U") == {"loss": "", "reaches": "", "beside": ""}


@pytest.mark.parametrize(
    ("days", "told"),
    [
        (((2024, 6, 5), (2025, 5, 20), (2026, 5, 19)), ""),
        (
            ((2024, 11, 5), (2025, 5, 20), (2026, 5, 19)),
            "; tests of May, November, not corrected for the season",
        ),
        (((2024, 12, 5), (2026, 1, 20), (2027, 2, 19)), ""),
    ],
    ids=["worked", "May and November", "one winter"],
)
def test_case_26_half_life_stands_with_the_season_of_what_is_compared(days, told):
    """Worked by hand: 480, 330, 190 in/h on the first three days lose 38 % a year."""
    tests = tuple(
        SpotTest(date(*on), rate, Method.C1701)
        for on, rate in zip(days, (480, 330, 190), strict=True)
    )
    found = decline_of(Segment(tests, Method.C1701, "", None, None), None)
    shown = latest_decline({"U": (found,)}, "U")
    assert shown["beside"].partition(" yr")[2] == told
    if days[0] == (2024, 6, 5):
        assert (shown["loss"], shown["beside"]) == ("38 %", "half-life 1.5 yr")


@pytest.mark.parametrize("word", Word.values)
def test_every_condition_word_has_its_mark(word):
    marks = Path(finders.find("marks.svg")).read_text(encoding="utf-8")
    assert f'<symbol id="{word}"' in marks
