"""The plan as it was on a day: defects as marks and in a list, filtered, and panels of then."""

import re
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from registry.gathering.layouts import current_plan, find_layout
from registry.gathering.plan_photos import photo_marks, photos_on_plan
from registry.models import DefectMove, Photo
from registry.units import System
from tests import factories
from tests.views.record import manager_of

pytestmark = pytest.mark.django_db
SPRING, SUMMER, NEXT = date(2024, 4, 18), date(2024, 7, 1), date(2025, 4, 20)


@pytest.fixture
def pavement(client):
    pavement, person = manager_of()
    client.force_login(person)
    plan = factories.PlanFactory(pavement=pavement, number=1, drawn_on=date(2023, 8, 24))
    for nth in range(4):
        factories.PanelFactory(
            pavement=pavement, plan=plan, name=f"A{nth + 1}", up_m=4.572 * nth,
            exists_from_on=date(2023, 8, 24),
        )  # fmt: skip
    return pavement


def noted(pavement, number, kind="crack", on=SPRING, outline=((0.5, 0.5), (2.5, 1.0)), **fields):
    points = [list(point) for point in outline]
    drawn_as = {0: "", 1: "spot", 2: "line"}.get(len(points), "area")
    row = factories.DefectFactory(
        pavement=pavement, number=number, kind=kind, first_seen_on=on, outline=points,
        outline_kind=drawn_as, **fields,
    )  # fmt: skip
    moved(row, "noted", on)
    return row


def moved(row, state, on):
    before = row.moves.order_by("pk").last()
    DefectMove.objects.create(
        defect=row, to_state=state, on=on, from_state=before.to_state if before else ""
    )
    row.state = state
    row.save(update_fields=["state"])


def looked(row, on, **fields):
    return factories.ObservationFactory(
        defect=row, seen_on=on, **{"area_m2": None, "length_m": 2.0, "severity": "low", **fields}
    )


def page(client, pavement, **asked):
    return client.get(reverse("plan_page", args=[pavement.pk]), asked)


def text_of(answer):
    return re.sub(r"\s+", " ", answer.content.decode())


def numbers(answer):
    return [row.defect.number for row in answer.context["defects"]]


def test_each_mark_links_to_its_defect_and_says_what_it_is(client, pavement):
    row = noted(pavement, 3)
    looked(row, SPRING, severity="moderate")
    shown = text_of(page(client, pavement))
    name = "defect 3: crack, noted, moderate, 6.6 ft"
    assert f'<a href="{reverse("defect_page", args=[row.pk])}" aria-label="{name}">' in shown
    assert f"<title>{name}</title>" in shown


def test_a_defect_that_is_closed_is_off_the_plan_until_asked_for(client, pavement):
    row = noted(pavement, 1)
    moved(row, "no_action", SUMMER)
    noted(pavement, 2)
    assert numbers(page(client, pavement)) == [2]
    assert numbers(page(client, pavement, state="no_action")) == [1]
    assert numbers(page(client, pavement, state="all")) == [1, 2]


def test_on_a_day_past_each_has_the_state_and_the_size_of_then(client, pavement):
    row = noted(pavement, 1)
    looked(row, SPRING, length_m=1.0)
    moved(row, "confirmed", SUMMER)
    looked(row, NEXT, length_m=3.0, severity="high")
    moved(row, "no_action", NEXT)
    noted(pavement, 2, on=NEXT)
    assert numbers(page(client, pavement, on="2024-04-17")) == []
    (then,) = page(client, pavement, on="2024-04-18").context["defects"]
    assert (then.state, then.severity, then.look.length_m) == ("noted", "low", 1.0)
    (then,) = page(client, pavement, on="2025-04-19").context["defects"]
    assert (then.state, then.severity, then.look.length_m) == ("confirmed", "low", 1.0)
    both = page(client, pavement, on="2025-04-20", state="all").context["defects"]
    assert [(one.state, one.severity) for one in both] == [("no action", "high"), ("noted", "")]


def test_a_void_look_and_one_that_missed_it_are_not_its_size(client, pavement):
    row = noted(pavement, 1)
    looked(row, SPRING, length_m=1.0)
    looked(row, SUMMER, length_m=9.0, void_at="2024-07-02T00:00Z", void_why="of another lot")
    looked(row, NEXT, length_m=None, severity="", found="not_found")
    (shown,) = page(client, pavement).context["defects"]
    assert shown.look.length_m == 1.0


def test_a_look_that_measured_nothing_takes_neither_size_nor_severity_off_the_plan(
    client, pavement
):
    row = noted(pavement, 1)
    looked(row, SPRING, length_m=1.0, severity="high")
    looked(row, NEXT, length_m=None, severity="")
    answer = page(client, pavement, severity="high")
    (shown,) = answer.context["defects"]
    assert (shown.seen_on, shown.look.length_m, shown.severity) == (NEXT, 1.0, "high")
    assert f"high, 3.3 ft, measured {SPRING}" in text_of(answer)
    assert numbers(page(client, pavement, severity="none")) == []


def test_filters_narrow_marks_and_list_by_what_was_so_then(client, pavement):
    looked(noted(pavement, 1), SPRING, severity="high")
    looked(noted(pavement, 2, "raveling", outline=((1, 5), (2, 5), (2, 6))), SPRING)
    noted(pavement, 3, "lip", on=NEXT, outline=((1, 9),))
    assert numbers(page(client, pavement, kind="lip")) == [3]
    assert numbers(page(client, pavement, severity="high")) == [1]
    assert numbers(page(client, pavement, severity="none")) == [3]
    assert numbers(page(client, pavement, year="2025")) == [3]
    assert numbers(page(client, pavement, kind="crack", year="2025")) == []
    assert "No defect is like this" in text_of(page(client, pavement, severity="moderate"))


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"on": "2999-01-01"}, "has not come yet"),
        ({"on": "yesterday"}, "write year-month-day"),
        ({"on": "05/06/2024"}, ""),
        ({"kind": "dragon"}, "dragon is not one of"),
        ({"year": "x", "state": "x", "severity": "x"}, "x is not one of"),
    ],
)
def test_what_cannot_be_read_is_named_and_narrows_nothing(client, pavement, asked, words):
    noted(pavement, 1)
    answer = page(client, pavement, **asked)
    assert answer.status_code == 200
    assert numbers(answer) == [1]
    assert answer.context["day"].filters.form.errors.keys() == asked.keys()
    assert words in text_of(answer)


def test_each_year_and_every_year_can_be_chosen_once(client, pavement):
    noted(pavement, 1, on=date(2023, 5, 1))
    noted(pavement, 2)
    choices = re.findall(r'name="year".*?</select>', text_of(page(client, pavement)), re.DOTALL)
    words = re.findall(r"<option[^>]*>([^<]+)</option>", choices[0])
    assert words == ["every year", str(SPRING.year), "2023"]


def test_part_of_a_split_shows_nothing_of_the_days_before_it(client, pavement):
    """What was known before then is on the plan of the whole."""
    whole = noted(factories.PavementFactory(), 1)
    noted(pavement, 1, carried_from=whole, carried_on=date(2024, 9, 2))
    before = page(client, pavement, on="2024-09-01", state="all")
    after = page(client, pavement, on="2024-09-02", state="all")
    assert (numbers(before), numbers(after)) == ([], [1])


def test_panels_are_those_of_the_day(client, pavement):
    old = pavement.panels.get(name="A2")
    old.exists_to_on = SUMMER
    old.save(update_fields=["exists_to_on"])
    assert "<title>A2," in text_of(page(client, pavement, on="2024-06-30"))
    assert "<title>A2," not in text_of(page(client, pavement, on="2024-07-01"))


def test_plan_in_force_on_the_day_is_shown(client, pavement):
    later = factories.PlanFactory(pavement=pavement, number=2, drawn_on=NEXT)
    factories.PanelFactory(pavement=pavement, plan=later, name="B1", right_m=9.0)
    assert "<title>B1," in text_of(page(client, pavement))
    before = text_of(page(client, pavement, on="2025-04-19"))
    assert "<title>B1," not in before
    assert "<title>A1," in before


def test_visits_before_and_after_are_a_press_away_and_keep_the_filters(client, pavement):
    for day in (SPRING, NEXT):
        factories.VisitFactory(pavement=pavement, done_on=day)
    shown = text_of(page(client, pavement, on="2024-07-01", kind="lip"))
    assert 'href="?kind=lip&amp;on=2024-04-18"' in shown
    assert 'href="?kind=lip&amp;on=2025-04-20"' in shown
    assert 'href="?kind=lip">today' in shown


def test_a_defect_of_which_only_the_panel_is_known_stands_in_its_middle(client, pavement):
    panel = pavement.panels.get(name="A3")
    noted(pavement, 4, outline=(), panel=panel)
    noted(pavement, 5, outline=(), place="by the hydrant")
    somewhere, nowhere = page(client, pavement).context["defects"]
    assert somewhere.shape.centre == pytest.approx((1.524, 4.572 * 2.5))
    assert nowhere.shape is None
    assert "somewhere in A3" in text_of(page(client, pavement))
    assert "no mark: not found on this plan" in text_of(page(client, pavement))


def test_a_place_as_written_is_drawn_where_no_outline_is_kept(client, pavement):
    pavement.sheet_system = "inch_pound"
    pavement.save(update_fields=["sheet_system"])
    noted(pavement, 1, outline=(), place="A1 · 2.0 R · 3.0 U")
    (row,) = page(client, pavement).context["defects"]
    assert row.shape.centre == pytest.approx((2 * 0.3048, 3 * 0.3048))


def test_words_of_people_are_never_markup_on_the_plan(client, pavement):
    noted(pavement, 1, place='"><script>alert(1)</script>')
    assert "<script>alert" not in page(client, pavement).content.decode()


def test_another_side_sees_only_its_own_marks(client, pavement):
    noted(pavement, 1)
    _, person = manager_of(pavement, role="tester")
    client.force_login(person)
    assert numbers(page(client, pavement)) == []


def test_twenty_more_defects_ask_no_more_queries(client, pavement):
    looked(noted(pavement, 1), SPRING)
    page(client, pavement)
    with CaptureQueriesContext(
        connection,
    ) as few:
        page(client, pavement)
    for number in range(2, 22):
        looked(noted(pavement, number, panel=pavement.panels.get(name="A3")), SPRING)
    with CaptureQueriesContext(connection) as many:
        assert len(numbers(page(client, pavement))) == 21
    assert len(many) == len(few)


def layout_of(pavement):
    return find_layout(pavement, current_plan(pavement), system=System.INCH_POUND).layout


def photo_at(pavement, **fields):
    given = {"pavement": pavement, "site": pavement.site, "taken_on": SPRING, **fields}
    return factories.PhotoFactory(**given)


def test_a_photo_stands_at_its_place_turned_the_way_it_looks_and_leads_to_itself(client, pavement):
    row = photo_at(pavement, place="A2 R 5.0 U 7.5", number="P-7", facing="right")
    shown = text_of(page(client, pavement))
    address = reverse("photo_page", args=[row.pk])
    assert f'<a href="{address}" aria-label="photo P-7, whole view, 2024-04-18' in shown
    placed = photos_on_plan(
        Photo.objects.all(), layout_of(pavement), own=System.INCH_POUND, day=SUMMER, is_today=True
    )
    right, up = placed[0].shape.centre
    # 5 ft right and 7.5 ft up of the home corner of A2, which begins 15 ft up.
    assert (right, up) == pytest.approx((5 * 0.3048, 22.5 * 0.3048), abs=1e-6)
    assert photo_marks(placed, lambda one: address)[0].turn_deg == 90


def test_photos_of_a_panel_without_a_place_share_a_mark_that_leads_to_them(client, pavement):
    panel = pavement.panels.get(name="A3")
    rows = [photo_at(pavement, panel=panel, number=f"P-{n}") for n in (1, 2)]
    elsewhere = photo_at(pavement, number="P-9")
    address = f"{reverse('photo_list', args=[pavement.pk])}?panel={panel.pk}"
    assert f'<a href="{address}" aria-label="2 photos in A3' in text_of(page(client, pavement))
    listed = client.get(address)
    assert {row.pk for row in listed.context["page"]} == {row.pk for row in rows}
    assert elsewhere.number not in text_of(listed)
    assert client.get(address + "9").status_code == 404


def test_photos_of_later_undated_hidden_or_other_things_are_not_on_the_plan(client, pavement):
    panel = pavement.panels.get(name="A3")
    row = photo_at(pavement, panel=panel, taken_on=SUMMER, subject="panel")
    address = reverse("photo_page", args=[row.pk])
    assert address in text_of(page(client, pavement))
    assert address in text_of(page(client, pavement, photos="panel"))
    assert address not in text_of(page(client, pavement, photos="test"))
    assert address not in text_of(page(client, pavement, photos="none"))
    assert address not in text_of(page(client, pavement, on="2024-06-30"))
    row.taken_on = None
    row.save()
    assert address in text_of(page(client, pavement))
    assert address not in text_of(page(client, pavement, on="2024-07-02"))
    row.shown_to = "own"
    row.save()
    assert address not in text_of(page(client, pavement))


@pytest.mark.parametrize("name", ["plan_page", "defect_page"])
def test_letters_of_the_plan_can_be_read_on_a_phone(client, pavement, name):
    """336 px is what a screen of 360 px leaves; letters of 11 px and more are read: common
    practice, no source."""
    row = noted(pavement, 1)
    answer = client.get(reverse(name, args=[pavement.pk if name == "plan_page" else row.pk]))
    picture = text_of(answer).split("figure--plan")[1]
    width_mm = float(re.search(r'viewBox="0 0 ([\d.]+) ', picture)[1])
    letters_mm = min(float(size) for size in re.findall(r'font-size="([\d.]+)"', picture))
    assert letters_mm * 336 / width_mm >= 11
