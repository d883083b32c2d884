"""The first page of every seat: what needs me now, why, and by when."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from registry import access
from registry.access.corrections import waiting_corrections
from registry.access.defects import kept_defects, kept_observations
from registry.access.due import kept_dues
from registry.gathering.defect_list import urgent_ones
from registry.gathering.needed_rows import MOST, Held
from registry.gathering.needs import gather_needs
from registry.models import Person
from registry.models.choices import Role
from registry.models.rights import KEEPERS
from registry.units import System


def home(request: HttpRequest) -> HttpResponse:
    """Show what needs the person now."""
    at = timezone.now()
    sides = access.sides_of(request.user, at)
    held = _held(request.user, sides.roles)
    needs = gather_needs(held, at=at, system=_system(request.user))
    return render(
        request,
        "home/page.html",
        {
            "needs": needs,
            "waiting": waiting_corrections(request.user)[:MOST],
            "may_add": not sides.roles or bool(sides.roles & KEEPERS),
            "has_pavements": sides.has_pavements,
            "cells": [
                ("for", ", ".join(sides.names) or "no organisation yet"),
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
        dues=kept_dues(person),
        urgent=urgent_ones(kept_defects(person).standing(), kept_observations(person)),
        reviewed=access.pavements_held_as(person, {Role.MUNICIPALITY}),
    )


def _system(person: Person) -> System:
    return System(person.shown_system)
