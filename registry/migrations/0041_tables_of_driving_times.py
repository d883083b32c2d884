import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0040_prices_say_their_currency"),
    ]

    operations = [
        migrations.CreateModel(
            name="TravelTable",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("rows", models.JSONField(default=list, verbose_name="minutes of driving")),
                (
                    "times",
                    models.PositiveIntegerField(default=0, verbose_name="number of times"),
                ),
            ],
        ),
        migrations.AddField(
            model_name="round",
            name="travel",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="rounds",
                to="registry.traveltable",
                verbose_name="table of driving times",
            ),
        ),
        migrations.AlterField(
            model_name="roundleftout",
            name="words",
            field=models.TextField(verbose_name="in words"),
        ),
    ]
