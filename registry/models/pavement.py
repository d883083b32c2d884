"""Pavements: one floor-and-drain with one structure below and one set of criteria."""

from datetime import date, datetime
from typing import Self

from django.db import models
from django.db.models import F, OuterRef, Prefetch, Q, Subquery

from registry.models.choices import Answer, ReadingSystem, Word
from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.models.position import whole_position


class Surface(models.TextChoices):
    """Kinds of surface; the test method follows from it."""

    FINE_PERVIOUS_CONCRETE = "pervious_concrete_fine", "pervious concrete, fine mix"
    PERVIOUS_CONCRETE = "pervious_concrete", "pervious concrete, other"
    PERMEABLE_PAVERS = "permeable_pavers", "permeable pavers"
    POROUS_ASPHALT = "porous_asphalt", "porous asphalt"
    GRID = "grid", "grid"


class Use(models.TextChoices):
    """What a pavement is used as."""

    PATH = "path", "path"
    LOT = "lot", "lot"
    STALLS = "stalls", "stalls"
    LANE = "lane", "lane"
    DRIVE = "drive", "drive"
    COURT = "court", "court"
    ALLEY = "alley", "alley"
    SPORTS = "sports", "sports"


class PavementState(models.TextChoices):
    """States of a pavement; moves are in `actions/move_pavement.py`."""

    PLANNED = "planned", "planned"
    PLACED = "placed", "placed"
    CURING = "curing", "curing"
    IN_SERVICE = "in_service", "in service"
    CLOSED_IN_PART = "closed_in_part", "closed in part"
    CLOSED = "closed", "closed"
    REMOVED = "removed", "removed"
    SPLIT = "split", "split into parts"


ENDED = frozenset({PavementState.SPLIT, PavementState.REMOVED})
"""States of a pavement that is there no more as such: it has no condition of today."""


class PavementQuerySet(EntryQuerySet):
    """Pavements."""

    def held(self) -> Self:
        """Lock the rows until the transaction ends, so that what is derived sees every write.

        NO KEY UPDATE: writers who insert rows that point here hold a key share already, and a
        full lock would make two of them wait for each other.
        """
        return self.order_by("pk").select_for_update(no_key=True, of=("self",))

    def in_service(self) -> Self:
        """Return pavements that carry water today."""
        return self.filter(state__in=(PavementState.IN_SERVICE, PavementState.CLOSED_IN_PART))

    def counted_once(self) -> Self:
        """Return pavements whose areas may be summed and that may be asked for something.

        A split one goes on in its parts, a double in the entry that is kept.
        """
        return self.exclude(state__in=ENDED).filter(double_of=None)

    def with_standing(self, viewpoint: str) -> Self:
        """Add the stored condition as seen from one viewpoint: columns `standing_...`.

        Columns are null where no condition was ever worked out.
        """
        standing = self.model.standings.rel.related_model.objects.filter(
            pavement=OuterRef("pk"), viewpoint=viewpoint
        )
        columns = (
            "word",
            "lowest_mm_h",
            "lowest_sign",
            "lowest_spot",
            "lowest_on",
            "action_rate_mm_h",
            "last_tested_on",
            "next_test_due_on",
            "next_test_why",
            "reason",
            "next_step",
        )
        return self.annotate(**{f"standing_{c}": Subquery(standing.values(c)[:1]) for c in columns})

    def with_owner(self, at: object) -> Self:
        """Add `owner_name`, the owner at an instant."""
        seats = self.model.seats.rel.related_model.objects.held_at(at).filter(
            pavement=OuterRef("pk"), role="owner"
        )
        return self.annotate(owner_name=Subquery(seats.values("organisation__name")[:1]))

    def for_list(self) -> Self:
        """Fetch with each row what a list prints."""
        return self.select_related("site").prefetch_related(
            Prefetch("numbers", to_attr="all_numbers")
        )

    def placed_before(self, day: date) -> Self:
        """Return pavements placed before a day."""
        return self.filter(placed_on__lt=day)

    def matching(self, text: str) -> Self:
        """Return pavements whose name, site, address or any number holds the text."""
        return self.filter(
            Q(name__icontains=text)
            | Q(site__name__icontains=text)
            | Q(site__address__icontains=text)
            | Q(pk__in=self._numbers().filter(number__icontains=text).values("pavement"))
        )

    def owned_by(self, name: str, *, at: datetime) -> Self:
        """Return pavements whose owner at an instant has the text in its name."""
        owners = self._seats().held_at(at).filter(role="owner", organisation__name__icontains=name)
        return self.filter(pk__in=owners.values("pavement"))

    def _numbers(self) -> models.QuerySet:
        return self.model.numbers.rel.related_model.objects.all()

    def _seats(self) -> models.QuerySet:
        return self.model.seats.rel.related_model.objects.all()

    def with_points(self) -> Self:
        """Add `map_lon` and `map_lat`, null where a row cannot be put on a map."""
        return self.annotate(
            map_lon=models.functions.Coalesce("datum_lon", "lon", F("site__lon")),
            map_lat=models.functions.Coalesce("datum_lat", "lat", F("site__lat")),
        )


class Pavement(Entry):
    """A pavement. Areas, thickness and rates are SI; `as_written` keeps what was written."""

    site = models.ForeignKey("registry.Site", on_delete=models.PROTECT, related_name="pavements")
    name = models.CharField("name", max_length=160)
    surface = models.CharField("kind of surface", max_length=24, choices=Surface)
    use = models.CharField("use", max_length=8, choices=Use, blank=True)
    accessible_route = models.CharField(
        "accessible route",
        max_length=8,
        blank=True,
        choices={"yes": "yes", "no": "no", "part": "in part", "nk": "not known"},
    )
    area_m2 = models.FloatField("area", null=True, blank=True)
    area_found_by = models.CharField(
        "area found by",
        max_length=8,
        blank=True,
        choices={"panels": "panels summed", "tape": "tape", "plan": "plan", "nk": "not known"},
    )
    misclosure_percent = models.FloatField("closing error, %", null=True, blank=True)
    thickness_mm = models.FloatField("planned thickness", null=True, blank=True)
    traffic = models.CharField(
        "traffic",
        max_length=14,
        blank=True,
        choices={
            "feet": "feet",
            "cars": "cars",
            "vans": "vans",
            "trucks_weekly": "trucks weekly",
            "buses": "buses",
        },
    )
    placed_on = models.DateField("placed on", null=True, blank=True)
    placed_until_on = models.DateField("placed, last day", null=True, blank=True)
    opened_to_feet_on = models.DateField("opened to feet", null=True, blank=True)
    opened_to_wheels_on = models.DateField("opened to wheels", null=True, blank=True)
    substantial_completion_on = models.DateField("substantial completion", null=True, blank=True)
    accepted_on = models.DateField("accepted on", null=True, blank=True)
    accepted_by = models.CharField("accepted by", max_length=120, blank=True)
    state = models.CharField(
        "state", max_length=14, choices=PavementState, default=PavementState.IN_SERVICE
    )
    sheet_system = models.CharField(
        "units on its sheets",
        max_length=12,
        choices=ReadingSystem,
        default=ReadingSystem.INCH_POUND,
    )
    heavy_trees = models.CharField("heavy trees", max_length=3, choices=Answer, blank=True)
    winter_sand = models.CharField("winter sand", max_length=3, choices=Answer, blank=True)
    bare_soil_run_on = models.CharField(
        "run-on from bare soil", max_length=3, choices=Answer, blank=True
    )
    lon = models.FloatField("longitude", null=True, blank=True)
    lat = models.FloatField("latitude", null=True, blank=True)
    datum_lon = models.FloatField("longitude of the datum", null=True, blank=True)
    datum_lat = models.FloatField("latitude of the datum", null=True, blank=True)
    bearing_of_up_deg = models.FloatField("bearing of up, degrees", null=True, blank=True)
    parent = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="parts"
    )

    objects = PavementQuerySet.as_manager()

    class Meta:
        ordering = ("name", "pk")
        indexes = (
            models.Index(fields=("site", "name")),
            models.Index(fields=("name", "id"), name="pavement_in_order_of_names"),
        )
        constraints = (
            whole_position("pavement_position_is_whole_and_on_earth", "lon", "lat"),
            whole_position("pavement_datum_is_whole_and_on_earth", "datum_lon", "datum_lat"),
            void_has_reason("pavement"),
            models.CheckConstraint(
                name="pavement_area_is_positive",
                condition=Q(area_m2__isnull=True) | Q(area_m2__gt=0),
            ),
            models.CheckConstraint(
                name="pavement_thickness_is_positive",
                condition=Q(thickness_mm__isnull=True) | Q(thickness_mm__gt=0),
            ),
            models.CheckConstraint(
                name="pavement_bearing_is_of_a_compass",
                condition=Q(bearing_of_up_deg__isnull=True)
                | Q(bearing_of_up_deg__gte=0, bearing_of_up_deg__lt=360),
            ),
        )

    def __str__(self) -> str:
        return self.name

    def wholes(self) -> list["Pavement"]:
        """Return what it was split from, what that was split from, and so on."""
        found: list[Pavement] = []
        here = self.parent
        while here is not None:
            found.append(here)
            here = here.parent
        return found

    @property
    def has_ended(self) -> bool:
        """Say whether it is split or removed, so that nothing is asked of it any more."""
        return self.state in ENDED

    @property
    def test_method(self) -> str:
        """Return the standard test method that goes with the surface."""
        pavers = (Surface.PERMEABLE_PAVERS, Surface.GRID)
        return "c1781" if self.surface in pavers else "c1701"


ASKING = (Word.NOT_WORKING, Word.RESTORE, Word.CLEAN, Word.NOT_DECIDED)
"""Condition words that ask somebody to do something, the worst first."""


class PavementStandingQuerySet(models.QuerySet["PavementStanding"]):
    """Stored conditions."""

    def due_by(self, day: date) -> Self:
        """Return conditions whose next infiltration test is due by a day, the earliest first."""
        return self.filter(next_test_due_on__lte=day).order_by("next_test_due_on", "pk")

    def asking(self) -> Self:
        """Return conditions whose word asks for something, the worst word first."""
        place = models.Case(
            *(models.When(word=word, then=n) for n, word in enumerate(ASKING)),
            default=len(ASKING),
        )
        lowest = models.F("lowest_mm_h").asc(nulls_last=True)
        return self.filter(word__in=ASKING).order_by(place, lowest, "pk")

    def with_pavement(self) -> Self:
        """Fetch with each row the pavement and site it speaks of."""
        return self.select_related("pavement__site")


class PavementStanding(models.Model):
    """The condition of a pavement as last worked out, kept for lists.

    `viewpoint` is "holder" (all readings) or "town" (only readings submitted to the
    municipality or its own), since the two may not see the same readings. `changes_on` is the
    first day on which the passing of time alone could change it.
    """

    pavement = models.ForeignKey(Pavement, on_delete=models.CASCADE, related_name="standings")
    viewpoint = models.CharField(max_length=6, choices={"holder": "holder", "town": "town"})
    as_of_on = models.DateField()
    changes_on = models.DateField(null=True, blank=True, db_index=True)
    word = models.CharField(max_length=12, choices=Word, default=Word.NOT_DECIDED)
    reason = models.TextField()
    next_step = models.TextField(blank=True)
    lowest_mm_h = models.FloatField(null=True, blank=True)
    lowest_sign = models.CharField(max_length=1, blank=True)
    lowest_spot = models.CharField(max_length=60, blank=True)
    lowest_on = models.DateField(null=True, blank=True)
    action_rate_mm_h = models.FloatField(null=True, blank=True)
    last_tested_on = models.DateField(null=True, blank=True)
    next_test_due_on = models.DateField(null=True, blank=True)
    next_test_why = models.CharField(max_length=120, blank=True)
    strata = models.JSONField(default=list)
    input_digest = models.CharField(max_length=64)

    objects = PavementStandingQuerySet.as_manager()

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=("pavement", "viewpoint"), name="standing_once_for_each_viewpoint"
            ),
        )
        indexes = (
            models.Index(fields=("viewpoint", "word")),
            models.Index(fields=("viewpoint", "next_test_due_on"), name="standing_by_next_test"),
        )

    def __str__(self) -> str:
        return f"{self.pavement}: {self.get_word_display()}"
