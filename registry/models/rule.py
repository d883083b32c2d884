"""Settings of the rules: each has an owner (permit, contract, house rule) and dates."""

from django.db import models

from registry.models.entry import DatedQuerySet, Entry, from_before_to, void_has_reason


class RuleName(models.TextChoices):
    """Rules that an organisation may set otherwise than the house does."""

    LOOK_BACK_MONTHS = "look_back_months", "readings count for, months"
    WATCH_FACTOR = "watch_factor", "watch below this many times the action level"
    WATCH_YEARS_LEFT = "watch_years_left", "watch where fewer years are left"
    WATCH_RESERVE_PERCENT = "watch_reserve_percent", "watch where the reserve is under, %"
    FLOOR_MM_H = "floor_mm_h", "floor of the action level"
    FACTOR = "factor", "factor on the required rate"


class RuleSetting(Entry):
    """One threshold that an organisation sets for its pavements, from and to a day."""

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="rule_settings"
    )
    pavement = models.ForeignKey(
        "registry.Pavement",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="rule_settings",
    )
    name = models.CharField("rule", max_length=24, choices=RuleName)
    value = models.FloatField("value")
    source_document = models.CharField("permit, contract or house rule", max_length=200)
    from_on = models.DateField("from", null=True, blank=True)
    to_on = models.DateField("to", null=True, blank=True)

    objects = DatedQuerySet.as_manager()

    class Meta:
        constraints = (void_has_reason("rule_setting"), from_before_to("rule_setting"))

    def __str__(self) -> str:
        return f"{self.get_name_display()} {self.value}"
