"""Drawing a plan without drawing tools, later plans, panels and the datum, through their pages."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.gathering.layouts import layout_of, layout_on
from registry.models import JournalLine, Panel, Plan, Spot
from tests import factories
from tests.views.record import manager_of, written, wrongs

FT = 0.3048
LOT = {
    "system": "inch_pound",
    "drawn_on": "2023-08-24",
    "datum": "back of curb at the canal side",
    "up": "the entrance",
    "ties": "31.4 to hydrant bolt\n18 ft 6 in to door jamb",
    "check_length_m": "132",
    "check_length_name": "A1 to A11",
    "features": "drain north: R 40 U 100",
    "lanes": "4",
    "count": "11",
    "widths": "12",
    "lengths": "12",
    "placed_on": "2023-08-22",
}
PATH = {
    "system": "inch_pound",
    "drawn_on": "2020-06-20",
    "length": "300",
    "width": "6",
    "offset_from": "center",
}


@pytest.fixture
def pavement(db, client):
    pavement, person = manager_of()
    client.force_login(person)
    return pavement


def draw(client, pavement, kind="panels", **given):
    return client.post(reverse("plan_add", args=[pavement.pk, kind]), given)


@pytest.fixture
def lot(client, pavement):
    answer = draw(client, pavement, **LOT)
    assert answer.status_code == 302, wrongs(answer)
    return pavement


def on_panel(client, what, panel, **given):
    url = reverse(f"panel_{what}", args=[panel.pavement_id, panel.pk])
    return client.post(url, {"why": "as built", **given})


def test_lot_is_drawn_from_lanes_and_numbers_with_datum_and_ties(client, lot):
    plan = lot.plans.get()
    assert (plan.number, lot.panels.count()) == (1, 44)
    assert plan.ties == [
        {"distance_m": pytest.approx(31.4 * FT), "to": "hydrant bolt"},
        {"distance_m": pytest.approx(18.5 * FT), "to": "door jamb"},
    ]
    d10 = lot.panels.get(name="D10")
    assert (d10.right_m, d10.up_m) == (pytest.approx(36 * FT), pytest.approx(108 * FT))
    assert d10.placed_on == date(2023, 8, 22)
    page = client.get(reverse("plan_page", args=[lot.pk])).content.decode()
    assert "<svg" in page
    assert "6336 ft²" in page


def test_closing_pieces_are_drawn_by_a_width_for_each_lane(client, pavement):
    given = {**LOT, "widths": "12; 12; 12; 8.5", "lengths": "12"}
    assert draw(client, pavement, **given).status_code == 302
    assert pavement.panels.get(name="D1").width_m == pytest.approx(8.5 * FT)


def test_lanes_leave_out_i_and_o(client, pavement):
    draw(client, pavement, **{**LOT, "lanes": "15", "count": "1"})
    letters = [name[0] for name in pavement.panels.order_by("pk").values_list("name", flat=True)]
    assert "".join(letters) == "ABCDEFGHJKLMNPQ"


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"widths": "12; 12"}, "widths", "4"),
        ({"widths": "0"}, "widths", "above zero"),
        ({"widths": "wide"}, "widths", "not a number"),
        ({"lanes": "0"}, "lanes", "greater than"),
        ({"ties": "hydrant bolt"}, "ties", "31.4 to hydrant bolt"),
        ({"drawn_on": ""}, "drawn_on", "required"),
        ({"check_length_m": "about 100"}, "check_length_m", "not a number"),
    ],
)
def test_plan_that_cannot_be_drawn_is_refused_beside_its_field(
    client, pavement, changed, field, words
):
    answer = draw(client, pavement, **{**LOT, **changed})
    assert words in str(wrongs(answer)[field]), wrongs(answer)
    assert not Plan.objects.exists()


def test_path_is_drawn_by_stations_straight_or_with_bends(client, pavement):
    assert draw(client, pavement, "stations", **PATH).status_code == 302
    assert pavement.plans.get().baseline == [[0.0, 0.0], [0.0, pytest.approx(300 * FT)]]
    bent = {**PATH, "drawn_on": "2021-01-01", "left_edge": "R 0 U 100\nR 120 U 260"}
    answer = draw(client, pavement, "stations", **bent)
    assert answer.status_code == 302, wrongs(answer)
    plan = pavement.plans.first()
    assert plan.number == 2
    assert plan.baseline[2] == [pytest.approx(120 * FT), pytest.approx(260 * FT)]


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"left_edge": "R 0 U 100\nR 0 U 400"}, "left_edge", "400.0 ft"),
        ({"left_edge": "100, 40"}, "left_edge", "R 12 U 60"),
        ({"width": ""}, "width", "need the width"),
        ({"length": "0"}, "length", "above zero"),
    ],
)
def test_path_that_cannot_be_is_refused(client, pavement, changed, field, words):
    answer = draw(client, pavement, "stations", **{**PATH, **changed})
    assert words in str(wrongs(answer)[field]), wrongs(answer)


@pytest.mark.parametrize(("system", "side"), [("inch_pound", 3.048), ("si", 3.0)])
def test_pavers_are_drawn_by_squares_of_ten_feet_or_three_metres(client, pavement, system, side):
    given = {"system": system, "drawn_on": "2022-05-01", "across": "40", "along": "25"}
    assert draw(client, pavement, "squares", **given).status_code == 302
    squares = layout_of(pavement).squares
    assert (squares.side_m, squares.rights, squares.ups) == {
        3.048: (3.048, 4, 3),
        3.0: (3.0, 14, 9),
    }[side]


@pytest.mark.parametrize("kind", ["panels", "stations", "squares"])
def test_each_hint_of_a_drawing_tells_its_unit_once(client, pavement, kind):
    page = client.get(reverse("plan_add", args=[pavement.pk, kind]))
    hints = {f.name: str(f.help_text) for f in page.context["form"] if "data-ft" in f.help_text}
    assert {"check_length_m", "ties", "features"} <= set(hints)
    assert {hint.count("unless you write another") for hint in hints.values()} == {1}
    assert "&lt;" not in "".join(hints.values())


def test_unknown_way_of_drawing_is_not_found(client, pavement):
    assert client.get(reverse("plan_add", args=[pavement.pk, "freehand"])).status_code == 404


def redraw(client, lot, **changed):
    """Plan 2: one lane fewer on the left side, so that B becomes A."""
    given = {**LOT, "drawn_on": "2025-03-01", "lanes": "4", "placed_on": "", **changed}
    return draw(client, lot, **given)


def test_case_34_names_of_a_later_plan_are_looked_at_before_it_is_stored(client, lot):
    asked = redraw(client, lot, count="10", lengths="13.2")
    assert asked.status_code == 200
    assert asked.context["proposed"]["A1"] == "A1"
    assert lot.plans.count() == 1


def test_case_34_old_sheets_still_read_true_beside_the_later_plan(client, lot):
    old = "\n".join(f"B{n} = A{n}" for n in range(1, 12))
    answer = redraw(client, lot, old_names=old, names_seen="1", lanes="3")
    assert answer.status_code == 302, wrongs(answer)
    first, second = lot.plans.order_by("number")
    assert second.old_names["B4"] == "A4"
    # The old plan is the one that old sheets name places on, whole and unchanged.
    before, after = layout_on(first, lot), layout_of(lot)
    assert len(before.panels) == 44
    assert len(after.panels_on(date(2025, 3, 1))) == 33
    assert before.panel_named("D10", date(2024, 1, 1)).right_m == pytest.approx(36 * FT)
    assert after.panel_named("A4", date(2025, 3, 1)).placed_on == date(2023, 8, 22)
    page = client.get(reverse("plan_page", args=[lot.pk]), {"number": "1"}).content.decode()
    assert "D10" in page
    assert "A later plan is in force" in page


@pytest.mark.parametrize(
    ("old_names", "words"),
    [("B4 = Z9", "Z9"), ("Q1 = A1", "Q1"), ("B4 A4", "="), ("B4 = A4\nB4 = A5", "twice")],
)
def test_case_34_name_that_is_on_no_plan_is_refused(client, lot, old_names, words):
    answer = redraw(client, lot, old_names=old_names, names_seen="1")
    assert words in str(wrongs(answer)), wrongs(answer)
    assert lot.plans.count() == 1


def test_later_plan_dated_before_the_one_in_force_is_refused(client, lot):
    answer = redraw(client, lot, drawn_on="2023-08-24", names_seen="1")
    assert "later date" in str(wrongs(answer))


def fixed_point(client, lot, place, name="U"):
    url = reverse("spot_add", args=[lot.pk])
    given = {"system": "inch_pound", "name": name, "stratum": "run_on_edge", "place": place}
    answer = client.post(url, given)
    assert answer.status_code == 302, wrongs(answer)
    return lot.spots.get(name=name)


def test_case_32_replaced_panel_keeps_its_name_and_the_area_of_each_day(client, lot):
    c8 = lot.panels.get(name="C8")
    answer = on_panel(client, "replace", c8, placed_on="2025-05-13", why="raveled")
    assert answer.status_code == 302, wrongs(answer)
    old, new = lot.panels.filter(name="C8").order_by("pk")
    assert (old.exists_to_on, old.ended_as) == (date(2025, 5, 13), "replaced")
    assert (new.replaces, new.placed_on) == (old, date(2025, 5, 13))
    layout = layout_of(lot)
    for day in (date(2024, 1, 1), date(2025, 5, 13), date(2026, 1, 1)):
        area = sum(p.area_m2 for p in layout.panels_on(day))
        assert area == pytest.approx(6336 * FT**2)
    history = client.get(reverse("panel_page", args=[lot.pk, new.pk])).content.decode()
    assert "to 2025-05-13, replaced" in history
    assert "concrete of 2023-08-22" in history


def test_case_28_fixed_point_in_a_replaced_panel_ends_and_a_new_one_begins(client, lot):
    spot = fixed_point(client, lot, "C8 · 3.2 R · 8.5 U")
    other = fixed_point(client, lot, "C9 · 3.2 R · 8.5 U", "M")
    c8 = lot.panels.get(name="C8")
    on_panel(client, "replace", c8, placed_on="2025-05-13", why="raveled")
    spot.refresh_from_db()
    other.refresh_from_db()
    assert spot.ended_why == "panel replaced on 2025-05-13"
    assert other.ended_on is None
    new = Spot.objects.get(name="C8 new")
    assert (new.stratum, new.concrete_placed_on) == (spot.stratum, date(2025, 5, 13))
    assert spot.stratum
    assert new.panel.replaces == c8


def test_case_32_saw_cut_panel_becomes_a_and_b_and_old_records_stay_on_the_whole(client, lot):
    spot = fixed_point(client, lot, "C8 · 3.2 R · 8.5 U")
    c8 = lot.panels.get(name="C8")
    answer = on_panel(client, "cut", c8, system="inch_pound", across="up", at="7", on="2024-06-03")
    assert answer.status_code == 302, wrongs(answer)
    home, beyond = lot.panels.filter(cut_from=c8).order_by("name")
    assert (home.name, home.length_m) == ("C8a", pytest.approx(7 * FT))
    assert (beyond.name, beyond.up_m) == ("C8b", pytest.approx((84 + 7) * FT))
    assert home.placed_on == c8.placed_on
    spot.refresh_from_db()
    assert (spot.panel, spot.ended_on) == (c8, None)
    area = sum(p.area_m2 for p in layout_of(lot).panels_on(date(2024, 6, 3)))
    assert area == pytest.approx(6336 * FT**2)
    on_panel(client, "replace", beyond, placed_on="2025-05-13")
    spot.refresh_from_db()
    assert spot.ended_why == "panel replaced on 2025-05-13"  # 8.5 ft up lies in C8b


def test_case_33_pavement_with_a_new_panel_has_two_placing_days_and_no_single_age(client, lot):
    on_panel(client, "replace", lot.panels.get(name="C8"), placed_on="2025-05-13")
    days = {p.placed_on for p in layout_of(lot).panels_on(date(2026, 1, 1))}
    assert days == {date(2023, 8, 22), date(2025, 5, 13)}


def test_panel_taken_out_ends_and_its_name_is_used_for_no_other_place(client, lot):
    d11 = lot.panels.get(name="D11")
    assert on_panel(client, "end", d11, on="2024-06-03", why="root").status_code == 302
    d11.refresh_from_db()
    assert d11.ended_as == "removed"
    url = reverse("panel_add", args=[lot.pk])
    elsewhere = {
        "system": "inch_pound",
        "name": "D11",
        "kind": "full",
        "right_m": "60",
        "up_m": "0",
        "width_m": "12",
        "length_m": "12",
        "exists_from_on": "2025-01-01",
    }
    assert "another place" in str(wrongs(client.post(url, elsewhere)))


@pytest.mark.parametrize(
    ("what", "given", "words"),
    [
        (
            "cut",
            {"system": "inch_pound", "across": "up", "at": "12", "on": "2024-06-03"},
            "inside C8",
        ),
        (
            "cut",
            {"system": "inch_pound", "across": "up", "at": "nk", "on": "2024-06-03"},
            "Measure",
        ),
        ("replace", {"placed_on": "2023-08-22"}, "began"),
        ("end", {"on": "2020-01-01"}, "began"),
        ("end", {"on": "2024-01-01", "why": ""}, "required"),
    ],
)
def test_change_of_a_panel_that_cannot_be_is_refused(client, lot, what, given, words):
    answer = on_panel(client, what, lot.panels.get(name="C8"), **given)
    assert words in str(wrongs(answer)), wrongs(answer)
    assert lot.panels.filter(exists_to_on__isnull=True).count() == 44


def test_panel_that_has_ended_is_not_ended_again(client, lot):
    c8 = lot.panels.get(name="C8")
    on_panel(client, "end", c8, on="2024-06-03")
    assert "ended already" in str(wrongs(on_panel(client, "end", c8, on="2024-07-01")))


def test_closing_piece_is_put_right_by_a_line(client, lot):
    d11 = lot.panels.get(name="D11")
    url = reverse("panel_correct", args=[lot.pk, d11.pk])
    sent = written(client.get(url).context["form"])
    changed = {**sent, "kind": "closing", "length_m": "7 ft 6 in", "why": "taped"}
    answer = client.post(url, changed)
    assert answer.status_code == 302, wrongs(answer)
    d11.refresh_from_db()
    assert (d11.kind, d11.length_m) == ("closing", pytest.approx(7.5 * FT))
    assert JournalLine.objects.corrections().get().changes["length_m"] == ["12 ft", "7 ft 6 in"]


def test_panel_corrected_onto_another_is_refused_whole(client, lot):
    c8 = lot.panels.get(name="C8")
    url = reverse("panel_correct", args=[lot.pk, c8.pk])
    sent = written(client.get(url).context["form"])
    answer = client.post(url, {**sent, "width_m": "14", "why": "taped"})
    assert "lie on each other" in str(wrongs(answer))
    c8.refresh_from_db()
    assert c8.width_m == pytest.approx(12 * FT)


@pytest.mark.parametrize(
    ("name", "words"), [("I4", "no lane"), ("four", "not a panel name"), ("A1", "in use")]
)
def test_panel_by_a_name_that_cannot_be_is_refused(client, lot, name, words):
    url = reverse("panel_add", args=[lot.pk])
    given = {
        "system": "inch_pound",
        "name": name,
        "kind": "full",
        "right_m": "60",
        "up_m": "0",
        "width_m": "12",
        "length_m": "12",
    }
    assert words in str(wrongs(client.post(url, given))), name
    assert lot.panels.count() == 44


JOINTS = "A5|A6: plan 60, found {}\nA8|A9: plan 96, found 96.2\nA11: plan 120 ft, found 120.1 ft"


@pytest.mark.parametrize(
    ("found", "length", "keep"), [("60.2", "132.4", True), ("60.31", "132", False)]
)
def test_resurvey_keeps_the_plan_within_half_a_foot_in_a_hundred(client, lot, found, length, keep):
    given = {"system": "inch_pound", "measured_on": "2026-04-02", "check_length": length}
    url = reverse("plan_resurvey", args=[lot.pk])
    answer = client.post(url, {**given, "joints": JOINTS.format(found)})
    assert answer.context["check"].keep is keep
    line = JournalLine.objects.get(verb="re-surveyed")
    assert line.changes["A5|A6"] == ["60 ft", f"{found} ft"]
    assert ("plan is kept" in line.why) is keep


def test_resurvey_of_two_joints_is_refused(client, lot):
    given = {
        "system": "inch_pound",
        "measured_on": "2026-04-02",
        "check_length": "132",
        "joints": "A5: plan 60, found 60\nA8: plan 96, found 96",
    }
    answer = client.post(reverse("plan_resurvey", args=[lot.pk]), given)
    assert "three joints" in str(wrongs(answer))


def test_case_35_places_are_provisional_until_the_lost_datum_is_rebuilt(client, lot):
    lost = {"on": "2025-04-01", "why": "curb replaced"}
    assert client.post(reverse("datum_lost", args=[lot.pk]), lost).status_code == 302
    page = client.get(reverse("plan_page", args=[lot.pk])).content.decode()
    assert "found gone on 2025-04-01" in page
    spot = fixed_point(client, lot, "C8 · 3.2 R · 8.5 U")
    assert "provisional" in spot.note
    url = reverse("datum_rebuild", args=[lot.pk])
    marked = {
        "step": "marked",
        "system": "inch_pound",
        "on": "2025-04-20",
        "misfit": "0.3",
        "datum": "new cross in the curb",
        "why": "from both ties",
    }
    assert client.post(url, marked).status_code == 302
    plan = lot.plans.get()
    assert (plan.datum_lost_on, plan.misfit_m) == (None, pytest.approx(0.3 * FT))
    page = client.get(reverse("plan_page", args=[lot.pk])).content.decode()
    assert "misfit 0.3 ft" in page
    assert fixed_point(client, lot, "C9 · 3.2 R · 8.5 U", "M").note == ""


def test_case_35_datum_is_worked_out_from_its_ties(client, lot):
    # 30-40-50: things 50 apart along the tape, ties 30 and 40, datum 18 along and 24 aside
    given = {
        "step": "ties",
        "system": "si",
        "first": "R 0 U 0",
        "first_tie": "30",
        "second": "R 0 U 50",
        "second_tie": "40",
    }
    found = client.post(reverse("datum_rebuild", args=[lot.pk]), given).context["found"]
    assert set(found.places) == {"R 24 m, U 18 m", "L 24 m, U 18 m"}
    assert found.misfit == "0 m"


def test_case_35_ties_that_do_not_meet_show_their_gap(client, lot):
    given = {
        "step": "ties",
        "system": "si",
        "first": "R 0 U 0",
        "first_tie": "20",
        "second": "R 0 U 50",
        "second_tie": "29",
    }
    found = client.post(reverse("datum_rebuild", args=[lot.pk]), given).context["found"]
    assert found.misfit == "1 m"


def test_case_35_datum_is_fitted_to_three_joints_where_the_ties_are_gone(client, lot):
    joints = "R 0 U 0 at R 3 U 5\nR 10 U 0 at R 13 U 5\nR 0 U 20 at R 3 U 25"
    given = {"step": "joints", "system": "si", "joints": joints}
    found = client.post(reverse("datum_rebuild", args=[lot.pk]), given).context["found"]
    assert (found.places, found.misfit) == (("R 3 m, U 5 m",), "0 m")


def test_datum_that_is_not_gone_is_not_marked_anew(client, lot):
    marked = {
        "step": "marked",
        "system": "si",
        "on": "2025-04-20",
        "misfit": "0",
        "datum": "x",
        "why": "y",
    }
    answer = client.post(reverse("datum_rebuild", args=[lot.pk]), marked)
    assert "not known to be gone" in str(answer.context["marked"].errors)


def test_plan_is_corrected_by_a_line(client, lot):
    url = reverse("plan_correct", args=[lot.pk])
    sent = written(client.get(url).context["form"])
    assert "Nothing was changed" in str(wrongs(client.post(url, {**sent, "why": "x"})))
    client.post(url, {**sent, "second_mark": "nail at the entrance", "why": "added"})
    assert lot.plans.get().second_mark == "nail at the entrance"


def test_page_of_a_plan_takes_no_more_queries_with_more_panels(client, pavement):
    draw(client, pavement, **{**LOT, "lanes": "2", "count": "2"})
    url = reverse("plan_page", args=[pavement.pk])
    client.get(url)
    with CaptureQueriesContext(connection) as few:
        client.get(url)
    for n in range(20):
        factories.PanelFactory(pavement=pavement, name=f"F{n + 1}", right_m=99.0, up_m=n * 5.0)
    with CaptureQueriesContext(connection) as many:
        client.get(url)
    assert len(many) == len(few)


def test_pavement_without_a_plan_says_what_to_do_first(client, pavement):
    page = client.get(reverse("plan_page", args=[pavement.pk])).content.decode()
    assert "No plan is drawn yet" in page
    for name in ("plan_correct", "plan_resurvey", "datum_lost", "datum_rebuild"):
        assert client.get(reverse(name, args=[pavement.pk])).status_code == 404
    assert client.get(reverse("plan_page", args=[pavement.pk]), {"number": "x"}).status_code == 404


def test_tester_looks_at_the_plan_and_changes_nothing(client, lot):
    _, tester = manager_of(lot, role="tester")
    client.force_login(tester)
    page = client.get(reverse("plan_page", args=[lot.pk])).content.decode()
    assert "Draw a later plan" not in page
    assert client.get(reverse("plan_add", args=[lot.pk, "panels"])).status_code == 403
    panel = Panel.objects.first()
    assert client.get(reverse("panel_page", args=[lot.pk, panel.pk])).status_code == 200
    assert client.get(reverse("panel_cut", args=[lot.pk, panel.pk])).status_code == 403
