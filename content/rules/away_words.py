"""What the page of days away says. Pure."""

from __future__ import annotations

from collections.abc import Collection

from coach.scheduling.away_back import Back
from coach.scheduling.planner.words import count, number


def slips_in_words(moved: int, homeless: int) -> str:
    """ "three uploads slip, one of them finds no day"."""
    if not moved:
        return "no upload slips"
    said = f"{count(moved, 'upload')} {'slips' if moved == 1 else 'slip'}"
    if not homeless:
        return said
    finds = "finds" if homeless == 1 else "find"
    return f"{said}{' and' if moved == 1 else f', {number(homeless)} of them'} {finds} no day"


def gone_in_words(moved: int, days: int) -> str:
    """What was done when she goes away."""
    off = count(days, "more day off", "more days off")
    return f"You are away: {off}, {count(moved, 'upload')} moved."


def taken_back_in_words(backs: Collection[Back]) -> str:
    """What was done when days away are taken back."""
    gone = sum(not back.why for back in backs)
    if not backs:
        return "Taken back. No upload had been moved."
    if gone == len(backs):
        return f"Taken back. {count(gone, 'upload').capitalize()} on the old day again."
    return f"Taken back. {gone} of {count(len(backs), 'upload')} on the old day again."
