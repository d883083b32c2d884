"""A defect is noted, looked at again and moved in a browser; a person decides what is the same."""

import pytest
from django.urls import reverse

from registry.models import Defect, DefectLink, Observation
from tests.factories import (
    DefectFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    ObservationFactory,
    PanelFactory,
    PavementFactory,
    PlanFactory,
    SeatFactory,
    SpotFactory,
)

pytestmark = pytest.mark.django_db

SEEN = {
    "system": "inch_pound",
    "placed_by": "panel",
    "seen_on": "2025-04-18",
    "seen_by": "M. Ferrand",
}


@pytest.fixture
def lot(client):
    member = MembershipFactory()
    pavement = PavementFactory(sheet_system="inch_pound")
    plan = PlanFactory(pavement=pavement, number=1)
    PanelFactory(pavement=pavement, plan=plan, name="A1")
    SeatFactory(pavement=pavement, organisation=member.organisation, role="manager")
    client.force_login(member.person)
    pavement.side = member.organisation
    return pavement


def note(client, lot, kind, **given):
    return client.post(f"{reverse('defect_add', args=(lot.pk,))}?kind={kind}", {**SEEN, **given})


def test_kind_is_chosen_first(client, lot):
    page = client.get(reverse("defect_add", args=(lot.pk,))).content.decode()
    assert "?kind=crack" in page


def test_noted_crack_is_placed_measured_and_graded(client, lot):
    answer = note(client, lot, "crack", place="A1 R 2.0 U 3.0", crack_width_m="8", lip_m="0")
    defect = Defect.objects.get()
    assert answer["Location"] == reverse("defect_page", args=(defect.pk,))
    assert defect.panel.name == "A1"
    assert defect.outline[0] == pytest.approx([2 * 0.3048, 3 * 0.3048])
    look = defect.observations.get()
    assert look.crack_width_m == pytest.approx(0.008)
    assert (look.severity, look.severity_by_eye) == ("high", False)


def test_place_that_is_no_place_is_named_and_nothing_is_stored(client, lot):
    answer = note(client, lot, "crack", place="Z9 R 2.0 U 3.0")
    assert answer.status_code == 200
    assert "Z9" in str(answer.context["noting"].form.errors["place"])
    assert not Defect.objects.exists()


def test_second_sighting_beside_the_first_is_asked_about_before_it_is_stored(client, lot):
    note(client, lot, "stain", place="A1 R 2.0 U 3.0")
    answer = note(client, lot, "stain", place="A1 R 2.1 U 3.0", seen_on="2026-04-18")
    assert answer.status_code == 200
    assert Defect.objects.count() == 1
    offered = answer.context["noting"].same_form
    same = next(v for v, _ in offered.fields["same"].choices if str(v).startswith("same"))
    given = {"place": "A1 R 2.1 U 3.0", "seen_on": "2026-04-18", "same": same}
    assert note(client, lot, "stain", **given).status_code == 302
    assert Defect.objects.count() == 1
    assert Observation.objects.count() == 2


def test_page_tells_a_high_lip_on_an_accessible_route(client, lot):
    defect = DefectFactory(pavement=lot, kind="lip", on_accessible_route="yes")
    ObservationFactory(defect=defect, lip_m=0.010)
    page = client.get(reverse("defect_page", args=(defect.pk,))).content.decode()
    assert "today" in page


def test_page_of_a_clogged_strip_leads_to_the_tests_in_it(client, lot):
    corners = [[0, 0], [3, 0], [3, 2], [0, 2]]
    strip = DefectFactory(pavement=lot, kind="clogged", outline=corners, outline_kind="area")
    inside, beside = (
        InfiltrationTestFactory(
            pavement=lot, spot=SpotFactory(pavement=lot, panel=None, right_m=1.0, up_m=up_m)
        )
        for up_m in (1.0, 5.0)
    )
    page = client.get(reverse("defect_page", args=(strip.pk,))).content.decode()
    told = page.split("Tests inside it")[1].split("</section>")[0]
    assert reverse("infiltration_test_page", args=(inside.pk,)) in told
    assert reverse("infiltration_test_page", args=(beside.pk,)) not in told


def test_state_moves_only_to_what_may_follow(client, lot):
    defect = DefectFactory(pavement=lot, entered_for=lot.side)
    move = reverse("defect_move", args=(defect.pk,))
    client.post(move, {"to": "confirmed", "on": "2025-05-01"})
    defect.refresh_from_db()
    assert defect.state == "confirmed"
    client.post(move, {"to": "closed", "on": "2025-05-02"})
    defect.refresh_from_db()
    assert defect.state == "confirmed"


def test_case_43_recurs_makes_a_new_defect_linked_to_the_old(client, lot):
    note(client, lot, "stain", place="A1 R 2.0 U 3.0")
    answer = note(client, lot, "stain", place="A1 R 2.1 U 3.0", seen_on="2026-04-18")
    choices = [v for v, _ in answer.context["noting"].same_form.fields["same"].choices]
    recurs = next((v for v in choices if str(v).startswith("recurs")), None)
    given = {"place": "A1 R 2.1 U 3.0", "seen_on": "2026-04-18", "same": recurs}
    assert note(client, lot, "stain", **given).status_code == 302
    link = DefectLink.objects.get()
    assert (link.relation, link.defect.number, link.other.number) == ("recurs", 2, 1)


def test_look_is_added_and_void_with_a_reason(client, lot):
    defect = DefectFactory(pavement=lot, kind="crack", entered_for=lot.side)
    add = reverse("observation_add", args=(defect.pk,))
    answer = client.post(add, {**SEEN, "found": "found", "crack_width_m": "4", "lip_m": "0"})
    assert answer.status_code == 302, answer.context["form"].errors
    look = defect.observations.get()
    assert look.severity == "moderate"
    client.post(reverse("observation_void", args=(look.pk,)), {"why": "other crack"})
    look.refresh_from_db()
    assert (look.is_void, look.void_why) == (True, "other crack")


def test_one_remark_is_asked_and_stands_with_the_look_that_it_was_written_with(client, lot):
    """Two fields of one name stood there, and the first of them was lost."""
    address = reverse("defect_add", args=[lot.pk]) + "?kind=crack"
    page = client.get(address).content.decode()
    assert page.count('name="note"') == 1
