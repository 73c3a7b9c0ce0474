"""Forms of a pregnancy that is there: correct it, and record how it ended."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms.boundfield import BoundField

from clients.forms.fields import day_field, radios
from clients.forms.pregnancy import AS_IT_STANDS, OF_THE_END, RECKON, PregnancyForm
from clients.rules.dating import LAST_PERIOD, METHODS, SCAN
from clients.rules.pregnancies import PregnancyFacts
from clients.rules.redating import Redating, redating
from clients.rules.words import CARRYING, DELIVERED, LOST, short_day_words, words_for
from coach.scheduling.dates import Ending

STAY = "stay"
_SITUATIONS = {Ending.BIRTH: DELIVERED, Ending.LOSS: LOST}
_AFTER = ("how_many", "reason")


class ChangePregnancyForm(PregnancyForm):
    """A pregnancy that is there. Its date stays unless another way of knowing it is chosen.

    Where a scan stands beside a last period nothing is redated silently: one of the two dates is
    chosen by name, and beyond what is allowed only as one that her clinician has set.
    """

    scanned = day_field(
        "Day of that scan", attrs=RECKON, hint="It tells by how much the two may differ."
    )
    redate = radios("Which date holds", [], required=False)
    reason = forms.CharField(
        label="Why the date changes",
        required=False,
        max_length=500,
        help_text="The earlier date is kept beside it, with your reason.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["redate"].error_messages["invalid_choice"] = (
            "Choose again: the date is another."
        )
        self.choose_from("redate", self._dates())

    def methods(self) -> Iterable[tuple[str, str]]:
        """With the date that stands first."""
        found = list(super().methods())
        if self.kept is None or self.kept.due is None:
            return found
        known = METHODS.get(self.kept.dated_by)
        label = f"as it stands: {short_day_words(self.kept.due)}"
        return [(AS_IT_STANDS, f"{label}, {known.short}" if known else label), *found[1:]]

    def _names(self) -> list[str]:
        names = super()._names()
        changes = self.kept and self.kept.due and self.method not in {"", AS_IT_STANDS}
        if not changes or len(names) < 2:
            return names
        return [*names, *(["scanned"] if self._asks_scan else []), "redate", "reason"]

    @property
    def _asks_scan(self) -> bool:
        """The day of a scan that the date so far came from is not kept with it."""
        return bool(self.kept and self.kept.dated_by == SCAN and self.method == LAST_PERIOD)

    @property
    def shown_after(self) -> list[BoundField]:
        """The reason too."""
        return [self[name] for name in self._names() if name in _AFTER]

    @property
    def shown(self) -> list[BoundField]:
        """All but those, and the question that the sentence about both dates asks."""
        return [self[name] for name in self._names() if name not in {*_AFTER, "redate"}]

    @property
    def unseen(self) -> list[tuple[str, str]]:
        """Without the choice of a date: it stands with its sentence or not at all."""
        return [pair for pair in super().unseen if pair[0] != "redate"]

    @property
    def redating(self) -> Redating | None:
        """What the date typed comes to beside the one kept, where a source says something of it."""
        if self.kept is None or self.method not in METHODS:
            return None
        try:
            due = self._due()
            scanned = self._cleaned("scanned" if self._asks_scan else "day")
        except ValidationError:
            return None
        return redating(self.kept, due, self.method, scanned) if due else None

    def _dates(self) -> list[tuple[str, str]]:
        """The two dates; a choice names its date, so that it cannot be taken for another one."""
        found = self.redating
        if found is None or self.kept is None or self.kept.due is None:
            return []
        due, kept = self._due() or date.min, short_day_words(self.kept.due)
        taken = "her clinician has set this date" if found.clinicians else "take the new one"
        return [
            (due.isoformat(), f"{taken}: {short_day_words(due)}"),
            (STAY, f"leave it as it stands: {kept}"),
        ]

    def clean(self) -> dict[str, Any]:
        """Neither date is taken where two differ and none was chosen."""
        data = super().clean()
        if self.facts is None or self.kept is None or self.redating is None:
            return data
        if not data.get("redate"):
            self.facts = None
            raise ValidationError({"redate": "Choose: no date is changed by itself."})
        if data["redate"] == STAY:
            self.facts = replace(self.facts, due=self.kept.due, dated_by=self.kept.dated_by)
        return data

    @staticmethod
    def initial_from(facts: PregnancyFacts) -> dict[str, Any]:
        """What the form shows for a pregnancy."""
        ending = Ending(facts.ending) if facts.ending else None
        return {
            "situation": _SITUATIONS[ending] if ending else CARRYING,
            "dated_by": AS_IT_STANDS if facts.due else "",
            "how_many": facts.expected,
            "ended": facts.ended,
            **{field: getattr(facts, fact) for fact, field in OF_THE_END.items()},
        }


class EndForm(PregnancyForm):
    """How and when a pregnancy ended; its date is not asked about."""

    def situations(self) -> Iterable[tuple[str, str]]:
        """The ways it can have ended."""
        return words_for(self.quiet).ends

    def _names(self) -> list[str]:
        return [name for name in super()._names() if name not in {"dated_by", "day", "age"}]

    def _name_things(self) -> None:
        super()._name_things()
        self.fields["situation"].label = "How it ended"
