"""An extent by a card lying anywhere has no place on the plan."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("registry", "0016_corrections_that_wait")]

    operations = [
        migrations.AlterField(
            model_name="photoextent",
            name="on_plan",
            field=models.JSONField(
                blank=True,
                default=list,
                verbose_name="outline on the plan, [[right_m, up_m], ...]",
            ),
        ),
    ]
