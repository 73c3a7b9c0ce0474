"""The words of a report: to the client herself ("you"), or about her, to a clinician. Pure.

No word here names a baby, a birth or a due date: a quiet client's report holds them too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from clients.rules.warning_signs import AFTER, PREGNANT, Sign, warning_signs
from coach.scheduling.values import Stage

CLIENT, CLINICIAN = "client", "clinician"
WHOM = {CLIENT: "for her", CLINICIAN: "for her clinician"}
WIDTHS, SYMPTOMS, TESTS, NUMBERS, TOTALS = "widths", "symptoms", "tests", "numbers", "totals"
PARTS = {
    WIDTHS: "Widths, doming and tension",
    SYMPTOMS: "What she feels",
    TESTS: "Tests",
    NUMBERS: "Effort and own measures",
    TOTALS: "Totals of questionnaires",
}
WIDTH_ALONE = "A width alone is no diagnosis (Bø and others 2017)"
NOT_ASKED = "“Not asked” means not known: it is never a no."
TEST_ALONE = (
    "A test that was passed is no go-ahead for running or jumping by itself; one that was not is "
    "no verdict either."
)
_TO_HER = (
    (r"\bthe client herself\b", "you yourself"),
    (r"\bherself\b", "yourself"),
    (r"\bshe has\b", "you have"),
    (r"\bshe cannot\b", "you cannot"),
    (r"\bshe\b", "you"),
    (r"\bworries her or you\b", "worries you"),
    (r"\bher\b", "your"),
    (r"\bthe coach\b", "your coach"),
    (r"\ba clinician\b", "your clinician"),
    (r"\bchats\b", "chatting"),
    (r"\btalks\b", "talking"),
)
# Ring the same day: a choice from the data, which holds more; what else worries is named beside it.
_SAME_DAY = frozenset({"blood", "fluid", "contractions", "movement", "heavy-blood", "belly",
                       "headache", "dizzy", "leg", "fever"})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Voice:
    """To whom the report speaks."""

    to_her: bool

    def said(self, text: str) -> str:
        """Words about her, turned to her where the report is hers."""
        if self.to_her:
            for pattern, instead in _TO_HER:
                text = re.sub(pattern, instead, text)
        return text

    @property
    def she(self) -> str:
        """ "You" or "She", where a sentence begins."""
        return "You" if self.to_her else "She"

    @property
    def was(self) -> str:
        """ "You were" or "She was"."""
        return f"{self.she} {'were' if self.to_her else 'was'}"

    @property
    def feels(self) -> str:
        """ "you feel" or "she feels"."""
        return "you feel" if self.to_her else "she feels"


def cautions(voice: Voice, *, widths: bool, tests: bool) -> Iterator[str]:
    """What the report is not, and whose word comes first."""
    if voice.to_her:
        yield (
            "This report helps you and your coach judge the next step. It is no medical advice and "
            "no diagnosis: your clinician’s word comes first, then your coach’s scope of practice "
            "and local rules."
        )
    else:
        yield (
            "This report comes from a coach and supports her own judgement. It is no medical "
            "advice and no diagnosis: your word comes first, then her scope of practice and local "
            "rules."
        )
    if widths:
        yield f"{WIDTH_ALONE}, and a small change can come from the measuring."
    if tests:
        yield TEST_ALONE
    yield NOT_ASKED


def stop_words(
    voice: Voice, stage: Stage, number: str, *, quiet: bool
) -> tuple[tuple[str, str], ...]:
    """When to stop, and whom to ring; `number`: the emergency number where she is, "" unknown."""
    if not voice.to_her:
        return (
            (
                "Warning signs",
                "When one is told, her training stops the same moment, she is told to ring you or "
                "her clinic, in an emergency the emergency number first, and it goes on only after "
                "a clinician has answered that sign by name.",
            ),
        )
    graves, others = _signs(voice, stage, quiet=quiet)
    ring = f"ring {number}" if number else "ring the emergency number"
    first = f"Ring {number} first" if number else "Ring the emergency number first"
    return (
        (first, graves),
        (
            "Stop, and ring your clinician the same day",
            f"{others}; and anything else that worries you. If nobody answers, {ring}.",
        ),
        (
            "Stop, tell your coach, ask your clinician",
            "leaking, heaviness, pain or bleeding that is new or gets worse, before you go on.",
        ),
    )


def _signs(voice: Voice, stage: Stage, *, quiet: bool) -> tuple[str, str]:
    """Signs in words: the emergencies, and those to ring a clinician for the same day."""
    phases = {PREGNANT} if stage.pregnant else {AFTER}
    if stage is Stage.UNKNOWN:
        phases = {PREGNANT, AFTER}
    signs = [one for one in warning_signs().values() if one.stages & phases]
    graves = [one for one in signs if one.emergency]
    others = [one for one in signs if one.code in _SAME_DAY]
    return _listed(voice, graves, quiet), _listed(voice, others, quiet)


def _listed(voice: Voice, signs: Iterable[Sign], quiet: bool) -> str:
    said = [voice.said(one.said(quiet=quiet)) for one in signs]
    return "; ".join(f"{words[:1].lower()}{words[1:]}" for words in said)
