"""The first page of every seat: what needs me now, why, and by when."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from registry import access
from registry.access.corrections import waiting_corrections
from registry.access.defects import kept_defects, kept_observations
from registry.gathering.defect_list import urgent_ones
from registry.gathering.needs import KEEPERS, MOST, Held, gather_needs
from registry.models import Person
from registry.models.choices import Role
from registry.units import System


def home(request: HttpRequest) -> HttpResponse:
    """Show what needs the person now."""
    at = timezone.now()
    roles = access.open_roles(request.user)
    needs = gather_needs(_held(request.user, roles), at=at, system=_system(request.user))
    organisations = list(access.organisations_of(request.user, at))
    return render(
        request,
        "home/page.html",
        {
            "needs": needs,
            "waiting": waiting_corrections(request.user)[:MOST],
            "may_add": not roles or bool(roles & KEEPERS),
            "has_pavements": not needs.is_empty or access.visible_pavements(request.user).exists(),
            "cells": [
                ("for", ", ".join(o.name for o in organisations) or "no organisation yet"),
                ("as of", f"{timezone.localdate():%Y-%m-%d}"),
            ],
        },
    )


def _held(person: Person, roles: frozenset[str]) -> Held:
    return Held(
        roles=roles,
        organisations=access.organisations_of(person),
        kept=access.pavements_held_as(person, KEEPERS),
        own_seats=access.seats_of(person).held_at(timezone.now()),
        standings=access.seen_standings(person, roles),
        outlooks=access.kept_outlooks(person),
        urgent=urgent_ones(kept_defects(person).standing(), kept_observations(person)),
        reviewed=access.pavements_held_as(person, {Role.MUNICIPALITY}),
    )


def _system(person: Person) -> System:
    return System(person.shown_system)
