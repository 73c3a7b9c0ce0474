"""The wishes for a month's plan, days off and proposals."""

from __future__ import annotations

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from coach import clock
from coach.practice.models import Stamped
from content.models.classes import FitnessClass

_LEAD = MaxValueValidator(120)


class Preference(models.TextChoices):
    """What weighs more in a plan; the weights behind are in data/preferences.toml."""

    SERVE = "serve", "Serve the clients"
    MIX = "mix", "Keep the mix"
    FILM = "film", "Film on few days"


class Rhythm(models.TextChoices):
    """How publish days are chosen."""

    WEEKDAYS = "weekdays", "on these weekdays"
    A_WEEK = "a week", "so many a week, on any day"


class Enquiries(models.TextChoices):
    """How much an open enquiry counts in what the roster will need."""

    NO = "no", "not at all"
    HALF = "half", "two as one client"
    FULL = "full", "as a client"


class Wishes(Stamped):
    """How she wants to publish and to make classes: one row. Weekdays are 0 (Monday) to 6.

    Leads are days before the publish day, the outline's the longest; `lead_days` is the last one,
    by which a class is ready and scheduled. `film_weekdays` empty: not said, so no plan counts on
    filming days. `mix`: per cent by focus. `sliders`: per cent of the preset's points by wish.
    """

    rhythm = models.CharField(max_length=10, choices=Rhythm.choices, default=Rhythm.WEEKDAYS)
    weekdays = models.JSONField(default=list, blank=True)
    a_week = models.PositiveSmallIntegerField(
        default=2, validators=[MinValueValidator(1), MaxValueValidator(7)]
    )
    gap_days = models.PositiveSmallIntegerField(
        default=1, validators=[MinValueValidator(1), MaxValueValidator(60)]
    )
    publish_at = models.TimeField(null=True, blank=True)
    minutes_a_week = models.PositiveIntegerField(
        default=480, validators=[MaxValueValidator(60 * 100)]
    )
    film_weekdays = models.JSONField(default=list, blank=True)
    films_a_day = models.PositiveSmallIntegerField(
        default=3, validators=[MinValueValidator(1), MaxValueValidator(20)]
    )
    lead_outline = models.PositiveSmallIntegerField(default=21, validators=[_LEAD])
    lead_film = models.PositiveSmallIntegerField(default=10, validators=[_LEAD])
    lead_edit = models.PositiveSmallIntegerField(default=6, validators=[_LEAD])
    lead_captions = models.PositiveSmallIntegerField(default=4, validators=[_LEAD])
    lead_days = models.PositiveSmallIntegerField(default=2, validators=[MaxValueValidator(60)])
    serve_every_weeks = models.PositiveSmallIntegerField(
        default=2, validators=[MinValueValidator(1), MaxValueValidator(12)]
    )
    enquiries = models.CharField(max_length=4, choices=Enquiries.choices, default=Enquiries.HALF)
    mix = models.JSONField(default=dict, blank=True)
    preference = models.CharField(
        max_length=10, choices=Preference.choices, default=Preference.SERVE
    )
    sliders = models.JSONField(default=dict, blank=True)

    class Meta:
        verbose_name_plural = "wishes"
        constraints = [
            models.CheckConstraint(name="wishes_only_one", condition=Q(pk=1)),
        ]

    def __str__(self) -> str:
        return "wishes"

    @property
    def target(self) -> int:
        """Uploads a week that she wants; 0 before she has said."""
        return self.a_week if self.rhythm == Rhythm.A_WEEK else len(self.weekdays)


class DayOff(Stamped):
    """A day on which nothing is published and nothing made."""

    day = models.DateField(unique=True)
    why = models.CharField(max_length=80, blank=True)

    class Meta:
        ordering = ["day"]
        verbose_name_plural = "days off"

    def __str__(self) -> str:
        return self.day.isoformat()


class Away(Stamped):
    """Days away, planned or not: what was moved for them, so that it can be taken back.

    `days`: the days off made for it; `moved`: [{"upload", "from", "to"}], "to" None for one that
    found no day and was taken off, and once taken back "kept" for why one did not go back.
    """

    first = models.DateField()
    last = models.DateField()
    why = models.CharField(max_length=80, blank=True)
    days = models.JSONField(default=list)
    moved = models.JSONField(default=list)
    at = models.DateTimeField(default=clock.now, editable=False)
    taken_back_at = models.DateTimeField(null=True, blank=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["-first", "-pk"]
        verbose_name_plural = "days away"
        constraints = [
            models.CheckConstraint(
                name="away_days_in_order", condition=Q(first__lte=models.F("last"))
            )
        ]

    def __str__(self) -> str:
        return f"away from {self.first}"


class _Planned(Stamped):
    """What a plan came to. `slots`: [{"day", "class", "reasons", "pinned", "was"}], `was` its day
    in the plan before, None for new; `pins`: [{"day", "class"}]; `unmet`, `conflict` and `better`
    (than the greedy plan) are sentences.
    """

    status = models.CharField(max_length=12)
    value = models.BigIntegerField()
    bound = models.BigIntegerField()
    slots = models.JSONField(default=list)
    unmet = models.JSONField(default=list)
    pins = models.JSONField(default=list)
    conflict = models.JSONField(default=list)
    better = models.JSONField(default=list)

    class Meta:
        abstract = True


class Proposal(_Planned):
    """The latest plan made for a month, to be accepted or not; `month` is its first day.

    `fingerprint` is of the problem it answers; `changed` says what is other than in the plan before
    it, in sentences.
    """

    month = models.DateField(unique=True)
    fingerprint = models.CharField(max_length=64)
    changed = models.JSONField(default=list)

    class Meta:
        ordering = ["month"]

    def __str__(self) -> str:
        return f"proposal for {self.month:%Y-%m}"


class EarlierPlan(_Planned):
    """A plan of a month as it was made or accepted, kept to be looked at and taken back.

    `uploads`: ids of what an acceptance made; never changed but for `taken_back_at`.
    """

    month = models.DateField()
    number = models.PositiveSmallIntegerField()
    what = models.CharField(max_length=8, choices=[("made", "made"), ("accepted", "accepted")])
    uploads = models.JSONField(default=list)
    at = models.DateTimeField(default=clock.now, editable=False)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    taken_back_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["month", "-number"]
        constraints = [
            models.UniqueConstraint(name="earlier_plan_once", fields=["month", "number"]),
        ]

    def __str__(self) -> str:
        return f"plan {self.number} for {self.month:%Y-%m}"


class Step(models.TextChoices):
    """The steps from an idea to a class that is out."""

    OUTLINE = "outline", "outline"
    FILM = "film", "film"
    EDIT = "edit", "edit"
    CAPTIONS = "captions", "captions"
    SCHEDULE = "schedule", "schedule"


class CheckItem(Stamped):
    """An item of the practice's checklist: her own, or the change she made to one of the table.

    `code` is the table's, or her own; what is retired is asked of no class any more.
    """

    code = models.SlugField(max_length=60, unique=True)
    words = models.CharField(max_length=120)
    step = models.CharField(max_length=10, choices=Step.choices)
    place = models.PositiveSmallIntegerField(default=100)
    retired = models.BooleanField(default=False)

    class Meta:
        ordering = ["place", "pk"]

    def __str__(self) -> str:
        return self.words


class ClassCheck(Stamped):
    """An item of the checklist that is done for a class."""

    item = models.ForeignKey(FitnessClass, on_delete=models.CASCADE, related_name="checks_done")
    code = models.SlugField(max_length=60)
    done_on = models.DateField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(name="class_check_once", fields=["item", "code"]),
        ]

    def __str__(self) -> str:
        return f"{self.code} of {self.item_id}"
