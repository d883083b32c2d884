"""Time on site, N21 of the number sheet: passes·A/(w·v·e) + hand edges + set-up + dump and water.

    A area (m²) · w head width (m) · v speed (m/s) · e efficiency, the share of the time in which
    the head works

Rounded up to the whole minute, so that a round is never too tight.
"""

from math import ceil

from registry.planning.rounds.crew import Machine
from registry.planning.rounds.faults import RoundError


def machine_minutes(area_m2: float, passes: int, machine: Machine) -> float:
    """Return the minutes for which the machine itself works."""
    if area_m2 <= 0 or passes < 1:
        raise RoundError("The area is above 0 and there is at least one pass.")
    rate_m2_s = machine.head_width_m * machine.speed_m_s * machine.efficiency
    return passes * area_m2 / rate_m2_s / 60


def site_minutes(
    area_m2: float,
    passes: int,
    machine: Machine,
    *,
    edges_minutes: float = 0,
    set_up_minutes: float = 0,
    dump_and_water_minutes: float = 0,
) -> int:
    """Return whole minutes on site, rounded up.

    `dump_and_water_minutes` are those spent for this order alone; loads that are shared by several
    orders are planned as stops of their own. Raises RoundError for a negative time.
    """
    by_hand = (edges_minutes, set_up_minutes, dump_and_water_minutes)
    if min(by_hand) < 0:
        raise RoundError("Edges, set-up, dump and water take no less than 0 minutes.")
    return ceil(round(machine_minutes(area_m2, passes, machine) + sum(by_hand), 6))
