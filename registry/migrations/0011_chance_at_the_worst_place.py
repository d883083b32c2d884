"""Keep beside each outlook's chance the one at its worst place, and fill it in from the spots."""

from django.db import migrations, models


def fill_in(apps, schema_editor):
    Outlook = apps.get_model("registry", "Outlook")
    changed = []
    for row in Outlook.objects.only("p_below", "spots").iterator(chunk_size=500):
        known = [] if row.p_below is None else [(row.p_below, "")]
        known += [
            (spot["p_below"], spot["name"])
            for spot in row.spots
            if spot.get("p_below") is not None and not spot.get("why_not")
        ]
        if known:
            row.worst_p_below, row.worst_place = max(known, key=lambda one: one[0])
            changed.append(row)
        if len(changed) == 500:
            Outlook.objects.bulk_update(changed, ["worst_p_below", "worst_place"])
            changed = []
    Outlook.objects.bulk_update(changed, ["worst_p_below", "worst_place"])


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0010_prices_of_cleaning"),
    ]

    operations = [
        migrations.AddField(
            model_name="outlook",
            name="worst_p_below",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="outlook",
            name="worst_place",
            field=models.CharField(blank=True, max_length=60),
        ),
        migrations.RunPython(fill_in, migrations.RunPython.noop),
        migrations.RemoveIndex(
            model_name="outlook",
            name="registry_ou_p_below_8aa9af_idx",
        ),
        migrations.AddIndex(
            model_name="outlook",
            index=models.Index(fields=["worst_p_below"], name="outlook_worst_p_below"),
        ),
        migrations.AddConstraint(
            model_name="outlook",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("p_below__isnull", True),
                    models.Q(
                        ("worst_p_below__gte", models.F("p_below")),
                        ("worst_p_below__isnull", False),
                    ),
                    _connector="OR",
                ),
                name="outlook_worst_chance_is_no_less",
            ),
        ),
        migrations.AddConstraint(
            model_name="outlook",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("worst_p_below__isnull", True),
                    models.Q(("worst_p_below__gte", 0), ("worst_p_below__lte", 1)),
                    _connector="OR",
                ),
                name="outlook_worst_chance_is_a_share",
            ),
        ),
    ]
