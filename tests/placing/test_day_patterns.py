"""What the loads say of raveling, on the dispute of tables 1C to 1F. Common practice, no source."""

from registry.placing import (
    NO_BLEED,
    DayLoad,
    change_by_load,
    evaporation,
    follows_loads,
    raveled_by_load,
    sheet_gap,
    worst_late,
)
from registry.placing.faults import NotGiven
from tests.placing import dispute


def by_load(day):
    raveled = dispute.raveled(day)
    return raveled_by_load(dispute.shares(), raveled, dispute.taped(raveled))


def day_loads(numbers: range, outcome: dict[str, float | NotGiven]) -> list[DayLoad]:
    rows = dispute.table("1C_loads")
    return [
        DayLoad(
            row["load"],
            dispute.times(row).discharge_from,
            outcome[row["load"]],
            evaporation(dispute.weather(row)).passes(NO_BLEED),
        )
        for row in rows
        if int(row["load"]) in numbers
    ]


def test_at_six_weeks_raveling_follows_loads_7_to_9():
    found = follows_loads(dispute.shares(), dispute.raveled(dispute.EARLY), by_load(dispute.EARLY))
    assert found.found is True
    assert found.why == (
        "7 of 7 raveled panels lie mostly in the 3 raveled loads, which have 7 panels."
    )


def winter_change() -> tuple[dict[str, float], dict[str, float | NotGiven]]:
    before, after = dispute.raveled(dispute.EARLY), dispute.raveled(dispute.SPRING)
    panels = {panel: after[panel] - before[panel] for panel in before}
    return panels, change_by_load(by_load(dispute.EARLY), by_load(dispute.SPRING))


def test_what_came_over_the_winter_does_not_follow_load_limits():
    panels, loads = winter_change()
    assert follows_loads(dispute.shares(), panels, loads).found is False


def test_nothing_raveled_or_everything_did_says_nothing():
    panels = dispute.raveled(dispute.EARLY)
    none, every = dict.fromkeys(panels, 0.0), dict.fromkeys(panels, 0.5)
    loads = dict.fromkeys(dispute.shares().loads, 0.5)
    assert follows_loads(dispute.shares(), none, loads).found is None
    assert follows_loads(dispute.shares(), every, loads).found is None


def test_raveled_panels_without_a_raveled_load_do_not_follow_loads():
    some = dispute.raveled(dispute.EARLY)
    unknown = dict.fromkeys(dispute.shares().loads, NotGiven("no look"))
    assert follows_loads(dispute.shares(), some, unknown).found is False


def test_the_hot_day_was_worst_late():
    found = worst_late(day_loads(range(1, 10), by_load(dispute.EARLY)))
    assert found.found is True and "over the limit" in found.why


def test_the_cool_day_was_not_even_where_the_winter_took_its_last_loads():
    """Over the winter loads 17 and 18 gained most, but they were placed in cool damp air."""
    _, loads = winter_change()
    found = worst_late(day_loads(range(10, 19), loads))
    assert found.found is False and "within the limit" in found.why


def test_raveling_without_order_in_the_day_is_not_late():
    assert worst_late(day_loads(range(10, 19), by_load(dispute.EARLY))).found is False


def test_where_evaporation_is_not_known_it_stays_open():
    some = day_loads(range(1, 10), by_load(dispute.EARLY))
    unknown = [DayLoad(x.load, x.discharge_at, x.raveled, None) for x in some]
    assert worst_late(unknown).found is None


def test_few_loads_or_equal_ones_say_little():
    some = day_loads(range(1, 10), by_load(dispute.EARLY))
    assert worst_late(some[:3]).found is None
    assert worst_late([DayLoad(x.load, x.discharge_at, 0.1, True) for x in some]).found is False
    blank = [DayLoad(x.load, x.discharge_at, None, True) for x in some]
    assert worst_late(blank).found is None


def test_the_sheet_log_of_the_dispute():
    """Table 1F: the gust bared C8 and C9; a check of 2023-08-26 is missing."""
    broken = {"C8": "Bare 13:40 to 14:10, wind", "C9": "Bare 13:40 to 14:10, wind"}
    gap = sheet_gap("C8", broken, log_is_whole=False, missing=["2023-08-26"])
    assert (gap.found, gap.why) == (True, "Bare 13:40 to 14:10, wind")
    other = sheet_gap("C6", broken, log_is_whole=False, missing=["2023-08-26"])
    assert other.found is None and other.why.endswith("checks are missing: 2023-08-26.")
    assert sheet_gap("C6", broken, log_is_whole=True).found is False
    assert sheet_gap("C6", {}, log_is_whole=None).found is None
