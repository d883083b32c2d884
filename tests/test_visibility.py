"""Who sees what at six moments of a pavement's life: visibility.csv is the table.

A row is a moment and a kind of record; a column one for each seat. It follows the trade's table of
who may see or alter what (common practice of such contracts, no source).
"""

import csv
from pathlib import Path

import pytest
from django.apps import apps

from registry.access.all_defects import (
    all_visible_defects,
    all_visible_observations,
    all_visible_visits,
)
from registry.access.defects import visible_defects, visible_observations, visible_visits
from tests.visibility import ASK, MOMENTS, NO_KIND, SEATS, WITH, answers, listed, scene

TABLE = Path(__file__).with_name("visibility.csv")
with TABLE.open(newline="", encoding="utf-8") as file:
    ROWS = list(csv.DictReader(file))


def test_table_has_every_kind_at_every_moment_for_every_seat():
    keys = [(row["moment"], row["record"]) for row in ROWS]
    assert keys == [(moment, kind) for moment in MOMENTS for kind in ASK]
    assert set(ROWS[0]) == {"moment", "record", *SEATS}
    assert {row[name] for row in ROWS for name in SEATS} == {"sees", "nothing"}


@pytest.mark.django_db
@pytest.mark.parametrize("moment", MOMENTS)
def test_each_seat_sees_what_the_table_says(moment: str):
    there = scene(moment)
    got = {kind: answers(there, kind) for kind in ASK}
    own = [row for row in ROWS if row["moment"] == moment]
    said = {row["record"]: {name: row[name] for name in SEATS} for row in own}
    assert got == said
    sheets = [kind for kind in ASK if kind.startswith("sheet: ")]
    opened = {name: {kind for kind in sheets if got[kind][name] == "sees"} for name in SEATS}
    assert {name: kinds for name, kinds in opened.items() if name in there.people} == listed(there)


@pytest.mark.django_db
@pytest.mark.parametrize("moment", MOMENTS)
def test_lists_over_all_pavements_show_what_the_page_of_each_shows(moment: str):
    there = scene(moment)
    pairs = (
        (all_visible_defects, visible_defects),
        (all_visible_observations, visible_observations),
        (all_visible_visits, visible_visits),
    )
    for name, person in there.people.items():
        for listed_by, shown_by in pairs:
            own = shown_by(person, there.pavement).values_list("pk", flat=True)
            got = listed_by(person).values_list("pk", flat=True)
            assert sorted(got) == sorted(own), (name, listed_by.__name__)
    waits = moment in ("open callback", "in dispute")
    placer = there.people["contractor"]
    if waits:
        assert all(listed_by(placer).exists() for listed_by, _ in pairs)


def test_notes_kept_inside_and_crew_are_seen_by_the_contractor_alone():
    """Held by the table itself, so that nobody changes it without seeing this fail."""
    for row in ROWS:
        if row["record"] in ("contractor's inside note", "crew by task"):
            assert {name for name in SEATS if row[name] == "sees"} == {"contractor"}


@pytest.mark.django_db
def test_every_model_is_a_kind_of_the_table_or_says_why_not():
    """A new model fails here until its rows are asked for, or lead to a kind, or have a reason."""
    models = {model.__name__: model for model in apps.get_app_config("registry").get_models()}
    kinds = {type(row).__name__ for row in scene("under warranty").rows.values() if row is not None}
    told = [*kinds, *WITH, *NO_KIND]
    assert sorted(told) == sorted(models), set(told) ^ set(models)
    assert all(NO_KIND.values())
    for name, parent in WITH.items():
        assert parent in kinds | set(WITH), f"{parent} of {name} is no kind"
        assert leads_to(models[name], models[parent]), f"no key between {name} and {parent}"


def leads_to(model, parent) -> bool:
    """Say whether a key leads from the one to the other, either way."""
    pairs = ((model, parent), (parent, model))
    return any(
        field.is_relation and field.concrete and field.related_model is other
        for one, other in pairs
        for field in one._meta.get_fields()
    )
