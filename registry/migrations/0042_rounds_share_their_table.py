from django.db import migrations


def share_tables(apps, schema_editor):
    """Move the table of each round into a row of its own; rounds made from one another share it."""
    Round = apps.get_model("registry", "Round")
    TravelTable = apps.get_model("registry", "TravelTable")
    rows = Round.objects.filter(travel_table__isnull=False).order_by("pk")
    for pk, made_from in list(rows.values_list("pk", "made_from")):
        row = Round.objects.only("travel_table").get(pk=pk)
        before = Round.objects.filter(pk=made_from, travel__isnull=False).first()
        if before is not None and before.travel_table == row.travel_table:
            table = before.travel
        else:
            table = TravelTable.objects.create(rows=row.travel_table, times=len(row.travel_table))
        Round.objects.filter(pk=pk).update(travel=table)


def copy_back(apps, schema_editor):
    Round = apps.get_model("registry", "Round")
    for row in Round.objects.filter(travel__isnull=False).select_related("travel").iterator():
        Round.objects.filter(pk=row.pk).update(travel_table=row.travel.rows)


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0041_tables_of_driving_times"),
    ]

    operations = [
        migrations.RunPython(share_tables, copy_back),
    ]
