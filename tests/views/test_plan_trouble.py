"""A plan that does not hold together, stored before a rule or by hand, closes no page.

Two panels lie on each other here: each page that draws or reads on the plan says so in words.
"""

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse

from registry.models import Panel, PrintedSheet
from tests.factories import (
    DefectFactory,
    MembershipFactory,
    PanelFactory,
    PlanFactory,
    SeatFactory,
    SpotFactory,
    WorkOrderFactory,
)

SAID = "A1 and A2"


@pytest.fixture
def member(db):
    return MembershipFactory()


@pytest.fixture
def lot(member):
    lot = SeatFactory(role="manager", organisation=member.organisation).pavement
    plan = PlanFactory(pavement=lot, number=1)
    PanelFactory(pavement=lot, plan=plan, name="A1")
    PanelFactory(pavement=lot, plan=plan, name="A2", up_m=4.572)
    SpotFactory(pavement=lot, name="U", right_m=1.0, up_m=1.0)
    return lot


@pytest.fixture
def pages(lot, member):
    own = {"pavement": lot, "entered_for": member.organisation}
    defect = DefectFactory(
        number=1, outline=[[0.0, 0.0], [1.0, 0.0], [1.0, 1.0]], outline_kind="area", **own
    )
    order = WorkOrderFactory(organisation=member.organisation, covers_all=False, **own)
    sheet = PrintedSheet.objects.create(
        number="INS-0001", kind="inspection", pavement=lot, plan=lot.plans.get(), paper="a4",
        system="si",
    )  # fmt: skip
    return {
        "pavement_page": reverse("pavement_page", args=[lot.pk]),
        "plan_page": reverse("plan_page", args=[lot.pk]),
        "spot_list": reverse("spot_list", args=[lot.pk]),
        "spot_draw_add": reverse("spot_draw_add", args=[lot.pk]),
        "defect_page": reverse("defect_page", args=[defect.pk]),
        "defect_add": reverse("defect_add", args=[lot.pk]) + "?kind=raveling",
        "work_order_page": reverse("work_order_page", args=[order.pk]),
        "work_order_rows": reverse("work_order_rows", args=[order.pk]),
        "work_order_add": reverse("work_order_add", args=[lot.pk]),
        "sheet_copy_in": reverse("sheet_copy_in", args=[sheet.number]),
    }


def text_of(client, address):
    answer = client.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def test_each_page_shows_with_the_reason_once_panels_lie_on_each_other(
    client, member, pages, subtests
):
    client.force_login(member.person)
    for name, address in pages.items():
        with subtests.test(name):
            assert SAID not in text_of(client, address)
    Panel.objects.update(up_m=0.0)
    for name, address in pages.items():
        with subtests.test(name):
            assert SAID in text_of(client, address)


def test_rest_of_the_page_is_there(client, member, lot, pages):
    Panel.objects.update(up_m=0.0)
    client.force_login(member.person)
    assert ">U<" in text_of(client, pages["spot_list"]).replace(" ", "").replace("\n", "")
    assert "data-placer=" not in text_of(client, pages["defect_add"])
    assert 'name="place"' in text_of(client, pages["defect_add"])


def test_area_is_corrected_and_it_is_said_that_nothing_compared_it(client, member, lot):
    Panel.objects.update(up_m=0.0)
    client.force_login(member.person)
    address = reverse("pavement_correct", args=[lot.pk])
    form = client.get(address).context["form"]
    shown = {b.html_name: b.value() for b in form if b.value() not in (None, False, "", [])}
    given = {**shown, "system": "si", "area_m2": "900 m²", "why": "measured again"}
    answer = client.post(address, given)
    assert answer.status_code == 302, answer.context["form"].errors
    lot.refresh_from_db()
    assert lot.area_m2 == pytest.approx(900)
    told = " ".join(str(message) for message in get_messages(answer.wsgi_request))
    assert "not compared with the plan" in told and SAID in told
