"""Open defects of a pavement that is split go on as defects of its parts and point back."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0026_day_sheets_of_crews"),
    ]

    operations = [
        migrations.AddField(
            model_name="defect",
            name="carried_from",
            field=models.ForeignKey(
                blank=True,
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="carried_to",
                to="registry.defect",
            ),
        ),
        migrations.AddField(
            model_name="defect",
            name="carried_on",
            field=models.DateField(
                blank=True, null=True, verbose_name="carried on at the split of"
            ),
        ),
        migrations.AddField(
            model_name="observation",
            name="carried_from",
            field=models.ForeignKey(
                blank=True,
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="carried_to",
                to="registry.observation",
            ),
        ),
        migrations.AlterField(
            model_name="defect",
            name="state",
            field=models.CharField(
                choices=[
                    ("noted", "noted"),
                    ("confirmed", "confirmed"),
                    ("watching", "watching"),
                    ("repair_ordered", "repair ordered"),
                    ("made_safe", "made safe"),
                    ("repaired", "repaired"),
                    ("sound", "sound at next visit"),
                    ("closed", "closed"),
                    ("no_action", "no action"),
                    ("not_found_once", "not found (once)"),
                    ("not_found_closed", "not found twice, closed"),
                    ("part_of", "part of another defect"),
                    ("removed", "removed with panel"),
                    ("carried_on", "carried on at a part"),
                ],
                default="noted",
                max_length=16,
                verbose_name="state",
            ),
        ),
        migrations.AlterField(
            model_name="defectmove",
            name="from_state",
            field=models.CharField(
                blank=True,
                choices=[
                    ("noted", "noted"),
                    ("confirmed", "confirmed"),
                    ("watching", "watching"),
                    ("repair_ordered", "repair ordered"),
                    ("made_safe", "made safe"),
                    ("repaired", "repaired"),
                    ("sound", "sound at next visit"),
                    ("closed", "closed"),
                    ("no_action", "no action"),
                    ("not_found_once", "not found (once)"),
                    ("not_found_closed", "not found twice, closed"),
                    ("part_of", "part of another defect"),
                    ("removed", "removed with panel"),
                    ("carried_on", "carried on at a part"),
                ],
                max_length=16,
            ),
        ),
        migrations.AlterField(
            model_name="defectmove",
            name="to_state",
            field=models.CharField(
                choices=[
                    ("noted", "noted"),
                    ("confirmed", "confirmed"),
                    ("watching", "watching"),
                    ("repair_ordered", "repair ordered"),
                    ("made_safe", "made safe"),
                    ("repaired", "repaired"),
                    ("sound", "sound at next visit"),
                    ("closed", "closed"),
                    ("no_action", "no action"),
                    ("not_found_once", "not found (once)"),
                    ("not_found_closed", "not found twice, closed"),
                    ("part_of", "part of another defect"),
                    ("removed", "removed with panel"),
                    ("carried_on", "carried on at a part"),
                ],
                max_length=16,
            ),
        ),
        migrations.AddConstraint(
            model_name="defect",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("carried_from__isnull", True), ("carried_on__isnull", True)),
                    models.Q(("carried_from__isnull", False), ("carried_on__isnull", False)),
                    _connector="OR",
                ),
                name="defect_carried_on_says_from_where_and_when",
            ),
        ),
    ]
