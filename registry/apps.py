from django.apps import AppConfig


class RegistryConfig(AppConfig):
    """The one app of the project."""

    name = "registry"
    default_auto_field = "django.db.models.BigAutoField"
    verbose_name = "Pavement registry"
