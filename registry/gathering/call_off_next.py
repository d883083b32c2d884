"""What follows from an order that was called off or turned away: the next day, stale tests."""

from datetime import date, timedelta

from registry.gathering.due_seasons import calendar_of, dated_facts
from registry.gathering.order_rows import spots_of
from registry.gathering.round_windows import open_hours
from registry.gathering.work_limits import work_limits
from registry.models import Round, RuleSetting, Season, SeasonDay, SiteWindow, WorkOrder
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.models.together import together
from registry.planning.called_off import SEARCHED_DAYS, CalledOff, after_call_off
from registry.planning.earliest_day import SeasonFacts
from registry.planning.methods import Method
from registry.planning.words import NotDecided

DAY = timedelta(days=1)
NOT_DONE = ("called_off", "turned_away")


def next_after_call_off(
    order: WorkOrder, *, today: date, tests: InfiltrationTestQuerySet
) -> CalledOff | NotDecided | None:
    """Return what follows; None of an order in another state.

    tests   of the pavement, as the reader sees them
    The next day is looked for after the day called off, and not before `today`.
    """
    if order.state not in NOT_DONE or order.dated_for is None:
        return None
    facts = _facts(order, today)
    if isinstance(facts, NotDecided):
        return facts
    return after_call_off(
        max(order.dated_for, today - DAY),
        Method(order.method),
        facts,
        closed_on=_closed(order, max(order.dated_for, today - DAY)),
        before_tests=_before_tests(order, tests),
    )


def _facts(order: WorkOrder, today: date) -> SeasonFacts | NotDecided:
    """The calendar of the order's keeper, else the house's, as a round reads it."""
    climate = order.pavement.site.climate.strip().casefold()
    rows, days, limits = together(
        Season.objects.standing().filter(organisation=order.organisation_id),
        SeasonDay.objects.standing().filter(organisation=order.organisation_id),
        RuleSetting.objects.standing().filter(organisation=order.organisation_id),
    )
    calendar = calendar_of(rows, climate)
    if isinstance(calendar, NotDecided):
        return calendar
    held = work_limits(limits, order.pavement_id, today)
    return SeasonFacts(calendar, dated_facts(days, climate), order.pavement.placed_on, held)


def _closed(order: WorkOrder, after: date) -> list[date]:
    """Days on which the site has no hours, of those that are searched."""
    days = [after + (n + 1) * DAY for n in range(SEARCHED_DAYS)]
    windows = SiteWindow.objects.standing().filter(site=order.pavement.site_id).order_by("pk")
    hours = open_hours(Round(first_on=days[0], last_on=days[-1]), order.pavement, windows)
    open_on = [not hours.windows or any(span.is_on(day) for span in hours.windows) for day in days]
    pairs = zip(days, open_on, strict=True)
    return [day for day, is_open in pairs if not is_open or day in hours.closed_on]


def _before_tests(order: WorkOrder, tests: InfiltrationTestQuerySet) -> dict[str, date]:
    """The day of the last test at each spot to be tested before, up to the day called off."""
    spots = {spot.pk: str(spot) for spot in spots_of(order)[0]}
    if not spots:
        return {}
    rows = tests.filter(spot__in=spots, started_on__lte=order.dated_for).order_by("started_on")
    return {spots[spot]: on for spot, on in rows.values_list("spot_id", "started_on")}
