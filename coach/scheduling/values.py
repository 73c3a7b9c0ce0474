"""The frozen values that every room above speaks in: stage, limits, finding, go-ahead."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import IntEnum, StrEnum


class Stage(StrEnum):
    """Where a client is on a date, computed and never stored.

    The value is a stable code; `label` is what a page prints. The cuts after
    the pregnancy's end are ours (completed weeks 6, 12, 26, 52).
    """

    TRIMESTER_1 = "t1"
    TRIMESTER_2 = "t2"
    TRIMESTER_3 = "t3"
    PAST_DUE = "past-due"
    WEEKS_0_6 = "w0-6"
    WEEKS_6_12 = "w6-12"
    WEEKS_12_26 = "w12-26"
    WEEKS_26_52 = "w26-52"
    WEEKS_52_ON = "w52-on"
    UNKNOWN = "unknown"

    @property
    def label(self) -> str:
        """The words for it, starting in lower case so that they fit inside a sentence."""
        return _LABELS[self]

    @property
    def pregnant(self) -> bool:
        """True for a stage that says "pregnant", past the due date included."""
        return self in _PREGNANT

    @property
    def servable(self) -> bool:
        """True for a stage that a class can be made for: neither unknown nor past due."""
        return self not in {Stage.UNKNOWN, Stage.PAST_DUE}


_LABELS = {
    Stage.TRIMESTER_1: "trimester 1",
    Stage.TRIMESTER_2: "trimester 2",
    Stage.TRIMESTER_3: "trimester 3",
    Stage.PAST_DUE: "past the due date",
    Stage.WEEKS_0_6: "0–6 weeks since",
    Stage.WEEKS_6_12: "6–12 weeks since",
    Stage.WEEKS_12_26: "12–26 weeks since",
    Stage.WEEKS_26_52: "26–52 weeks since",
    Stage.WEEKS_52_ON: "over 52 weeks since",
    Stage.UNKNOWN: "stage not known",
}
_PREGNANT = {Stage.TRIMESTER_1, Stage.TRIMESTER_2, Stage.TRIMESTER_3, Stage.PAST_DUE}

SERVABLE_STAGES: tuple[Stage, ...] = tuple(stage for stage in Stage if stage.servable)


class Severity(IntEnum):
    """How much a finding weighs; a higher one wins where several meet."""

    NOTE = 1
    CAUTION = 2
    WAIT = 3
    STOP = 4


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing a rule found: pages render it and decide nothing.

    `source` names the published source, "policy of the practice" or
    "common practice"; it is never empty.
    """

    kind: str
    severity: Severity
    reason: str
    source: str

    def __post_init__(self) -> None:
        if not self.source:
            raise ValueError("a finding names its source")


@dataclass(frozen=True, slots=True)
class Limits:
    """What a clinician limited. Limits of all letters in force add up (`and_also`)."""

    no_impact: bool = False
    not_lying_flat: bool = False
    no_loaded_trunk_flexion: bool = False
    gentle_recovery_only: bool = False
    lift_at_most_kg: int | None = None
    effort_at_most: int | None = None
    heart_rate_at_most: int | None = None
    others: tuple[str, ...] = ()

    def and_also(self, other: Limits) -> Limits:
        """The limits of both: the stricter of each, and every sentence once."""
        return Limits(
            no_impact=self.no_impact or other.no_impact,
            not_lying_flat=self.not_lying_flat or other.not_lying_flat,
            no_loaded_trunk_flexion=self.no_loaded_trunk_flexion or other.no_loaded_trunk_flexion,
            gentle_recovery_only=self.gentle_recovery_only or other.gentle_recovery_only,
            lift_at_most_kg=_smaller(self.lift_at_most_kg, other.lift_at_most_kg),
            effort_at_most=_smaller(self.effort_at_most, other.effort_at_most),
            heart_rate_at_most=_smaller(self.heart_rate_at_most, other.heart_rate_at_most),
            others=tuple(dict.fromkeys((*self.others, *other.others))),
        )


def _smaller(one: int | None, two: int | None) -> int | None:
    return min((n for n in (one, two) if n is not None), default=None)


class GoAheadWord(StrEnum):
    """What all the facts come to on a date. There is no word for "probably".

    SCREENED is the word of a policy of its own: current screening, all answers no, and no letter
    asked for.
    """

    YES = "yes"
    YES_WITH_LIMITS = "yes, with limits"
    SCREENED = "screened, no letter"
    WAITING = "waiting"
    ON_HOLD = "on hold"
    RUN_OUT = "run out"
    NO_LETTER_REQUIRED = "no letter required"

    @property
    def may_train(self) -> bool:
        """True only for the words that let her train."""
        return self in {
            GoAheadWord.YES,
            GoAheadWord.YES_WITH_LIMITS,
            GoAheadWord.SCREENED,
            GoAheadWord.NO_LETTER_REQUIRED,
        }


@dataclass(frozen=True, slots=True)
class GoAhead:
    """The go-ahead on one date, always with its reasons and what would mend it.

    Until it is worked out from facts it is "waiting": that is the default
    word, so that a missing fact never reads as a yes. `until_end` is True where her letters
    hold until the birth; `unchecked` names what the practice has switched off; `known` is the day
    up to which facts were known.
    """

    on: date
    word: GoAheadWord = GoAheadWord.WAITING
    reasons: tuple[Finding, ...] = ()
    limits: Limits = field(default_factory=Limits)
    mend: str = ""
    since: date | None = None
    until: date | None = None
    until_end: bool = False
    unchecked: tuple[str, ...] = ()
    known: date | None = None
