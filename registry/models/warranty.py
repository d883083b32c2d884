"""Warranties: the terms as signed, their parts, what each covers, the clocks of an answer."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from registry.models.choices import Answer
from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.models.signed_move import SignedMove, move_back_says_why
from registry.placing.claim_moves import RUNNING, WARRANTY
from registry.placing.clocks import Counting
from registry.placing.transfer import TransferRule

STATES = dict(WARRANTY.states)

EXCLUSIONS = {
    "appearance": "color and streaks",
    "first_stones": "normal first-months stone shedding at low severity",
    "deicer": "deicer in the first winter",
    "steel_edge": "steel edge without shoes",
    "chains": "chains",
    "early_traffic": "traffic before release",
    "overload": "loads above use",
    "chemicals": "chemicals",
    "dirt": "dirt and lack of cleaning",
    "others": "acts of others",
    "base": "settlement of a base by others",
}
"""What terms commonly exclude; `Warranty.exclusions` is a list of [key, clause as written]."""


class WarrantyQuerySet(EntryQuerySet):
    """Warranties."""

    def running(self) -> "WarrantyQuerySet":
        """Return warranties that cover something now, by their state."""
        return self.standing().filter(state__in=RUNNING)


class Warranty(Entry):
    """The terms of one contract for one pavement or a section of it.

    Every rule a date follows from is kept with it: notice place, hours and zone, notice days,
    holiday list, answer limits (`AnswerLimit`). The law is kept outside. `start_on` is empty while
    no start is agreed: then no last day is given. Only actions write `state`.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="warranties"
    )
    section = models.ForeignKey(
        "registry.Section",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="warranties",
        verbose_name="section",
    )
    contractor = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        related_name="warranties_given",
        verbose_name="given by",
    )
    owner = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="warranties_held",
        verbose_name="given to",
    )
    given_to = models.CharField("given to, as written", max_length=160, blank=True)
    number = models.CharField("job or contract no.", max_length=40, blank=True)
    document = models.CharField("document", max_length=200, blank=True)
    start_event = models.CharField("starts with", max_length=160, blank=True)
    start_on = models.DateField("start", null=True, blank=True)
    years = models.PositiveSmallIntegerField("years")
    ended_early_on = models.DateField("last day by agreement", null=True, blank=True)
    exclusions = models.JSONField("excluded", default=list, blank=True)
    duties = models.TextField("owner’s duties", blank=True)
    notice_form = models.CharField("form of a notice", max_length=160, blank=True)
    notice_place = models.CharField("notice goes to", max_length=240, blank=True)
    notice_zone = models.CharField("time zone of the addressee", max_length=64, blank=True)
    notice_closes = models.TimeField("after this clock it counts later", null=True, blank=True)
    notice_on_working_days = models.CharField(
        "on a day of rest it counts as the next working day",
        max_length=3,
        choices=Answer,
        blank=True,
    )
    notice_days = models.PositiveSmallIntegerField(
        "notice within, days after discovery", null=True, blank=True
    )
    holiday_list = models.ForeignKey(
        "registry.HolidayList",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="warranties",
        verbose_name="holiday list of the contract",
    )
    transfer_rule = models.CharField(
        "on a sale it",
        max_length=9,
        blank=True,
        choices={
            TransferRule.FREE.value: "goes over freely",
            TransferRule.BY_NOTICE.value: "goes over by notice",
            TransferRule.NONE.value: "does not go over",
        },
    )
    transfer_days = models.PositiveSmallIntegerField(
        "notice of a sale within, days", null=True, blank=True
    )
    transfer_noticed_on = models.DateField("notice of the sale counted on", null=True, blank=True)
    dispute_path = models.TextField("path of a dispute", blank=True)
    remind_days = models.PositiveSmallIntegerField("remind before the last day, days", default=60)
    state = models.CharField(
        "state", max_length=14, choices=STATES, default="not_started", editable=False
    )

    objects = WarrantyQuerySet.as_manager()

    class Meta:
        ordering = ("start_on", "pk")
        constraints = (
            void_has_reason("warranty"),
            models.CheckConstraint(
                name="warranty_runs_1_to_30_years", condition=Q(years__range=(1, 30))
            ),
            models.CheckConstraint(
                name="warranty_transfer_by_notice_has_days",
                condition=~Q(transfer_rule="by_notice") | Q(transfer_days__isnull=False),
            ),
        )

    def __str__(self) -> str:
        return self.number or f"warranty from {self.start_on or 'a day not agreed'}"

    def clean(self) -> None:
        """Refuse a section of another pavement."""
        if self.section is not None and self.section.pavement_id != self.pavement_id:
            raise ValidationError("The section belongs to another pavement.")


class WarrantyMove(SignedMove):
    """One move of a warranty's state."""

    words = STATES

    warranty = models.ForeignKey(Warranty, on_delete=models.PROTECT, related_name="moves")

    class Meta(SignedMove.Meta):
        constraints = (move_back_says_why("warranty"),)


class WarrantyPart(Entry):
    """Panels with a cover of their own: opened on another day, or renewed."""

    warranty = models.ForeignKey(Warranty, on_delete=models.PROTECT, related_name="parts")
    name = models.CharField("part", max_length=80)
    panels = models.JSONField("panels", default=list)
    panels_text = models.CharField("panels, as written", max_length=240, blank=True)
    start_on = models.DateField("start", null=True, blank=True)
    years = models.PositiveSmallIntegerField("years")
    ended_early_on = models.DateField("last day by agreement", null=True, blank=True)
    because = models.CharField("because", max_length=200, blank=True)

    class Meta:
        ordering = ("start_on", "pk")
        constraints = (
            void_has_reason("warranty_part"),
            models.CheckConstraint(
                name="warranty_part_runs_1_to_30_years", condition=Q(years__range=(1, 30))
            ),
        )

    def __str__(self) -> str:
        return self.name


class WarrantyCover(Entry):
    """What the terms cover, with its own period and limit where they set one. Rates mm/h."""

    warranty = models.ForeignKey(Warranty, on_delete=models.PROTECT, related_name="covers")
    subject = models.CharField(
        "covers",
        max_length=12,
        choices={
            "workmanship": "workmanship",
            "material": "material",
            "raveling": "raveling",
            "infiltration": "infiltration",
        },
    )
    years = models.PositiveSmallIntegerField("years, if its own", null=True, blank=True)
    least_rate_mm_h = models.FloatField("not under", null=True, blank=True)
    raveled_over_percent = models.FloatField(
        "raveled over, % of a panel outline", null=True, blank=True
    )
    least_severity = models.CharField(
        "severity at least",
        max_length=8,
        blank=True,
        choices={"low": "low", "moderate": "moderate", "high": "high"},
    )
    only_if = models.CharField("only if", max_length=200, blank=True)

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("warranty_cover"),
            models.CheckConstraint(
                name="warranty_cover_raveled_0_to_100",
                condition=Q(raveled_over_percent__isnull=True)
                | Q(raveled_over_percent__range=(0, 100)),
            ),
        )

    def __str__(self) -> str:
        return str(self.get_subject_display())


class Step(models.TextChoices):
    """What a limit of an answer is for."""

    ACKNOWLEDGE = "acknowledge", "acknowledge"
    VISIT = "visit", "visit"
    FINDING = "finding", "finding"
    REPLY = "reply", "owner’s reply"
    EVALUATOR = "evaluator", "name an evaluator"
    REMEDY = "remedy", "remedy"


class AfterEvent(models.TextChoices):
    """The event from which a limit counts."""

    COUNTED = "counted", "the day the notice counts as received"
    VISITED = "visited", "the visit"
    FINDING = "finding", "the finding"
    DISPUTED = "disputed", "the day the owner disputed"
    SETTLED = "settled", "the agreement or settlement"


class AnswerLimit(Entry):
    """A number of days of the terms, within which one step of an answer is due."""

    warranty = models.ForeignKey(Warranty, on_delete=models.PROTECT, related_name="limits")
    step = models.CharField("step", max_length=11, choices=Step)
    days = models.PositiveSmallIntegerField("days")
    counting = models.CharField(
        "counted in",
        max_length=8,
        choices={Counting.CALENDAR.value: "calendar days", Counting.WORKING.value: "working days"},
    )
    after = models.CharField("after", max_length=8, choices=AfterEvent)
    to_working_day = models.BooleanField(
        "a last day of rest moves to the next working day", default=False
    )
    clause = models.CharField("clause", max_length=80, blank=True)

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("answer_limit"),
            models.CheckConstraint(
                name="answer_limit_within_ten_years", condition=Q(days__lte=3650)
            ),
            models.UniqueConstraint(
                fields=("warranty", "step"),
                condition=Q(void_at__isnull=True, double_of__isnull=True),
                name="answer_limit_once_a_step",
            ),
        )

    def __str__(self) -> str:
        return str(self.get_step_display())
