"""What this room registers."""

from __future__ import annotations

from coach.practice.permissions import Fact
from coach.practice.registry import Room, Section, Setting
from coach.practice.registry import register as _register
from content.models import (
    Away,
    CheckItem,
    ClassCheck,
    ClassCorrection,
    ClassDesign,
    ClassText,
    DayOff,
    DescriptionTemplate,
    DesignStep,
    EarlierPlan,
    FilmedTimes,
    FitnessClass,
    OwnExercise,
    Proposal,
    SentClass,
    Series,
    Upload,
    Wishes,
)
from content.queries.classes import published_titles
from content.queries.suits import given

_PLANNED = (
    "month",
    "status",
    "value",
    "bound",
    "slots",
    "unmet",
    "pins",
    "conflict",
    "better",
)
_FIELDS = {
    Series: ("title",),
    FitnessClass: (
        "title",
        "state",
        "focus",
        "series",
        "part",
        "minutes",
        "effort",
        "stages",
        "minutes_of_work",
        "not_before",
        "not_after",
        "wanted_soon",
        "note",
        "for_quiet",
    ),
    Upload: ("item", "day", "sequence", "cancelled_at"),
    Wishes: (
        "rhythm",
        "weekdays",
        "a_week",
        "gap_days",
        "publish_at",
        "minutes_a_week",
        "film_weekdays",
        "films_a_day",
        "lead_outline",
        "lead_film",
        "lead_edit",
        "lead_captions",
        "lead_days",
        "serve_every_weeks",
        "enquiries",
        "mix",
        "preference",
        "sliders",
    ),
    Away: ("first", "last", "why", "days", "moved", "at", "taken_back_at", "by"),
    CheckItem: ("code", "words", "step", "place", "retired"),
    ClassCheck: ("item", "code", "done_on", "by"),
    DayOff: ("day", "why"),
    OwnExercise: ("code", "values", "retired"),
    ClassDesign: ("item", "planned", "filmed", "revision"),
    DesignStep: ("design", "number", "planned", "what", "at"),
    FilmedTimes: ("item", "file_name", "cues", "found", "fixed", "length_ms"),
    ClassText: ("item", "description", "kept_claims"),
    DescriptionTemplate: ("text",),
    ClassCorrection: ("item", "kind", "reason", "note", "at", "by"),
    Proposal: (*_PLANNED, "fingerprint", "changed"),
    EarlierPlan: (*_PLANNED, "number", "what", "uploads", "at", "by", "taken_back_at"),
}


def register() -> None:
    """Called when the app is ready."""
    _register(
        Room(
            name="content",
            facts={
                **{model: dict.fromkeys(names, Fact.CONTENT) for model, names in _FIELDS.items()},
                # Which class suited her tells of her health.
                SentClass: dict.fromkeys(("item", "client", "at", "how", "by"), Fact.HEALTH),
            },
            sections=(
                Section("Uploads", "uploads:now", 20, Fact.CONTENT, ("uploads",)),
                Section("Classes", "classes:shelf", 30, Fact.CONTENT, ("classes",)),
            ),
            settings=(
                Setting(
                    "Checklist",
                    "What is looked at when a class is outlined, filmed, edited and scheduled.",
                    "uploads:checklist",
                    Fact.CONTENT,
                ),
            ),
            titles=published_titles,
            given=given,
        )
    )
