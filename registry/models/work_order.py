"""Work orders: a sweeping that was asked for, and what became of it."""

from datetime import date

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from registry.models.choices import Answer
from registry.models.cleaning import CLASS_OF, RESTORATIVE, Cleaning, CleaningMethod
from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.planning.order_moves import OPEN, STATES, TO_SETTLE

DO_NOT = {
    "wire_broom": "no wire broom",
    "closing_agents": "no closing agents",
    "storm_drain": "no water to the storm drain",
}
"""What an order forbids (`WorkOrder.do_not` is a list of these keys)."""

REASONS = {
    **dict(Cleaning._meta.get_field("reason").flatchoices),
    "permit": "permit asks for it",
    "below_level": "below the action level, or soon",
}
PRICE_BASES = {"area": "by area", "hour": "by the hour", "minimum": "least amount"}


class WorkOrderQuerySet(EntryQuerySet):
    """Work orders."""

    def open(self) -> "WorkOrderQuerySet":
        """Return orders of which the sweeping is still to be done or given up."""
        return self.standing().filter(state__in=OPEN)

    def to_settle(self) -> "WorkOrderQuerySet":
        """Return orders that are to be checked, billed or paid."""
        return self.standing().filter(state__in=TO_SETTLE)

    def dated_on(self, day: date) -> "WorkOrderQuerySet":
        """Return the orders that stand for a day."""
        return self.standing().filter(state="dated", dated_for=day)

    def for_list(self) -> "WorkOrderQuerySet":
        """Fetch with each row what a list prints."""
        return self.select_related("pavement__site", "crew", "sweeper")


class WorkOrder(Entry):
    """One sweeping of a pavement or of some of its panels. Areas m2, degrees Celsius, hours.

    `organisation` asks for it and keeps it; `sweeper` does it, with a crew of its own where one is
    chosen. `efficiency` is in place of the machine's, where a site lets it work less of the time.
    `state` is where its moves led; only actions write it. `is_restorative` follows from the method.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="work_orders"
    )
    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="work_orders"
    )
    sweeper = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="orders_to_sweep",
        verbose_name="firm that does it",
    )
    crew = models.ForeignKey(
        "registry.Crew",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="work_orders",
        verbose_name="crew",
    )
    number = models.CharField("order no.", max_length=40)
    state = models.CharField(
        "state", max_length=12, choices=STATES, default="asked_for", editable=False
    )
    reason = models.CharField("reason", max_length=14, blank=True, choices=REASONS)
    because = models.CharField("reason in one line", max_length=240, blank=True)
    method = models.CharField("method", max_length=18, choices=CleaningMethod)
    covers_all = models.BooleanField("the whole pavement", default=True)
    rows_text = models.CharField("rows or panels, as written", max_length=240, blank=True)
    area_m2 = models.FloatField("area to do", null=True, blank=True)
    passes = models.PositiveSmallIntegerField("passes", null=True, blank=True)
    pattern = models.CharField("pattern", max_length=80, blank=True)
    must_be_dry = models.CharField("must be dry", max_length=3, blank=True, choices=Answer)
    lowest_c = models.FloatField("lowest temperature", null=True, blank=True)
    do_not = models.JSONField("do not", default=list, blank=True)
    asked_by = models.CharField("asked by", max_length=160)
    asked_on = models.DateField("asked on")
    approved_by = models.CharField("approved by", max_length=160, blank=True)
    approved_on = models.DateField("approved on", null=True, blank=True)
    earliest_on = models.DateField("earliest day", null=True, blank=True)
    earliest_why = models.CharField("earliest day because", max_length=200, blank=True)
    latest_on = models.DateField("latest day", null=True, blank=True)
    latest_why = models.CharField("latest day because", max_length=200, blank=True)
    dated_for = models.DateField("dated for", null=True, blank=True)
    starts_at = models.DateTimeField("to begin at", null=True, blank=True)
    is_pinned = models.BooleanField("day and crew are pinned", default=False)
    cars_out_by = models.CharField("cars out by", max_length=80, blank=True)
    notice_posted_at = models.DateTimeField("notice posted", null=True, blank=True)
    contact = models.CharField("contact, phone", max_length=160, blank=True)
    edges_h = models.FloatField("hand edges, hours", null=True, blank=True)
    set_up_h = models.FloatField("set-up, hours", null=True, blank=True)
    dump_and_water_h = models.FloatField("dump and water, hours", null=True, blank=True)
    efficiency = models.FloatField("share of time at work here, 0 to 1", null=True, blank=True)
    people_needed = models.PositiveSmallIntegerField("people needed", null=True, blank=True)
    licence_needed = models.CharField("licence needed", max_length=80, blank=True)
    dump_place = models.ForeignKey(
        "registry.DumpPlace",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="work_orders",
        verbose_name="dump or decant place",
    )
    water_point = models.ForeignKey(
        "registry.WaterPoint",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="work_orders",
        verbose_name="water point",
    )
    before_spots: models.ManyToManyField = models.ManyToManyField(
        "registry.Spot", blank=True, related_name="orders_before"
    )
    after_spots: models.ManyToManyField = models.ManyToManyField(
        "registry.Spot", blank=True, related_name="orders_after"
    )
    after_test_due_on = models.DateField("after-test due by", null=True, blank=True)
    price_agreed = models.DecimalField(
        "price agreed", max_digits=12, decimal_places=2, null=True, blank=True
    )
    price_basis = models.CharField("price is", max_length=8, blank=True, choices=PRICE_BASES)
    invoice = models.CharField("invoice no.", max_length=80, blank=True)
    submitted_on = models.DateField("sent to the municipality on", null=True, blank=True)

    objects = WorkOrderQuerySet.as_manager()

    class Meta:
        ordering = ("-asked_on", "-pk")
        indexes = (
            models.Index(fields=("pavement", "state")),
            models.Index(fields=("crew", "dated_for")),
        )
        constraints = (
            void_has_reason("work_order"),
            models.UniqueConstraint(
                fields=("organisation", "number"),
                condition=Q(void_at__isnull=True),
                name="work_order_number_once_in_an_organisation",
            ),
            models.CheckConstraint(
                name="work_order_amounts_are_not_negative",
                condition=(Q(area_m2__isnull=True) | Q(area_m2__gt=0))
                & (Q(edges_h__isnull=True) | Q(edges_h__gte=0))
                & (Q(set_up_h__isnull=True) | Q(set_up_h__gte=0))
                & (Q(dump_and_water_h__isnull=True) | Q(dump_and_water_h__gte=0))
                & (Q(price_agreed__isnull=True) | Q(price_agreed__gte=0)),
            ),
            models.CheckConstraint(
                name="work_order_efficiency_is_a_share",
                condition=Q(efficiency__isnull=True) | Q(efficiency__gt=0, efficiency__lte=1),
            ),
            models.CheckConstraint(
                name="work_order_latest_day_is_not_before_the_earliest",
                condition=Q(latest_on__isnull=True)
                | Q(earliest_on__isnull=True)
                | Q(latest_on__gte=models.F("earliest_on")),
            ),
            models.CheckConstraint(
                name="work_order_dated_has_a_day",
                condition=~Q(state="dated") | Q(dated_for__isnull=False),
            ),
        )

    def __str__(self) -> str:
        return self.number

    def clean(self) -> None:
        """Refuse a crew, dump place or water point of a firm that does not sweep here."""
        firms = {self.organisation_id, self.sweeper_id}
        chosen_ones = (
            ("crew", self.crew),
            ("dump or decant place", self.dump_place),
            ("water point", self.water_point),
        )
        for word, chosen in chosen_ones:
            if chosen is not None and chosen.organisation_id not in firms:
                raise ValidationError(f"The {word} is of another firm than the one that sweeps.")

    @property
    def is_restorative(self) -> bool:
        """Say whether it is meant to bring the rate back."""
        return self.method in RESTORATIVE

    @property
    def method_class(self) -> str:
        """Return which of the four methods of the figures this counts as, or an empty string."""
        return CLASS_OF[self.method]

    @property
    def is_open(self) -> bool:
        """Say whether the sweeping is still to be done or given up."""
        return self.state in OPEN

    @property
    def do_not_in_words(self) -> list[str]:
        """Return what the order forbids, in words."""
        return [DO_NOT[code] for code in self.do_not]


class OrderedPanel(models.Model):
    """A panel that an order asks to be swept; `is_twice` asks for twice the passes."""

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="panels")
    panel = models.ForeignKey("registry.Panel", on_delete=models.PROTECT, related_name="ordered")
    is_twice = models.BooleanField("twice", default=False)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("order", "panel"), name="ordered_panel_once"),
        )

    def __str__(self) -> str:
        return f"{self.panel}{' (twice)' if self.is_twice else ''}"
