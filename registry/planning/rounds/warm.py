"""A plan told to pyvrp as the solution to begin from; what it cannot hold is left out of it."""

from bisect import bisect_right

from pyvrp import Activity, ActivityType, Route, Solution

from registry.planning.rounds.model import Model
from registry.planning.rounds.plan import CrewDay, Plan, Stop, StopKind


def warm_start(model: Model, plan: Plan) -> Solution:
    """Return the crew-days of a plan as routes of the model."""
    vehicle_of = {(w.crew.ref, w.on): n for n, (_, some) in enumerate(model.vehicles) for w in some}
    clients: dict[str, list[tuple[int, int]]] = {}
    for n, order in enumerate(model.orders):
        clients.setdefault(order.ref, []).append((model.data.client(n).tw_early, n))
    routes = []
    for day in plan.days:
        vehicle = vehicle_of.get((day.crew, day.on))
        if vehicle is not None:
            activities = _activities(model, clients, day, vehicle)
            if any(activity.is_client() for activity in activities):
                routes.append(Route(model.data, activities, vehicle))
    return Solution(model.data, routes)


def _activities(
    model: Model, clients: dict[str, list[tuple[int, int]]], day: CrewDay, vehicle: int
) -> list[Activity]:
    found: list[Activity] = []
    segment = model.vehicles[vehicle][0]
    for stop in day.stops:
        if stop.kind is StopKind.WORK:
            client = _client_of(model, clients.get(stop.ref, []), segment.minute_of(stop.begins_at))
            if client is not None:
                found.append(Activity(ActivityType.CLIENT, client))
        else:
            depot = _depot_of(model, stop, vehicle)
            if depot is not None and (not found or found[-1].is_client()):
                found.append(Activity(ActivityType.DEPOT, depot))
    return found


def _client_of(model: Model, offers: list[tuple[int, int]], minute: int) -> int | None:
    """The client, of (first minute, number) in order, whose stretch holds a minute."""
    n = bisect_right(offers, (minute, len(model.orders))) - 1
    if n < 0 or model.data.client(offers[n][1]).tw_late < minute:
        return None
    return offers[n][1]


def _depot_of(model: Model, stop: Stop, vehicle: int) -> int | None:
    """The first of the crew-day's reloads that holds a stop."""
    for depot in model.data.vehicle_type(vehicle).reload_depots:
        reload = model.reloads[depot]
        if reload is not None and stop.ref in {place for _, place, _ in reload.places}:
            return depot
    return None
