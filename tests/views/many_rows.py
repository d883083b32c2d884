"""A pavement with the rows of many years: what a page asks must not grow with them."""

from datetime import date, timedelta

from registry.actions.judge_tests import judge_tests
from registry.models import (
    CleanedPanel,
    Cleaning,
    Defect,
    InfiltrationTest,
    Observation,
    Organisation,
    Panel,
    Pavement,
    Spot,
)
from tests.factories import (
    CleaningFactory,
    CriteriaFactory,
    DefectFactory,
    DirtSourceFactory,
    InfiltrationTestFactory,
    ObservationFactory,
    PanelFactory,
    SpotFactory,
    StratumFactory,
)

PANELS, SPOTS, TESTS, CLEANINGS, DEFECTS = 40, 200, 500, 50, 100
FIRST_ON = date(2019, 5, 6)
KINDS = ("raveling", "crack", "ponding", "edge_raveling")


def fill(pavement: Pavement, organisation: Organisation) -> None:
    """Give a pavement 40 panels, 200 spots, 500 tests, 50 cleanings and 100 defects."""
    CriteriaFactory(pavement=pavement)
    StratumFactory(pavement=pavement)
    for _ in range(20):
        DirtSourceFactory(pavement=pavement)
    panels = _panels(pavement)
    spots = _spots(pavement, panels)
    given = {"pavement": pavement, "entered_for": organisation}
    InfiltrationTest.objects.bulk_create(
        InfiltrationTestFactory.build(
            spot=spots[n % SPOTS],
            started_on=FIRST_ON + timedelta(days=400 * (n // SPOTS)),
            seconds=60.0 + n,
            **given,
        )
        for n in range(TESTS)
    )
    _cleanings(panels, given)
    _defects(panels, given)
    judge_tests([pavement.pk])


def _panels(pavement: Pavement) -> list[Panel]:
    plan = pavement.plans.get()
    return Panel.objects.bulk_create(
        PanelFactory.build(
            pavement=pavement,
            plan=plan,
            name=f"{'BCDE'[n % 4]}{n // 4 + 1}",
            right_m=3.048 * (n % 4 + 1),
            up_m=4.572 * (n // 4),
        )
        for n in range(PANELS)
    )


def _spots(pavement: Pavement, panels: list[Panel]) -> list[Spot]:
    return Spot.objects.bulk_create(
        SpotFactory.build(
            pavement=pavement,
            panel=panels[n % PANELS],
            name=f"many {n}",
            right_m=panels[n % PANELS].right_m + 1.0,
            up_m=panels[n % PANELS].up_m + 0.8 * (n // PANELS),
        )
        for n in range(SPOTS)
    )


def _cleanings(panels: list[Panel], given: dict[str, object]) -> None:
    rows = Cleaning.objects.bulk_create(
        CleaningFactory.build(
            done_on=FIRST_ON + timedelta(days=30 * n), is_restorative=n % 5 == 0, **given
        )
        for n in range(CLEANINGS)
    )
    CleanedPanel.objects.bulk_create(
        CleanedPanel(cleaning=row, panel=panel) for row in rows for panel in panels[:3]
    )


def _defects(panels: list[Panel], given: dict[str, object]) -> None:
    rows = Defect.objects.bulk_create(
        DefectFactory.build(
            number=1000 + n,
            kind=KINDS[n % len(KINDS)],
            panel=panels[n % PANELS],
            first_seen_on=FIRST_ON,
            **given,
        )
        for n in range(DEFECTS)
    )
    Observation.objects.bulk_create(
        ObservationFactory.build(
            defect=row, seen_on=row.first_seen_on, entered_for=given["entered_for"]
        )
        for row in rows
    )
