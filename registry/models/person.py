"""People who sign in."""

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager, PermissionsMixin
from django.db import models
from django.db.models.functions import Lower

from registry.models.choices import ReadingSystem


class PersonManager(BaseUserManager["Person"]):
    """Make people by their e-mail address."""

    def create_user(self, email: str, password: str | None = None, **fields: object) -> "Person":
        """Return a new person; the address is kept in lower case."""
        if not email:
            raise ValueError("A person needs an e-mail address.")
        person = self.model(email=self.normalize_email(email).lower(), **fields)
        person.set_password(password)
        person.save(using=self._db)
        return person

    def create_superuser(self, email: str, password: str, **fields: object) -> "Person":
        """Return a new person for `manage.py createsuperuser`; seats still decide what is seen."""
        return self.create_user(email, password, is_staff=True, is_superuser=True, **fields)


class Person(AbstractBaseUser, PermissionsMixin):
    """Somebody who signs in. What they see follows from their organisations' seats alone."""

    email = models.EmailField("e-mail address", unique=True)
    name = models.CharField("name", max_length=120)
    phone = models.CharField("phone", max_length=40, blank=True)
    shown_system = models.CharField(
        "units shown", max_length=12, choices=ReadingSystem, default=ReadingSystem.INCH_POUND
    )
    is_active = models.BooleanField("may sign in", default=True)
    is_staff = models.BooleanField(default=False)
    joined_at = models.DateTimeField(auto_now_add=True)

    objects = PersonManager()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS = ["name"]

    class Meta:
        constraints = (
            models.UniqueConstraint(Lower("email"), name="person_email_once_in_any_case"),
        )

    def __str__(self) -> str:
        return self.name or self.email
