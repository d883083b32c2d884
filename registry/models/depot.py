"""Depots: where a crew's day begins and ends."""

from registry.models.crew_place import CrewPlace, rules_of_place


class Depot(CrewPlace):
    """The yard from which a crew leaves and to which it comes back."""

    class Meta(CrewPlace.Meta):
        constraints = rules_of_place("depot")
