"""The people who sign in."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.db import models

from coach import clock
from coach.practice.models.base import Stamped

# Spelled as in permissions.Role, which is above this module; a test keeps the two equal.
ROLES = [(role, role) for role in ("owner", "covering coach", "assistant", "bookkeeper")]


class People(BaseUserManager["User"]):
    """Makes people; e-mail addresses are kept in lower case, so that one person is one row."""

    def create_user(self, email: str, password: str | None = None, **fields: Any) -> User:
        """A person, with no usable password if none is given."""
        user = self.model(email=email.strip().lower(), **fields)
        user.set_password(password)
        user.save(using=self._db)
        return user

    def get_by_natural_key(self, username: str | None) -> User:
        return self.get(email=(username or "").lower())


class User(Stamped, AbstractBaseUser):
    """A person who signs in with her e-mail address; never deleted, only deactivated."""

    email = models.EmailField(unique=True)
    name = models.CharField(max_length=120)
    role = models.CharField(max_length=20, choices=ROLES)
    is_active = models.BooleanField(default=True)
    date_joined = models.DateTimeField(default=clock.now, editable=False)

    objects = People()

    USERNAME_FIELD = EMAIL_FIELD = "email"
    REQUIRED_FIELDS = ["name", "role"]

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(
                name="user_role_known", condition=models.Q(role__in=[role for role, _ in ROLES])
            )
        ]

    def __str__(self) -> str:
        return self.name
