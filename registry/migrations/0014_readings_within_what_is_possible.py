"""Readings that no ring test can give are refused; those stored before are named, to be voided."""

from django.core.exceptions import ImproperlyConfigured
from django.db import migrations, models

RING_IN, RING_MM = (1.968503937007874, 78.74015748031496), (50.0, 2000.0)
MOST_LB, MOST_KG = 2204.622621848776, 1000.0
NAMED = 20


def _is_beyond(row):
    ring, most = (RING_MM, MOST_KG) if row.system == "si" else (RING_IN, MOST_LB)
    masses = (row.water, row.prewet_water, row.water_left)
    times = (row.seconds, row.prewet_seconds, row.wait_seconds)
    return (
        (row.ring is not None and not ring[0] <= row.ring <= ring[1])
        or any(mass is not None and mass > most for mass in masses)
        or any(time is not None and time > 86_400 for time in times)
    )


def name_what_is_beyond(apps, schema_editor):
    """Stop before anything is changed, and say which entries a person has to void or correct."""
    tests = apps.get_model("registry", "InfiltrationTest").objects.filter(void_at__isnull=True)
    rings = apps.get_model("registry", "Ring").objects.filter(void_at__isnull=True)
    found = [f"infiltration test {row.pk}" for row in tests.iterator() if _is_beyond(row)]
    for row in rings.iterator():
        least, most = RING_MM if row.system == "si" else RING_IN
        if not least <= row.inside_diameter <= most:
            found.append(f"ring {row.pk}")
    if found:
        more = f" and {len(found) - NAMED} more" if len(found) > NAMED else ""
        raise ImproperlyConfigured(
            "These entries hold readings beyond what any ring test can give (ring 50 to 2000 mm, "
            "water up to 1000 kg, times up to a day). Void or correct them with the version "
            f"before, then migrate again: {', '.join(found[:NAMED])}{more}."
        )


class Migration(migrations.Migration):
    dependencies = [("registry", "0013_residuals_of_a_fit")]

    operations = [
        migrations.RunPython(name_what_is_beyond, migrations.RunPython.noop),
        migrations.AddConstraint(
            model_name="infiltrationtest",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("void_at__isnull", False),
                    models.Q(
                        models.Q(
                            ("ring__isnull", True),
                            models.Q(
                                ("system", "inch_pound"),
                                ("ring__range", (1.968503937007874, 78.74015748031496)),
                            ),
                            models.Q(("system", "si"), ("ring__range", (50.0, 2000.0))),
                            _connector="OR",
                        ),
                        models.Q(
                            ("seconds__isnull", True), ("seconds__lte", 86400.0), _connector="OR"
                        ),
                        models.Q(
                            ("prewet_seconds__isnull", True),
                            ("prewet_seconds__lte", 86400.0),
                            _connector="OR",
                        ),
                        models.Q(
                            ("wait_seconds__isnull", True),
                            ("wait_seconds__lte", 86400.0),
                            _connector="OR",
                        ),
                        models.Q(
                            ("water__isnull", True),
                            models.Q(("system", "inch_pound"), ("water__lte", 2204.622621848776)),
                            models.Q(("system", "si"), ("water__lte", 1000.0)),
                            _connector="OR",
                        ),
                        models.Q(
                            ("prewet_water__isnull", True),
                            models.Q(
                                ("system", "inch_pound"), ("prewet_water__lte", 2204.622621848776)
                            ),
                            models.Q(("system", "si"), ("prewet_water__lte", 1000.0)),
                            _connector="OR",
                        ),
                        models.Q(
                            ("water_left__isnull", True),
                            models.Q(
                                ("system", "inch_pound"), ("water_left__lte", 2204.622621848776)
                            ),
                            models.Q(("system", "si"), ("water_left__lte", 1000.0)),
                            _connector="OR",
                        ),
                    ),
                    _connector="OR",
                ),
                name="infiltration_test_readings_are_possible",
                violation_error_message="A reading lies beyond what any ring test can give.",
            ),
        ),
        migrations.AddConstraint(
            model_name="ring",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("void_at__isnull", False),
                    models.Q(
                        ("system", "inch_pound"),
                        ("inside_diameter__range", (1.968503937007874, 78.74015748031496)),
                    ),
                    models.Q(("system", "si"), ("inside_diameter__range", (50.0, 2000.0))),
                    _connector="OR",
                ),
                name="ring_is_of_a_possible_size",
                violation_error_message="A ring is 50 to 2000 mm (1.97 to 78.7 in) wide.",
            ),
        ),
    ]
