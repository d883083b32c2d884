from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("registry", "0005_seat_open_once_on_every_database")]

    operations = [
        migrations.AlterField(
            model_name="pavement",
            name="state",
            field=models.CharField(
                choices=[
                    ("planned", "planned"),
                    ("placed", "placed"),
                    ("curing", "curing"),
                    ("in_service", "in service"),
                    ("closed_in_part", "closed in part"),
                    ("closed", "closed"),
                    ("removed", "removed"),
                    ("split", "split into parts"),
                ],
                default="in_service",
                max_length=14,
                verbose_name="state",
            ),
        ),
    ]
