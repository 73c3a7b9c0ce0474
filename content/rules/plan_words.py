"""What the month page says of a month, a week and a proposal. Pure."""

from __future__ import annotations

_NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def number(count: int) -> str:
    """ "no", "one" … "twelve", then figures."""
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def uploads(count: int) -> str:
    """ "one upload", "8 uploads" with the number as a word up to twelve."""
    return f"{number(count)} upload{'' if count == 1 else 's'}"


def month_in_words(standing: int, proposed: int, *, best: bool) -> str:
    """The line under a month's name: what stands, what is proposed, how good that is."""
    if not proposed:
        return f"{uploads(standing)} planned" if standing else "nothing planned yet"
    quality = "the best for your wishes" if best else "the best found in the time there was"
    said = f"a proposal: {uploads(proposed)}, {quality}"
    return f"{said}; {number(standing)} planned before" if standing else said


def week_in_words(count: int, wanted: int) -> str:
    """How many uploads a week has, of how many she wants; empty where she has said nothing."""
    return f"{count} of {wanted}" if wanted else (str(count) if count else "")


def accept_in_words(count: int) -> str:
    """The word on the button that accepts a proposal."""
    return {1: "Accept it", 2: "Accept both"}.get(count, f"Accept all {number(count)}")
