"""Exercises and what each asks of the body: values, checks, the table, the library. Pure."""

from __future__ import annotations

from content.rules.compendium import intensity_of, mets
from content.rules.exercises.checks import asks_more, wrong_options, wrong_with
from content.rules.exercises.library import Library, plain
from content.rules.exercises.table import exercises, kept_of, own_exercise, read_exercises
from content.rules.exercises.values import (
    CORE,
    FOCUSES,
    IMPACT,
    INTENSITIES,
    KIT,
    POSITIONS,
    SIDES,
    STANCES,
    Exercise,
    Wrong,
)

__all__ = [
    "CORE",
    "FOCUSES",
    "IMPACT",
    "INTENSITIES",
    "KIT",
    "POSITIONS",
    "SIDES",
    "STANCES",
    "Exercise",
    "Library",
    "Wrong",
    "asks_more",
    "exercises",
    "intensity_of",
    "kept_of",
    "mets",
    "own_exercise",
    "plain",
    "read_exercises",
    "wrong_options",
    "wrong_with",
]
