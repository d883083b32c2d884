"""What happened in a year stands once, in the words of the rules."""

import pytest

from registry.models.season_day import FACTS
from registry.planning.seasons import Fact
from tests.factories import SeasonDayFactory
from tests.models.refusals import VOID, refused


def test_words_are_those_of_the_rules():
    assert {code: Fact[code.upper()].value for code in FACTS} == FACTS
    assert len(Fact) == len(FACTS)


@pytest.mark.django_db
def test_void_needs_a_reason_and_a_day_stands_once():
    refused("season_day_void_has_reason", SeasonDayFactory, **VOID)
    row = SeasonDayFactory()
    again = {"organisation": row.organisation, "fact": row.fact, "on": row.on}
    refused("season_day_once", SeasonDayFactory, **again)
    SeasonDayFactory(climate="mountain", **again)
    assert str(row) == "last sand 2026-03-20"
