"""The one app of the project."""

from importlib import import_module

from django.apps import AppConfig


class RegistryConfig(AppConfig):
    """Registers the checks of a deployment when everything is loaded."""

    name = "registry"
    default_auto_field = "django.db.models.BigAutoField"
    verbose_name = "Pavement registry"

    def ready(self) -> None:
        """Load the checks; they register themselves."""
        import_module("registry.checks")
