"""Keep with each fit its residuals, counted in cells, for the picture on its page."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0012_defects_visits_and_photos"),
    ]

    operations = [
        migrations.AddField(
            model_name="fit",
            name="residuals",
            field=models.JSONField(null=True, verbose_name="residuals counted in cells"),
        ),
    ]
