"""Photos: the file as taken, what is said of it, its sizes for view, marks drawn apart from it."""

from django.db import models
from django.db.models import Q

from registry.models.choices import StratumKind
from registry.models.entry import Entry, EntryQuerySet, void_has_reason


class PhotoFile(models.Model):
    """The bytes as they came, once for each SHA-256, kept untouched below the media folder."""

    sha256 = models.CharField(max_length=64, unique=True)
    kind = models.CharField(max_length=8)
    bytes_long = models.PositiveBigIntegerField()
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    frames = models.PositiveIntegerField(default=1)
    stamps = models.JSONField("what stands in the file", default=dict, blank=True)
    came_in_at = models.DateTimeField(auto_now_add=True)
    sizes_state = models.CharField(
        "sizes for view",
        max_length=8,
        default="waiting",
        choices={"waiting": "being made", "made": "made", "refused": "could not be made"},
    )
    sizes_why = models.CharField("why not", max_length=240, blank=True)
    list_width_px = models.PositiveIntegerField(null=True, blank=True)
    list_height_px = models.PositiveIntegerField(null=True, blank=True)
    page_width_px = models.PositiveIntegerField(null=True, blank=True)
    page_height_px = models.PositiveIntegerField(null=True, blank=True)

    def __str__(self) -> str:
        return self.sha256[:12]


class PhotoQuerySet(EntryQuerySet):
    """Photos."""

    def in_order(self) -> "PhotoQuerySet":
        """Return photos oldest first; undated ones stand last."""
        return self.order_by(
            models.F("taken_on").asc(nulls_last=True),
            models.F("true_at").asc(nulls_last=True),
            "pk",
        )

    def newest_first(self) -> "PhotoQuerySet":
        """Return photos newest first; undated ones stand last, the last sent first."""
        return self.order_by(
            models.F("taken_on").desc(nulls_last=True),
            models.F("true_at").desc(nulls_last=True),
            "-pk",
        )

    def for_list(self) -> "PhotoQuerySet":
        """Return standing photos with what a list shows of each."""
        return self.standing().select_related("file", "panel", "defect")


class Photo(Entry):
    """A photo of something. Camera time is kept as stored; the true time stands beside it."""

    class Subject(models.TextChoices):
        DEFECT = "defect", "defect"
        TEST = "test", "infiltration test"
        PANEL = "panel", "panel"
        COVER = "cover", "cover"
        SHEET = "sheet", "sheet of paper"
        CERTIFICATE = "certificate", "certificate"
        DIRT = "dirt", "source of dirt"
        DATUM = "datum", "datum, tie or mark"
        WHOLE = "whole", "whole view"

    file = models.ForeignKey(PhotoFile, on_delete=models.PROTECT, related_name="photos")
    file_name = models.CharField("name of the file as sent", max_length=200, blank=True)
    number = models.CharField("photo no.", max_length=40, blank=True)
    site = models.ForeignKey("registry.Site", on_delete=models.PROTECT, related_name="photos")
    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, null=True, blank=True, related_name="photos"
    )
    subject = models.CharField("shows", max_length=12, choices=Subject, default=Subject.WHOLE)
    defect = models.ForeignKey(
        "registry.Defect", on_delete=models.PROTECT, null=True, blank=True, related_name="photos"
    )
    observation = models.ForeignKey(
        "registry.Observation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="photos",
    )
    visit = models.ForeignKey(
        "registry.Visit", on_delete=models.PROTECT, null=True, blank=True, related_name="photos"
    )
    infiltration_test = models.ForeignKey(
        "registry.InfiltrationTest",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="photos",
    )
    panel = models.ForeignKey(
        "registry.Panel", on_delete=models.PROTECT, null=True, blank=True, related_name="photos"
    )
    place = models.CharField("place as written", max_length=120, blank=True)
    place_known_by = models.CharField(
        "place known by",
        max_length=8,
        blank=True,
        choices={"card": "slate card in the picture", "memory": "memory"},
    )
    stratum = models.CharField("stratum", max_length=12, choices=StratumKind, blank=True)
    camera_time = models.CharField("camera time as stored", max_length=40, blank=True)
    true_at = models.DateTimeField("true time", null=True, blank=True)
    taken_on = models.DateField("taken on", null=True, blank=True)
    true_how = models.CharField("how the true time is known", max_length=200, blank=True)
    device = models.CharField("device", max_length=120, blank=True)
    latitude = models.FloatField(null=True, blank=True, editable=False)
    longitude = models.FloatField(null=True, blank=True, editable=False)
    position_error_m = models.FloatField(null=True, blank=True, editable=False)
    position_says = models.CharField("what the position tells", max_length=240, blank=True)
    taken_by = models.CharField("taken by", max_length=160, blank=True)
    sent_by = models.CharField(
        "sent by way of",
        max_length=8,
        blank=True,
        choices={
            "camera": "straight from the camera",
            "mail": "e-mail",
            "message": "message service",
            "paper": "print or scan",
        },
    )
    facing = models.CharField(
        "facing",
        max_length=6,
        blank=True,
        choices={"up": "up", "down": "down", "left": "left", "right": "right", "ground": "ground"},
    )
    facing_degrees = models.FloatField("facing, degrees from north", null=True, blank=True)
    scale = models.CharField(
        "scale in the picture",
        max_length=6,
        blank=True,
        choices={"rule": "rule", "card": "scale card", "frame": "frame", "none": "none"},
    )
    pair_of = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="later_pairs"
    )
    shown_to = models.CharField(
        "may be shown to",
        max_length=8,
        default="all",
        choices={"all": "all who see what it shows", "own": "our own side only"},
    )
    covers = models.JSONField("what is covered in copies that go out", default=list, blank=True)
    submitted_on = models.DateField("sent to the municipality on", null=True, blank=True)

    objects = PhotoQuerySet.as_manager()

    class Meta:
        ordering = ("-taken_on", "-pk")
        indexes = (models.Index(fields=("pavement", "taken_on")),)
        constraints = (void_has_reason("photo"),)

    def __str__(self) -> str:
        return self.number or f"photo {self.pk}"

    @property
    def is_undated(self) -> bool:
        """Say whether nobody knows when it was taken."""
        return self.taken_on is None

    @property
    def caption(self) -> str:
        """Return what it is of, when and where, in a line: "defect 3, 2024-04-18, D6"."""
        what = str(self.defect) if self.defect else str(self.get_subject_display())
        where = self.panel.name if self.panel else ""
        day = f"{self.taken_on:%Y-%m-%d}" if self.taken_on else "undated"
        return ", ".join(part for part in (self.number, what, day, where) if part)


class PhotoMarks(Entry):
    """Marks drawn over a photo by one person, kept apart from it (`imaging.marks` writes them)."""

    photo = models.ForeignKey(Photo, on_delete=models.PROTECT, related_name="marks")
    drawn = models.JSONField("marks")

    class Meta:
        ordering = ("pk",)
        constraints = (void_has_reason("photo_marks"),)

    def __str__(self) -> str:
        return f"marks on {self.photo}"


class PhotoExtent(Entry):
    """An extent measured on a photo laid flat by four corners of a known rectangle.

    `corners` and `outline` are in the pixels of the picture as seen; sizes m, area m2.
    """

    photo = models.ForeignKey(Photo, on_delete=models.PROTECT, related_name="extents")
    observation = models.ForeignKey(
        "registry.Observation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="photo_extents",
    )
    rectangle = models.CharField("known rectangle", max_length=80)
    rectangle_width_m = models.FloatField("rectangle, width")
    rectangle_height_m = models.FloatField("rectangle, height")
    corners = models.JSONField("corners of the rectangle, [[x_px, y_px], ...]")
    outline = models.JSONField("outline, [[x_px, y_px], ...]")
    outline_kind = models.CharField(
        max_length=4, choices={"area": "area", "line": "length"}, default="area"
    )
    on_plan = models.JSONField(
        "outline on the plan, [[right_m, up_m], ...]", default=list, blank=True
    )
    value = models.FloatField("extent, m2 or m")
    error = models.FloatField("stated error, m2 or m")
    left_out = models.TextField("what the error leaves out", blank=True)

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("photo_extent"),
            models.CheckConstraint(
                name="photo_extent_has_a_size",
                condition=Q(rectangle_width_m__gt=0, rectangle_height_m__gt=0, value__gte=0),
            ),
        )

    def __str__(self) -> str:
        return f"extent on {self.photo}"
