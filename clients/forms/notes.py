"""Forms of a note or a message, of what is added to one, and of a reason."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from clients.forms.fields import RefusableForm, day_field, text_field
from clients.rules.notes import CHANNELS, LONGEST_CHANNEL, LONGEST_TEXT, MESSAGE, NOTE

_WORDS = {NOTE: "What you want to keep", MESSAGE: "The message"}


class EntryForm(RefusableForm):
    """A note, or a message with how it came; the day is today unless another is written."""

    text = text_field("Text", longest=LONGEST_TEXT, required=True, rows=4)
    channel = text_field(
        "How it came", longest=LONGEST_CHANNEL, required=True,
        missing="Say how it came, such as a text message or an e-mail.",
    )  # fmt: skip
    day = day_field("Day", required=True)

    channels = CHANNELS

    def __init__(
        self, data: Any = None, *, kind: str, today: date, kept: Mapping[str, Any] | None = None
    ) -> None:
        initial = {"day": today, **(kept or {})}
        super().__init__(data, auto_id=f"{kind}_%s", initial=initial)
        self.kind = kind
        self.fields["text"].label = _WORDS[kind]
        if kind == NOTE:
            del self.fields["channel"]
        else:
            self.fields["channel"].widget.attrs["list"] = "channels"

    @property
    def facts(self) -> dict[str, Any]:
        """Keywords of the action, when the form is valid."""
        return dict(self.cleaned_data)


class AddendumForm(RefusableForm):
    """What is added to an entry that stands as it is."""

    text = text_field("What you add", longest=LONGEST_TEXT, required=True, rows=4)


class ReasonForm(RefusableForm):
    """Why she is trained today although something is stale."""

    reason = text_field(
        "Why you train her today all the same", longest=1000, required=True, rows=3,
        missing="Say why: it stays in her history.",
    )  # fmt: skip
