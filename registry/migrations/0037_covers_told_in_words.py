"""Strips, breaks, uncovers and early loads may be told in words alone where no panels are drawn."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("registry", "0036_rain_and_run_off_at_a_visit")]

    operations = [
        migrations.AlterField(
            model_name=name,
            name="panels",
            field=models.JSONField(blank=True, default=list, verbose_name="panels"),
        )
        for name in ("cover", "coverbreak", "uncover", "earlyload")
    ]
