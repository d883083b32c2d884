"""The calendar: a month of weeks, and one day, of what the person may see."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from registry import access
from registry.access.calendars import calendar_rows, owned_by, owners_seen
from registry.agenda import Item, Month, by_day, in_order, month_named, month_of, on_day
from registry.forms.calendar import CalendarFilterForm
from registry.gathering.calendar import ALL, Cut, Span, calendar_items
from registry.gathering.crew_days_off import no_shift_items
from registry.models import Crew, Organisation

SHOWN_A_DAY = 4
THINGS_A_PAGE = 200
OF_NO_CREW = ("visit", "sweep_by", "latest")
MONTH, A_DAY = "%B %Y", timedelta(days=1)


@dataclass(frozen=True)
class Look:
    """What was asked for: the own organisations, the narrowing, and today by their clock."""

    organisations: list[Organisation]
    crews: list[Crew]
    form: CalendarFilterForm
    today: date
    zone: str

    @property
    def crew(self) -> Crew | None:
        """Return the crew that was chosen."""
        chosen = self.form.chosen("crew")
        return next((crew for crew in self.crews if crew.pk == chosen), None)


@require_safe
def calendar_month(request: HttpRequest) -> HttpResponse:
    """Show a month: orders on their days, what is due, days called off, days crews are not out."""
    look = look_of(request)
    asked = request.GET.get("month", "")
    month = month_named(asked)
    shown = month or month_of(look.today)
    days = [day for week in shown.weeks for day in week]
    cut = Cut(SHOWN_A_DAY) if look.crew is None else Cut()
    there = by_day(_items(request, look, shown.begins_on, shown.ends_on, cut), days)
    context = {
        **_common(request, look),
        "month": shown,
        "title": f"{shown.first_on:{MONTH}}",
        "weeks": [
            [_cell(day, shown, look.today, there[day], cut) for day in week] for week in shown.weeks
        ],
        "has_some": any(there[day] for day in days if shown.holds(day)),
        "not_read": asked if asked and month is None else "",
        "this_month": f"{look.today:%Y-%m}",
    }
    return render(request, "calendar/month.html", context)


def _cell(day: date, month: Month, today: date, there: list[Item], cut: Cut) -> dict[str, Any]:
    return {
        "day": day,
        "items": there[:SHOWN_A_DAY],
        "more": len(there[SHOWN_A_DAY:]) + cut.left_out[day],
        "is_beside": not month.holds(day),
        "is_today": day == today,
    }


@require_safe
def calendar_day(request: HttpRequest, day: str) -> HttpResponse:
    """Show a day, in pages: each crew with its orders in order, then what else stands on it."""
    on = day_named(day)
    look = look_of(request)
    items = on_day(_items(request, look, on, on), on)
    orders = [item for item in items if item.kind == "order"]
    others = [item for item in items if item.kind != "order"]
    listed = Paginator([*sorted(orders, key=_crew_of), *others], THINGS_A_PAGE)
    page = listed.get_page(request.GET.get("page"))
    context = {
        **_common(request, look),
        "day": on,
        "before": on - A_DAY,
        "after": on + A_DAY,
        "page": page,
        "crews": _by_crew([item for item in page if item.kind == "order"], look),
        "others": [item for item in page if item.kind != "order"],
    }
    return render(request, "calendar/day.html", context)


def _by_crew(orders: list[Item], look: Look) -> list[dict[str, Any]]:
    """Return the orders of a day crew by crew, with whether the crew is one's own."""
    own = {crew.pk for crew in look.crews}
    groups: dict[tuple[str, int | None], list[Item]] = {}
    for item in orders:
        groups.setdefault((_crew_of(item), item.crew_id), []).append(item)
    return [
        {"name": name, "pk": pk, "is_own": pk in own, "items": found}
        for (name, pk), found in sorted(groups.items(), key=lambda group: group[0][0])
    ]


def _crew_of(item: Item) -> str:
    return item.crew or "no crew chosen yet"


def day_named(text: str) -> date:
    """Return the day of an address, "2026-09-14"; 404 where it is none that a calendar shows."""
    month = month_named(text[:7])
    if month is None or len(text) != 10 or not text.isascii():
        raise Http404("No such day.")
    try:
        return date.fromisoformat(text)
    except ValueError as fault:
        raise Http404("No such day.") from fault


def look_of(request: HttpRequest) -> Look:
    """Return what is looked at: by whose clock it is today, narrowed to which crew or owner."""
    organisations = list(access.organisations_of(request.user).order_by("name", "pk"))
    rows = calendar_rows(request.user)
    crews = [crew for crew in rows.crews.order_by("name", "pk") if not crew.is_void]
    form = CalendarFilterForm(request.GET, crews=crews, owners=owners_seen(request.user))
    zone = organisations[0].time_zone if organisations else "UTC"
    today = timezone.now().astimezone(ZoneInfo(zone)).date()
    return Look(organisations, crews, form, today, zone)


def _items(
    request: HttpRequest, look: Look, first_on: date, last_on: date, cut: Cut = ALL
) -> list[Item]:
    rows, span = calendar_rows(request.user), Span(first_on, last_on, look.today, look.zone)
    orders, kept, crews = rows.orders, rows.kept, rows.crews.filter(void_at__isnull=True)
    owner = look.form.chosen("owner")
    if owner is not None:
        owned = owned_by(owner).values("pavement")
        orders, kept = orders.filter(pavement__in=owned), kept.filter(pk__in=owned)
        crews = crews.none()
    items = calendar_items(span, orders=orders, kept=kept, crews=crews, cut=cut)
    if look.crew is None:
        return items
    mine = [item for item in items if _is_of(item, look.crew)]
    shifts = no_shift_items(look.crew, first_on, last_on, mine, zone=look.zone)
    return in_order([*mine, *shifts])


def _is_of(item: Item, crew: Crew) -> bool:
    """Say whether a thing is of a crew: its own, or a day off of all."""
    for_all = item.crew_id is None and item.kind in ("day_off", "day_called_off")
    return item.crew_id == crew.pk or for_all


def _common(request: HttpRequest, look: Look) -> dict[str, Any]:
    query = request.GET.copy()
    for own in ("month", "page"):
        query.pop(own, None)
    chosen = [f"{name} {field}" for name, field in _narrowed(look.form)]
    return {
        "look": look,
        "form": look.form,
        "narrowed_by": chosen,
        "query": query.urlencode(),
        "today": look.today,
        "cells": [
            ("for", ", ".join(str(row) for row in look.organisations) or "no organisation yet"),
            ("today", f"{look.today:%Y-%m-%d}"),
        ],
    }


def _narrowed(form: CalendarFilterForm) -> Iterable[tuple[str, str]]:
    for name, field in form.fields.items():
        chosen = form.chosen(name)
        words = dict(field.choices)  # type: ignore[attr-defined]
        if chosen is not None:
            yield name, words[chosen]
