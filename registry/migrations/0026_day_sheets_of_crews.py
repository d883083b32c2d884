"""A kind of sheet of its own for a crew's day, and whose crew it was printed for."""

import django.db.models.deletion
from django.db import migrations, models

KINDS = [
    ("inspection", "inspection sheet"),
    ("infiltration", "infiltration test sheet"),
    ("sweep", "sweep work order"),
    ("dossier", "callback dossier"),
    ("statement", "annual condition statement"),
    ("handover", "hand-over certificate"),
    ("load", "load sheet"),
    ("cover", "cover walk card"),
    ("day", "crew's day sheet"),
]


class Migration(migrations.Migration):
    dependencies = [("registry", "0025_calendar_feeds")]

    operations = [
        migrations.AddField(
            model_name="printedsheet",
            name="crew",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="printed_sheets",
                to="registry.crew",
                verbose_name="crew, of a day sheet",
            ),
        ),
        migrations.AlterField(
            model_name="printedsheet",
            name="kind",
            field=models.CharField(choices=KINDS, max_length=12, verbose_name="kind"),
        ),
        migrations.AlterField(
            model_name="sheetcounter",
            name="kind",
            field=models.CharField(choices=KINDS, max_length=12, unique=True),
        ),
    ]
