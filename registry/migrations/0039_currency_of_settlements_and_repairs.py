"""Lines of a settlement and prices of a repair say their currency; older ones stay without."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("registry", "0038_settlements_told_in_words")]

    operations = [
        migrations.AddField(
            model_name=name,
            name="currency",
            field=models.CharField(
                blank=True, default="", max_length=8, verbose_name="currency of the price"
            ),
        )
        for name in ("settlementline", "repair")
    ]
