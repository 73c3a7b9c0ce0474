"""Which form a step of the intake is, what of a request belongs to it, and what all came to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from clients.forms.intake import (
    ConsentForm,
    DatesForm,
    LetterForm,
    NowForm,
    PlaceForm,
    QuestionsForm,
    StepForm,
    YouForm,
)
from clients.forms.intake_before import MOST_BLOCKS, BeforeForm
from clients.models import Intake
from clients.queries.intake import Recorded
from clients.rules.consents import purposes
from clients.rules.intake import (
    HOLD,
    STOP,
    Step,
    health_answers,
    is_quiet,
    phase_of,
    situation,
    steps_for,
    typed,
)
from clients.rules.intake_health import asked_in, in_words, is_open, of_step
from clients.rules.intake_words import step_title
from clients.rules.words import DELIVERED, LOST

LONGEST_TYPED = 4000
BLOCKS = "blocks"
_PLAIN: dict[Step, type[StepForm]] = {
    Step.YOU: YouForm,
    Step.PLACE: PlaceForm,
    Step.NOW: NowForm,
    Step.DATES: DatesForm,
    Step.LETTER: LetterForm,
}


@dataclass(frozen=True, slots=True)
class Visit:
    """A form by link, opened: `today` is the earliest date it is for her or the coach."""

    intake: Intake
    token: str
    recorded: Recorded
    today: date
    practice: str

    @property
    def draft(self) -> dict[str, Any]:
        """What she has answered so far."""
        found: dict[str, Any] = self.intake.answers
        return found

    @property
    def quiet(self) -> bool:
        """Whether the form keeps to the words of a quiet client."""
        return is_quiet(self.draft, recorded=self.recorded.quiet)

    @property
    def phase(self) -> str:
        """Which questions are hers; empty for both."""
        return phase_of(self.draft, self.recorded.phase)

    @property
    def held_codes(self) -> list[str]:
        """The questions whose answers stop or hold her, changed since or not."""
        said = self.draft.get("said", {})
        return [code for code, one in said.items() if one["effect"] in {STOP, HOLD}]


def form_for(
    visit: Visit,
    step: Step,
    data: Mapping[str, Any] | None = None,
    files: Any = None,
    *,
    may_be_open: bool = True,
) -> StepForm:
    """The form of a step: with `data` bound to them, else showing what is kept, unjudged."""
    kept = typed(visit.draft, step)
    given: dict[str, Any] = {"today": visit.today, "quiet": visit.quiet}
    given |= {"initial": _initial(visit, step, kept)} if data is None else {"data": data}
    if files is not None:
        given["files"] = files
    if step == Step.BEFORE:
        blocks = _number((kept if data is None else data).get(BLOCKS))
        return BeforeForm(blocks=blocks, latest=_latest(visit), **given)
    if step in {Step.SIGNS, Step.HEALTH}:
        questions = _questions(visit, step)
        return QuestionsForm(questions=questions, may_be_open=may_be_open, **given)
    if step == Step.CONSENT:
        texts = {c: (one.title, one.words(visit.practice)) for c, one in purposes().items()}
        return ConsentForm(purposes=texts, **given)
    return _PLAIN[step](**given)


def _initial(visit: Visit, step: Step, kept: dict[str, str]) -> dict[str, str]:
    """What is kept; before she has been there, the name and e-mail that the link was made with."""
    if step == Step.YOU and not kept:
        return {"name": visit.intake.name, "email": visit.intake.email}
    return kept


def _latest(visit: Visit) -> str:
    said = situation(visit.draft)
    return said if said in {DELIVERED, LOST} else ""


def _questions(visit: Visit, step: Step) -> dict[str, str]:
    asked = asked_in(step, visit.phase)
    return {code: in_words(one, quiet=visit.quiet) for code, one in asked.items()}


def _number(text: Any) -> int:
    value = str(text or "")
    return int(value) if value.isascii() and value.isdigit() and len(value) < 3 else 1


def raw_values(
    visit: Visit, step: Step, sent: Mapping[str, str], *, more: bool = False
) -> dict[str, str]:
    """What a request holds for a step, by the names of its fields, as typed."""
    blocks = _number(sent.get(BLOCKS))
    if step in {Step.SIGNS, Step.HEALTH}:
        # Of either phase: a screen opened before she changed where she is must not lose a stop.
        names: Iterable[str] = of_step(step)
    else:
        names = form_for(visit, step, {BLOCKS: str(blocks)}).fields
    found = {name: sent[name][:LONGEST_TYPED] for name in names if sent.get(name)}
    if step == Step.BEFORE and (blocks > 1 or more):
        found[BLOCKS] = str(min(blocks + more, MOST_BLOCKS))
    return found


def told_of(visit: Visit) -> tuple[dict[str, dict[str, Any]], list[tuple[str, str]], int]:
    """What every step came to; the steps to look at again, with their titles; how many of the
    health questions have no answer."""
    told, again = {}, []
    for step in steps_for(visit.draft):
        form = form_for(visit, step, typed(visit.draft, step))
        if form.is_valid():
            told[str(step)] = form.told
        else:
            again.append((str(step), step_title(step, visit.quiet)))
    asked = [code for step in (Step.SIGNS, Step.HEALTH) for code in _questions(visit, step)]
    return told, again, len(is_open(asked, health_answers(visit.draft)))
