"""From which hour on a round is planned whose first day has begun."""

from datetime import date, datetime, time, timedelta

QUARTER = timedelta(minutes=15)


def next_quarter(at: datetime) -> datetime:
    """Return the next full quarter of an hour: a plan has to be read before anybody leaves."""
    return at + (datetime.min.replace(tzinfo=at.tzinfo) - at) % QUARTER


def begins_late(first_on: date, soonest: datetime) -> list[str]:
    """Say from which hour is planned, by the local clock, where some of a round is past."""
    if soonest <= datetime.combine(first_on, time(), tzinfo=soonest.tzinfo):
        return []
    return [f"Planned from {soonest:%Y-%m-%d %H:%M} on, local time: what is before it is past."]
