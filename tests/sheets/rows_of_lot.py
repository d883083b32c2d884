"""The rows of a lot as the record holds it: plan, panels, fixed points, a draw, numbers."""

from datetime import date

from registry.models import Pavement, Spot, SpotDraw
from registry.models.choices import StratumKind
from tests import factories

FT = 0.3048


def lot_of(lanes: int = 4, count: int = 11, **fields: object) -> Pavement:
    """A lot of panels of 12 ft with three fixed points, one of them placed in words alone."""
    site = factories.SiteFactory(address="14 Canal St")
    pavement = factories.PavementFactory(site=site, name="North lot", **fields)
    factories.PlanFactory(pavement=pavement, number=1)
    factories.PlanFactory(
        pavement=pavement,
        number=2,
        datum="cross on curb",
        up="the entrance",
        ties=[{"distance_m": 18.42 * FT, "to": "hydrant"}],
    )
    for lane in range(lanes):
        for nth in range(count):
            factories.PanelFactory(
                pavement=pavement,
                name=f"{'ABCDEFGHJKLM'[lane]}{nth + 1}",
                right_m=lane * 12 * FT,
                up_m=nth * 12 * FT,
                width_m=12 * FT,
                length_m=12 * FT,
            )
    factories.SpotFactory(
        pavement=pavement,
        name="U",
        stratum=StratumKind.RUN_ON_EDGE,
        right_m=42 * FT,
        up_m=66 * FT,
    )
    factories.SpotFactory(pavement=pavement, name="W", place="B6 6.0 R 6.0 U")
    factories.SpotFactory(pavement=pavement, name="M", place="beside the light pole")
    factories.SpotFactory(pavement=pavement, name="old", ended_on=date(2024, 5, 1))
    return pavement


def draw_of(pavement: Pavement, number: int, count: int) -> list[Spot]:
    draw = SpotDraw.objects.create(
        pavement=pavement,
        number=number,
        drawn_on=date(2026, 5, 1),
        seed=number,
        required_count=count,
        counted_in="inch_pound",
        result=[],
    )
    return [
        factories.SpotFactory(
            pavement=pavement,
            name=f"draw {number} S{nth}",
            is_fixed=False,
            draw=draw,
            draw_order=nth,
            right_m=(3 + nth) * FT,
            up_m=8.5 * FT,
            stratum=StratumKind.FIELD,
        )
        for nth in range(1, count + 1)
    ]
