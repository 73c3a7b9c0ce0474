"""The forms of letters to clinicians: what one says, that it was sent, chased, answered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms

from clients.actions.letters import Typed
from clients.forms.clearance import KINDS
from clients.forms.fields import RefusableForm, day_field, radios, text_field
from clients.rules.letter_words import ASKS, DONE
from clients.rules.letters import HERSELF, WAYS

LONGEST_TEXT = 900  # what one page holds beside all the rest
NO_CLEARANCE = "none"


class LetterForm(RefusableForm):
    """To whom it goes and where the answer comes back; without her consent she hands it over."""

    by_herself = forms.BooleanField(
        label="I give it to her, and she hands it over herself", required=False
    )
    to_name = text_field("Name of the clinician", longest=120, hint="If you know it.")
    to_kind = forms.ChoiceField(
        label="Kind of clinician",
        required=False,
        choices=[("", "not known"), *((kind, kind) for kind in KINDS)],
    )
    reply_to = text_field(
        "Where the answer goes", longest=200, required=True,
        missing="Write an e-mail or postal address.", hint="An e-mail or postal address.",
    )  # fmt: skip

    def __init__(self, *args: Any, consented: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not consented:
            self.fields["by_herself"].required = True
            self.fields["by_herself"].error_messages["required"] = (
                "Without her consent it goes no other way: tick this."
            )

    @property
    def typed(self) -> Typed:
        """What was typed, when the form is valid."""
        data = self.cleaned_data
        names = ("to_name", "to_kind", "reply_to", "offers", "seen", "asks")
        return Typed(
            **{name: data[name].strip() for name in names if name in data},
            signs=frozenset(int(pk) for pk in data.get("signs", ())),
            done=tuple(data.get("done", ())),
        )


class ClearanceLetterForm(LetterForm):
    """Asks for a go-ahead: what the coach offers, which is kept for the next letter."""

    offers = text_field(
        "What you offer", longest=LONGEST_TEXT, rows=5, required=True,
        missing="Say what you offer: a clinician can judge only what she knows of.",
        hint="How often, how long, what kind of work, how hard, how you watch over it.",
    )  # fmt: skip


class ReferralForm(LetterForm):
    """Sends her to a clinician: what was seen or reported, what was done, what is asked."""

    signs = forms.MultipleChoiceField(
        label="Warning signs it is about", required=False, widget=forms.CheckboxSelectMultiple
    )
    seen = text_field(
        "What was reported or seen", longest=LONGEST_TEXT, rows=4,
        hint="In her words or yours: what, when, how often.",
    )  # fmt: skip
    done = forms.MultipleChoiceField(
        label="What was done",
        required=False,
        choices=list(DONE.items()),
        widget=forms.CheckboxSelectMultiple,
    )
    asks = text_field(
        "What you ask", longest=LONGEST_TEXT, rows=3, required=True, missing="Say what you ask."
    )

    def __init__(self, *args: Any, signs: Sequence[tuple[int, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.choose_from("signs", [(str(pk), words) for pk, words in signs])
        self.initial.setdefault("asks", ASKS)
        if not signs:
            del self.fields["signs"]

    def clean(self) -> dict[str, Any]:
        """It is about something."""
        data = self.cleaned_data
        if not data.get("signs") and not data.get("seen") and "seen" not in self.errors:
            self.add_error("seen", "Say what it is about: tick a sign, or write it here.")
        return data


class SentForm(RefusableForm):
    """When and how it was sent."""

    sent_on = day_field("Sent on", required=True, missing="Write the day it was sent.")
    sent_how = radios("How", [], missing="Say how it went.")

    def __init__(self, *args: Any, consented: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.choose_from("sent_how", [(code, w) for code, w in WAYS.items()
                                   if consented or code == HERSELF])  # fmt: skip


class ChaseForm(RefusableForm):
    """When an answer was asked for again."""

    on = day_field("Asked again on", required=True, missing="Write the day you asked again.")


class AnsweredForm(RefusableForm):
    """When it was answered, and what came of it."""

    on = day_field("Answered on", required=True, missing="Write the day of the answer.")
    clearance = radios("What came of it", [], missing="Say what came of it.")

    def __init__(self, *args: Any, said: Sequence[tuple[int, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        hers = [(str(pk), words) for pk, words in said]
        self.choose_from(
            "clearance", [*hers, (NO_CLEARANCE, "no clearance: an answer all the same")]
        )

    @property
    def which(self) -> int | None:
        """The clearance that was chosen, when the form is valid."""
        chosen: str = self.cleaned_data["clearance"]
        return None if chosen == NO_CLEARANCE else int(chosen)
