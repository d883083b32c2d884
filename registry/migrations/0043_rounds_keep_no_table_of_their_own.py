from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0042_rounds_share_their_table"),
    ]

    operations = [
        migrations.RemoveField(model_name="round", name="travel_table"),
    ]
