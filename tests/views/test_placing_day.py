"""A placing day is written down on the spot: loads, live figures, covers, corrections."""

import pytest
from django.urls import reverse

from registry.models import Load, PlacingDay, RaveledShare, WaitingCorrection
from registry.models.choices import Role
from tests.factories import MembershipFactory, PanelFactory, PavementFactory, SeatFactory
from tests.factories import SiteFactory as Site
from tests.placing_factories import (
    CoreFactory,
    CoverBreakFactory,
    HandOverFactory,
    LoadFactory,
    PlacingDayFactory,
    WeatherReadingFactory,
)
from tests.placing_rows import north_lot

pytestmark = pytest.mark.django_db
IN_WARRANTY = {"warranty_last_on": "2090-01-01"}
LOAD_8 = {
    "system": "inch_pound", "number": "8", "ticket": "T-88140", "volume_m3": "7.0",
    "cementitious_kg_m3": "610", "batch_water_kg": "1318", "free_moisture_kg": "0",
    "site_water_l": "3", "batched_at": "09:05", "arrived_at": "09:29",
    "discharge_from_at": "09:52", "discharge_to_at": "10:07", "cover_first_at": "10:39",
    "cover_last_at": "10:56",
}  # fmt: skip


def member_of(pavement, role, **more):
    return MembershipFactory(
        organisation=SeatFactory(pavement=pavement, role=role, **more).organisation
    )


@pytest.fixture
def pavement(db):
    found = PavementFactory(site=Site(time_zone="America/New_York"))
    for number in range(1, 4):
        PanelFactory(pavement=found, name=f"C{number}")
    return found


@pytest.fixture
def placer(pavement, client):
    member = member_of(pavement, Role.CONTRACTOR, **IN_WARRANTY)
    client.force_login(member.person)
    return member


@pytest.fixture
def day(pavement, placer):
    return PlacingDayFactory(
        pavement=pavement,
        entered_for=placer.organisation,
        cover_within_min=20,
        water_cement_limit=0.33,
    )


def post(client, name, *args, **fields):
    return client.post(reverse(name, args=args), fields)


def faults(answer):
    return answer.context["form"].errors if answer.context else {}


def test_day_is_begun_with_its_limits_in_the_units_it_is_written_in(client, pavement, placer):
    fields = {
        "system": "inch_pound", "placed_on": "2023-08-22", "starts_at": "05:50",
        "thickness_mm": "6", "density_approved_kg_m3": "121.5", "cover_within_min": "20",
        "crew_by_task": "screed: R. Voss\ncover: two hands, one at the joints",
    }  # fmt: skip
    answer = post(client, "entry_add", "placing_day", pavement.pk, **fields)
    assert answer.status_code == 302, faults(answer)
    row = PlacingDay.objects.get()
    assert row.system == "inch_pound" and row.thickness_mm == pytest.approx(152.4)
    assert row.starts_at.isoformat() == "2023-08-22T09:50:00+00:00"
    assert row.crew_by_task["cover"] == ["two hands", "one at the joints"]


def test_crew_is_shown_to_the_side_that_wrote_it_alone(client, day):
    PlacingDay.objects.update(crew_by_task={"screed": ["R. Voss"]})
    address = reverse("placing_day_page", args=[day.pk])
    assert "R. Voss" in client.get(address).content.decode()
    HandOverFactory(
        pavement=day.pavement,
        giver=day.entered_for,
        is_first=True,
        state="in_effect",
        effective_at="2023-09-15T16:00Z",
    )
    client.force_login(member_of(day.pavement, Role.OWNER).person)
    page = client.get(address)
    assert page.status_code == 200 and "R. Voss" not in page.content.decode()


def test_load_is_stored_and_its_figures_stand_on_the_page(client, day):
    """Figures of load 8 in the demonstration's load record: 47 min, 49 min, 0.315."""
    answer = post(client, "load_add", day.pk, **LOAD_8)
    assert answer.status_code == 302, faults(answer)
    page = client.get(reverse("placing_day_page", args=[day.pk])).content.decode()
    for said in ("47 min", "49 min", "over 20 min", "0.315", "No weather was read at this load."):
        assert said in page
    load = Load.objects.get()
    assert (load.state, load.order_on_day) == ("arrived", 1)
    assert [move.to_state for move in load.moves.all()] == ["ordered", "arrived"]


def test_figures_follow_while_a_load_is_typed_and_nothing_is_stored(client, day):
    answer = post(client, "load_figures", day.pk, **LOAD_8)
    said = answer.content.decode()
    assert "47 min" in said and "49 min, over 20 min" in said and "0.315" in said
    assert not Load.objects.exists()


def test_reason_stands_where_a_figure_may_not_be_given_yet(client, day):
    half = {name: LOAD_8[name] for name in ("system", "number", "batched_at")}
    said = post(client, "load_figures", day.pk, **half).content.decode()
    assert "missing" in said and "None" not in said


def test_water_without_known_moisture_is_a_least_value(client, day):
    said = post(client, "load_figures", day.pk, **{**LOAD_8, "free_moisture_kg": "nk"})
    assert "at least 0.315" in said.content.decode()


def test_clocks_that_contradict_each_other_are_refused_in_words(client, day):
    answer = post(client, "load_add", day.pk, **{**LOAD_8, "arrived_at": "08:00"})
    assert "comes before" in str(faults(answer)["arrived_at"])
    assert not Load.objects.exists()


def test_number_of_a_load_stands_once_a_day(client, day):
    post(client, "load_add", day.pk, **LOAD_8)
    answer = post(client, "load_add", day.pk, **LOAD_8)
    assert "written down already" in str(faults(answer)["number"])


def test_limits_and_cover_are_written_by_lane_and_panel(client, day):
    load = LoadFactory(placing_day=day)
    spread = {"system": "inch_pound", "lane": "c", "from_m": "81.5", "to_m": "112"}
    answer = post(client, "entry_add", "spread", load.pk, **spread)
    assert answer.status_code == 302, faults(answer)
    assert load.spreads.get().lane == "C"
    cover = {"system": "inch_pound", "panels_text": "C1-C2", "sheet_mm": "6", "last_at": "11:33"}
    answer = post(client, "entry_add", "cover", day.pk, **cover)
    assert answer.status_code == 302, faults(answer)
    row = day.covers.get()
    assert row.panels == ["C1", "C2"] and row.sheet_mm == pytest.approx(0.1524)


def test_break_on_panels_under_no_cover_stands_on_the_page_too(client, day):
    CoverBreakFactory(placing_day=day, panels=["C3"], panels_text="C3")
    page = client.get(reverse("placing_day_page", args=[day.pk])).content.decode()
    assert "Off, where no cover is written down" in page
    assert "C3: " in page


def test_labels_of_the_day_name_no_unit_of_the_other_system(client, pavement, placer):
    form = client.get(reverse("entry_add", args=["placing_day", pavement.pk])).context["form"]
    assert form.fields["placing_speed_m_min"].label == "placing speed"
    assert form.fields["drying_limit_kg_m2_h"].label == "evaporation at most"


def test_clock_of_a_reading_is_said_as_at_the_site(client, day):
    fields = {"system": "inch_pound", "at": "07:00", "air_c": "82"}
    address = reverse("entry_add", args=["weather_reading", day.pk])
    answer = client.post(address, fields, follow=True)
    assert "Stored: weather at 07:00." in answer.content.decode()


def test_panel_that_is_not_on_the_plan_is_named(client, day):
    cover = {"system": "inch_pound", "panels_text": "C1, Z9", "last_at": "11:33"}
    answer = post(client, "entry_add", "cover", day.pk, **cover)
    assert "Z9" in str(faults(answer)["panels_text"])


def test_hour_that_comes_twice_is_asked_and_told_apart(client, pavement, placer):
    """Clocks went back at 02:00 on 2023-11-05 in New York (IANA time zone database)."""
    day = PlacingDayFactory(
        pavement=pavement, placed_on="2023-11-05", entered_for=placer.organisation
    )
    fields = {"system": "inch_pound", "at": "01:30", "walked_by": "J."}
    answer = post(client, "entry_add", "cover_walk", day.pk, **fields)
    assert "at" in faults(answer)
    for which, hour in (("first", "05:30"), ("second", "06:30")):
        given = {**fields, "at": f"01:30 {which}"}
        assert post(client, "entry_add", "cover_walk", day.pk, **given).status_code == 302
        assert f"{day.cover_walks.latest('pk').at:%H:%M}" == hour


def test_nothing_is_added_after_the_hand_over_and_a_correction_is_taken(client, day):
    load = LoadFactory(placing_day=day, entered_for=day.entered_for)
    HandOverFactory(
        pavement=day.pavement,
        giver=day.entered_for,
        is_first=True,
        state="in_effect",
        effective_at="2023-09-15T16:00Z",
    )
    assert post(client, "load_add", day.pk, **LOAD_8).status_code == 403
    answer = correct(client, day, load, ticket="T-1", why="misread")
    assert answer.status_code == 302, faults(answer)
    load.refresh_from_db()
    assert load.ticket == "T-1"


def correct(client, day, load, *, seen=None, **changed):
    address = reverse("load_correct", args=[day.pk, load.pk])
    form = client.get(address).context["form"]
    sent = {name: form[name].value() or "" for name in form.fields}
    if seen is not None:
        sent["seen"] = seen
    return client.post(address, {**sent, **changed})


def test_two_people_correct_one_load_offline_and_both_are_kept(client, day):
    load = LoadFactory(placing_day=day, entered_for=day.entered_for, ticket="T-88140")
    address = reverse("load_correct", args=[day.pk, load.pk])
    seen = client.get(address).context["form"].initial["seen"]  # both opened it like this
    assert correct(client, day, load, seen=seen, ticket="T-1", why="slip").status_code == 302
    answer = correct(client, day, load, seen=seen, ticket="T-2", why="copy of the slip")
    assert "Nothing was merged" in answer.content.decode()
    load.refresh_from_db()
    assert load.ticket == "T-1"
    waiting = WaitingCorrection.objects.get()
    assert waiting.subject_id == load.pk and waiting.lines["ticket"] == ["T-1", "T-2"]


def test_what_is_over_a_limit_of_the_day_says_so_beside_its_figure(client, placer, day):
    """Load 9 of the demonstration: 56 min to discharge, 0.205 lb/ft²/h, here over 0.2 and 45."""
    limits = {"batch_to_discharge_min": 45, "drying_limit_kg_m2_h": 0.2 * 4.882427636383051}
    PlacingDay.objects.update(**limits)
    us = {"air_c": 250 / 9, "concrete_c": 260 / 9, "wind_km_h": 11 * 1.609344}
    WeatherReadingFactory(placing_day=day, at="2023-08-22T14:00Z", humidity_percent=44, **us)
    said = post(client, "load_figures", day.pk, **LOAD_8).content.decode()
    assert "47 min, over 45 min" in said
    assert "0.205 lb/ft²/h, over 0.200 lb/ft²/h" in said
    assert "read at 10:00, the nearest, 8 min from discharge: air 82" in " ".join(said.split())
    assert "concrete 84" in said and "read with" in said
    assert post(client, "load_add", day.pk, **LOAD_8).status_code == 302
    page = client.get(reverse("placing_day_page", args=[day.pk])).content.decode()
    assert "<strong>over 45 min</strong>" in page
    assert "<strong>over 0.200 lb/ft²/h</strong>" in page
    assert "read at 10:00, the nearest" in page
    placer.person.shown_system = "si"
    placer.person.save(update_fields=["shown_system"])
    page = client.get(reverse("placing_day_page", args=[day.pk])).content.decode()
    assert "<strong>over 0.200 lb/ft²/h</strong>" in page  # in the form of the number beside it


def test_wind_by_eye_makes_the_evaporation_about(client, day):
    us = {"air_c": 250 / 9, "concrete_c": 260 / 9, "wind_km_h": 11 * 1.609344}
    WeatherReadingFactory(
        placing_day=day, at="2023-08-22T14:00Z", humidity_percent=44, read_with="eye", **us
    )
    said = post(client, "load_figures", day.pk, **LOAD_8).content.decode()
    assert "about 0.205 lb/ft²/h" in said


def test_yield_of_the_day_is_placed_over_plan(client):
    """Loads 1 to 9 of the demonstration: 60.75 yd³ on 24 by 132 ft at 6 in, 58.67 yd³: 104 %."""
    pavement = north_lot(with_shares=False)
    client.force_login(member_of(pavement, Role.CONTRACTOR, **IN_WARRANTY).person)
    first = pavement.placing_days.order_by("placed_on").first()
    answer = client.get(reverse("placing_day_page", args=[first.pk]))
    assert answer.context["sums"].used.words == "104 %"
    assert "4.75 yd³" in answer.content.decode()


def test_trucks_are_apart_by_load_lane_thickness_and_pace(client):
    """Worked by hand: 7 yd³ in a lane of 12 ft, 6 in thick, at 2.2 ft/min: 14 min."""
    pavement = north_lot(with_shares=False)
    PlacingDay.objects.update(placing_speed_m_min=2.2 * 0.3048)
    client.force_login(member_of(pavement, Role.CONTRACTOR, **IN_WARRANTY).person)
    first = pavement.placing_days.order_by("placed_on").first()
    answer = client.get(reverse("placing_day_page", args=[first.pk]))
    assert "14 min" in answer.content.decode()
    assert round(answer.context["sums"].spacing_min, 1) == 14.3


def test_core_is_corrected_by_the_side_that_wrote_it_and_others_see_no_press_for_it(
    client, pavement, placer
):
    plan_mm, long_mm = 152.4, 146.05
    PlacingDayFactory(pavement=pavement, entered_for=placer.organisation, thickness_mm=plan_mm)
    given = {"pavement": pavement, "entered_for": placer.organisation, "length_mm": long_mm}
    core = CoreFactory(**given, number="K-1")
    address = reverse("lot_list", args=[pavement.pk])
    press = reverse("entry_correct", args=["core", pavement.pk, core.pk])
    said = client.get(address).content.decode()
    assert press in said and "-0.25 in against the plan" in said
    client.force_login(member_of(pavement, Role.OWNER).person)
    said = client.get(address).content.decode()
    assert "K-1" in said and press not in said


def test_core_is_written_with_depth_of_fines_and_its_bottom(client, pavement, placer):
    address = reverse("entry_add", args=["core", pavement.pk])
    filled = {
        "system": "inch_pound", "number": "K-1", "taken_on": "2024-08-20", "length_mm": "6",
        "fines_mm": "6.5", "bottom_closed": "no",
    }  # fmt: skip
    refused = client.post(address, filled)
    assert "deeper than the core is long" in refused.content.decode()
    assert client.post(address, filled | {"fines_mm": "1 1/2"}).status_code == 302
    core = pavement.cores.get()
    assert (core.fines_mm, core.bottom_closed) == (pytest.approx(38.1), "no")
    assert core.as_written["fines_mm"] == "1 1/2"
    said = client.get(reverse("lot_list", args=[pavement.pk])).content.decode()
    assert "1.50 in" in said and 'data-label="bottom">open' in said


def test_load_sent_back_keeps_its_row_and_its_concrete_is_not_counted(client, day):
    LoadFactory(placing_day=day, volume_m3=5.0, number="1", order_on_day=1)
    back = LoadFactory(
        placing_day=day, volume_m3=5.0, number="2", order_on_day=2, state="arrived",
        sent_back_why="stiff in the drum", entered_for=day.entered_for,
    )  # fmt: skip
    move = {"to": "sent_back", "on": "2023-08-22", "signed_by": "R. Voss"}
    assert post(client, "load_move", day.pk, back.pk, **move).status_code == 302
    answer = client.get(reverse("placing_day_page", args=[day.pk]))
    assert "sent back: stiff in the drum" in answer.content.decode()
    assert len(answer.context["figures"]) == 2
    assert answer.context["sums"].volume_m3 == 5.0


def test_load_moves_only_as_its_rules_say(client, day):
    load = LoadFactory(placing_day=day, state="ordered", entered_for=day.entered_for)
    move = {"to": "placed", "on": "2023-08-22", "signed_by": "R. Voss"}
    answer = post(client, "load_move", day.pk, load.pk, **move)
    assert "placed" in str(faults(answer)["to"])
    load.refresh_from_db()
    assert load.state == "ordered"


def test_page_of_a_load_shows_who_ordered_water_its_moves_and_every_correction(client, day):
    post(client, "load_add", day.pk, **LOAD_8, site_water_at="09:40", site_water_by="driver")
    load = Load.objects.get()
    assert correct(client, day, load, ticket="T-1", why="misread").status_code == 302
    said = client.get(reverse("load_spreads", args=[load.pk])).content.decode()
    for words in ("3 gal at 09:40, ordered by driver", "49 min", "arrived", "T-88140 → T-1"):
        assert words in said, words


def test_owner_reads_corrections_of_the_day_from_the_hand_over_and_no_names_of_the_crew(
    client, day
):
    address = reverse("entry_correct", args=["placing_day", day.pavement_id, day.pk])
    form = client.get(address).context["form"]
    sent = {name: form[name].value() or "" for name in form.fields}
    changed = {"foreman": "R. Voss", "crew_by_task": "screed: J. Teller", "why": "left out"}
    assert client.post(address, {**sent, **changed}).status_code == 302
    HandOverFactory(
        pavement=day.pavement,
        giver=day.entered_for,
        is_first=True,
        state="in_effect",
        effective_at="2023-09-15T16:00Z",
    )
    client.force_login(member_of(day.pavement, Role.OWNER).person)
    said = client.get(reverse("placing_day_page", args=[day.pk])).content.decode()
    assert "R. Voss" in said and "left out" in said and "J. Teller" not in said


def test_figures_of_a_correction_use_the_weather_read_at_that_load(client, day):
    """Weather of load 9 in the demonstration gives 0.205 lb/ft²/h (Uno 1998)."""
    load = LoadFactory(placing_day=day, entered_for=day.entered_for)
    us = {"air_c": 250 / 9, "concrete_c": 260 / 9, "wind_km_h": 11 * 1.609344}
    WeatherReadingFactory(
        placing_day=day, load=load, at="2023-08-22T04:00Z", humidity_percent=44, **us
    )
    assert "No weather" in post(client, "load_figures", day.pk, **LOAD_8).content.decode()
    said = post(client, "load_figures", day.pk, **LOAD_8, of=load.pk).content.decode()
    assert "0.205 lb/ft²/h" in said


def test_early_load_tells_how_old_the_concrete_was(client, day):
    van = {"system": "si", "what": "car", "panels_text": "C1", "at": "2023-09-03 16:05"}
    answer = post(client, "entry_add", "early_load", day.pk, **van)
    assert answer.status_code == 302, faults(answer)
    said = client.get(reverse("placing_day_page", args=[day.pk])).content.decode()
    assert "2023-09-03 16:05, 12 days old: car on C1" in said


def test_shares_of_many_panels_are_written_down_together(client, pavement, placer):
    fields = {"looked_on": "2023-10-03", "graded_by": "tape", "panel-C1": "35", "panel-C3": "0"}
    answer = post(client, "raveled_add", pavement.pk, **fields)
    assert answer.status_code == 302, faults(answer)
    assert dict(RaveledShare.objects.values_list("panel", "share")) == {"C1": 0.35, "C3": 0.0}
    answer = post(client, "raveled_add", pavement.pk, **fields)
    assert "graded on that day already" in str(faults(answer))


def test_page_of_loads_and_panels_gives_the_figures_of_the_dispute(client):
    pavement = north_lot()
    client.force_login(member_of(pavement, Role.CONTRACTOR, **IN_WARRANTY).person)
    address = reverse("load_panels", args=[pavement.pk])
    page = client.get(address, {"late": "25", "zone": "B11, C11, D7-D11"}).content.decode()
    for said in (
        "longest time from discharge to cover: 0.69 (p under 0.001, 18 loads)",
        "time from batch to discharge: 0.48",
        "evaporation: 0.60",
        "w/cm: 0.02",
        "Loads 7, 8, 9: 30.0 % of 972 ft²; the other 15: 1.2 %",
        "In the zone +15.1 points on 7 panels; the other 37: +0.9 points",
        "these loads cannot tell them apart",
    ):
        assert said in page, said


def test_pattern_in_metres_says_the_same(client):
    pavement = north_lot()
    member = member_of(pavement, Role.CONTRACTOR, **IN_WARRANTY)
    member.person.shown_system = "si"
    member.person.save(update_fields=["shown_system"])
    client.force_login(member.person)
    page = client.get(reverse("load_panels", args=[pavement.pk]), {"late": "25"}).content.decode()
    assert "Loads 7, 8, 9: 30.0 % of 90 m²" in page


@pytest.mark.parametrize("zone", ["Z9", "%00", "C1; drop"])
def test_zone_that_names_no_panel_is_refused_in_words(client, zone):
    pavement = north_lot()
    client.force_login(member_of(pavement, Role.CONTRACTOR, **IN_WARRANTY).person)
    answer = client.get(reverse("load_panels", args=[pavement.pk]), {"zone": zone})
    assert answer.status_code == 200
