"""The tables of a decline by one question are those that many questions give."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from registry.actions.invent_portfolio import invent_portfolio
from registry.gathering import decline_together
from registry.gathering.decline_records import arrange_records
from registry.gathering.decline_tables import DeclineTables
from registry.gathering.decline_together import few_questions
from registry.models import Cleaning, Pavement, Spot
from tests import factories

pytestmark = pytest.mark.django_db
ON = date(2026, 6, 10)


@pytest.fixture
def ids():
    """An invented portfolio, with one cleaning by rows that names tests, strata and a void spot."""
    invent_portfolio(pavements=6, seed=5, as_of=ON)
    spot = Spot.objects.order_by("pk").first()
    lot = spot.pavement
    panels = [factories.PanelFactory(pavement=lot, name=name) for name in ("A1", "A2")]
    Spot.objects.filter(pk=spot.pk).update(panel=panels[0])
    rows = Cleaning.objects.filter(pavement=lot)
    late = factories.CleaningFactory(
        pavement=lot, done_on=date(2010, 1, 1), method="vacuum", covers_all=False
    )
    for number, panel in enumerate(panels):
        late.panels.create(panel=panel, is_missed=bool(number))
    for side, row in (("before_tests", late), ("after_tests", rows.order_by("pk").first())):
        own = factories.InfiltrationTestFactory(pavement=lot, spot=spot, started_on=row.done_on)
        getattr(row, side).add(own)
    factories.StratumFactory(pavement=lot, kind="run_on_edge", area_m2=50.0)
    factories.SpotFactory(pavement=lot, void_at="2026-01-01T00:00Z", void_why="drawn twice")
    return list(Pavement.objects.values_list("pk", flat=True))


def test_every_table_is_the_same(ids):
    one, many = few_questions(ids), DeclineTables(sorted(ids))
    assert list(one.spots()) == list(many.spots())
    assert list(one.cleanings()) == list(many.cleanings())
    assert one.sides() == many.sides()
    assert set(one.sides().values()) == {"before", "after"}
    parts = {row[0] for row in many.cleanings() if not row[5]}
    assert one.panels(parts) == many.panels(parts) and len(parts) >= 1
    assert one.panels(set()) == many.panels(set()) == {}
    areas = dict.fromkeys(ids, 500.0)
    assert one.action_levels(areas, ON) == many.action_levels(areas, ON)
    assert any(one.action_levels(areas, ON).values())
    assert sorted(one.strata()) == sorted(many.strata()) and any(one.strata())


def test_spots_tell_their_panels_and_three_questions_do(ids):
    with CaptureQueriesContext(connection) as asked:
        rows = arrange_records(few_questions(ids), on=ON)
    assert len(asked) == 3
    panel_of = dict(Spot.objects.values_list("pk", "panel_id"))
    assert rows.panels == [panel_of[pk] for pk, _, _ in rows.spots]
    assert any(rows.panels)


def test_more_pavements_than_one_question_may_name_are_asked_table_by_table(ids, monkeypatch):
    monkeypatch.setattr(decline_together, "MOST_TOGETHER", len(ids) - 1)
    assert type(few_questions(ids)) is DeclineTables
