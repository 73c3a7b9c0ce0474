"""What a letter to a clinician says, as plain values for the paper. Pure.

For a quiet client no word of it names a baby, a birth or a due date, and what was typed is kept
out where it does (`says_too_much`): the form asks for other words first.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from clients.rules.facts import ConditionFact, SignFact
from clients.rules.letters import CLEARANCE, TITLES
from clients.rules.pregnancies import Problem
from clients.rules.profile import Profile
from clients.rules.screening import condition_words
from clients.rules.warning_signs import sign_words
from clients.rules.words import says_too_much, short_day_words
from coach.scheduling.values import Stage

CAUTION = (
    "This letter asks for your judgement as a clinician. It comes from a coach: it is no medical "
    "advice and no diagnosis. Your advice, the coach’s scope of practice and local rules come "
    "first."
)
ASKS = "Please see her, and tell me whether she may train and with what limits."
DONE = {
    "stopped": "Her training was stopped at once.",
    "told": "She was told to contact you or her clinic the same day.",
    "emergency": "The emergency number was rung.",
}
HELD = "Her training is on hold until a clinician has answered what is named below."
_INTRO = {
    CLEARANCE: "I coach {name} in exercise, online, and ask for your judgement before I train her.",
    "referral": "I coach {name} in exercise, online, and send her to you because of what follows.",
}


@dataclass(frozen=True, slots=True)
class Sender:
    """Who writes: the practice and its address, the coach, and where the answer goes."""

    practice: str
    address: str
    coach: str
    reply_to: str


@dataclass(frozen=True, slots=True)
class About:
    """Whom it is about. `running`: her stage says that she is pregnant."""

    name: str
    born: date | None
    profile: Profile
    limits: Sequence[str] = ()
    quiet: bool = False


@dataclass(frozen=True, slots=True)
class LetterPaper:
    """A letter as printed. `rows` are facts with their labels, `parts` headings with a text.

    `named` is what can be answered by name, a box each. `end_words` names the natural end of a
    letter, where there is one; `names_more` puts the question whether more than gentle recovery
    work is allowed in the first six weeks.
    """

    title: str
    written_on: date
    sender: Sender
    to: tuple[str, ...]
    client: str
    born: str
    intro: str
    rows: tuple[tuple[str, str], ...]
    parts: tuple[tuple[str, str], ...]
    named: tuple[str, ...]
    end_words: str
    names_more: bool
    way: str
    caution: str = CAUTION


def letter_paper(
    kind: str,
    *,
    sender: Sender,
    about: About,
    to: tuple[str, ...],
    written_on: date,
    named: Iterable[str],
    parts: Iterable[tuple[str, str]],
    consented_on: date | None,
) -> LetterPaper:
    """The letter of a kind. `consented_on` None: she hands it over herself."""
    stage = about.profile.stage
    end = "until these weeks end" if about.quiet else "until the birth"
    return LetterPaper(
        title=TITLES[kind],
        written_on=written_on,
        sender=sender,
        to=tuple(filter(None, to)) or ("Her clinician",),
        client=about.name,
        born=short_day_words(about.born) if about.born else "not known",
        intro=_INTRO[kind].format(name=about.name),
        rows=tuple(_rows(about)),
        parts=tuple((head, text) for head, text in parts if text.strip()),
        named=tuple(named),
        end_words=end if stage.pregnant else "",
        names_more=stage in {Stage.WEEKS_0_6, Stage.UNKNOWN},
        way=way_words(consented_on),
    )


def typed_problems(texts: Mapping[str, str], *, quiet: bool) -> list[Problem]:
    """What was typed and a quiet client's letter must not hold, beside its field."""
    return [
        Problem(name, "Quiet is on: say it in weeks, without what the weeks are about.")
        for name, text in texts.items()
        if quiet and says_too_much(text)
    ]


def way_words(consented_on: date | None) -> str:
    """By what right the letter comes."""
    if consented_on is None:
        return "She hands you this letter herself."
    return f"She agreed on {short_day_words(consented_on)} that I write to you."


def _rows(about: About) -> Iterable[tuple[str, str]]:
    """Her stage and dates as recorded, how it went, and what is limited now."""
    profile = about.profile
    yield "Stage", profile.where[:1].upper() + profile.where[1:]
    yield from profile.facts
    latest = profile.told[0] if profile.told else None
    if latest and latest.over:
        yield "As recorded", ", ".join((latest.title, *latest.notes))
    if about.limits:
        yield "Limits now", "; ".join(about.limits)


def named_sign(sign: SignFact, *, quiet: bool) -> str:
    """ "Dizzy or faint, 2 December 2026"."""
    return f"{sign_words(sign.code, sign.text, quiet=quiet)}, {short_day_words(sign.happened_on)}"


def named_condition(one: ConditionFact, *, quiet: bool) -> str:
    """A condition in a few words, with the day it was named, and whether she is sure."""
    words = condition_words(one.code, one.text, quiet=quiet)
    unsure = ", not sure" if one.answer == "unsure" else ""
    return f"{words[:1].upper()}{words[1:]}{unsure}, {short_day_words(one.named_on)}"
