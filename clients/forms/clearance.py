"""The form of what a clinician said. Nothing about her health is chosen beforehand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.forms.boundfield import BoundField

from clients.documents.taken import taken
from clients.forms.fields import RefusableForm, day_field, number_field, radios, text_field
from clients.rules.documents import ACCEPTED, MOST_BYTES, Document, DocumentRefused
from clients.rules.facts import ClearanceFact, ClearanceWord, KnownBy
from clients.rules.go_ahead_words import until_end_words
from coach.scheduling.values import Limits

OPEN, DAY, UNTIL_END = "open", "day", "end"
NOT_KNOWN = "not-known"
KINDS = (
    "midwife",
    "family doctor",
    "obstetrician",
    "gynaecologist",
    "pelvic-health physiotherapist",
    "physiotherapist",
    "other clinician",
)
_TICKS = {
    "no_impact": "no impact",
    "not_lying_flat": "not lying flat",
    "no_loaded_trunk_flexion": "no loaded curling of the trunk",
    "gentle_recovery_only": "gentle recovery work only",
}
# Each lists rows of hers to choose from, and is left out where there are none.
NAMED = ("answers", "answers_conditions", "replaces")
_NUMBERS = ("lift_at_most_kg", "effort_at_most", "heart_rate_at_most")


class ClearanceForm(RefusableForm):
    """Who said what, when, on what ground, with which limits, until when, to which signs.

    `choices`: by field of NAMED, what of hers there is to choose; `running`: whether she is
    pregnant; `counts_weeks`: how long a letter without an end counts, None where that is off.
    """

    beside = {"until_birth": "until_kind"}

    word = radios(
        "What was said",
        [
            (ClearanceWord.GO_AHEAD, "go ahead"),
            (ClearanceWord.LIMITS, "go ahead, with limits"),
            (ClearanceWord.AGAINST, "advised against training"),
        ],
        missing="Choose what the clinician said.",
    )
    said_on = day_field("Said or written on", required=True, missing="Write the letter’s day.")
    clinician_kind = forms.ChoiceField(
        label="By whom",
        choices=[("", "Choose…"), *((kind, kind) for kind in KINDS)],
        error_messages={"required": "Choose who said it."},
    )
    clinician = text_field(
        "Name of the clinician", longest=120, required=True, missing="Write whose word it is."
    )
    known_by = radios(
        "How you know",
        [
            (KnownBy.LETTER, "I have seen the letter"),
            (KnownBy.SPOKEN, "I have spoken to the clinician"),
            (KnownBy.CLIENT, "she told me"),
        ],
        missing="Choose how you know: her own word alone does not count as a letter.",
    )
    document = forms.FileField(
        label="The letter",
        required=False,
        allow_empty_file=True,
        help_text="A PDF, or a photo as JPEG, PNG or HEIC, up to 10 MB. It is kept encrypted.",
        widget=forms.FileInput(attrs={"accept": ACCEPTED}),
    )
    examined = radios(
        "Was she examined for it?", [("yes", "yes"), ("no", "no"), (NOT_KNOWN, "not known")]
    )
    limits = forms.MultipleChoiceField(
        label="Limits",
        required=False,
        choices=list(_TICKS.items()),
        widget=forms.CheckboxSelectMultiple,
    )
    lift_at_most_kg = number_field("Lift up to, kg", least=1, most=200)
    effort_at_most = number_field("Effort up to, of 10", least=1, most=10)
    heart_rate_at_most = number_field("Pulse up to, a minute", least=60, most=220)
    others = text_field(
        "Other limits", longest=1000, rows=2, hint="One on a line, in the clinician’s words."
    )
    until_kind = radios("It holds", [])
    until = day_field("Its last day", hint="For “until a day”.")
    answers = forms.MultipleChoiceField(
        label="Warning signs it answers by name",
        required=False,
        help_text="Tick a sign only if the clinician spoke of it. The others stay unanswered.",
        widget=forms.CheckboxSelectMultiple,
    )
    answers_conditions = forms.MultipleChoiceField(
        label="What else it answers by name",
        required=False,
        help_text="Tick only what the clinician spoke of. The rest stays unanswered.",
        widget=forms.CheckboxSelectMultiple,
    )
    replaces = forms.MultipleChoiceField(
        label="Earlier ones whose place it takes",
        required=False,
        help_text="The limits of all that was said add up until one takes the place of another.",
        widget=forms.CheckboxSelectMultiple,
    )
    names_more = forms.BooleanField(
        label="It allows more than gentle recovery in the first weeks after the end",
        required=False,
    )
    origin = text_field(
        "Handed over by", longest=120, hint="Another coach, if the record comes from her."
    )
    note = text_field("Note", longest=2000, rows=3)

    def __init__(
        self, *args: Any, quiet: bool, choices: Mapping[str, Sequence[tuple[Any, str]]],
        running: bool, counts_weeks: int | None, **kwargs: Any,
    ) -> None:  # fmt: skip
        super().__init__(*args, **kwargs)
        ends = [(UNTIL_END, until_end_words(quiet=quiet))] if running else []
        counts = f": it counts {counts_weeks} weeks" if counts_weeks else ""
        named = [(OPEN, f"no end was named{counts}"), *ends, (DAY, "until a day")]
        self.choose_from("until_kind", named)
        for name in NAMED:
            self.choose_from(name, [(str(key), words) for key, words in choices.get(name, ())])
            if not choices.get(name):
                del self.fields[name]
        if running:
            del self.fields["names_more"]

    @property
    def named(self) -> list[BoundField]:
        """What of hers there is to answer by name or to take the place of."""
        return [self[name] for name in NAMED if name in self.fields]

    @property
    def numbers(self) -> list[BoundField]:
        """The limits that are a number."""
        return [self[name] for name in _NUMBERS]

    def clean_document(self) -> Document | None:
        """The letter by its bytes; what is too large is not read."""
        sent: UploadedFile[Any] | None = self.cleaned_data["document"]
        if sent is None:
            return None
        if (sent.size or 0) > MOST_BYTES:
            raise ValidationError("The file is larger than 10 MB.")
        try:
            return taken(sent.name or "", sent.read())
        except DocumentRefused as refused:
            raise ValidationError(str(refused)) from None

    def clean(self) -> dict[str, Any]:
        """What belongs together: a day with "until a day", and nothing else."""
        data = self.cleaned_data
        if data.get("until_kind") == DAY and not data.get("until") and "until" not in self.errors:
            self.add_error("until", "Say which day is the last.")
        elif data.get("until") and data.get("until_kind") not in {DAY, None}:
            self.add_error("until", "A day is written here: choose “until a day”.")
        return data

    def _limits(self) -> Limits:
        data = self.cleaned_data
        others = tuple(line.strip() for line in data["others"].splitlines())
        given: dict[str, Any] = {name: name in data["limits"] for name in _TICKS}
        given |= {name: data[name] for name in _NUMBERS}
        return Limits(**given, others=tuple(line for line in others if line))

    @property
    def facts(self) -> ClearanceFact:
        """What was said, when the form is valid."""
        data = self.cleaned_data
        return ClearanceFact(
            said_on=data["said_on"],
            word=ClearanceWord(data["word"]),
            known_by=KnownBy(data["known_by"]),
            limits=self._limits(),
            until=data["until"],
            until_birth=data["until_kind"] == UNTIL_END,
            answers=tuple(int(pk) for pk in data.get("answers", ())),
            answers_conditions=tuple(data.get("answers_conditions", ())),
            replaces=tuple(int(pk) for pk in data.get("replaces", ())),
            names_more=data.get("names_more", False),
            clinician=data["clinician"],
            clinician_kind=data["clinician_kind"],
            examined="" if data["examined"] == NOT_KNOWN else data["examined"],
        )
