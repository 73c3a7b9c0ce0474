"""Forms of when a client is seen again: a snooze, and how often."""

from __future__ import annotations

from typing import Any

from clients.actions.rhythm import LONGEST_REASON, MOST_WEEKS
from clients.forms.fields import RefusableForm, day_field, number_field, text_field


class SnoozeForm(RefusableForm):
    """Until when nothing is asked of her, and why. Several may stand on one page."""

    until = day_field("Until", required=True, missing="Choose the day on which to ask again.")
    reason = text_field(
        "Why", longest=LONGEST_REASON, required=True,
        missing="Say why: it stands beside her name until that day.",
    )  # fmt: skip

    def __init__(self, data: Any = None, *, client: int) -> None:
        super().__init__(data, auto_id=f"snooze_{client}_%s")

    @property
    def facts(self) -> dict[str, Any]:
        """Keywords of the action, when the form is valid."""
        return dict(self.cleaned_data)


class IntervalForm(RefusableForm):
    """How often she is seen; nothing is as the practice does."""

    every_weeks = number_field(
        "Every so many weeks", least=1, most=MOST_WEEKS,
        hint="Empty: as often as her stage asks.",
    )  # fmt: skip
