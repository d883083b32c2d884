"""Defects: a thing at a place on a certain pour of concrete, its links and its moves."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from registry.defects import KINDS, OPEN, STATES
from registry.models.entry import Entry, EntryQuerySet, void_has_reason


class DefectQuerySet(EntryQuerySet):
    """Defects."""

    def open(self) -> "DefectQuerySet":
        """Return defects that are to be looked at again."""
        return self.standing().filter(state__in=OPEN)

    def closed(self) -> "DefectQuerySet":
        """Return all that `open` leaves out."""
        return self.exclude(void_at=None, double_of=None, state__in=OPEN)

    def raveling(self) -> "DefectQuerySet":
        """Return defects that are stones coming off, over an area or along an edge."""
        return self.filter(kind__in=("raveling", "edge_raveling"))

    def known_on(self, day: object) -> "DefectQuerySet":
        """Return defects that had been seen by a day; of a part of a pavement from its split on."""
        there = Q(carried_on__isnull=True) | Q(carried_on__lte=day)
        return self.standing().filter(there, first_seen_on__lte=day)

    def open_then(self) -> "DefectQuerySet":
        """Return those open on the day that `state_then` was looked up for."""
        return self.filter(state_then__in=OPEN)


class Defect(Entry):
    """A thing at a place. `outline` is in metres from the datum; what was seen is in observations.

    `outline` is [[right_m, up_m], ...] and `outline_kind` says what the points are: one spot, a
    line, or the corners of an area. `place` is the place as written; the panel keeps its dates,
    so that the name it had then is always found. `carried_from` is its row at the pavement that
    this one was split from, and `carried_on` the day of the split.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="defects"
    )
    number = models.PositiveIntegerField("defect no.")
    other_number = models.CharField("number on other papers", max_length=40, blank=True)
    kind = models.CharField(
        "kind", max_length=16, choices={kind.code: kind.label for kind in KINDS.values()}
    )
    state = models.CharField("state", max_length=16, choices=STATES, default="noted")
    section = models.ForeignKey(
        "registry.Section", on_delete=models.PROTECT, null=True, blank=True, related_name="defects"
    )
    panel = models.ForeignKey(
        "registry.Panel", on_delete=models.PROTECT, null=True, blank=True, related_name="defects"
    )
    panels_text = models.CharField("panels, as they were named then", max_length=120, blank=True)
    place = models.CharField("place as written", max_length=120, blank=True)
    outline = models.JSONField("outline, [[right_m, up_m], ...]", default=list, blank=True)
    outline_kind = models.CharField(
        "drawn as",
        max_length=5,
        blank=True,
        choices={"spot": "spot", "line": "line", "area": "area"},
    )
    placed_by = models.CharField(
        "place found by",
        max_length=8,
        default="panel",
        choices={"panel": "panel and pocket tape", "tape": "long tape", "wheel": "wheel"},
    )
    is_provisional = models.BooleanField("place is provisional", default=False)
    concrete_placed_on = models.DateField("this concrete placed on", null=True, blank=True)
    first_seen_on = models.DateField("first seen")
    known_before = models.CharField("known to exist before, from", max_length=160, blank=True)
    on_accessible_route = models.CharField(
        "on an accessible route",
        max_length=3,
        blank=True,
        choices={"yes": "yes", "no": "no", "nk": "not known"},
    )
    causes = models.TextField("suspected causes, with what speaks for and against", blank=True)
    submitted_on = models.DateField("sent to the municipality on", null=True, blank=True)
    carried_from = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="carried_to",
    )
    carried_on = models.DateField("carried on at the split of", null=True, blank=True)

    objects = DefectQuerySet.as_manager()

    class Meta:
        ordering = ("pavement", "number")
        indexes = (
            models.Index(fields=("pavement", "state")),
            models.Index(fields=("kind", "state")),
        )
        constraints = (
            void_has_reason("defect"),
            models.UniqueConstraint(fields=("pavement", "number"), name="defect_number_once"),
            models.CheckConstraint(
                name="defect_outline_says_what_it_is",
                condition=Q(outline=[], outline_kind="") | (~Q(outline=[]) & ~Q(outline_kind="")),
            ),
            models.CheckConstraint(
                name="defect_carried_on_says_from_where_and_when",
                condition=Q(carried_from__isnull=True, carried_on__isnull=True)
                | Q(carried_from__isnull=False, carried_on__isnull=False),
            ),
        )

    def __str__(self) -> str:
        return f"defect {self.number}"

    @property
    def is_open(self) -> bool:
        """Say whether the defect is to be looked at again."""
        return self.state in OPEN and not self.is_void


class DefectLink(models.Model):
    """What one defect is to another: `defect` is <relation> `other`. A person decided."""

    class Relation(models.TextChoices):
        SAME_AS = "same_as", "same as"
        PART_OF = "part_of", "part of"
        GREW_INTO = "grew_into", "grew into"
        RECURS = "recurs", "recurs at the place of"

    defect = models.ForeignKey(Defect, on_delete=models.PROTECT, related_name="links")
    relation = models.CharField(max_length=10, choices=Relation)
    other = models.ForeignKey(Defect, on_delete=models.PROTECT, related_name="links_back")
    why = models.CharField("because", max_length=240, blank=True)
    on = models.DateField("date")
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.UniqueConstraint(fields=("defect", "relation", "other"), name="link_once"),
            models.CheckConstraint(
                name="link_is_to_another", condition=~Q(defect=models.F("other"))
            ),
        )

    def __str__(self) -> str:
        return f"{self.defect} {self.get_relation_display()} {self.other}"


class DefectMove(models.Model):
    """One move of a defect's state: dated, signed, never changed. A way back is a new line."""

    defect = models.ForeignKey(Defect, on_delete=models.PROTECT, related_name="moves")
    from_state = models.CharField(max_length=16, choices=STATES, blank=True)
    to_state = models.CharField(max_length=16, choices=STATES)
    is_back = models.BooleanField("back to an earlier state", default=False)
    why = models.CharField("because", max_length=300, blank=True)
    on = models.DateField("date")
    visit = models.ForeignKey(
        "registry.Visit", on_delete=models.PROTECT, null=True, blank=True, related_name="moves"
    )
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    by_organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, null=True, related_name="+"
    )
    at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        ordering = ("at", "pk")
        constraints = (
            models.CheckConstraint(
                name="move_back_says_why", condition=Q(is_back=False) | ~Q(why="")
            ),
        )

    def __str__(self) -> str:
        return f"{self.defect}: {self.get_to_state_display()}"
