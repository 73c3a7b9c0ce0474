"""Forms of a pregnancy that is there: correct it, and record how it ended."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.forms.boundfield import BoundField

from clients.forms.pregnancy import AS_IT_STANDS, PregnancyForm
from clients.rules.dating import METHODS
from clients.rules.pregnancies import PregnancyFacts
from clients.rules.words import CARRYING, DELIVERED, LOST, short_day_words, words_for
from coach.scheduling.dates import Ending

_SITUATIONS = {Ending.BIRTH: DELIVERED, Ending.LOSS: LOST}


class ChangePregnancyForm(PregnancyForm):
    """A pregnancy that is there. Its date stays unless another way of knowing it is chosen."""

    reason = forms.CharField(
        label="Why the date changes",
        required=False,
        max_length=500,
        help_text="The earlier date is kept beside it, with your reason.",
    )

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
        return [*names, "reason"] if changes and len(names) > 1 else names

    @property
    def shown_after(self) -> list[BoundField]:
        """The reason too."""
        return [self[name] for name in self._names() if name in {"how_many", "reason"}]

    @property
    def shown(self) -> list[BoundField]:
        """All but those."""
        return [self[name] for name in self._names() if name not in {"how_many", "reason"}]

    @staticmethod
    def initial_from(facts: PregnancyFacts) -> dict[str, Any]:
        """What the form shows for a pregnancy."""
        ending = Ending(facts.ending) if facts.ending else None
        return {
            "situation": _SITUATIONS[ending] if ending else CARRYING,
            "dated_by": AS_IT_STANDS if facts.due else "",
            "how_many": facts.expected,
            "ended": facts.ended,
            "mode": facts.birth_mode,
            "count": facts.born,
        }


class EndForm(PregnancyForm):
    """How and when a pregnancy ended; its date is not asked about."""

    def situations(self) -> Iterable[tuple[str, str]]:
        """The ways it can have ended."""
        return words_for(self.quiet).ends

    def _names(self) -> list[str]:
        return [
            name for name in super()._names() if name in {"situation", "ended", "mode", "count"}
        ]

    def _name_things(self) -> None:
        super()._name_things()
        self.fields["situation"].label = "How it ended"
