"""The order in which a day tells its things."""

from datetime import UTC, date, datetime, timedelta

from registry.agenda import Item, on_day

DAY = date(2026, 11, 1)


def item(kind="order", title="a", **fields):
    told = {"first_on": DAY, "last_on": DAY, "zone": "America/New_York", "row_id": 1}
    return Item(kind=kind, title=title, **{**told, **fields})


def test_day_tells_clock_times_first_then_kinds_in_order():
    at = datetime(2026, 11, 1, 12, tzinfo=UTC)
    items = [
        item("day_off"),
        item("order", "b"),
        item("order", "late", starts_at=at + timedelta(hours=1)),
        item("visit"),
        item("order", "early", starts_at=at),
        item("order", "a"),
    ]
    told = [(i.kind, i.title) for i in on_day(items, DAY)]
    assert told == [
        ("order", "early"), ("order", "late"), ("order", "a"), ("order", "b"), ("visit", "a"),
        ("day_off", "a"),
    ]  # fmt: skip


def test_thing_of_several_days_stands_on_each_of_them():
    leave = item("day_off", last_on=DAY + timedelta(days=2))
    days = [DAY + timedelta(days=n) for n in range(-1, 4)]
    assert [len(on_day([leave], day)) for day in days] == [0, 1, 1, 1, 0]


def test_clock_is_that_of_the_site():
    at = datetime(2026, 11, 1, 5, 30, tzinfo=UTC)  # EDT; the clock goes back at 06:00 UTC
    assert item(starts_at=at, ends_at=at + timedelta(hours=2)).clock == "01:30-02:30"
    assert item(starts_at=at).clock == "01:30"
    assert item().clock == ""
