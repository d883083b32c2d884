"""A line of the journal is read at the pavement its subject belongs to, and is never cut short."""

import pytest

from registry.actions.write_journal import ReasonTooLong, pavement_of, write_line
from registry.models import CleanedPanel, Edge, JournalLine, Layer, Structure
from tests.factories import CleaningFactory, PanelFactory, PavementFactory, SiteFactory, SpotFactory

pytestmark = pytest.mark.django_db


def test_line_says_what_was_done_to_what_and_where():
    spot = SpotFactory(name="U")
    line = write_line(spot, "moved", by=None, changes={"place": ("A1", "A2")}, why="read again")
    line.refresh_from_db()
    assert (line.subject_kind, line.subject_id, line.subject_name) == ("spot", spot.pk, "U")
    assert (line.changes, line.pavement) == ({"place": ["A1", "A2"]}, spot.pavement)


def test_pavement_is_found_through_what_stands_between():
    lot, panel = PavementFactory(), PanelFactory()
    layer = Layer(structure=Structure(pavement=lot), kind="base")
    assert pavement_of(lot) == pavement_of(layer) == lot
    assert pavement_of(Edge(panel=panel)) == panel.pavement
    cleaned = CleanedPanel(cleaning=CleaningFactory(pavement=panel.pavement), panel=panel)
    assert pavement_of(cleaned) == panel.pavement


def test_site_belongs_to_no_pavement():
    assert write_line(SiteFactory(), "added", by=None).pavement is None


def test_reason_that_does_not_fit_is_refused_rather_than_cut():
    spot = SpotFactory()
    assert write_line(spot, "moved", by=None, why="x" * 300).why == "x" * 300
    with pytest.raises(ReasonTooLong, match="longer than 300"):
        write_line(spot, "moved", by=None, why="x" * 301)
    assert JournalLine.objects.count() == 1
