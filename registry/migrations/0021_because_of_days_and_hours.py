"""A reason of an entry has a name of its own, apart from the reason of its correction."""

from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("registry", "0020_share_of_time_at_work_at_an_order")]

    operations = [
        migrations.RenameField("crewholiday", "why", "because"),
        migrations.RenameField("extrashift", "why", "because"),
        migrations.RenameField("sitewindow", "why", "because"),
    ]
