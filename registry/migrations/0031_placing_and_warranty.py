import django.db.models.deletion
import django.utils.timezone
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0030_copies_of_a_work_order_sheet"),
    ]

    operations = [
        migrations.CreateModel(
            name="Callback",
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
                ("number", models.CharField(max_length=40, verbose_name="callback no.")),
                ("claim", models.CharField(max_length=240, verbose_name="claim in one line")),
                ("as_received", models.TextField(blank=True, verbose_name="message as received")),
                (
                    "received_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="received at"),
                ),
                (
                    "came_by",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("call", "call"),
                            ("mail", "e-mail"),
                            ("letter", "letter"),
                            ("message", "text message"),
                            ("person", "in person"),
                        ],
                        max_length=8,
                        verbose_name="came by",
                    ),
                ),
                (
                    "counted_on",
                    models.DateField(blank=True, null=True, verbose_name="counts as received on"),
                ),
                (
                    "counted_why",
                    models.CharField(blank=True, max_length=300, verbose_name="because"),
                ),
                (
                    "discovered_on",
                    models.DateField(blank=True, null=True, verbose_name="discovered on"),
                ),
                (
                    "claimed_by",
                    models.CharField(blank=True, max_length=160, verbose_name="claimed by"),
                ),
                ("panels", models.JSONField(blank=True, default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(blank=True, max_length=240, verbose_name="panels, as written"),
                ),
                (
                    "extent",
                    models.CharField(blank=True, max_length=200, verbose_name="extent claimed"),
                ),
                (
                    "first_seen",
                    models.CharField(blank=True, max_length=120, verbose_name="first seen"),
                ),
                (
                    "is_urgent",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="urgent",
                    ),
                ),
                (
                    "urgent_why",
                    models.CharField(blank=True, max_length=200, verbose_name="urgent because"),
                ),
                (
                    "excluded_on_its_face",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="excluded on its face",
                    ),
                ),
                (
                    "clauses_argued",
                    models.CharField(
                        blank=True, max_length=240, verbose_name="exclusions argued, by clause"
                    ),
                ),
                ("not_known", models.TextField(blank=True, verbose_name="not known")),
                (
                    "submitted_on",
                    models.DateField(
                        blank=True, null=True, verbose_name="sent to the municipality on"
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("received", "received"),
                            ("acknowledged", "acknowledged"),
                            ("visit_set", "visit set"),
                            ("visited", "visited"),
                            ("finding_issued", "finding issued"),
                            ("accepted", "accepted"),
                            ("accepted_in_part", "accepted in part"),
                            ("declined", "declined"),
                            ("goodwill", "goodwill"),
                            ("evidence_asked", "more evidence asked"),
                            ("agreed", "agreed"),
                            ("disputed", "disputed"),
                            ("silent", "silent"),
                            ("evaluator_named", "evaluator named"),
                            ("reported", "reported"),
                            ("settled", "settled"),
                            ("remedy_dated", "remedy dated"),
                            ("remedy_done", "remedy done"),
                            ("closed", "closed"),
                            ("out_of_time", "out of time"),
                            ("not_ours", "not ours"),
                            ("withdrawn", "withdrawn"),
                            ("in_court", "in court"),
                        ],
                        default="received",
                        editable=False,
                        max_length=20,
                        verbose_name="state",
                    ),
                ),
                (
                    "claimed_for",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="callbacks_claimed",
                        to="registry.organisation",
                        verbose_name="claimed for",
                    ),
                ),
                (
                    "contractor",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="callbacks_to_answer",
                        to="registry.organisation",
                        verbose_name="to be answered by",
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
                        to="registry.callback",
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="callbacks",
                        to="registry.pavement",
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
                "ordering": ("-counted_on", "-pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="callback_void_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("double_of__isnull", True), ("void_at__isnull", True)),
                        fields=("contractor", "number"),
                        name="callback_number_once_a_contractor",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Core",
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
                ("number", models.CharField(max_length=40, verbose_name="core no.")),
                ("panel", models.CharField(blank=True, max_length=12, verbose_name="panel")),
                ("place", models.CharField(blank=True, max_length=80, verbose_name="place")),
                ("taken_on", models.DateField(verbose_name="taken on")),
                ("taken_by", models.CharField(blank=True, max_length=160, verbose_name="taken by")),
                (
                    "laboratory",
                    models.CharField(blank=True, max_length=160, verbose_name="laboratory"),
                ),
                (
                    "surface",
                    models.CharField(blank=True, max_length=80, verbose_name="surface there"),
                ),
                ("length_mm", models.FloatField(blank=True, null=True, verbose_name="length")),
                ("density_kg_m3", models.FloatField(blank=True, null=True, verbose_name="density")),
                (
                    "chloride_percent",
                    models.FloatField(
                        blank=True, null=True, verbose_name="chloride, % by mass of concrete"
                    ),
                ),
                ("seen", models.TextField(blank=True, verbose_name="seen in the core")),
                ("cause", models.CharField(blank=True, max_length=160, verbose_name="cause named")),
                ("cause_by", models.CharField(blank=True, max_length=160, verbose_name="named by")),
                (
                    "callback",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="cores",
                        to="registry.callback",
                        verbose_name="callback",
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
                        to="registry.core",
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="cores",
                        to="registry.pavement",
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
                "ordering": ("taken_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="core_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("length_mm__isnull", True), ("length_mm__gt", 0), _connector="OR"
                        ),
                        name="core_has_a_length",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("density_kg_m3__isnull", True),
                            ("density_kg_m3__gt", 0),
                            _connector="OR",
                        ),
                        name="core_has_a_density",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("chloride_percent__isnull", True),
                            ("chloride_percent__range", (0, 100)),
                            _connector="OR",
                        ),
                        name="core_chloride_0_to_100",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="HandOver",
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
                    "number",
                    models.CharField(blank=True, max_length=40, verbose_name="certificate no."),
                ),
                (
                    "is_first",
                    models.BooleanField(
                        default=False, verbose_name="first hand-over, by the contractor"
                    ),
                ),
                (
                    "giver_name",
                    models.CharField(blank=True, max_length=160, verbose_name="from: name, role"),
                ),
                (
                    "taker_name",
                    models.CharField(blank=True, max_length=160, verbose_name="to: name, role"),
                ),
                ("effective_at", models.DateTimeField(verbose_name="effective date and hour")),
                (
                    "by_deed",
                    models.CharField(
                        blank=True, max_length=160, verbose_name="by deed or contract no."
                    ),
                ),
                (
                    "lines",
                    models.JSONField(blank=True, default=list, verbose_name="what is handed over"),
                ),
                (
                    "state_then",
                    models.JSONField(blank=True, default=dict, verbose_name="state on the day"),
                ),
                (
                    "open_things",
                    models.JSONField(blank=True, default=list, verbose_name="what is open"),
                ),
                (
                    "warranty_then",
                    models.JSONField(blank=True, default=dict, verbose_name="warranty"),
                ),
                ("care_duties", models.TextField(blank=True, verbose_name="care duties")),
                (
                    "statement_signed_by",
                    models.CharField(
                        blank=True, max_length=160, verbose_name="who signs the next statement"
                    ),
                ),
                ("not_known", models.TextField(blank=True, verbose_name="not known")),
                (
                    "copies",
                    models.CharField(
                        blank=True, max_length=240, verbose_name="who keeps which copy"
                    ),
                ),
                (
                    "taker_walked",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="taker has walked it with the plan",
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("drawn_up", "drawn up"),
                            ("offered", "offered"),
                            ("contested", "a line contested"),
                            ("giver", "signed by giver"),
                            ("taker", "signed by taker"),
                            ("in_effect", "in effect"),
                        ],
                        default="drawn_up",
                        editable=False,
                        max_length=12,
                        verbose_name="state",
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
                        to="registry.handover",
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
                    "giver",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="handed_over",
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="hand_overs",
                        to="registry.pavement",
                    ),
                ),
                (
                    "taker",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="taken_over",
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
                "ordering": ("effective_at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="hand_over_void_has_reason",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="HandOverMove",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("from_state", models.CharField(blank=True, max_length=20)),
                ("to_state", models.CharField(max_length=20)),
                (
                    "is_back",
                    models.BooleanField(default=False, verbose_name="back to an earlier state"),
                ),
                ("why", models.CharField(blank=True, max_length=300, verbose_name="because")),
                ("on", models.DateField(verbose_name="date")),
                ("signed_by", models.CharField(blank=True, max_length=160, verbose_name="signed")),
                ("at", models.DateTimeField(default=django.utils.timezone.now, editable=False)),
                (
                    "contested",
                    models.CharField(blank=True, max_length=200, verbose_name="line contested"),
                ),
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
                    "hand_over",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="registry.handover",
                    ),
                ),
            ],
            options={
                "ordering": ("at", "pk"),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("is_back", False),
                            models.Q(("why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="hand_over_move_back_says_why",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="HolidayList",
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
                ("days", models.JSONField(blank=True, default=list, verbose_name="holidays")),
                (
                    "rest_days",
                    models.JSONField(
                        blank=True, default=list, verbose_name="days of rest in the week"
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
                        to="registry.holidaylist",
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
                        related_name="holiday_lists",
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
                        name="holiday_list_void_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("double_of__isnull", True), ("void_at__isnull", True)),
                        fields=("organisation", "name"),
                        name="holiday_list_name_once",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Load",
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
                    "system",
                    models.CharField(
                        choices=[("inch_pound", "ft, in, lb"), ("si", "m, mm, kg")],
                        max_length=10,
                        verbose_name="units of the ticket",
                    ),
                ),
                (
                    "order_on_day",
                    models.PositiveSmallIntegerField(default=0, verbose_name="order of arrival"),
                ),
                ("number", models.CharField(max_length=12, verbose_name="load no.")),
                ("ticket", models.CharField(blank=True, max_length=40, verbose_name="ticket no.")),
                ("plant", models.CharField(blank=True, max_length=120, verbose_name="plant")),
                ("mix", models.CharField(blank=True, max_length=120, verbose_name="mix")),
                ("volume_m3", models.FloatField(blank=True, null=True, verbose_name="volume")),
                (
                    "cementitious_kg_m3",
                    models.FloatField(blank=True, null=True, verbose_name="cementitious"),
                ),
                (
                    "batch_water_kg",
                    models.FloatField(blank=True, null=True, verbose_name="batch water"),
                ),
                (
                    "free_moisture_kg",
                    models.FloatField(
                        blank=True, null=True, verbose_name="free moisture of the aggregate"
                    ),
                ),
                (
                    "stabilizer",
                    models.CharField(
                        blank=True, max_length=120, verbose_name="stabilizer: name, dose"
                    ),
                ),
                (
                    "admixture",
                    models.CharField(
                        blank=True, max_length=120, verbose_name="other admixture: name, dose"
                    ),
                ),
                (
                    "held_back_l",
                    models.FloatField(
                        blank=True, null=True, verbose_name="water held back at the plant"
                    ),
                ),
                (
                    "batched_at",
                    models.DateTimeField(
                        blank=True, null=True, verbose_name="batched (water met cement)"
                    ),
                ),
                ("arrived_at", models.DateTimeField(blank=True, null=True, verbose_name="arrived")),
                (
                    "discharge_from_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="discharge from"),
                ),
                (
                    "discharge_to_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="discharge to"),
                ),
                (
                    "site_water_l",
                    models.FloatField(blank=True, null=True, verbose_name="water added on site"),
                ),
                (
                    "site_water_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="water added at"),
                ),
                (
                    "site_water_by",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("driver", "driver"),
                            ("foreman", "foreman"),
                            ("tester", "tester"),
                            ("nk", "nobody knows"),
                        ],
                        max_length=8,
                        verbose_name="water ordered by",
                    ),
                ),
                (
                    "look",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("dry", "dry and dull"),
                            ("even", "even wet sheen"),
                            ("running", "paste running"),
                        ],
                        max_length=8,
                        verbose_name="look",
                    ),
                ),
                (
                    "density_kg_m3",
                    models.FloatField(blank=True, null=True, verbose_name="fresh density"),
                ),
                (
                    "concrete_c",
                    models.FloatField(blank=True, null=True, verbose_name="concrete temperature"),
                ),
                (
                    "cover_first_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="first foot covered"),
                ),
                (
                    "cover_last_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="last foot covered"),
                ),
                ("wasted_m3", models.FloatField(blank=True, null=True, verbose_name="part wasted")),
                (
                    "sent_back_why",
                    models.CharField(blank=True, max_length=200, verbose_name="sent back because"),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("ordered", "ordered"),
                            ("arrived", "arrived"),
                            ("accepted", "accepted"),
                            ("placed", "placed"),
                            ("sent_back", "sent back"),
                            ("wasted_in_part", "wasted in part"),
                        ],
                        default="ordered",
                        editable=False,
                        max_length=16,
                        verbose_name="state",
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
                        to="registry.load",
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
                "ordering": ("placing_day", "order_on_day", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="load_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("volume_m3__isnull", True), ("volume_m3__gt", 0), _connector="OR"
                        ),
                        name="load_has_a_volume",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("batch_water_kg__isnull", True),
                                ("batch_water_kg__gte", 0),
                                _connector="OR",
                            ),
                            models.Q(
                                ("free_moisture_kg__isnull", True),
                                ("free_moisture_kg__gte", 0),
                                _connector="OR",
                            ),
                            models.Q(
                                ("site_water_l__isnull", True),
                                ("site_water_l__gte", 0),
                                _connector="OR",
                            ),
                        ),
                        name="load_water_is_not_below_0",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("batched_at__isnull", True),
                            ("discharge_from_at__isnull", True),
                            ("discharge_from_at__gte", models.F("batched_at")),
                            _connector="OR",
                        ),
                        name="load_discharged_after_it_was_batched",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="LoadMove",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("from_state", models.CharField(blank=True, max_length=20)),
                ("to_state", models.CharField(max_length=20)),
                (
                    "is_back",
                    models.BooleanField(default=False, verbose_name="back to an earlier state"),
                ),
                ("why", models.CharField(blank=True, max_length=300, verbose_name="because")),
                ("on", models.DateField(verbose_name="date")),
                ("signed_by", models.CharField(blank=True, max_length=160, verbose_name="signed")),
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
                    "load",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="registry.load",
                    ),
                ),
            ],
            options={
                "ordering": ("at", "pk"),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("is_back", False),
                            models.Q(("why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="load_move_back_says_why",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Lot",
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
                ("name", models.CharField(max_length=40, verbose_name="lot")),
                ("made_on", models.DateField(verbose_name="placed on")),
                ("panels", models.JSONField(blank=True, default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(blank=True, max_length=240, verbose_name="panels, as written"),
                ),
                ("area_m2", models.FloatField(blank=True, null=True, verbose_name="area")),
                (
                    "rule",
                    models.CharField(
                        blank=True, max_length=300, verbose_name="rule of the contract"
                    ),
                ),
                (
                    "tests_needed",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="tests needed"
                    ),
                ),
                (
                    "least_rate_mm_h",
                    models.FloatField(blank=True, null=True, verbose_name="each at least"),
                ),
                (
                    "test_after_days",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="tested after, days"
                    ),
                ),
                (
                    "grade_ok",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="grade as asked",
                    ),
                ),
                (
                    "look_ok",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="looks like the approved test panel",
                    ),
                ),
                (
                    "punch_list",
                    models.TextField(blank=True, verbose_name="list of what is left to do"),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("waiting", "waiting for tests"),
                            ("accepted", "accepted"),
                            ("with_list", "accepted with list"),
                            ("list_done", "list done"),
                            ("not_accepted", "not accepted"),
                            ("repaired", "repaired"),
                            ("removed", "removed"),
                        ],
                        default="waiting",
                        editable=False,
                        max_length=16,
                        verbose_name="state",
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
                        to="registry.lot",
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="lots",
                        to="registry.pavement",
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
                "ordering": ("made_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="lot_void_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("double_of__isnull", True), ("void_at__isnull", True)),
                        fields=("pavement", "name"),
                        name="lot_name_once",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="LotMove",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("from_state", models.CharField(blank=True, max_length=20)),
                ("to_state", models.CharField(max_length=20)),
                (
                    "is_back",
                    models.BooleanField(default=False, verbose_name="back to an earlier state"),
                ),
                ("why", models.CharField(blank=True, max_length=300, verbose_name="because")),
                ("on", models.DateField(verbose_name="date")),
                ("signed_by", models.CharField(blank=True, max_length=160, verbose_name="signed")),
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
                    "lot",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="registry.lot",
                    ),
                ),
            ],
            options={
                "ordering": ("at", "pk"),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("is_back", False),
                            models.Q(("why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="lot_move_back_says_why",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="PanelEvidence",
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
                ("panel", models.CharField(max_length=12, verbose_name="panel")),
                (
                    "sign",
                    models.CharField(
                        choices=[
                            ("starts_early", "starts under 4 months, then levels"),
                            ("jumps_in_winter", "starts or jumps in a winter"),
                            ("grows_all_year", "keeps growing all year"),
                            ("follows_loads", "follows load limits, not panels"),
                            ("worst_late_in_day", "worst in the late, hot, windy part of the day"),
                            ("same_along_edges", "same along every edge"),
                            ("blade_lines", "lines, one direction, blade width"),
                            ("at_entrance", "at entrance, stairs, salt box"),
                            ("wheel_tracks", "two wheel tracks"),
                            (
                                "bare_dull_loose",
                                "stones bare and clean, dull grey paste, pulls by hand",
                            ),
                            (
                                "shiny_closed",
                                "shiny closed skin, water stands, bottom closed in the core",
                            ),
                            (
                                "sound_below",
                                "paste sound below a few mm, scaled top, chloride high there and low in a sound core",
                            ),
                            ("core_density_low", "density of the core low"),
                            ("core_density_high_top", "density of the core high at the top"),
                            ("core_density_low_at_edge", "density of the core low at the edge"),
                            ("sheet_gap", "sheet log shows a gap at these panels"),
                            ("sheet_rectangle", "rectangle of the lost sheet"),
                        ],
                        max_length=32,
                        verbose_name="sign",
                    ),
                ),
                ("is_there", models.BooleanField(blank=True, null=True, verbose_name="seen")),
                ("words", models.CharField(blank=True, max_length=240, verbose_name="in words")),
                ("said_by", models.CharField(blank=True, max_length=160, verbose_name="by")),
                (
                    "callback",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="evidence",
                        to="registry.callback",
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
                        to="registry.panelevidence",
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
                "ordering": ("pk",),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="panel_evidence_void_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("double_of__isnull", True), ("void_at__isnull", True)),
                        fields=("callback", "panel", "sign", "entered_for"),
                        name="panel_evidence_once_a_side",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PanelFinding",
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
                ("panel", models.CharField(max_length=12, verbose_name="panel")),
                (
                    "cause",
                    models.CharField(
                        choices=[
                            ("covered_late", "covered late, dried out"),
                            ("too_dry", "load too dry"),
                            ("too_wet", "load too wet"),
                            ("sheet_lost", "sheet lost or uncovered early"),
                            ("early_traffic", "early traffic"),
                            ("salt_frost", "salt, frost"),
                            ("plow", "plow"),
                            ("wear", "wear, turning"),
                            ("edge_work", "edge or joint work"),
                            ("dirt", "dirt, clogging"),
                            ("settlement_below", "settlement below"),
                            ("root", "root"),
                            ("others_trench", "others' trench"),
                            ("fire_or_spill", "fire or spill"),
                            ("not_shown", "not shown"),
                        ],
                        max_length=20,
                        verbose_name="cause",
                    ),
                ),
                (
                    "confidence",
                    models.CharField(
                        choices=[
                            ("shown", "shown"),
                            ("likely", "likely"),
                            ("not_shown", "not shown"),
                        ],
                        max_length=9,
                        verbose_name="confidence",
                    ),
                ),
                ("came_first", models.BooleanField(default=False, verbose_name="came first")),
                ("speaks_for", models.TextField(blank=True, verbose_name="evidence for")),
                ("speaks_against", models.TextField(blank=True, verbose_name="evidence against")),
                ("missing", models.TextField(blank=True, verbose_name="what is missing")),
                ("found_by", models.CharField(blank=True, max_length=160, verbose_name="found by")),
                ("found_on", models.DateField(blank=True, null=True, verbose_name="date")),
                (
                    "callback",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="findings",
                        to="registry.callback",
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
                        to="registry.panelfinding",
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
                "ordering": ("pk",),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="panel_finding_void_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("double_of__isnull", True), ("void_at__isnull", True)),
                        fields=("callback", "panel", "cause", "found_by"),
                        name="panel_finding_once_a_cause",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="PlacingDay",
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
                ("number", models.CharField(blank=True, max_length=40, verbose_name="our job no.")),
                (
                    "system",
                    models.CharField(
                        choices=[("inch_pound", "ft, in, lb"), ("si", "m, mm, kg")],
                        max_length=10,
                        verbose_name="units of the day",
                    ),
                ),
                ("placed_on", models.DateField(verbose_name="date")),
                ("starts_at", models.DateTimeField(blank=True, null=True, verbose_name="start")),
                ("ends_at", models.DateTimeField(blank=True, null=True, verbose_name="end")),
                ("foreman", models.CharField(blank=True, max_length=120, verbose_name="foreman")),
                (
                    "crew_by_task",
                    models.JSONField(blank=True, default=dict, verbose_name="crew by task"),
                ),
                (
                    "subbase",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("damp", "damp"),
                            ("dry", "dry"),
                            ("wet", "wet"),
                            ("frozen", "frozen: stop"),
                        ],
                        max_length=6,
                        verbose_name="subbase",
                    ),
                ),
                (
                    "must_match",
                    models.CharField(
                        blank=True, max_length=40, verbose_name="must match test panel no."
                    ),
                ),
                (
                    "thickness_mm",
                    models.FloatField(blank=True, null=True, verbose_name="plan thickness"),
                ),
                (
                    "placing_speed_m_min",
                    models.FloatField(
                        blank=True, null=True, verbose_name="placing speed, m a minute"
                    ),
                ),
                (
                    "cover_within_min",
                    models.FloatField(
                        blank=True, null=True, verbose_name="cover within, minutes after discharge"
                    ),
                ),
                (
                    "covered_hours_required",
                    models.FloatField(blank=True, null=True, verbose_name="to stay covered, hours"),
                ),
                (
                    "batch_to_discharge_min",
                    models.FloatField(
                        blank=True, null=True, verbose_name="batch to discharge, at most minutes"
                    ),
                ),
                (
                    "water_cement_design",
                    models.FloatField(blank=True, null=True, verbose_name="design w/cm"),
                ),
                (
                    "water_cement_limit",
                    models.FloatField(blank=True, null=True, verbose_name="w/cm at most"),
                ),
                (
                    "density_approved_kg_m3",
                    models.FloatField(blank=True, null=True, verbose_name="approved fresh density"),
                ),
                (
                    "density_tolerance_kg_m3",
                    models.FloatField(blank=True, null=True, verbose_name="density within"),
                ),
                (
                    "drying_limit_kg_m2_h",
                    models.FloatField(
                        blank=True, null=True, verbose_name="evaporation at most, kg/m²/h"
                    ),
                ),
                (
                    "released_on",
                    models.DateField(blank=True, null=True, verbose_name="released to traffic on"),
                ),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.placingday",
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="placing_days",
                        to="registry.pavement",
                    ),
                ),
                (
                    "section",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="placing_days",
                        to="registry.section",
                        verbose_name="section",
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
                "ordering": ("placed_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="placing_day_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("starts_at__isnull", True),
                            ("ends_at__isnull", True),
                            ("ends_at__gt", models.F("starts_at")),
                            _connector="OR",
                        ),
                        name="placing_day_ends_after_it_begins",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("thickness_mm__isnull", True),
                                ("thickness_mm__gt", 0),
                                _connector="OR",
                            ),
                            models.Q(
                                ("water_cement_limit__isnull", True),
                                ("water_cement_limit__gt", 0),
                                _connector="OR",
                            ),
                            models.Q(
                                ("density_approved_kg_m3__isnull", True),
                                ("density_approved_kg_m3__gt", 0),
                                _connector="OR",
                            ),
                        ),
                        name="placing_day_limits_are_above_0",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="lot",
            name="placing_day",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="lots",
                to="registry.placingday",
                verbose_name="placing day",
            ),
        ),
        migrations.AddField(
            model_name="load",
            name="placing_day",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="loads",
                to="registry.placingday",
            ),
        ),
        migrations.CreateModel(
            name="EarlyLoad",
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
                    "what",
                    models.CharField(
                        choices=[
                            ("feet", "feet"),
                            ("animal", "animal"),
                            ("cart", "cart"),
                            ("car", "car"),
                            ("truck", "truck"),
                        ],
                        max_length=8,
                        verbose_name="what",
                    ),
                ),
                ("in_words", models.CharField(blank=True, max_length=200, verbose_name="in words")),
                ("panels", models.JSONField(default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(blank=True, max_length=240, verbose_name="panels, as written"),
                ),
                ("at", models.DateTimeField(verbose_name="clock")),
                ("seen_by", models.CharField(blank=True, max_length=120, verbose_name="seen by")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.earlyload",
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
                    "placing_day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="early_loads",
                        to="registry.placingday",
                    ),
                ),
            ],
            options={
                "ordering": ("at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="early_load_void_has_reason",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="CoverWalk",
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
                ("at", models.DateTimeField(verbose_name="clock")),
                ("walked_by", models.CharField(max_length=120, verbose_name="by")),
                ("panels", models.JSONField(blank=True, default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(blank=True, max_length=240, verbose_name="panels, as written"),
                ),
                ("found", models.CharField(blank=True, max_length=240, verbose_name="found")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.coverwalk",
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
                    "placing_day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="cover_walks",
                        to="registry.placingday",
                    ),
                ),
            ],
            options={
                "ordering": ("at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="cover_walk_void_has_reason",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="CoverBreak",
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
                ("panels", models.JSONField(default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(blank=True, max_length=240, verbose_name="panels, as written"),
                ),
                (
                    "bare_area_m2",
                    models.FloatField(blank=True, null=True, verbose_name="bare area"),
                ),
                ("from_at", models.DateTimeField(verbose_name="off from")),
                ("to_at", models.DateTimeField(blank=True, null=True, verbose_name="relaid")),
                (
                    "cause",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("wind", "wind"),
                            ("animal", "animal"),
                            ("person", "person"),
                            ("rain", "rain"),
                        ],
                        max_length=8,
                        verbose_name="cause",
                    ),
                ),
                (
                    "relaid_how",
                    models.CharField(blank=True, max_length=160, verbose_name="relaid: how, by"),
                ),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.coverbreak",
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
                    "placing_day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="cover_breaks",
                        to="registry.placingday",
                    ),
                ),
            ],
            options={
                "ordering": ("from_at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="cover_break_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("to_at__isnull", True),
                            ("to_at__gte", models.F("from_at")),
                            _connector="OR",
                        ),
                        name="cover_break_ends_after_it_begins",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Cover",
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
                ("panels", models.JSONField(default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(blank=True, max_length=240, verbose_name="panels, as written"),
                ),
                (
                    "sheet_mm",
                    models.FloatField(blank=True, null=True, verbose_name="thickness of the sheet"),
                ),
                (
                    "misted_before",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="misted before",
                    ),
                ),
                (
                    "first_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="first foot covered"),
                ),
                (
                    "last_at",
                    models.DateTimeField(blank=True, null=True, verbose_name="last foot covered"),
                ),
                (
                    "laps",
                    models.CharField(
                        blank=True,
                        choices=[("taped", "taped"), ("wide", "wide overlap"), ("none", "none")],
                        max_length=6,
                        verbose_name="laps",
                    ),
                ),
                ("overlap_mm", models.FloatField(blank=True, null=True, verbose_name="overlap")),
                (
                    "edges",
                    models.CharField(
                        blank=True,
                        choices=[("lumber", "lumber"), ("soil", "soil"), ("none", "nothing")],
                        max_length=6,
                        verbose_name="edges held by",
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
                        to="registry.cover",
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
                    "placing_day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="covers",
                        to="registry.placingday",
                    ),
                ),
            ],
            options={
                "ordering": ("last_at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="cover_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("first_at__isnull", True),
                            ("last_at__isnull", True),
                            ("last_at__gte", models.F("first_at")),
                            _connector="OR",
                        ),
                        name="cover_ends_after_it_begins",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Blemish",
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
                            ("drip", "drip spot"),
                            ("sealed", "sealed spot"),
                            ("footprint", "footprint"),
                            ("drag", "drag"),
                            ("roller", "roller mark"),
                            ("cold_line", "cold line"),
                            ("stone", "stone pulled"),
                        ],
                        max_length=12,
                        verbose_name="kind",
                    ),
                ),
                ("place", models.CharField(blank=True, max_length=80, verbose_name="place")),
                ("seen_at", models.DateTimeField(blank=True, null=True, verbose_name="clock")),
                (
                    "fixed",
                    models.CharField(
                        blank=True,
                        choices=[("at_once", "at once"), ("left", "left as it is")],
                        max_length=8,
                        verbose_name="fixed",
                    ),
                ),
                ("fixed_how", models.CharField(blank=True, max_length=160, verbose_name="how")),
                ("fixed_by", models.CharField(blank=True, max_length=120, verbose_name="by")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.blemish",
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
                    "placing_day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="blemishes",
                        to="registry.placingday",
                    ),
                ),
            ],
            options={
                "ordering": ("seen_at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="blemish_void_has_reason",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="RaveledShare",
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
                ("panel", models.CharField(max_length=12, verbose_name="panel")),
                ("looked_on", models.DateField(verbose_name="date")),
                ("share", models.FloatField(verbose_name="raveled share")),
                (
                    "graded_by",
                    models.CharField(
                        choices=[
                            ("tape", "outline by tape"),
                            ("photo", "outline on photo"),
                            ("eye", "by eye"),
                        ],
                        max_length=5,
                        verbose_name="graded by",
                    ),
                ),
                ("looked_by", models.CharField(blank=True, max_length=160, verbose_name="by")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.raveledshare",
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="raveled_shares",
                        to="registry.pavement",
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
                "ordering": ("looked_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="raveled_share_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("share__range", (0, 1))), name="raveled_share_0_to_1"
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("double_of__isnull", True), ("void_at__isnull", True)),
                        fields=("pavement", "panel", "looked_on", "graded_by"),
                        name="raveled_share_once_a_day",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Repair",
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
                ("number", models.CharField(blank=True, max_length=40, verbose_name="repair no.")),
                (
                    "reason",
                    models.CharField(
                        choices=[
                            ("warranty", "warranty, accepted"),
                            ("goodwill", "goodwill"),
                            ("owner", "owner’s"),
                            ("finding", "finding"),
                            ("others", "others’ damage"),
                        ],
                        max_length=10,
                        verbose_name="reason",
                    ),
                ),
                (
                    "method",
                    models.CharField(
                        choices=[
                            ("hand_patch", "hand patch in fine mix"),
                            ("edge_recast", "edge cut and recast"),
                            ("panel", "panel replaced"),
                            ("row", "row replaced"),
                            ("lip_ground", "lip ground"),
                            ("ramp", "ramp"),
                            ("crack_filled", "crack routed and filled"),
                            ("bound", "surface bound with resin"),
                            ("relief_holes", "relief holes drilled"),
                            ("stone_trench", "stone trench at edge"),
                            ("base", "base repaired"),
                            ("underdrain", "underdrain cleaned"),
                            ("dirt_source", "source of dirt fixed"),
                        ],
                        max_length=14,
                        verbose_name="method",
                    ),
                ),
                ("panels", models.JSONField(blank=True, default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(
                        blank=True, max_length=240, verbose_name="panels or saw lines, as written"
                    ),
                ),
                (
                    "measured_m2",
                    models.FloatField(blank=True, null=True, verbose_name="measured, area"),
                ),
                (
                    "squared_m2",
                    models.FloatField(blank=True, null=True, verbose_name="squared, area"),
                ),
                (
                    "measured_m",
                    models.FloatField(blank=True, null=True, verbose_name="measured, length"),
                ),
                (
                    "squared_m",
                    models.FloatField(blank=True, null=True, verbose_name="squared, length"),
                ),
                (
                    "out_on",
                    models.DateField(blank=True, null=True, verbose_name="old concrete out"),
                ),
                ("in_on", models.DateField(blank=True, null=True, verbose_name="new concrete in")),
                ("opened_on", models.DateField(blank=True, null=True, verbose_name="opened")),
                (
                    "looks",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("matches", "matches"),
                            ("lighter", "lighter"),
                            ("darker", "darker"),
                            ("coarser", "coarser"),
                            ("denser", "denser"),
                        ],
                        max_length=8,
                        verbose_name="look against neighbors",
                    ),
                ),
                (
                    "unit_price",
                    models.DecimalField(
                        blank=True,
                        decimal_places=2,
                        max_digits=10,
                        null=True,
                        verbose_name="price per unit",
                    ),
                ),
                (
                    "price_unit",
                    models.CharField(
                        blank=True,
                        choices=[("ft2", "ft²"), ("m2", "m²"), ("ft", "ft"), ("m", "m")],
                        max_length=3,
                        verbose_name="unit of the price",
                    ),
                ),
                (
                    "share_percents",
                    models.JSONField(blank=True, default=list, verbose_name="shares"),
                ),
                (
                    "first_look_on",
                    models.DateField(
                        blank=True, null=True, verbose_name="first look after a winter"
                    ),
                ),
                (
                    "first_look_sound",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="sound then",
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("ordered", "ordered"),
                            ("waiting", "waiting for season"),
                            ("under_way", "under way"),
                            ("done", "done"),
                            ("curing", "curing"),
                            ("accepted", "accepted"),
                            ("not_accepted", "not accepted"),
                        ],
                        default="ordered",
                        editable=False,
                        max_length=12,
                        verbose_name="state",
                    ),
                ),
                (
                    "callback",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="repairs",
                        to="registry.callback",
                        verbose_name="callback",
                    ),
                ),
                (
                    "defects",
                    models.ManyToManyField(
                        blank=True,
                        related_name="repairs",
                        to="registry.defect",
                        verbose_name="defects covered",
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
                        to="registry.repair",
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="repairs",
                        to="registry.pavement",
                    ),
                ),
                (
                    "tests_after",
                    models.ManyToManyField(
                        blank=True,
                        related_name="after_repairs",
                        to="registry.infiltrationtest",
                        verbose_name="tests after",
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
                "ordering": ("in_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="repair_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("measured_m2__isnull", True),
                                ("squared_m2__isnull", True),
                                ("squared_m2__gte", models.F("measured_m2")),
                                _connector="OR",
                            ),
                            models.Q(
                                ("measured_m__isnull", True),
                                ("squared_m__isnull", True),
                                ("squared_m__gte", models.F("measured_m")),
                                _connector="OR",
                            ),
                        ),
                        name="repair_squared_is_not_smaller",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("out_on__isnull", True),
                            ("in_on__isnull", True),
                            ("in_on__gte", models.F("out_on")),
                            _connector="OR",
                        ),
                        name="repair_new_concrete_follows_old",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="placingday",
            name="repair",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="placing_days",
                to="registry.repair",
                verbose_name="repair",
            ),
        ),
        migrations.CreateModel(
            name="RepairMove",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("from_state", models.CharField(blank=True, max_length=20)),
                ("to_state", models.CharField(max_length=20)),
                (
                    "is_back",
                    models.BooleanField(default=False, verbose_name="back to an earlier state"),
                ),
                ("why", models.CharField(blank=True, max_length=300, verbose_name="because")),
                ("on", models.DateField(verbose_name="date")),
                ("signed_by", models.CharField(blank=True, max_length=160, verbose_name="signed")),
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
                    "repair",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="registry.repair",
                    ),
                ),
            ],
            options={
                "ordering": ("at", "pk"),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("is_back", False),
                            models.Q(("why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="repair_move_back_says_why",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="SettlementLine",
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
                ("panels", models.JSONField(default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(blank=True, max_length=240, verbose_name="panels, as written"),
                ),
                ("area", models.FloatField(verbose_name="area, in the unit of the price")),
                (
                    "area_unit",
                    models.CharField(
                        choices=[("ft2", "ft²"), ("m2", "m²")], max_length=3, verbose_name="unit"
                    ),
                ),
                (
                    "unit_price",
                    models.DecimalField(
                        decimal_places=2, max_digits=10, verbose_name="price per unit"
                    ),
                ),
                ("share_percents", models.JSONField(default=list, verbose_name="shares")),
                ("agreed_on", models.DateField(blank=True, null=True, verbose_name="agreed on")),
                (
                    "callback",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="settlement",
                        to="registry.callback",
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
                        to="registry.settlementline",
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
                "ordering": ("pk",),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="settlement_line_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("area__gt", 0), ("unit_price__gte", 0)),
                        name="settlement_line_has_an_area",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Spread",
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
                ("lane", models.CharField(max_length=8, verbose_name="lane")),
                ("from_m", models.FloatField(verbose_name="from")),
                ("to_m", models.FloatField(verbose_name="to")),
                (
                    "joints_crossed",
                    models.JSONField(
                        blank=True, default=list, verbose_name="clock at each joint crossed"
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
                        to="registry.spread",
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
                    "load",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="spreads",
                        to="registry.load",
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
                "ordering": ("load", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="spread_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("to_m__gt", models.F("from_m"))), name="spread_runs_up"
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="StrikeOff",
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
                ("lane", models.CharField(max_length=8, verbose_name="lane")),
                ("from_m", models.FloatField(blank=True, null=True, verbose_name="from")),
                ("to_m", models.FloatField(blank=True, null=True, verbose_name="to")),
                ("tool", models.CharField(max_length=80, verbose_name="tool")),
                (
                    "passes",
                    models.PositiveSmallIntegerField(blank=True, null=True, verbose_name="passes"),
                ),
                ("ended_at", models.DateTimeField(blank=True, null=True, verbose_name="end")),
                (
                    "corners_by_hand",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="corners by hand",
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
                        to="registry.strikeoff",
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
                    "placing_day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="strike_offs",
                        to="registry.placingday",
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
                "ordering": ("ended_at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="strike_off_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("from_m__isnull", True),
                            ("to_m__isnull", True),
                            ("to_m__gt", models.F("from_m")),
                            _connector="OR",
                        ),
                        name="strike_off_runs_up",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="ThirdParty",
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
                ("name", models.CharField(max_length=160, verbose_name="name")),
                ("named_by", models.CharField(blank=True, max_length=160, verbose_name="named by")),
                ("named_on", models.DateField(blank=True, null=True, verbose_name="named on")),
                ("question", models.TextField(blank=True, verbose_name="question put")),
                ("samples", models.CharField(blank=True, max_length=240, verbose_name="samples")),
                ("reported_on", models.DateField(blank=True, null=True, verbose_name="report of")),
                ("report", models.TextField(blank=True, verbose_name="report, in short")),
                (
                    "cost_shares",
                    models.JSONField(blank=True, default=list, verbose_name="shares of the cost"),
                ),
                (
                    "callback",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="third_parties",
                        to="registry.callback",
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
                        to="registry.thirdparty",
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
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="asked_in_callbacks",
                        to="registry.organisation",
                        verbose_name="organisation on the record",
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
                "ordering": ("named_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="third_party_void_has_reason",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Uncover",
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
                ("panels", models.JSONField(default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(blank=True, max_length=240, verbose_name="panels, as written"),
                ),
                ("at", models.DateTimeField(verbose_name="clock")),
                ("uncovered_by", models.CharField(blank=True, max_length=120, verbose_name="by")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.uncover",
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
                    "placing_day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="uncovers",
                        to="registry.placingday",
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
                "ordering": ("at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="uncover_void_has_reason",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="Warranty",
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
                    "given_to",
                    models.CharField(
                        blank=True, max_length=160, verbose_name="given to, as written"
                    ),
                ),
                (
                    "number",
                    models.CharField(blank=True, max_length=40, verbose_name="job or contract no."),
                ),
                ("document", models.CharField(blank=True, max_length=200, verbose_name="document")),
                (
                    "start_event",
                    models.CharField(blank=True, max_length=160, verbose_name="starts with"),
                ),
                ("start_on", models.DateField(blank=True, null=True, verbose_name="start")),
                ("years", models.PositiveSmallIntegerField(verbose_name="years")),
                (
                    "ended_early_on",
                    models.DateField(blank=True, null=True, verbose_name="last day by agreement"),
                ),
                ("exclusions", models.JSONField(blank=True, default=list, verbose_name="excluded")),
                ("duties", models.TextField(blank=True, verbose_name="owner’s duties")),
                (
                    "notice_form",
                    models.CharField(blank=True, max_length=160, verbose_name="form of a notice"),
                ),
                (
                    "notice_place",
                    models.CharField(blank=True, max_length=240, verbose_name="notice goes to"),
                ),
                (
                    "notice_zone",
                    models.CharField(
                        blank=True, max_length=64, verbose_name="time zone of the addressee"
                    ),
                ),
                (
                    "notice_closes",
                    models.TimeField(
                        blank=True, null=True, verbose_name="after this clock it counts later"
                    ),
                ),
                (
                    "notice_on_working_days",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="on a day of rest it counts as the next working day",
                    ),
                ),
                (
                    "notice_days",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="notice within, days after discovery"
                    ),
                ),
                (
                    "transfer_rule",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("free", "goes over freely"),
                            ("by_notice", "goes over by notice"),
                            ("none", "does not go over"),
                        ],
                        max_length=9,
                        verbose_name="on a sale it",
                    ),
                ),
                (
                    "transfer_days",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="notice of a sale within, days"
                    ),
                ),
                (
                    "transfer_noticed_on",
                    models.DateField(
                        blank=True, null=True, verbose_name="notice of the sale counted on"
                    ),
                ),
                ("dispute_path", models.TextField(blank=True, verbose_name="path of a dispute")),
                (
                    "remind_days",
                    models.PositiveSmallIntegerField(
                        default=60, verbose_name="remind before the last day, days"
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("not_started", "not started"),
                            ("running", "running"),
                            ("transferred", "running, transferred"),
                            ("part_renewed", "running, part renewed"),
                            ("ended", "ended"),
                            ("ended_early", "ended early by agreement"),
                        ],
                        default="not_started",
                        editable=False,
                        max_length=14,
                        verbose_name="state",
                    ),
                ),
                (
                    "contractor",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="warranties_given",
                        to="registry.organisation",
                        verbose_name="given by",
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
                        to="registry.warranty",
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
                    "holiday_list",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="warranties",
                        to="registry.holidaylist",
                        verbose_name="holiday list of the contract",
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
                    "owner",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="warranties_held",
                        to="registry.organisation",
                        verbose_name="given to",
                    ),
                ),
                (
                    "pavement",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="warranties",
                        to="registry.pavement",
                    ),
                ),
                (
                    "section",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="warranties",
                        to="registry.section",
                        verbose_name="section",
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
                "ordering": ("start_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="warranty_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("years__range", (1, 30))),
                        name="warranty_runs_1_to_30_years",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("transfer_rule", "by_notice"), _negated=True),
                            ("transfer_days__isnull", False),
                            _connector="OR",
                        ),
                        name="warranty_transfer_by_notice_has_days",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="callback",
            name="warranty",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="callbacks",
                to="registry.warranty",
                verbose_name="warranty",
            ),
        ),
        migrations.CreateModel(
            name="AnswerLimit",
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
                    "step",
                    models.CharField(
                        choices=[
                            ("acknowledge", "acknowledge"),
                            ("visit", "visit"),
                            ("finding", "finding"),
                            ("reply", "owner’s reply"),
                            ("evaluator", "name an evaluator"),
                            ("remedy", "remedy"),
                        ],
                        max_length=11,
                        verbose_name="step",
                    ),
                ),
                ("days", models.PositiveSmallIntegerField(verbose_name="days")),
                (
                    "counting",
                    models.CharField(
                        choices=[("calendar", "calendar days"), ("working", "working days")],
                        max_length=8,
                        verbose_name="counted in",
                    ),
                ),
                (
                    "after",
                    models.CharField(
                        choices=[
                            ("counted", "the day the notice counts as received"),
                            ("visited", "the visit"),
                            ("finding", "the finding"),
                            ("disputed", "the day the owner disputed"),
                            ("settled", "the agreement or settlement"),
                        ],
                        max_length=8,
                        verbose_name="after",
                    ),
                ),
                (
                    "to_working_day",
                    models.BooleanField(
                        default=False,
                        verbose_name="a last day of rest moves to the next working day",
                    ),
                ),
                ("clause", models.CharField(blank=True, max_length=80, verbose_name="clause")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.answerlimit",
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
                    "warranty",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="limits",
                        to="registry.warranty",
                    ),
                ),
            ],
            options={
                "ordering": ("pk",),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="answer_limit_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("days__lte", 3650)),
                        name="answer_limit_within_ten_years",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("double_of__isnull", True), ("void_at__isnull", True)),
                        fields=("warranty", "step"),
                        name="answer_limit_once_a_step",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WarrantyCover",
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
                    "subject",
                    models.CharField(
                        choices=[
                            ("workmanship", "workmanship"),
                            ("material", "material"),
                            ("raveling", "raveling"),
                            ("infiltration", "infiltration"),
                        ],
                        max_length=12,
                        verbose_name="covers",
                    ),
                ),
                (
                    "years",
                    models.PositiveSmallIntegerField(
                        blank=True, null=True, verbose_name="years, if its own"
                    ),
                ),
                (
                    "least_rate_mm_h",
                    models.FloatField(blank=True, null=True, verbose_name="not under"),
                ),
                (
                    "raveled_over_percent",
                    models.FloatField(
                        blank=True, null=True, verbose_name="raveled over, % of a panel outline"
                    ),
                ),
                (
                    "least_severity",
                    models.CharField(
                        blank=True,
                        choices=[("low", "low"), ("moderate", "moderate"), ("high", "high")],
                        max_length=8,
                        verbose_name="severity at least",
                    ),
                ),
                ("only_if", models.CharField(blank=True, max_length=200, verbose_name="only if")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.warrantycover",
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
                    "warranty",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="covers",
                        to="registry.warranty",
                    ),
                ),
            ],
            options={
                "ordering": ("pk",),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="warranty_cover_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("raveled_over_percent__isnull", True),
                            ("raveled_over_percent__range", (0, 100)),
                            _connector="OR",
                        ),
                        name="warranty_cover_raveled_0_to_100",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WarrantyMove",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("from_state", models.CharField(blank=True, max_length=20)),
                ("to_state", models.CharField(max_length=20)),
                (
                    "is_back",
                    models.BooleanField(default=False, verbose_name="back to an earlier state"),
                ),
                ("why", models.CharField(blank=True, max_length=300, verbose_name="because")),
                ("on", models.DateField(verbose_name="date")),
                ("signed_by", models.CharField(blank=True, max_length=160, verbose_name="signed")),
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
                    "warranty",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="registry.warranty",
                    ),
                ),
            ],
            options={
                "ordering": ("at", "pk"),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("is_back", False),
                            models.Q(("why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="warranty_move_back_says_why",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="WarrantyPart",
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
                ("name", models.CharField(max_length=80, verbose_name="part")),
                ("panels", models.JSONField(default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(blank=True, max_length=240, verbose_name="panels, as written"),
                ),
                ("start_on", models.DateField(blank=True, null=True, verbose_name="start")),
                ("years", models.PositiveSmallIntegerField(verbose_name="years")),
                (
                    "ended_early_on",
                    models.DateField(blank=True, null=True, verbose_name="last day by agreement"),
                ),
                ("because", models.CharField(blank=True, max_length=200, verbose_name="because")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.warrantypart",
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
                    "warranty",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="parts",
                        to="registry.warranty",
                    ),
                ),
            ],
            options={
                "ordering": ("start_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="warranty_part_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(("years__range", (1, 30))),
                        name="warranty_part_runs_1_to_30_years",
                    ),
                ],
            },
        ),
        migrations.AddField(
            model_name="repair",
            name="warranty_part",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="repairs",
                to="registry.warrantypart",
                verbose_name="cover of the repaired part",
            ),
        ),
        migrations.CreateModel(
            name="WeatherReading",
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
                    "system",
                    models.CharField(
                        choices=[("inch_pound", "ft, in, lb"), ("si", "m, mm, kg")],
                        max_length=10,
                        verbose_name="units of the reading",
                    ),
                ),
                ("at", models.DateTimeField(verbose_name="clock")),
                ("air_c", models.FloatField(blank=True, null=True, verbose_name="air")),
                (
                    "humidity_percent",
                    models.FloatField(blank=True, null=True, verbose_name="relative humidity, %"),
                ),
                (
                    "wind_km_h",
                    models.FloatField(
                        blank=True, null=True, verbose_name="wind 20 in above the surface"
                    ),
                ),
                (
                    "sky",
                    models.CharField(
                        blank=True,
                        choices=[("sun", "sun"), ("cloud", "cloud"), ("shade", "shade")],
                        max_length=5,
                        verbose_name="sky",
                    ),
                ),
                ("concrete_c", models.FloatField(blank=True, null=True, verbose_name="concrete")),
                (
                    "read_with",
                    models.CharField(
                        blank=True,
                        choices=[("meter", "own meter"), ("station", "station"), ("eye", "by eye")],
                        max_length=7,
                        verbose_name="read with",
                    ),
                ),
                (
                    "station",
                    models.CharField(
                        blank=True, max_length=120, verbose_name="station and distance"
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
                        to="registry.weatherreading",
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
                    "load",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="weather",
                        to="registry.load",
                        verbose_name="at load",
                    ),
                ),
                (
                    "placing_day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="weather",
                        to="registry.placingday",
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
                "ordering": ("at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="weather_reading_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("humidity_percent__isnull", True),
                            ("humidity_percent__range", (0, 100)),
                            _connector="OR",
                        ),
                        name="weather_reading_humidity_0_to_100",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("wind_km_h__isnull", True), ("wind_km_h__gte", 0), _connector="OR"
                        ),
                        name="weather_reading_wind_is_not_below_0",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="WinterEntry",
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
                ("done_on", models.DateField(verbose_name="date")),
                ("done_at", models.DateTimeField(blank=True, null=True, verbose_name="clock")),
                ("done_by", models.CharField(blank=True, max_length=160, verbose_name="by")),
                (
                    "plowed",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="plowed",
                    ),
                ),
                (
                    "edge",
                    models.CharField(
                        blank=True,
                        choices=[("steel", "steel"), ("rubber", "rubber"), ("poly", "poly")],
                        max_length=6,
                        verbose_name="edge of the plow",
                    ),
                ),
                (
                    "shoes",
                    models.CharField(
                        blank=True,
                        choices=[("yes", "yes"), ("no", "no"), ("nk", "not known")],
                        max_length=3,
                        verbose_name="shoes fitted",
                    ),
                ),
                (
                    "deicer",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("sodium", "sodium chloride"),
                            ("calcium", "calcium chloride"),
                            ("magnesium", "magnesium chloride"),
                            ("acetate", "acetate"),
                            ("urea", "urea"),
                            ("brine", "brine"),
                            ("nk", "not known"),
                        ],
                        max_length=9,
                        verbose_name="deicer",
                    ),
                ),
                (
                    "spread_as",
                    models.CharField(blank=True, max_length=120, verbose_name="spread, as written"),
                ),
                ("bags", models.FloatField(blank=True, null=True, verbose_name="bags")),
                (
                    "bag_kg",
                    models.FloatField(blank=True, null=True, verbose_name="weight of a bag"),
                ),
                (
                    "deicer_kg",
                    models.FloatField(blank=True, null=True, verbose_name="deicer, weight"),
                ),
                ("sand_kg", models.FloatField(blank=True, null=True, verbose_name="sand, weight")),
                ("is_about", models.BooleanField(default=False, verbose_name="amount estimated")),
                ("panels", models.JSONField(blank=True, default=list, verbose_name="panels")),
                (
                    "panels_text",
                    models.CharField(blank=True, max_length=240, verbose_name="where, as written"),
                ),
                (
                    "snow_piled",
                    models.CharField(blank=True, max_length=160, verbose_name="snow piled"),
                ),
                (
                    "told_by",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("slip", "slip"),
                            ("invoice", "invoice"),
                            ("driver", "driver"),
                            ("memory", "memory"),
                        ],
                        max_length=8,
                        verbose_name="told by",
                    ),
                ),
                (
                    "obtained_on",
                    models.DateField(blank=True, null=True, verbose_name="obtained on"),
                ),
                (
                    "submitted_on",
                    models.DateField(
                        blank=True, null=True, verbose_name="sent to the municipality on"
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
                        to="registry.winterentry",
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
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="winter_entries",
                        to="registry.pavement",
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
                "verbose_name_plural": "winter entries",
                "ordering": ("done_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="winter_entry_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("bags__isnull", True), ("bags__gte", 0), _connector="OR"),
                            models.Q(("bag_kg__isnull", True), ("bag_kg__gte", 0), _connector="OR"),
                            models.Q(
                                ("deicer_kg__isnull", True), ("deicer_kg__gte", 0), _connector="OR"
                            ),
                            models.Q(
                                ("sand_kg__isnull", True), ("sand_kg__gte", 0), _connector="OR"
                            ),
                        ),
                        name="winter_entry_amounts_are_not_below_0",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CallbackAttachment",
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
                    "callback",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attachments",
                        to="registry.callback",
                    ),
                ),
                (
                    "cleaning",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attached_to",
                        to="registry.cleaning",
                        verbose_name="cleaning",
                    ),
                ),
                (
                    "defect",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attached_to",
                        to="registry.defect",
                        verbose_name="defect",
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
                        to="registry.callbackattachment",
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
                    "infiltration_test",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attached_to",
                        to="registry.infiltrationtest",
                        verbose_name="infiltration test",
                    ),
                ),
                (
                    "photo",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attached_to",
                        to="registry.photo",
                        verbose_name="photo",
                    ),
                ),
                (
                    "visit",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attached_to",
                        to="registry.visit",
                        verbose_name="visit",
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
                    "core",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attached_to",
                        to="registry.core",
                        verbose_name="core",
                    ),
                ),
                (
                    "winter_entry",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="attached_to",
                        to="registry.winterentry",
                        verbose_name="line of the winter log",
                    ),
                ),
            ],
            options={
                "ordering": ("pk",),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="callback_attachment_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("pk__in", ()),
                            models.Q(
                                ("infiltration_test__isnull", False),
                                ("cleaning__isnull", True),
                                ("core__isnull", True),
                                ("defect__isnull", True),
                                ("photo__isnull", True),
                                ("visit__isnull", True),
                                ("winter_entry__isnull", True),
                            ),
                            models.Q(
                                ("visit__isnull", False),
                                ("cleaning__isnull", True),
                                ("core__isnull", True),
                                ("defect__isnull", True),
                                ("infiltration_test__isnull", True),
                                ("photo__isnull", True),
                                ("winter_entry__isnull", True),
                            ),
                            models.Q(
                                ("defect__isnull", False),
                                ("cleaning__isnull", True),
                                ("core__isnull", True),
                                ("infiltration_test__isnull", True),
                                ("photo__isnull", True),
                                ("visit__isnull", True),
                                ("winter_entry__isnull", True),
                            ),
                            models.Q(
                                ("cleaning__isnull", False),
                                ("core__isnull", True),
                                ("defect__isnull", True),
                                ("infiltration_test__isnull", True),
                                ("photo__isnull", True),
                                ("visit__isnull", True),
                                ("winter_entry__isnull", True),
                            ),
                            models.Q(
                                ("winter_entry__isnull", False),
                                ("cleaning__isnull", True),
                                ("core__isnull", True),
                                ("defect__isnull", True),
                                ("infiltration_test__isnull", True),
                                ("photo__isnull", True),
                                ("visit__isnull", True),
                            ),
                            models.Q(
                                ("photo__isnull", False),
                                ("cleaning__isnull", True),
                                ("core__isnull", True),
                                ("defect__isnull", True),
                                ("infiltration_test__isnull", True),
                                ("visit__isnull", True),
                                ("winter_entry__isnull", True),
                            ),
                            models.Q(
                                ("core__isnull", False),
                                ("cleaning__isnull", True),
                                ("defect__isnull", True),
                                ("infiltration_test__isnull", True),
                                ("photo__isnull", True),
                                ("visit__isnull", True),
                                ("winter_entry__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="callback_attachment_is_one_thing",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="AgreedDate",
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
                    "step",
                    models.CharField(
                        choices=[
                            ("acknowledge", "acknowledge"),
                            ("visit", "visit"),
                            ("finding", "finding"),
                            ("reply", "owner’s reply"),
                            ("evaluator", "name an evaluator"),
                            ("remedy", "remedy"),
                        ],
                        max_length=11,
                        verbose_name="step",
                    ),
                ),
                ("due_on", models.DateField(verbose_name="new date")),
                (
                    "signed_on",
                    models.DateField(blank=True, null=True, verbose_name="signed by both on"),
                ),
                ("because", models.CharField(blank=True, max_length=200, verbose_name="because")),
                (
                    "double_of",
                    models.ForeignKey(
                        blank=True,
                        editable=False,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="doubles",
                        to="registry.agreeddate",
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
                    "callback",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="agreed_dates",
                        to="registry.callback",
                    ),
                ),
            ],
            options={
                "ordering": ("pk",),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="agreed_date_void_has_reason",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("double_of__isnull", True), ("void_at__isnull", True)),
                        fields=("callback", "step"),
                        name="agreed_date_once_a_step",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="CallbackAnswer",
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
                            ("accepted", "accepted"),
                            ("accepted_in_part", "accepted in part"),
                            ("declined", "declined"),
                            ("goodwill", "goodwill"),
                            ("evidence_asked", "more evidence asked"),
                        ],
                        max_length=16,
                        verbose_name="answer",
                    ),
                ),
                ("answered_on", models.DateField(verbose_name="date")),
                (
                    "accepted_panels",
                    models.JSONField(blank=True, default=list, verbose_name="panels accepted"),
                ),
                (
                    "accepted_text",
                    models.CharField(
                        blank=True, max_length=240, verbose_name="panels accepted, as written"
                    ),
                ),
                (
                    "declined",
                    models.JSONField(
                        blank=True, default=list, verbose_name="declined, with clause"
                    ),
                ),
                (
                    "goodwill",
                    models.CharField(
                        blank=True, max_length=240, verbose_name="goodwill, without admission"
                    ),
                ),
                (
                    "evidence_wanted",
                    models.CharField(
                        blank=True, max_length=240, verbose_name="more evidence asked"
                    ),
                ),
                (
                    "evidence_by",
                    models.DateField(blank=True, null=True, verbose_name="evidence by"),
                ),
                ("remedy", models.CharField(blank=True, max_length=240, verbose_name="remedy")),
                ("remedy_by", models.DateField(blank=True, null=True, verbose_name="remedy by")),
                (
                    "may_dispute_by",
                    models.DateField(blank=True, null=True, verbose_name="owner may dispute by"),
                ),
                ("text", models.TextField(blank=True, verbose_name="as written to the owner")),
                ("signed_by", models.CharField(blank=True, max_length=160, verbose_name="signed")),
                (
                    "callback",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="answers",
                        to="registry.callback",
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
                        to="registry.callbackanswer",
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
                "ordering": ("answered_on", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="callback_answer_void_has_reason",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="CallbackMove",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("from_state", models.CharField(blank=True, max_length=20)),
                ("to_state", models.CharField(max_length=20)),
                (
                    "is_back",
                    models.BooleanField(default=False, verbose_name="back to an earlier state"),
                ),
                ("why", models.CharField(blank=True, max_length=300, verbose_name="because")),
                ("on", models.DateField(verbose_name="date")),
                ("signed_by", models.CharField(blank=True, max_length=160, verbose_name="signed")),
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
                    "callback",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="moves",
                        to="registry.callback",
                    ),
                ),
            ],
            options={
                "ordering": ("at", "pk"),
                "abstract": False,
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("is_back", False),
                            models.Q(("why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="callback_move_back_says_why",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="CallbackNote",
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
                            ("letter_in", "letter or mail that came"),
                            ("letter_out", "letter or mail that went out"),
                            ("call", "call"),
                            ("survey", "survey of the visit"),
                            ("reply", "owner’s reply"),
                            ("event", "event"),
                            ("inside", "note kept inside"),
                        ],
                        max_length=10,
                        verbose_name="what",
                    ),
                ),
                ("happened_on", models.DateField(verbose_name="date")),
                ("happened_at", models.DateTimeField(blank=True, null=True, verbose_name="clock")),
                ("who", models.CharField(blank=True, max_length=160, verbose_name="who")),
                ("text", models.TextField(verbose_name="text")),
                (
                    "callback",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="notes",
                        to="registry.callback",
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
                        to="registry.callbacknote",
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
                    "inside_of",
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
                "ordering": ("happened_on", "happened_at", "pk"),
                "constraints": [
                    models.CheckConstraint(
                        condition=models.Q(
                            ("void_at__isnull", True),
                            models.Q(("void_why", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="callback_note_void_has_reason",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("inside_of__isnull", False), ("kind", "inside")),
                            models.Q(
                                models.Q(("kind", "inside"), _negated=True),
                                ("inside_of__isnull", True),
                            ),
                            _connector="OR",
                        ),
                        name="callback_note_kept_inside_names_its_side",
                    ),
                ],
            },
        ),
        migrations.AddConstraint(
            model_name="load",
            constraint=models.UniqueConstraint(
                condition=models.Q(("double_of__isnull", True), ("void_at__isnull", True)),
                fields=("placing_day", "number"),
                name="load_number_once_a_day",
            ),
        ),
    ]
