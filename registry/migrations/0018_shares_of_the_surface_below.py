"""The share of the surface below the action level at the run-on edge, and of the whole."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("registry", "0017_photo_extents_that_lie_nowhere")]

    operations = [
        migrations.AddField(
            model_name="outlook",
            name="edge_share_below",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="outlook",
            name="edge_share_below_low",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="outlook",
            name="edge_share_below_high",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="outlook",
            name="whole_share_below",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="outlook",
            name="whole_share_below_low",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="outlook",
            name="whole_share_below_high",
            field=models.FloatField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name="outlook",
            name="whole_share_why_not",
            field=models.CharField(blank=True, max_length=200),
        ),
    ]
