"""The business: one row."""

from __future__ import annotations

from django.core.validators import MaxValueValidator
from django.db import models

from coach.practice.models.base import Stamped


class Practice(Stamped):
    """The coach's business. A database holds one; a demo's is marked as such."""

    name = models.CharField(max_length=120)
    country = models.CharField(max_length=2)
    time_zone = models.CharField(max_length=64)
    currency = models.CharField(max_length=3)
    address = models.TextField(blank=True)
    how_to_pay = models.TextField(blank=True)
    tax_name = models.CharField("name of the tax", max_length=20, blank=True)
    tax_number = models.CharField("tax number", max_length=40, blank=True)
    tax_basis_points = models.PositiveIntegerField(
        "usual rate", default=0, validators=[MaxValueValidator(10_000)]
    )
    trimester_scheme = models.CharField("how trimesters are cut", max_length=20, default="coding")
    offers = models.TextField("what the coach offers, for letters to clinicians", blank=True)
    is_demo = models.BooleanField(default=False, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(name="practice_only_one", condition=models.Q(pk=1)),
            models.CheckConstraint(
                name="practice_tax_at_most_whole",
                condition=models.Q(tax_basis_points__lte=10_000),
            ),
        ]

    def __str__(self) -> str:
        return self.name
