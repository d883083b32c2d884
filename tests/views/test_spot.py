"""Fixed points placed by the place as crews write it; random spots drawn, told and skipped."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.gathering.drawing_ground import blocked_by_plan
from registry.gathering.layouts import layout_of
from registry.measuring.reading import Stratum
from registry.measuring.spots import Blocked, Rectangle, StratumPlan
from registry.measuring.spots import draw_spots as draw
from registry.models import JournalLine, Spot, SpotDraw
from tests import factories
from tests.views.record import manager_of, written, wrongs

FT = 0.3048


@pytest.fixture
def pavement(db, client):
    pavement, person = manager_of()
    client.force_login(person)
    return pavement


@pytest.fixture
def lot(client, pavement):
    given = {
        "system": "inch_pound",
        "drawn_on": "2023-08-24",
        "lanes": "4",
        "count": "11",
        "widths": "12",
        "lengths": "12",
        "placed_on": "2023-08-22",
    }
    client.post(reverse("plan_add", args=[pavement.pk, "panels"]), given)
    pavement.area_m2 = 6336 * FT**2
    pavement.save(update_fields=["area_m2"])
    return pavement


def add(client, pavement, place, name="U", **given):
    sent = {"system": "inch_pound", "name": name, "stratum": "run_on_edge", "place": place}
    return client.post(reverse("spot_add", args=[pavement.pk]), {**sent, **given})


@pytest.mark.parametrize(
    ("text", "system", "right", "up", "place"),
    [
        ("D6 · 3.2 R · 8.5 U", "inch_pound", 39.2 * FT, 68.5 * FT, "D6 · 3.2 R · 8.5 U"),
        ("d6, R 3,2 U 8,5", "inch_pound", 39.2 * FT, 68.5 * FT, "D6 · 3.2 R · 8.5 U"),
        ("D6 1.00 R 2.50 U", "si", 36 * FT + 1, 60 * FT + 2.5, "D6 · 1.00 R · 2.50 U"),
    ],
)
def test_place_in_a_panel_is_read_onto_the_plan(client, lot, text, system, right, up, place):
    assert add(client, lot, text, system=system).status_code == 302
    spot = lot.spots.get()
    assert (spot.right_m, spot.up_m) == (pytest.approx(right), pytest.approx(up))
    assert (spot.panel.name, spot.place, spot.is_fixed) == ("D6", place, True)
    assert spot.as_written["place"] == text
    assert spot.concrete_placed_on == date(2023, 8, 22)


def test_place_on_a_path_is_read_by_station(client, pavement):
    given = {
        "system": "inch_pound",
        "drawn_on": "2020-06-20",
        "length": "300",
        "width": "6",
        "offset_from": "center",
    }
    client.post(reverse("plan_add", args=[pavement.pk, "stations"]), given)
    assert add(client, pavement, "1+20 R 1.5").status_code == 302
    spot = pavement.spots.get()
    assert (spot.right_m, spot.up_m) == (pytest.approx(4.5 * FT), pytest.approx(120 * FT))
    assert spot.panel is None
    assert "beside the path" in str(wrongs(add(client, pavement, "1+20 R 4", "W")))


def test_place_on_pavers_is_read_by_square(client, pavement):
    given = {"system": "inch_pound", "drawn_on": "2022-05-01", "across": "40", "along": "60"}
    client.post(reverse("plan_add", args=[pavement.pk, "squares"]), given)
    assert add(client, pavement, "g(3,5) · 2 R · 4 U").status_code == 302
    spot = pavement.spots.get()
    assert (spot.right_m, spot.up_m) == (pytest.approx(22 * FT), pytest.approx(44 * FT))
    assert add(client, pavement, "g(2,1)", "M").status_code == 302
    assert pavement.spots.get(name="M").right_m is None  # somewhere in the square
    assert "g(1,1) to g(4,6)" in str(wrongs(add(client, pavement, "g(9,9) R 1 U 1", "W")))


def test_panel_alone_is_kept_as_somewhere_in_it(client, lot):
    add(client, lot, "D6")
    spot = lot.spots.get()
    assert (spot.panel.name, spot.right_m, spot.place) == ("D6", None, "D6")


def test_place_is_kept_as_written_where_there_is_no_plan(client, pavement):
    assert add(client, pavement, "D6 · 3.2 R · 8.5 U").status_code == 302
    assert (pavement.spots.get().place, pavement.spots.get().right_m) == (
        "D6 · 3.2 R · 8.5 U",
        None,
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("D6 · 13 R · 8.5 U", "12 ft right × 12 ft up"),
        ("D6 · 0-3 R · 8.5 U", "one point"),
        ("Z6 · 3 R · 8 U", "lanes are A to D"),
        ("I6 · 3 R · 8 U", "no lane"),
        ("by the big oak", "cannot be read"),
        ("1+20", "how far L or R"),
    ],
)
def test_place_that_is_not_on_the_plan_is_refused_in_plain_words(client, lot, text, words):
    answer = add(client, lot, text)
    assert words in str(wrongs(answer)), wrongs(answer)
    assert not Spot.objects.exists()


def test_name_of_a_living_spot_is_not_given_twice(client, lot):
    add(client, lot, "D6")
    assert "in use" in str(wrongs(add(client, lot, "D7"))["name"])


def test_spot_shows_longitude_and_latitude_where_the_datum_has_them(client, lot):
    add(client, lot, "A1 · 0 R · 0 U")
    url = reverse("spot_list", args=[lot.pk])
    assert "no longitude and latitude yet" in client.get(url).content.decode()
    lot.datum_lon, lot.datum_lat, lot.bearing_of_up_deg = -73.5, 42.25, 0.0
    lot.save(update_fields=["datum_lon", "datum_lat", "bearing_of_up_deg"])
    assert "-73.500000, 42.250000" in client.get(url).content.decode()


def test_corrected_place_moves_the_point_on_the_plan(client, lot):
    add(client, lot, "D6 · 3.2 R · 8.5 U")
    spot = lot.spots.get()
    url = reverse("spot_correct", args=[lot.pk, spot.pk])
    sent = written(client.get(url).context["form"])
    assert "Nothing was changed" in str(wrongs(client.post(url, {**sent, "why": "x"})))
    client.post(url, {**sent, "place": "C6 · 3.2 R · 8.5 U", "why": "read wrongly"})
    spot.refresh_from_db()
    assert (spot.panel.name, spot.right_m) == ("C6", pytest.approx(27.2 * FT))
    line = JournalLine.objects.corrections().get()
    assert line.changes["place"] == ["D6 · 3.2 R · 8.5 U", "C6 · 3.2 R · 8.5 U"]


def test_spot_ends_with_its_reason_and_not_before_its_last_test(client, lot):
    add(client, lot, "D6")
    spot = lot.spots.get()
    factories.InfiltrationTestFactory(pavement=lot, spot=spot, started_on=date(2024, 5, 2))
    url = reverse("spot_end", args=[lot.pk, spot.pk])
    assert "2024-05-02" in str(wrongs(client.post(url, {"on": "2024-01-01", "why": "drain set"})))
    assert client.post(url, {"on": "2024-06-01", "why": "drain set"}).status_code == 302
    spot.refresh_from_db()
    assert spot.ended_why == "drain set"
    assert "ended already" in str(wrongs(client.post(url, {"on": "2024-06-02", "why": "again"})))


@pytest.fixture
def ground(client, lot):
    """A run-on strip over the first 10 ft and the rest, of the lot."""
    strips = (("run_on_edge", "R 0-48 U 0-10"), ("field", "R 0-48 U 10-132"))
    for kind, rectangles in strips:
        given = {"system": "inch_pound", "kind": kind, "rectangles": rectangles}
        client.post(reverse("entry_add", args=["stratum", lot.pk]), given)
    return lot


def draw_at(client, lot, **given):
    sent = {"system": "inch_pound", "count_run_on_edge": "2", "count_field": "1"}
    return client.post(reverse("spot_draw_add", args=[lot.pk]), {**sent, **given})


def test_page_of_a_draw_says_how_many_spots_are_required_and_which_system_counted(client, ground):
    page = client.get(reverse("spot_draw_add", args=[ground.pk])).content.decode()
    assert "3 spots" in page
    assert "25 000 ft²" in page
    ground.sheet_system, ground.area_m2 = "si", 2501.0
    ground.save(update_fields=["sheet_system", "area_m2"])
    answer = client.get(reverse("spot_draw_add", args=[ground.pk]))
    assert "4 spots" in answer.content.decode()
    # 2 at the edge is the least; the larger stratum takes what more is required
    assert answer.context["form"]["count_field"].value() == 2


def test_draw_makes_the_counted_spots_and_keeps_the_spares_in_the_draw(client, ground):
    answer = draw_at(client, ground)
    assert answer.status_code == 302, wrongs(answer)
    row = SpotDraw.objects.get()
    spots = row.spots.order_by("pk")
    assert {(s.name[:8], s.stratum, s.is_fixed) for s in spots} == {
        ("draw 1 E", "run_on_edge", False),
        ("draw 1 S", "field", False),
    }
    assert spots.count() == 3
    assert sum(told["spare"] for told in row.result["spots"]) == 6
    assert (row.required_count, row.counted_in) == (3, "inch_pound")
    page = client.get(answer.url).content.decode()
    assert str(row.seed) in page
    for told in row.result["spots"]:
        assert all(f"{number:.6f}" in page for number in told["numbers"])


def test_same_seed_on_the_same_ground_draws_the_same_spots_again(client, ground):
    draw_at(client, ground, in_the_way="R 0-20 U 40-60: parked car")
    told = SpotDraw.objects.get()
    blocked = (
        *blocked_by_plan(layout_of(ground), told.drawn_on),
        *(Blocked(Rectangle(*s), why) for why, s in told.result["in_the_way"].items()),
    )
    again = draw(
        [
            StratumPlan(Stratum(name), tuple(Rectangle(*r) for r in rectangles))
            for name, rectangles in told.result["strata"]
        ],
        seed=told.seed,
        counts={Stratum(name): count for name, count in told.result["counts"].items()},
        spares=told.result["spares"],
        blocked=blocked,
    )
    drawn = [(s.stratum.value, s.order, s.right_m, s.up_m) for s in again.spots]
    stored = [(s["stratum"], s["order"], s["right_m"], s["up_m"]) for s in told.result["spots"]]
    assert drawn == stored


def test_two_draws_have_seeds_and_numbers_of_their_own(client, ground):
    draw_at(client, ground)
    draw_at(client, ground)
    second, first = SpotDraw.objects.order_by("-number")
    assert (first.number, second.number) == (1, 2)
    assert first.seed != second.seed


def test_no_drawn_ring_lies_on_a_joint_and_each_left_out_says_why(client, ground):
    for _ in range(5):
        draw_at(client, ground, count_field="12")
    for row in SpotDraw.objects.all():
        for told in row.result["spots"]:
            for value in (told["right_m"], told["up_m"]):
                past = value % (12 * FT)
                assert min(past, 12 * FT - past) >= 0.15
        assert all(told["skipped"] for told in row.result["skipped"])
    reasons = {t["skipped"] for d in SpotDraw.objects.all() for t in d.result["skipped"]}
    assert any("joint or edge of" in reason for reason in reasons)
    assert not any("run_on_edge" in reason for reason in reasons)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"count_run_on_edge": "1"}, "greater than or equal to 2"),
        ({"count_field": ""}, "required"),
        ({"in_the_way": "R 0-20 U 0-10"}, "parked car"),
        ({"in_the_way": "R 0-48 U 0-10: a row of cars"}, "no room"),
    ],
)
def test_draw_that_cannot_be_made_is_refused_and_nothing_stored(client, ground, given, words):
    answer = draw_at(client, ground, **given)
    assert words in str(wrongs(answer)), wrongs(answer)
    assert not SpotDraw.objects.exists()
    assert not Spot.objects.exists()


def test_no_ring_is_drawn_on_a_drain_of_the_plan(client, ground):
    plan = ground.plans.get()
    plan.features = [{"kind": "drain", "name": "north", "right_m": 1.8, "up_m": 20.0}]
    plan.save(update_fields=["features"])
    blocked = blocked_by_plan(layout_of(ground), date(2024, 1, 1))
    drain = next(b for b in blocked if b.reason == "at the drain north")
    assert drain.place.is_within(1.8, 20.0, 0.0)
    assert not drain.place.is_within(1.8, 21.0, 0.15)


def test_fewer_spots_than_the_area_requires_are_refused(client, ground):
    ground.area_m2 = 40_000 * FT**2
    ground.save(update_fields=["area_m2"])
    assert "At least 5" in str(wrongs(draw_at(client, ground)))


@pytest.mark.parametrize("lack", ["area", "strata", "place"])
def test_draw_says_what_has_to_be_written_down_first(client, lot, lack):
    words = {"area": "area of the pavement", "strata": "No strata", "place": "stalls or middle"}
    if lack == "area":
        lot.area_m2 = None
        lot.save(update_fields=["area_m2"])
    elif lack == "place":
        given = {"system": "si", "kind": "field"}
        client.post(reverse("entry_add", args=["stratum", lot.pk]), given)
    page = client.get(reverse("spot_draw_add", args=[lot.pk])).content.decode()
    assert words[lack] in page


def test_skipped_spot_keeps_its_reason_and_the_next_spare_takes_its_place(client, ground):
    draw_at(client, ground)
    row = SpotDraw.objects.get()
    spot = row.spots.filter(stratum="field").get()
    url = reverse("spot_skip", args=[ground.pk, spot.pk])
    on = row.drawn_on.isoformat()
    for number in range(3):
        assert client.post(url, {"on": on, "why": "car"}).status_code == 302, number
        spot.refresh_from_db()
        assert spot.ended_why == "skipped: car"
        spot = row.spots.filter(stratum="field", ended_on__isnull=True).get()
        url = reverse("spot_skip", args=[ground.pk, spot.pk])
    orders = list(
        row.spots.filter(stratum="field").order_by("pk").values_list("draw_order", flat=True)
    )
    assert orders == sorted(orders)
    assert "No spare" in str(wrongs(client.post(url, {"on": on, "why": "car"})))
    spot.refresh_from_db()
    assert spot.ended_on is None


def test_fixed_point_is_not_skipped(client, lot):
    add(client, lot, "D6")
    url = reverse("spot_skip", args=[lot.pk, lot.spots.get().pk])
    assert "fixed point" in str(wrongs(client.post(url, {"on": "2024-01-01", "why": "car"})))


def test_list_of_spots_takes_no_more_queries_with_more_spots(client, lot):
    add(client, lot, "D6")
    url = reverse("spot_list", args=[lot.pk])
    client.get(url)
    with CaptureQueriesContext(connection) as few:
        client.get(url)
    for n in range(20):
        factories.SpotFactory(pavement=lot, panel=lot.panels.first(), name=f"S{n}")
    with CaptureQueriesContext(connection) as many:
        client.get(url)
    assert len(many) == len(few)


def test_eight_hundred_spots_are_listed_by_pages_and_the_pavements_page_stays_light(client, lot):
    add(client, lot, "D6")
    panel = lot.panels.first()
    rows = [
        Spot(pavement=lot, panel=panel, name=f"S{n}", right_m=0.2 + n % 30 / 3, up_m=0.2 + n / 60)
        for n in range(800)
    ]
    Spot.objects.bulk_create(rows)
    shown = client.get(reverse("pavement_page", args=[lot.pk])).content
    assert len(shown) < 300_000
    assert b"100 of 801 spots are listed here" in shown
    address = reverse("spot_list", args=[lot.pk])
    names = set()
    for page in range(1, 6):
        answer = client.get(address, {"page": page})
        assert len(answer.content) < 300_000
        names |= {spot.name for spot, _ in answer.context["spots"]}
    assert len(names) == 801


def test_tester_places_and_draws_but_ends_no_spot(client, ground):
    _, tester = manager_of(ground, role="tester")
    client.force_login(tester)
    assert add(client, ground, "D6").status_code == 302
    assert draw_at(client, ground).status_code == 302
    spot = ground.spots.first()
    assert client.get(reverse("spot_end", args=[ground.pk, spot.pk])).status_code == 403
    _, sweeper = manager_of(ground, role="sweeper")
    client.force_login(sweeper)
    assert draw_at(client, ground).status_code == 403
