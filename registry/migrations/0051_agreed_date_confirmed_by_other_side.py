"""A new date for a step counts once the other side confirms it; those on record wait for that."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0050_limits_of_the_work"),
    ]

    operations = [
        migrations.RemoveConstraint(
            model_name="agreeddate",
            name="agreed_date_once_a_step",
        ),
        migrations.AddField(
            model_name="agreeddate",
            name="confirmed_as",
            field=models.CharField(blank=True, editable=False, max_length=120),
        ),
        migrations.AddField(
            model_name="agreeddate",
            name="confirmed_at",
            field=models.DateTimeField(blank=True, editable=False, null=True),
        ),
        migrations.AddField(
            model_name="agreeddate",
            name="confirmed_by",
            field=models.ForeignKey(
                blank=True,
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to=settings.AUTH_USER_MODEL,
            ),
        ),
        migrations.AddField(
            model_name="agreeddate",
            name="confirmed_for",
            field=models.ForeignKey(
                blank=True,
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="registry.organisation",
            ),
        ),
        migrations.AddConstraint(
            model_name="agreeddate",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    models.Q(("confirmed_at__isnull", True), ("confirmed_for__isnull", True)),
                    models.Q(("confirmed_at__isnull", False), ("confirmed_for__isnull", False)),
                    _connector="OR",
                ),
                name="agreed_date_confirmed_by_a_side",
            ),
        ),
        migrations.AddConstraint(
            model_name="agreeddate",
            constraint=models.UniqueConstraint(
                condition=models.Q(
                    ("confirmed_at__isnull", True),
                    ("double_of__isnull", True),
                    ("void_at__isnull", True),
                ),
                fields=("callback", "step"),
                name="agreed_date_open_once_a_step",
            ),
        ),
    ]
