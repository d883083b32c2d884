"""What the record holds of a portion of pavements, for judging new tests beside the old."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from registry.exchange.signs import skeleton
from registry.models import Cleaning, InfiltrationTest, Panel, Pavement, Spot


@dataclass(frozen=True)
class Earlier:
    """By the key of the pavement; panels and spots that exist today, by pavement and name.

    alike  the name of a spot by pavement and what a reader sees of the name
    """

    placed_on: dict[int, date | None]
    tests: dict[int, list[InfiltrationTest]]
    cleanings: dict[int, list[Cleaning]]
    spots: dict[tuple[int, str], Spot]
    panels: dict[tuple[int, str], Panel]
    with_panels: frozenset[int]
    alike: dict[tuple[int, str], str]


def gather_earlier(ids: Sequence[int]) -> Earlier:
    """Return what is there of these pavements, in five queries."""
    tests: dict[int, list[InfiltrationTest]] = defaultdict(list)
    cleanings: dict[int, list[Cleaning]] = defaultdict(list)
    panels = {}
    spots = {}
    if ids:
        for test in InfiltrationTest.objects.filter(pavement__in=ids).select_related("spot"):
            tests[test.pavement_id].append(test)
        done = Cleaning.objects.filter(pavement__in=ids).done().prefetch_related("panels")
        for cleaning in done:
            cleanings[cleaning.pavement_id].append(cleaning)
        for panel in Panel.objects.standing().filter(pavement__in=ids, exists_to_on__isnull=True):
            panels[panel.pavement_id, panel.name] = panel
        for spot in Spot.objects.standing().filter(pavement__in=ids, ended_on__isnull=True):
            spots[spot.pavement_id, spot.name] = spot
    return Earlier(
        placed_on=dict(Pavement.objects.filter(pk__in=ids).values_list("pk", "placed_on")),
        tests=tests,
        cleanings=cleanings,
        spots=spots,
        panels=panels,
        with_panels=frozenset(pavement_id for pavement_id, _ in panels),
        alike={(pavement_id, skeleton(name)): name for pavement_id, name in spots},
    )
