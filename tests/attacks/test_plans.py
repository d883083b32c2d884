"""Plans made to break what draws them: each is refused or told in words, and no page falls over."""

from datetime import date

import pytest
from django.urls import reverse

from registry.drawing.plan_picture import plan_picture
from registry.drawing.primitives import DrawingError
from registry.plan import Baseline, Layout, grid
from registry.plan.faults import PlanError
from registry.plan.squares import MOST_ASIDE, Squares
from registry.plan.stations import LONGEST_M
from registry.units import System
from tests import factories
from tests.plan.layouts import datum

ON = date(2024, 1, 1)


def draw(**things: object):
    layout = Layout(System.SI, datum(), **things)
    return plan_picture(layout, on=ON, size_mm=(180.0, 150.0), system=System.SI)


@pytest.mark.parametrize("sides", [(1e6, 1.0), (12.0, 1e-9)])
def test_panels_too_small_beside_the_plan_are_told(sides: tuple[float, float]):
    with pytest.raises(DrawingError, match="too small beside the whole plan"):
        draw(panels=grid(2, 3, *sides))


def test_a_path_too_wide_for_its_length_is_told():
    with pytest.raises(DrawingError, match="too long or too wide"):
        draw(baseline=Baseline(((0.0, 0.0), (0.0, 100.0)), width_m=1e7))


@pytest.mark.parametrize("length_m", [1.01 * LONGEST_M, 1e300, float("inf"), float("nan")])
def test_a_path_beyond_all_measure_is_refused(length_m: float):
    with pytest.raises(PlanError):
        Baseline(((0.0, 0.0), (0.0, length_m)))


@pytest.mark.parametrize("counts", [(MOST_ASIDE + 1, 1), (1, 10**300)])
def test_more_squares_than_can_be_drawn_are_refused(counts: tuple[int, int]):
    with pytest.raises(PlanError, match="at most 999 squares each way"):
        Squares(*counts, 3.0)


def test_as_many_squares_as_a_plan_takes_are_drawn():
    drawing = draw(squares=Squares(MOST_ASIDE, 2, 3.0))
    assert len(drawing.items) > 2 * MOST_ASIDE


def plan_page(client, seat) -> str:
    client.force_login(factories.MembershipFactory(organisation=seat.organisation).person)
    answer = client.get(reverse("plan_page", args=[seat.pavement_id]))
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.django_db
def test_a_stored_plan_that_does_not_hold_together_says_so_on_its_page(client):
    """As one can be that was stored before a rule was."""
    seat = factories.SeatFactory()
    plan = factories.PlanFactory(pavement=seat.pavement)
    for name in ("A1", "A2"):
        factories.PanelFactory(pavement=seat.pavement, plan=plan, name=name)
    assert "A1 and A2 lie on each other." in plan_page(client, seat)


@pytest.mark.django_db
def test_a_plan_that_cannot_be_drawn_says_so_on_its_page(client):
    seat = factories.SeatFactory()
    plan = factories.PlanFactory(pavement=seat.pavement)
    factories.PanelFactory(pavement=seat.pavement, plan=plan, width_m=1e6, length_m=1.0)
    assert "too small beside the whole plan" in plan_page(client, seat)


@pytest.mark.django_db
def test_a_plan_of_squares_without_end_is_refused_by_its_form(client):
    seat = factories.SeatFactory()
    client.force_login(factories.MembershipFactory(organisation=seat.organisation).person)
    sent = {
        "system": "si", "across": "1000000", "along": "30", "drawn_on": "2024-05-01", "datum": "x",
        "up": "the canal", "ties": "10 to a\n12 to b",
    }  # fmt: skip
    answer = client.post(reverse("plan_add", args=[seat.pavement_id, "squares"]), sent)
    assert answer.status_code == 200
    assert "at most 999 squares each way" in answer.content.decode()
    assert not seat.pavement.plans.exists()
