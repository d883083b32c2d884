"""Settings of the rules: each has an owner (permit, contract, house rule) and dates."""

from datetime import date

from django.db import models

from registry.models.entry import DatedQuerySet, Entry, from_before_to, void_has_reason


class RuleName(models.TextChoices):
    """Rules that an organisation may set otherwise than the house does."""

    LOOK_BACK_MONTHS = "look_back_months", "readings count for, months"
    WATCH_FACTOR = "watch_factor", "watch below this many times the action level"
    WATCH_YEARS_LEFT = "watch_years_left", "watch where fewer years are left"
    WATCH_RESERVE_PERCENT = "watch_reserve_percent", "watch where the reserve is under, %"
    WATCH_TEST_MONTHS = "watch_test_months", "after watch, test again in, months"
    BACK_BELOW_MONTHS = "back_below_months", "restore where back below its level within, months"
    DRY_H = "dry_h", "dry work after the end of rain, hours"
    LOWEST_WASH_C = "lowest_wash_c", "no wash below, temperature"
    FROST_C = "frost_c", "frost is a day that goes down to, temperature"
    WASH_AFTER_PLACING_DAYS = "wash_after_placing_days", "first wash after placing, days"
    AFTER_SAND_DAYS = "after_sand_days", "sweep after the last sand within, days"
    AFTER_TEST_DAYS = "after_test_days", "dry day for the after-test within, days"


WORK_LIMITS = (
    RuleName.DRY_H,
    RuleName.LOWEST_WASH_C,
    RuleName.FROST_C,
    RuleName.WASH_AFTER_PLACING_DAYS,
    RuleName.AFTER_SAND_DAYS,
    RuleName.AFTER_TEST_DAYS,
)
"""Limits of a sweep, by the names that the rules of planning give them."""
WORD_LIMITS = (
    RuleName.LOOK_BACK_MONTHS,
    RuleName.WATCH_FACTOR,
    RuleName.WATCH_YEARS_LEFT,
    RuleName.WATCH_RESERVE_PERCENT,
    RuleName.WATCH_TEST_MONTHS,
    RuleName.BACK_BELOW_MONTHS,
)
"""Thresholds of the condition word, by the names that the rule of the word gives them."""
TEMPERATURES = frozenset({RuleName.LOWEST_WASH_C, RuleName.FROST_C})


class RuleSetting(Entry):
    """One threshold that an organisation sets for its pavements, from and to a day.

    `value` is in hours, days, months, years, percent or degrees Celsius, as its name says.
    """

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

    def holds_on(self, day: date) -> bool:
        """Say whether the setting holds on a day: from its first day up to its end."""
        begun = self.from_on is None or self.from_on <= day
        return begun and (self.to_on is None or day < self.to_on)

    def shares_a_day(self, from_on: date | None, to_on: date | None) -> bool:
        """Say whether a span, up to and without its end, has a day on which the setting holds."""
        before = self.to_on is not None and from_on is not None and self.to_on <= from_on
        after = to_on is not None and self.from_on is not None and to_on <= self.from_on
        return not (before or after)

    def __str__(self) -> str:
        return f"{self.get_name_display()} {self.value}"
