"""The loads of pyvrp: debris, water, and one for each set of crews that alone can do some orders.

Debris is picked up and left at a dump place; water is taken along and filled up again. What only
some crews can do weighs 1 in a load of which the others carry none.
"""

from functools import cached_property

from registry.planning.rounds.crew import Crew
from registry.planning.rounds.ground import Ground
from registry.planning.rounds.order import Order


class Loads:
    """What each order weighs and each crew carries, in the same order of loads."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self.debris = sum(order.debris_l for order in ground.free_orders)
        self.water = sum(order.water_l for order in ground.free_orders)

    @cached_property
    def able(self) -> dict[str, frozenset[str]]:
        """By order: the crews that can do it."""
        crews = self.ground.problem.crews
        return {
            order.ref: frozenset(
                crew.ref for crew in crews if self.ground.crew_breach(order, crew) is None
            )
            for order in self.ground.free_orders
        }

    @cached_property
    def kinds(self) -> tuple[frozenset[str], ...]:
        """The sets of crews that alone can do some orders, in the order of those."""
        everybody = frozenset(crew.ref for crew in self.ground.problem.crews)
        return tuple(
            dict.fromkeys(some for some in self.able.values() if some and some != everybody)
        )

    def capacity_of(self, crew: Crew) -> list[int]:
        """Return what a crew carries of each load; all there is, where no limit binds."""
        machine, carries = crew.machine, []
        if self.debris:
            carries.append(machine.hopper_l or self.debris)
        if self.water:
            carries.append(machine.water_l or self.water)
        most = len(self.ground.free_orders)
        return carries + [most if crew.ref in some else 0 for some in self.kinds]

    def debris_of(self, order: Order) -> list[int]:
        """Return what an order adds to each load as the crew goes along."""
        adds = [order.debris_l] if self.debris else []
        adds += [0] if self.water else []
        return adds + [int(self.able[order.ref] == some) for some in self.kinds]

    def water_of(self, order: Order) -> list[int]:
        """Return what an order uses of each load that the crew sets out with."""
        uses = [0] if self.debris else []
        uses += [order.water_l] if self.water else []
        return uses + [0 for _ in self.kinds]
