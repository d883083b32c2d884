"""The round as a prize-collecting vehicle routing problem with time windows, for pyvrp.

One vehicle type per working day and kind of crew; one optional client per order and stretch of the
axis in which it may begin, those of one order in a mutually exclusive group; a reload depot per
dump place, water point and day. What only some crews can do is a load that the others have no room
for. Everything is in whole minutes: time on site and travel rounded up, openings up, closings down.
The objective is minutes of driving, plus `day_cost` for each crew-day, plus the prizes of what is
left out.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from pyvrp import Client, ClientGroup, Depot, Location, ProblemData, VehicleType

from registry.planning.rounds.axis import Segment, Team, teams_of
from registry.planning.rounds.ground import Ground, Watch
from registry.planning.rounds.loads import Loads
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import Plan, StopKind
from registry.planning.rounds.reload import Reload, reloads_for
from registry.planning.rounds.stretches import Stretch, stretches_of, thinned

MOST_RELOADS = 6  # trips to empty or fill in one shift


@dataclass(frozen=True)
class Model:
    """The data for pyvrp, and what its numbers stand for.

    orders      of each client: the order
    reloads     of each depot: None for a crew's own, else the stops it stands for
    vehicles    of each vehicle type: the segment, and the crew-days that are alike
    offset      what pyvrp counts as missed of orders with several stretches, done or not
    """

    data: ProblemData
    orders: tuple[Order, ...]
    reloads: tuple[Reload | None, ...]
    vehicles: tuple[tuple[Segment, tuple[Watch, ...]], ...]
    offset: int


class Builder:
    """Collects clients, depots and vehicle types in the order that pyvrp numbers them."""

    def __init__(self, ground: Ground, begin: Plan) -> None:
        """Take a problem, and a plan whose days the model has to be able to hold."""
        self.ground = ground
        self.begin = begin
        self.problem = ground.problem
        self.clients: list[Client] = []
        self.orders: list[Order] = []
        self.groups: list[ClientGroup] = []
        self.own = list(dict.fromkeys(crew.depot for crew in self.problem.crews))
        self.depots = [Depot(self.problem.travel.row_of(place)) for place in self.own]
        self.reloads: list[Reload | None] = [None for _ in self.own]
        self.vehicle_types: list[VehicleType] = []
        self.vehicles: list[tuple[Segment, tuple[Watch, ...]]] = []
        # Locations: the places of the table, then a pair of (in, out) for each dump and fill.
        self.pairs: list[tuple[int, int]] = [(n, n) for n in range(len(self.problem.travel.places))]
        self.loads = Loads(ground)
        self.pin_prize = 1 + sum(self.problem.prize_of(order) for order in ground.free_orders)

    def build(self) -> Model | None:
        """Return the model, or None where no crew works or nothing can be offered."""
        teams = teams_of(self.ground)
        for team in teams:
            for segment in team.segments:
                self._add_vehicles(segment)
        wanted = wanted_minutes(self.vehicles, self.begin)
        for order in self.ground.free_orders:
            self._add_clients(order, teams, wanted.get(order.ref))
        if not (self.clients and self.vehicle_types):
            return None
        minutes: Any = self._matrix()  # typed by the package as ndarray[int], which none is
        places = [Location(float(n), 0.0) for n in range(len(self.pairs))]
        data = ProblemData(
            places, self.clients, self.depots, self.vehicle_types, [minutes], [minutes], self.groups
        )
        more = sum((len(group) - 1) * self.clients[group.clients[0]].prize for group in self.groups)
        vehicles = tuple(self.vehicles)
        return Model(data, tuple(self.orders), tuple(self.reloads), vehicles, more)

    def _matrix(self) -> NDArray[np.int64]:
        """Minutes of driving from each pair to each, shape (pairs, pairs)."""
        arrive = np.array([pair[0] for pair in self.pairs])
        leave = np.array([pair[1] for pair in self.pairs])
        minutes: NDArray[np.int64] = self.problem.travel.minutes[np.ix_(leave, arrive)].copy()
        np.fill_diagonal(minutes, 0)
        return minutes

    def _add_vehicles(self, segment: Segment) -> None:
        """Add a vehicle type for each kind of crew of one day of a team."""
        alike: dict[tuple[object, ...], list[Watch]] = {}
        for watch in segment.watches:
            crew, machine = watch.crew, watch.crew.machine
            kind = crew.depot, crew.day_cost, crew.most_work_minutes, machine.keeps_wash_water
            carries = machine.hopper_l, machine.water_l, *self.loads.capacity_of(crew)
            alike.setdefault((watch.shift, *kind, *carries), []).append(watch)
        for watches in alike.values():
            self._add_vehicle(segment, tuple(watches))

    def _add_vehicle(self, segment: Segment, watches: tuple[Watch, ...]) -> None:
        crew = watches[0].crew
        first, last = (segment.minute_of(instant) for instant in watches[0].shift)
        most = last - first
        if crew.most_work_minutes is not None:
            most = min(most, crew.most_work_minutes)
        reloads = list(self._reload_depots(segment, watches[0]))
        own = self.own.index(crew.depot)
        self.vehicle_types.append(
            VehicleType(
                num_available=len(watches),
                capacity=self.loads.capacity_of(crew),
                start_depot=own,
                end_depot=own,
                fixed_cost=crew.day_cost,
                tw_early=first,
                tw_late=last,
                shift_duration=most,
                reload_depots=reloads,
                max_reloads=MOST_RELOADS if reloads else 0,
            )
        )
        self.vehicles.append((segment, watches))

    def _reload_depots(self, segment: Segment, watch: Watch) -> Iterator[int]:
        """Add the depots at which this crew can empty or fill on this day; yield their numbers."""
        machine = watch.crew.machine
        empties = self.loads.debris > 0 and machine.hopper_l is not None
        fills = self.loads.water > 0 and machine.water_l is not None
        for reload in reloads_for(self.ground, watch, empties=empties, fills=fills):
            location = self._location_of(reload)
            for first, last in reload.begin_spans:
                self.depots.append(
                    Depot(
                        location,
                        tw_early=segment.minute_of(first),
                        tw_late=segment.minute_of(last),
                        service_duration=reload.minutes,
                    )
                )
                self.reloads.append(reload)
                yield len(self.depots) - 1

    def _location_of(self, reload: Reload) -> int:
        row_of = self.problem.travel.row_of
        pair = row_of(reload.places[0][1]), row_of(reload.places[-1][1])
        if pair not in self.pairs:
            self.pairs.append(pair)
        return self.pairs.index(pair)

    def _add_clients(self, order: Order, teams: tuple[Team, ...], wanted: int | None) -> None:
        offers = [
            (team.minutes[order.ref], stretch)
            for team in teams
            if order.ref in team.minutes
            for stretch in thinned(stretches_of(self.ground, team, order), wanted)
        ]
        group = None
        if len(offers) > 1:
            group = len(self.groups)
            members = range(len(self.clients), len(self.clients) + len(offers))
            self.groups.append(ClientGroup(list(members), required=False))
        self.clients += [self._client(order, *offer, group) for offer in offers]
        self.orders += [order for _ in offers]

    def _client(self, order: Order, minutes: int, stretch: Stretch, group: int | None) -> Client:
        pinned = order.pinned_on is not None or order.pinned_to is not None
        return Client(
            self.problem.travel.row_of(order.place),
            delivery=self.loads.water_of(order),
            pickup=self.loads.debris_of(order),
            service_duration=minutes,
            tw_early=stretch.first,
            tw_late=stretch.last,
            prize=self.problem.prize_of(order) + (self.pin_prize if pinned else 0),
            required=False,
            group=group,
        )


def wanted_minutes(
    vehicles: list[tuple[Segment, tuple[Watch, ...]]], begin: Plan
) -> dict[str, int]:
    """Return the minute of the axis at which a plan begins each of its orders."""
    segments = {(w.crew.ref, w.on): segment for segment, watches in vehicles for w in watches}
    return {
        stop.ref: segments[day.crew, day.on].minute_of(stop.begins_at)
        for day in begin.days
        if (day.crew, day.on) in segments
        for stop in day.stops
        if stop.kind is StopKind.WORK
    }
