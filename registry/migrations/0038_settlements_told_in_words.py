"""A line of a settlement may be told in words alone where no panels are drawn."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("registry", "0037_covers_told_in_words")]

    operations = [
        migrations.AlterField(
            model_name="settlementline",
            name="panels",
            field=models.JSONField(blank=True, default=list, verbose_name="panels"),
        )
    ]
