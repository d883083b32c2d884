"""Work orders with their moves; crews, machines, places, hours of sites and seasons."""

import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0018_shares_of_the_surface_below"),
    ]

    operations = [
        migrations.AddField(
            model_name="cleaning",
            name="not_done_by",
            field=models.CharField(
                blank=True, max_length=160, verbose_name="turned away or called off by"
            ),
        ),
        migrations.AddField(
            model_name="site",
            name="hose_m",
            field=models.FloatField(blank=True, null=True, verbose_name="hose needed to reach"),
        ),
        migrations.AddField(
            model_name="site",
            name="turning_m",
            field=models.FloatField(blank=True, null=True, verbose_name="room to turn"),
        ),
        migrations.AddField(
            model_name="site",
            name="way_in_width_m",
            field=models.FloatField(blank=True, null=True, verbose_name="narrowest way in"),
        ),
        migrations.CreateModel(
            name="Depot",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("as_written", models.JSONField(blank=True, default=dict)),
                ("empties", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, verbose_name="remark")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("form", "typed in here"),
                            ("paper", "paper sheet"),
                            ("phone", "phone"),
                            ("letter", "letter"),
                            ("import", "spreadsheet"),
                            ("memory", "from memory"),
                        ],
                        default="form",
                        max_length=8,
                    ),
                ),
                (
                    "source_note",
                    models.CharField(blank=True, max_length=200, verbose_name="source, in words"),
                ),
                (
                    "sheet_number",
                    models.CharField(blank=True, max_length=20, verbose_name="sheet number"),
                ),
                (
                    "written_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="when it was written down"
                    ),
                ),
                (
                    "entered_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now,
                        editable=False,
                        verbose_name="when it came in",
                    ),
                ),
                ("void_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("void_why", models.CharField(blank=True, editable=False, max_length=300)),
                ("name", models.CharField(max_length=120, verbose_name="name")),
                ("address", models.CharField(blank=True, max_length=240, verbose_name="address")),
                ("lon", models.FloatField(blank=True, null=True, verbose_name="longitude")),
                ("lat", models.FloatField(blank=True, null=True, verbose_name="latitude")),
                (
                    "hours",
                    models.JSONField(blank=True, default=list, verbose_name="open, days and hours"),
                ),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.depot",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "entered_for",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "import_batch",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.importbatch",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="registry.organisation",
                    ),
                ),
                (
                    "void_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("name", "pk"),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="depot_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("lat__isnull", True), ("lon__isnull", True)),
                            models.Q(
                                ("lat__gte", -90),
                                ("lat__isnull", False),
                                ("lat__lte", 90),
                                ("lon__gte", -180),
                                ("lon__isnull", False),
                                ("lon__lte", 180),
                            ),
                            _connector="OR",
                        ),
                        name="depot_position_is_whole_and_on_earth",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("void_at__isnull", True)),
                        fields=("organisation", "name"),
                        name="depot_name_once_in_an_organisation",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Crew",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("as_written", models.JSONField(blank=True, default=dict)),
                ("empties", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, verbose_name="remark")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("form", "typed in here"),
                            ("paper", "paper sheet"),
                            ("phone", "phone"),
                            ("letter", "letter"),
                            ("import", "spreadsheet"),
                            ("memory", "from memory"),
                        ],
                        default="form",
                        max_length=8,
                    ),
                ),
                (
                    "source_note",
                    models.CharField(blank=True, max_length=200, verbose_name="source, in words"),
                ),
                (
                    "sheet_number",
                    models.CharField(blank=True, max_length=20, verbose_name="sheet number"),
                ),
                (
                    "written_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="when it was written down"
                    ),
                ),
                (
                    "entered_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now,
                        editable=False,
                        verbose_name="when it came in",
                    ),
                ),
                ("void_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("void_why", models.CharField(blank=True, editable=False, max_length=300)),
                ("name", models.CharField(max_length=80, verbose_name="crew")),
                ("people", models.PositiveSmallIntegerField(default=2, verbose_name="people")),
                (
                    "shifts",
                    models.JSONField(
                        blank=True, default=list, verbose_name="working days and shift"
                    ),
                ),
                ("breaks", models.JSONField(blank=True, default=list, verbose_name="breaks")),
                (
                    "licences",
                    models.JSONField(blank=True, default=list, verbose_name="licences held"),
                ),
                (
                    "licence_hours",
                    models.FloatField(
                        blank=True, null=True, verbose_name="most hours of work in a shift"
                    ),
                ),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.crew",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "entered_for",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "import_batch",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.importbatch",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="crews",
                        to="registry.organisation",
                    ),
                ),
                (
                    "void_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "depot",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="crews",
                        to="registry.depot",
                    ),
                ),
            ],
            options={
                "ordering": ("name", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="crew_void_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("void_at__isnull", True)),
                        fields=("organisation", "name"),
                        name="crew_name_once_in_an_organisation",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("people__gt", 0)), name="crew_has_people"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("licence_hours__isnull", True),
                            models.Q(("licence_hours__gt", 0), ("licence_hours__lte", 24)),
                            _connector="OR",
                        ),
                        name="crew_hours_are_of_a_day",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="DumpPlace",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("as_written", models.JSONField(blank=True, default=dict)),
                ("empties", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, verbose_name="remark")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("form", "typed in here"),
                            ("paper", "paper sheet"),
                            ("phone", "phone"),
                            ("letter", "letter"),
                            ("import", "spreadsheet"),
                            ("memory", "from memory"),
                        ],
                        default="form",
                        max_length=8,
                    ),
                ),
                (
                    "source_note",
                    models.CharField(blank=True, max_length=200, verbose_name="source, in words"),
                ),
                (
                    "sheet_number",
                    models.CharField(blank=True, max_length=20, verbose_name="sheet number"),
                ),
                (
                    "written_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="when it was written down"
                    ),
                ),
                (
                    "entered_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now,
                        editable=False,
                        verbose_name="when it came in",
                    ),
                ),
                ("void_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("void_why", models.CharField(blank=True, editable=False, max_length=300)),
                ("name", models.CharField(max_length=120, verbose_name="name")),
                ("address", models.CharField(blank=True, max_length=240, verbose_name="address")),
                ("lon", models.FloatField(blank=True, null=True, verbose_name="longitude")),
                ("lat", models.FloatField(blank=True, null=True, verbose_name="latitude")),
                (
                    "hours",
                    models.JSONField(blank=True, default=list, verbose_name="open, days and hours"),
                ),
                (
                    "takes_wash_water",
                    models.BooleanField(default=False, verbose_name="takes wash water (decant)"),
                ),
                (
                    "unloading_min",
                    models.FloatField(blank=True, null=True, verbose_name="minutes to unload"),
                ),
                ("permit", models.CharField(blank=True, max_length=120, verbose_name="permit no.")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.dumpplace",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "entered_for",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "import_batch",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.importbatch",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="registry.organisation",
                    ),
                ),
                (
                    "void_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("name", "pk"),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="dump_place_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("lat__isnull", True), ("lon__isnull", True)),
                            models.Q(
                                ("lat__gte", -90),
                                ("lat__isnull", False),
                                ("lat__lte", 90),
                                ("lon__gte", -180),
                                ("lon__isnull", False),
                                ("lon__lte", 180),
                            ),
                            _connector="OR",
                        ),
                        name="dump_place_position_is_whole_and_on_earth",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("void_at__isnull", True)),
                        fields=("organisation", "name"),
                        name="dump_place_name_once_in_an_organisation",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("unloading_min__isnull", True),
                            ("unloading_min__gt", 0),
                            _connector="OR",
                        ),
                        name="dump_place_takes_time",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ExtraShift",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("as_written", models.JSONField(blank=True, default=dict)),
                ("empties", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, verbose_name="remark")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("form", "typed in here"),
                            ("paper", "paper sheet"),
                            ("phone", "phone"),
                            ("letter", "letter"),
                            ("import", "spreadsheet"),
                            ("memory", "from memory"),
                        ],
                        default="form",
                        max_length=8,
                    ),
                ),
                (
                    "source_note",
                    models.CharField(blank=True, max_length=200, verbose_name="source, in words"),
                ),
                (
                    "sheet_number",
                    models.CharField(blank=True, max_length=20, verbose_name="sheet number"),
                ),
                (
                    "written_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="when it was written down"
                    ),
                ),
                (
                    "entered_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now,
                        editable=False,
                        verbose_name="when it came in",
                    ),
                ),
                ("void_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("void_why", models.CharField(blank=True, editable=False, max_length=300)),
                ("on", models.DateField(verbose_name="day")),
                ("from_clock", models.TimeField(verbose_name="from")),
                ("to_clock", models.TimeField(verbose_name="to")),
                ("why", models.CharField(blank=True, max_length=160, verbose_name="why")),
                (
                    "crew",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="extra_shifts",
                        to="registry.crew",
                    ),
                ),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.extrashift",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "entered_for",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "import_batch",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.importbatch",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="extra_shifts",
                        to="registry.organisation",
                    ),
                ),
                (
                    "void_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="extra_shift_void_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("void_at__isnull", True)),
                        fields=("crew", "on"),
                        name="extra_shift_once_a_day",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Machine",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("as_written", models.JSONField(blank=True, default=dict)),
                ("empties", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, verbose_name="remark")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("form", "typed in here"),
                            ("paper", "paper sheet"),
                            ("phone", "phone"),
                            ("letter", "letter"),
                            ("import", "spreadsheet"),
                            ("memory", "from memory"),
                        ],
                        default="form",
                        max_length=8,
                    ),
                ),
                (
                    "source_note",
                    models.CharField(blank=True, max_length=200, verbose_name="source, in words"),
                ),
                (
                    "sheet_number",
                    models.CharField(blank=True, max_length=20, verbose_name="sheet number"),
                ),
                (
                    "written_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="when it was written down"
                    ),
                ),
                (
                    "entered_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now,
                        editable=False,
                        verbose_name="when it came in",
                    ),
                ),
                ("void_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("void_why", models.CharField(blank=True, editable=False, max_length=300)),
                (
                    "name",
                    models.CharField(max_length=120, verbose_name="machine, own name or number"),
                ),
                ("methods", models.JSONField(default=list, verbose_name="methods it can do")),
                (
                    "head_width_m",
                    models.FloatField(blank=True, null=True, verbose_name="head width"),
                ),
                (
                    "speed_km_h",
                    models.FloatField(blank=True, null=True, verbose_name="speed at work"),
                ),
                (
                    "efficiency",
                    models.FloatField(
                        blank=True, null=True, verbose_name="share of time at work, 0 to 1"
                    ),
                ),
                ("hopper_m3", models.FloatField(blank=True, null=True, verbose_name="hopper")),
                (
                    "water_tank_l",
                    models.FloatField(blank=True, null=True, verbose_name="water tank"),
                ),
                (
                    "axle_kg",
                    models.FloatField(blank=True, null=True, verbose_name="heaviest axle, loaded"),
                ),
                ("height_m", models.FloatField(blank=True, null=True, verbose_name="height")),
                ("width_m", models.FloatField(blank=True, null=True, verbose_name="width")),
                (
                    "turning_m",
                    models.FloatField(blank=True, null=True, verbose_name="turning circle"),
                ),
                ("hose_m", models.FloatField(blank=True, null=True, verbose_name="hose reaches")),
                (
                    "keeps_wash_water",
                    models.BooleanField(default=False, verbose_name="takes its wash water along"),
                ),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.machine",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "entered_for",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "import_batch",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.importbatch",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="machines",
                        to="registry.organisation",
                    ),
                ),
                (
                    "void_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("name", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="machine_void_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("void_at__isnull", True)),
                        fields=("organisation", "name"),
                        name="machine_name_once_in_an_organisation",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("head_width_m__isnull", True),
                                ("head_width_m__gt", 0),
                                _connector="OR",
                            ),
                            models.Q(
                                ("speed_km_h__isnull", True), ("speed_km_h__gt", 0), _connector="OR"
                            ),
                            models.Q(
                                ("efficiency__isnull", True), ("efficiency__gt", 0), _connector="OR"
                            ),
                            models.Q(
                                ("hopper_m3__isnull", True), ("hopper_m3__gt", 0), _connector="OR"
                            ),
                            models.Q(
                                ("water_tank_l__isnull", True),
                                ("water_tank_l__gt", 0),
                                _connector="OR",
                            ),
                            models.Q(
                                ("axle_kg__isnull", True), ("axle_kg__gt", 0), _connector="OR"
                            ),
                            models.Q(
                                ("height_m__isnull", True), ("height_m__gt", 0), _connector="OR"
                            ),
                            models.Q(
                                ("width_m__isnull", True), ("width_m__gt", 0), _connector="OR"
                            ),
                            models.Q(
                                ("turning_m__isnull", True), ("turning_m__gt", 0), _connector="OR"
                            ),
                            models.Q(("hose_m__isnull", True), ("hose_m__gt", 0), _connector="OR"),
                        ),
                        name="machine_measures_are_positive",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("efficiency__isnull", True), ("efficiency__lte", 1), _connector="OR"
                        ),
                        name="machine_efficiency_is_a_share",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="crew",
            name="machine",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="crews",
                to="registry.machine",
            ),
        ),
        migrations.CreateModel(
            name="Season",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("as_written", models.JSONField(blank=True, default=dict)),
                ("empties", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, verbose_name="remark")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("form", "typed in here"),
                            ("paper", "paper sheet"),
                            ("phone", "phone"),
                            ("letter", "letter"),
                            ("import", "spreadsheet"),
                            ("memory", "from memory"),
                        ],
                        default="form",
                        max_length=8,
                    ),
                ),
                (
                    "source_note",
                    models.CharField(blank=True, max_length=200, verbose_name="source, in words"),
                ),
                (
                    "sheet_number",
                    models.CharField(blank=True, max_length=20, verbose_name="sheet number"),
                ),
                (
                    "written_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="when it was written down"
                    ),
                ),
                (
                    "entered_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now,
                        editable=False,
                        verbose_name="when it came in",
                    ),
                ),
                ("void_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("void_why", models.CharField(blank=True, editable=False, max_length=300)),
                (
                    "climate",
                    models.CharField(
                        default="cold, wet, leafy", max_length=80, verbose_name="climate"
                    ),
                ),
                ("name", models.CharField(max_length=80, verbose_name="season")),
                ("from_month", models.PositiveSmallIntegerField(verbose_name="from, month")),
                ("from_day", models.PositiveSmallIntegerField(verbose_name="from, day")),
                ("to_month", models.PositiveSmallIntegerField(verbose_name="to, month")),
                ("to_day", models.PositiveSmallIntegerField(verbose_name="to, day")),
                (
                    "methods",
                    models.JSONField(
                        blank=True, default=list, verbose_name="methods for this season"
                    ),
                ),
                (
                    "methods_not",
                    models.JSONField(
                        blank=True, default=list, verbose_name="methods not in this season"
                    ),
                ),
                ("to_do", models.CharField(blank=True, max_length=300, verbose_name="do")),
                ("not_to_do", models.CharField(blank=True, max_length=300, verbose_name="do not")),
                ("reason", models.CharField(blank=True, max_length=300, verbose_name="reason")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.season",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "entered_for",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "import_batch",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.importbatch",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="seasons",
                        to="registry.organisation",
                    ),
                ),
                (
                    "void_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("climate", "from_month", "from_day", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="season_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("from_month__range", (1, 12)),
                            ("to_month__range", (1, 12)),
                            ("from_day__range", (1, 31)),
                            ("to_day__range", (1, 31)),
                        ),
                        name="season_is_of_the_year",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="SiteWindow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("as_written", models.JSONField(blank=True, default=dict)),
                ("empties", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, verbose_name="remark")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("form", "typed in here"),
                            ("paper", "paper sheet"),
                            ("phone", "phone"),
                            ("letter", "letter"),
                            ("import", "spreadsheet"),
                            ("memory", "from memory"),
                        ],
                        default="form",
                        max_length=8,
                    ),
                ),
                (
                    "source_note",
                    models.CharField(blank=True, max_length=200, verbose_name="source, in words"),
                ),
                (
                    "sheet_number",
                    models.CharField(blank=True, max_length=20, verbose_name="sheet number"),
                ),
                (
                    "written_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="when it was written down"
                    ),
                ),
                (
                    "entered_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now,
                        editable=False,
                        verbose_name="when it came in",
                    ),
                ),
                ("void_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("void_why", models.CharField(blank=True, editable=False, max_length=300)),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("access", "crews may come"),
                            ("noise", "machines may be heard"),
                            ("closed", "closed to crews"),
                        ],
                        max_length=6,
                        verbose_name="what the hours are for",
                    ),
                ),
                ("hours", models.JSONField(default=list, verbose_name="days and hours")),
                ("why", models.CharField(blank=True, max_length=160, verbose_name="because")),
                ("from_on", models.DateField(blank=True, null=True, verbose_name="from")),
                ("to_on", models.DateField(blank=True, null=True, verbose_name="to")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.sitewindow",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "entered_for",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "import_batch",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.importbatch",
                    ),
                ),
                (
                    "pavement",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="windows",
                        to="registry.pavement",
                    ),
                ),
                (
                    "site",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="windows",
                        to="registry.site",
                    ),
                ),
                (
                    "void_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("kind", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="site_window_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("to_on__isnull", True),
                            ("from_on__isnull", True),
                            ("to_on__gt", models.F("from_on")),
                            _connector="OR",
                        ),
                        name="site_window_from_before_to",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WaterPoint",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("as_written", models.JSONField(blank=True, default=dict)),
                ("empties", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, verbose_name="remark")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("form", "typed in here"),
                            ("paper", "paper sheet"),
                            ("phone", "phone"),
                            ("letter", "letter"),
                            ("import", "spreadsheet"),
                            ("memory", "from memory"),
                        ],
                        default="form",
                        max_length=8,
                    ),
                ),
                (
                    "source_note",
                    models.CharField(blank=True, max_length=200, verbose_name="source, in words"),
                ),
                (
                    "sheet_number",
                    models.CharField(blank=True, max_length=20, verbose_name="sheet number"),
                ),
                (
                    "written_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="when it was written down"
                    ),
                ),
                (
                    "entered_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now,
                        editable=False,
                        verbose_name="when it came in",
                    ),
                ),
                ("void_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("void_why", models.CharField(blank=True, editable=False, max_length=300)),
                ("name", models.CharField(max_length=120, verbose_name="name")),
                ("address", models.CharField(blank=True, max_length=240, verbose_name="address")),
                ("lon", models.FloatField(blank=True, null=True, verbose_name="longitude")),
                ("lat", models.FloatField(blank=True, null=True, verbose_name="latitude")),
                (
                    "hours",
                    models.JSONField(blank=True, default=list, verbose_name="open, days and hours"),
                ),
                ("owner", models.CharField(blank=True, max_length=160, verbose_name="owner")),
                ("permit", models.CharField(blank=True, max_length=120, verbose_name="permit no.")),
                (
                    "permit_from_on",
                    models.DateField(blank=True, null=True, verbose_name="permit from"),
                ),
                (
                    "permit_last_on",
                    models.DateField(blank=True, null=True, verbose_name="permit's last day"),
                ),
                (
                    "flow_l_min",
                    models.FloatField(blank=True, null=True, verbose_name="flow a minute"),
                ),
                (
                    "filling_min",
                    models.FloatField(blank=True, null=True, verbose_name="minutes to fill"),
                ),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.waterpoint",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "entered_for",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "import_batch",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.importbatch",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="%(class)ss",
                        to="registry.organisation",
                    ),
                ),
                (
                    "void_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("name", "pk"),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="water_point_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("lat__isnull", True), ("lon__isnull", True)),
                            models.Q(
                                ("lat__gte", -90),
                                ("lat__isnull", False),
                                ("lat__lte", 90),
                                ("lon__gte", -180),
                                ("lon__isnull", False),
                                ("lon__lte", 180),
                            ),
                            _connector="OR",
                        ),
                        name="water_point_position_is_whole_and_on_earth",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("void_at__isnull", True)),
                        fields=("organisation", "name"),
                        name="water_point_name_once_in_an_organisation",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("flow_l_min__isnull", True), ("flow_l_min__gt", 0), _connector="OR"
                            ),
                            models.Q(
                                ("filling_min__isnull", True),
                                ("filling_min__gt", 0),
                                _connector="OR",
                            ),
                        ),
                        name="water_point_gives_water",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("permit_last_on__isnull", True),
                            ("permit_from_on__isnull", True),
                            ("permit_last_on__gte", models.F("permit_from_on")),
                            _connector="OR",
                        ),
                        name="water_point_permit_ends_after_it_begins",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WorkOrder",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("as_written", models.JSONField(blank=True, default=dict)),
                ("empties", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, verbose_name="remark")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("form", "typed in here"),
                            ("paper", "paper sheet"),
                            ("phone", "phone"),
                            ("letter", "letter"),
                            ("import", "spreadsheet"),
                            ("memory", "from memory"),
                        ],
                        default="form",
                        max_length=8,
                    ),
                ),
                (
                    "source_note",
                    models.CharField(blank=True, max_length=200, verbose_name="source, in words"),
                ),
                (
                    "sheet_number",
                    models.CharField(blank=True, max_length=20, verbose_name="sheet number"),
                ),
                (
                    "written_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="when it was written down"
                    ),
                ),
                (
                    "entered_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now,
                        editable=False,
                        verbose_name="when it came in",
                    ),
                ),
                ("void_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("void_why", models.CharField(blank=True, editable=False, max_length=300)),
                ("number", models.CharField(max_length=40, verbose_name="order no.")),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("asked_for", "asked for"),
                            ("approved", "approved"),
                            ("dated", "dated"),
                            ("done", "done"),
                            ("in_part", "done in part"),
                            ("turned_away", "turned away"),
                            ("called_off", "called off"),
                            ("checked", "checked"),
                            ("accepted", "accepted"),
                            ("to_redo", "to redo"),
                            ("billed", "billed"),
                            ("paid", "paid"),
                            ("dropped", "dropped"),
                        ],
                        default="asked_for",
                        editable=False,
                        max_length=12,
                        verbose_name="state",
                    ),
                ),
                (
                    "reason",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("spring", "routine, spring"),
                            ("autumn", "routine, autumn"),
                            ("leaf", "leaf"),
                            ("after_sand", "after sand"),
                            ("after_spill", "after spill"),
                            ("restorative", "restorative"),
                            ("before_test", "before test"),
                            ("permit", "permit asks for it"),
                            ("below_level", "below the action level, or soon"),
                        ],
                        max_length=14,
                        verbose_name="reason",
                    ),
                ),
                (
                    "because",
                    models.CharField(blank=True, max_length=240, verbose_name="reason in one line"),
                ),
                (
                    "method",
                    models.CharField(
                        choices=[
                            ("broom", "leaf blower and broom"),
                            ("walk_behind_vacuum", "walk-behind vacuum"),
                            ("regenerative_air", "regenerative-air sweeper"),
                            ("vacuum", "full vacuum sweeper"),
                            ("wash_then_vacuum", "pressure wash, then vacuum"),
                            ("wash_and_vacuum", "pressure wash and vacuum in one pass"),
                            ("air_and_vacuum", "compressed air and vacuum"),
                            ("brush_and_vacuum", "power brush with vacuum"),
                            ("hand_tools", "hand tools"),
                            ("joint_stone", "joint stone removed and refilled"),
                            ("moss_brushed", "moss brushed dry"),
                            ("drain_flushed", "drain or pipe flushed"),
                        ],
                        max_length=18,
                        verbose_name="method",
                    ),
                ),
                (
                    "covers_all",
                    models.BooleanField(default=True, verbose_name="the whole pavement"),
                ),
                (
                    "rows_text",
                    models.CharField(
                        blank=True, max_length=240, verbose_name="rows or panels, as written"
                    ),
                ),
                ("area_m2", models.FloatField(blank=True, null=True, verbose_name="area to do")),
                (
                    "passes",
                    models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="passes"),
                ),
                ("pattern", models.CharField(blank=True, max_length=80, verbose_name="pattern")),
                (
                    "must_be_dry",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="must be dry",
                    ),
                ),
                (
                    "lowest_c",
                    models.FloatField(blank=True, null=True, verbose_name="lowest temperature"),
                ),
                ("do_not", models.JSONField(blank=True, default=list, verbose_name="do not")),
                ("asked_by", models.CharField(max_length=160, verbose_name="asked by")),
                ("asked_on", models.DateField(verbose_name="asked on")),
                (
                    "approved_by",
                    models.CharField(blank=True, max_length=160, verbose_name="approved by"),
                ),
                (
                    "approved_on",
                    models.DateField(blank=True, null=True, verbose_name="approved on"),
                ),
                (
                    "earliest_on",
                    models.DateField(blank=True, null=True, verbose_name="earliest day"),
                ),
                (
                    "earliest_why",
                    models.CharField(
                        blank=True, max_length=200, verbose_name="earliest day because"
                    ),
                ),
                ("latest_on", models.DateField(blank=True, null=True, verbose_name="latest day")),
                (
                    "latest_why",
                    models.CharField(blank=True, max_length=200, verbose_name="latest day because"),
                ),
                ("dated_for", models.DateField(blank=True, null=True, verbose_name="dated for")),
                (
                    "starts_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="to begin at"),
                ),
                (
                    "is_pinned",
                    models.BooleanField(default=False, verbose_name="day and crew are pinned"),
                ),
                (
                    "cars_out_by",
                    models.CharField(blank=True, max_length=80, verbose_name="cars out by"),
                ),
                (
                    "notice_posted_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="notice posted"),
                ),
                (
                    "contact",
                    models.CharField(blank=True, max_length=160, verbose_name="contact, phone"),
                ),
                (
                    "edges_h",
                    models.FloatField(blank=True, null=True, verbose_name="hand edges, hours"),
                ),
                (
                    "set_up_h",
                    models.FloatField(blank=True, null=True, verbose_name="set-up, hours"),
                ),
                (
                    "dump_and_water_h",
                    models.FloatField(blank=True, null=True, verbose_name="dump and water, hours"),
                ),
                (
                    "people_needed",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="people needed"
                    ),
                ),
                (
                    "licence_needed",
                    models.CharField(blank=True, max_length=80, verbose_name="licence needed"),
                ),
                (
                    "after_test_due_on",
                    models.DateField(blank=True, null=True, verbose_name="after-test due by"),
                ),
                (
                    "price_agreed",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=12,
                        null=True,
                        verbose_name="price agreed",
                    ),
                ),
                (
                    "price_basis",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("area", "by area"),
                            ("hour", "by the hour"),
                            ("minimum", "least amount"),
                        ],
                        max_length=8,
                        verbose_name="price is",
                    ),
                ),
                (
                    "invoice",
                    models.CharField(blank=True, max_length=80, verbose_name="invoice no."),
                ),
                (
                    "submitted_on",
                    models.DateField(
                        blank=True, null=True, verbose_name="sent to the municipality on"
                    ),
                ),
                (
                    "after_spots",
                    models.ManyToManyField(
                        blank=True, related_name="orders_after", to="registry.spot"
                    ),
                ),
                (
                    "before_spots",
                    models.ManyToManyField(
                        blank=True, related_name="orders_before", to="registry.spot"
                    ),
                ),
                (
                    "crew",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="work_orders",
                        to="registry.crew",
                        verbose_name="crew",
                    ),
                ),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.workorder",
                    ),
                ),
                (
                    "dump_place",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="work_orders",
                        to="registry.dumpplace",
                        verbose_name="dump or decant place",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "entered_for",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "import_batch",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.importbatch",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="work_orders",
                        to="registry.organisation",
                    ),
                ),
                (
                    "pavement",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="work_orders",
                        to="registry.pavement",
                    ),
                ),
                (
                    "sweeper",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="orders_to_sweep",
                        to="registry.organisation",
                        verbose_name="firm that does it",
                    ),
                ),
                (
                    "void_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "water_point",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="work_orders",
                        to="registry.waterpoint",
                        verbose_name="water point",
                    ),
                ),
            ],
            options={
                "ordering": ("-asked_on", "-pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="work_order_void_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("void_at__isnull", True)),
                        fields=("organisation", "number"),
                        name="work_order_number_once_in_an_organisation",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("area_m2__isnull", True), ("area_m2__gt", 0), _connector="OR"
                            ),
                            models.Q(
                                ("edges_h__isnull", True), ("edges_h__gte", 0), _connector="OR"
                            ),
                            models.Q(
                                ("set_up_h__isnull", True), ("set_up_h__gte", 0), _connector="OR"
                            ),
                            models.Q(
                                ("dump_and_water_h__isnull", True),
                                ("dump_and_water_h__gte", 0),
                                _connector="OR",
                            ),
                            models.Q(
                                ("price_agreed__isnull", True),
                                ("price_agreed__gte", 0),
                                _connector="OR",
                            ),
                        ),
                        name="work_order_amounts_are_not_negative",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("latest_on__isnull", True),
                            ("earliest_on__isnull", True),
                            ("latest_on__gte", models.F("earliest_on")),
                            _connector="OR",
                        ),
                        name="work_order_latest_day_is_not_before_the_earliest",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("state", "dated"), _negated=True),
                            ("dated_for__isnull", False),
                            _connector="OR",
                        ),
                        name="work_order_dated_has_a_day",
                    ),
                ],
                "indexes": [
                    models.Index(
                        fields=["pavement", "state"], name="registry_wo_pavemen_8af833_idx"
                    ),
                    models.Index(
                        fields=["crew", "dated_for"], name="registry_wo_crew_id_e5f80b_idx"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="OrderedPanel",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("is_twice", models.BooleanField(default=False, verbose_name="twice")),
                (
                    "panel",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="ordered",
                        to="registry.panel",
                    ),
                ),
                (
                    "order",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="panels",
                        to="registry.workorder",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(fields=("order", "panel"), name="ordered_panel_once")
                ],
            },
        ),
        migrations.AddField(
            model_name="cleaning",
            name="work_order",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="cleanings",
                to="registry.workorder",
                verbose_name="work order",
            ),
        ),
        migrations.CreateModel(
            name="WorkOrderMove",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "from_state",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("asked_for", "asked for"),
                            ("approved", "approved"),
                            ("dated", "dated"),
                            ("done", "done"),
                            ("in_part", "done in part"),
                            ("turned_away", "turned away"),
                            ("called_off", "called off"),
                            ("checked", "checked"),
                            ("accepted", "accepted"),
                            ("to_redo", "to redo"),
                            ("billed", "billed"),
                            ("paid", "paid"),
                            ("dropped", "dropped"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "to_state",
                    models.CharField(
                        choices=[
                            ("asked_for", "asked for"),
                            ("approved", "approved"),
                            ("dated", "dated"),
                            ("done", "done"),
                            ("in_part", "done in part"),
                            ("turned_away", "turned away"),
                            ("called_off", "called off"),
                            ("checked", "checked"),
                            ("accepted", "accepted"),
                            ("to_redo", "to redo"),
                            ("billed", "billed"),
                            ("paid", "paid"),
                            ("dropped", "dropped"),
                        ],
                        max_length=12,
                    ),
                ),
                (
                    "is_back",
                    models.BooleanField(default=False, verbose_name="back to an earlier state"),
                ),
                ("why", models.CharField(blank=True, max_length=300, verbose_name="because")),
                ("on", models.DateField(verbose_name="date")),
                ("signed_by", models.CharField(blank=True, max_length=160, verbose_name="signed")),
                ("dated_for", models.DateField(blank=True, null=True, verbose_name="dated for")),
                ("at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                (
                    "by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "by_organisation",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "cleaning",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="registry.cleaning",
                    ),
                ),
                (
                    "crew",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.crew",
                    ),
                ),
                (
                    "order",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="registry.workorder",
                    ),
                ),
            ],
            options={
                "ordering": ("at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("is_back", False),
                            models.Q(("why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="work_order_move_back_says_why",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="CrewHoliday",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("as_written", models.JSONField(blank=True, default=dict)),
                ("empties", models.JSONField(blank=True, default=dict)),
                ("note", models.TextField(blank=True, verbose_name="remark")),
                (
                    "source",
                    models.CharField(
                        choices=[
                            ("form", "typed in here"),
                            ("paper", "paper sheet"),
                            ("phone", "phone"),
                            ("letter", "letter"),
                            ("import", "spreadsheet"),
                            ("memory", "from memory"),
                        ],
                        default="form",
                        max_length=8,
                    ),
                ),
                (
                    "source_note",
                    models.CharField(blank=True, max_length=200, verbose_name="source, in words"),
                ),
                (
                    "sheet_number",
                    models.CharField(blank=True, max_length=20, verbose_name="sheet number"),
                ),
                (
                    "written_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="when it was written down"
                    ),
                ),
                (
                    "entered_at",
                    models.DateTimeField(
                        default=django.utils.timezone.now,
                        editable=False,
                        verbose_name="when it came in",
                    ),
                ),
                ("void_at", models.DateTimeField(blank=True, editable=False, null=True)),
                ("void_why", models.CharField(blank=True, editable=False, max_length=300)),
                ("first_on", models.DateField(verbose_name="first day")),
                ("last_on", models.DateField(verbose_name="last day")),
                (
                    "why",
                    models.CharField(
                        max_length=160, verbose_name="holiday, leave, repair of the machine"
                    ),
                ),
                (
                    "crew",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="holidays",
                        to="registry.crew",
                    ),
                ),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.crewholiday",
                    ),
                ),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
                (
                    "entered_for",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.organisation",
                    ),
                ),
                (
                    "import_batch",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="registry.importbatch",
                    ),
                ),
                (
                    "organisation",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="crew_holidays",
                        to="registry.organisation",
                    ),
                ),
                (
                    "void_by",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to=settings.AUTH_USER_MODEL,
                    ),
                ),
            ],
            options={
                "ordering": ("first_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="crew_holiday_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("last_on__gte", models.F("first_on"))),
                        name="crew_holiday_ends_after_it_begins",
                    ),
                ],
            },
        ),
    ]
