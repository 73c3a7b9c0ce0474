"""What the month page says of a month, a week and a proposal. Pure."""

from __future__ import annotations

from coach.scheduling.planner.words import count, number


def month_in_words(standing: int, proposed: int, *, best: bool) -> str:
    """The line under a month's name: what stands, what is proposed, how good that is."""
    if not proposed:
        return f"{count(standing, 'upload')} planned" if standing else "nothing planned yet"
    quality = "the best for your wishes" if best else "the best found in the time there was"
    said = f"a proposal: {count(proposed, 'upload')}, {quality}"
    return f"{said}; {number(standing)} planned before" if standing else said


def week_in_words(there: int, wanted: int) -> str:
    """How many uploads a week has, of how many she wants; empty where she has said nothing."""
    return f"{there} of {wanted}" if wanted else (str(there) if there else "")


def accept_in_words(proposed: int) -> str:
    """The word on the button that accepts a proposal."""
    return {1: "Accept it", 2: "Accept both"}.get(proposed, f"Accept all {number(proposed)}")
