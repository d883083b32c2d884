"""The share of the time in which a machine works at the site of an order."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0019_work_orders_crews_and_places"),
    ]

    operations = [
        migrations.AddField(
            model_name="workorder",
            name="efficiency",
            field=models.FloatField(
                blank=True, null=True, verbose_name="share of time at work here, 0 to 1"
            ),
        ),
        migrations.AddConstraint(
            model_name="workorder",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("efficiency__isnull", True),
                    models.Q(("efficiency__gt", 0), ("efficiency__lte", 1)),
                    _connector="OR",
                ),
                name="work_order_efficiency_is_a_share",
            ),
        ),
    ]
