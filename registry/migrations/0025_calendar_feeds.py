"""Addresses by which other programs subscribe to a calendar."""

import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("registry", "0024_what_is_due")]

    operations = [
        migrations.CreateModel(
            name="CalendarFeed",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "secret_digest",
                    models.CharField(editable=False, max_length=64, unique=True),
                ),
                (
                    "made_at",
                    models.DateTimeField(default=django.utils.timezone.now, editable=False),
                ),
                (
                    "revoked_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="taken back"),
                ),
                (
                    "last_fetched_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="last fetched"),
                ),
                ("window_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("fetches", models.PositiveIntegerField(default=0, editable=False)),
                (
                    "crew",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="calendar_feeds",
                        to="registry.crew",
                        verbose_name="crew",
                    ),
                ),
                (
                    "made_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="calendar_feeds",
                        to="registry.organisation",
                    ),
                ),
            ],
            options={
                "ordering": ("-made_at", "-pk"),
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("crew__isnull", True), ("revoked_at__isnull", True)),
                        fields=("organisation",),
                        name="calendar_feed_open_once_an_organisation",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("crew__isnull", False), ("revoked_at__isnull", True)),
                        fields=("crew",),
                        name="calendar_feed_open_once_a_crew",
                    ),
                ],
            },
        ),
    ]
