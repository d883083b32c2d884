"""Thresholds of the condition word that a permit, contract or house rule may set otherwise.

Floor and factor of the action level are no settings: each set of criteria has its own, with its
document and days. Nobody could enter them here.
"""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0051_agreed_date_confirmed_by_other_side"),
    ]

    operations = [
        migrations.AlterField(
            model_name="rulesetting",
            name="name",
            field=models.CharField(
                choices=[
                    ("look_back_months", "readings count for, months"),
                    ("watch_factor", "watch below this many times the action level"),
                    ("watch_years_left", "watch where fewer years are left"),
                    ("watch_reserve_percent", "watch where the reserve is under, %"),
                    ("watch_test_months", "after watch, test again in, months"),
                    ("back_below_months", "restore where back below its level within, months"),
                    ("dry_h", "dry work after the end of rain, hours"),
                    ("lowest_wash_c", "no wash below, temperature"),
                    ("frost_c", "frost is a day that goes down to, temperature"),
                    ("wash_after_placing_days", "first wash after placing, days"),
                    ("after_sand_days", "sweep after the last sand within, days"),
                    ("after_test_days", "dry day for the after-test within, days"),
                ],
                max_length=24,
                verbose_name="rule",
            ),
        ),
    ]
