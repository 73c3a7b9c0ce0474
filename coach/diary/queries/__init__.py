"""Reads of the diary: who is to be reassessed, put together from what other rooms know."""

from coach.diary.queries.clearances import LETTERS_AHEAD_DAYS, ClearanceWanted, clearances
from coach.diary.queries.page import Asked, DiaryPage, Week, diary_page
from coach.diary.queries.reassessments import (
    AHEAD_DAYS,
    Do,
    Reassessment,
    Snooze,
    Waiting,
    Wanted,
    reassessment_of,
    reassessments,
)

__all__ = [
    "AHEAD_DAYS",
    "LETTERS_AHEAD_DAYS",
    "Asked",
    "ClearanceWanted",
    "DiaryPage",
    "Do",
    "Reassessment",
    "Snooze",
    "Waiting",
    "Wanted",
    "Week",
    "clearances",
    "diary_page",
    "reassessment_of",
    "reassessments",
]
