"""Limits of the work that a permit, contract or house rule may set otherwise."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0049_spreadsheets_begun_in_vain"),
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
                    ("floor_mm_h", "floor of the action level"),
                    ("factor", "factor on the required rate"),
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
