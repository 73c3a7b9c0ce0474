"""The words of the form that a client fills in herself; for a quiet client they name nothing. Pure.

Names of fields and codes are neutral for the same reason.
"""

from __future__ import annotations

from dataclasses import dataclass

from clients.rules.dating import CLINICIAN, CONCEPTION, LAST_PERIOD, SCAN, TRANSFER_3, TRANSFER_5
from clients.rules.intake import NEITHER, TELL, Step
from clients.rules.words import CARRYING, DELIVERED, LOST

RATHER = "I’d rather tell my coach"


@dataclass(frozen=True, slots=True)
class Asked:
    """How the form asks, in one of two ways."""

    age: str
    now: str
    situations: tuple[tuple[str, str], ...]
    dates: str
    day: str
    how_many: str
    before: str
    latest: str
    earlier: str
    kinds: tuple[tuple[str, str], ...]
    mode: str


PLAIN = Asked(
    age="Your date of birth",
    now="Where you are",
    situations=(
        (CARRYING, "I am pregnant"),
        (DELIVERED, "I have given birth"),
        (LOST, "I have lost a pregnancy"),
        (NEITHER, "none of these"),
        (TELL, RATHER),
    ),
    dates="This pregnancy",
    day="Due date",
    how_many="How many babies do you expect?",
    before="Births and pregnancies so far",
    latest="The latest",
    earlier="An earlier one",
    kinds=((DELIVERED, "a birth"), (LOST, "a loss"), (TELL, RATHER)),
    mode="What kind of birth?",
)
QUIET = Asked(
    age="Day, month and year in your passport that say how old you are",
    now="Where you are",
    situations=(
        (CARRYING, "weeks running"),
        (DELIVERED, "ended"),
        (LOST, "ended with a loss"),
        (NEITHER, "none of these"),
        (TELL, RATHER),
    ),
    dates="Your weeks",
    day="Day of 40 weeks",
    how_many="How many?",
    before="What was before",
    latest="The latest",
    earlier="An earlier one",
    kinds=((DELIVERED, "ended"), (LOST, "ended with a loss"), (TELL, RATHER)),
    mode="How?",
)
DATED = (
    (CLINICIAN, "my midwife or doctor told me"),
    (SCAN, "from a scan"),
    (LAST_PERIOD, "from the first day of my last period"),
    (TRANSFER_5, "from the transfer of a day-5 embryo"),
    (TRANSFER_3, "from the transfer of a day-3 embryo"),
    (CONCEPTION, "from the day of conception or egg retrieval"),
)
# The list of signs is written for the coach; where it says "she" it is put to her like this.
SAID_TO_HER = {
    "harm": "Thoughts of harming yourself or somebody else",
    "vision": "Sight that is blurred or double, flashes or spots",
    "tired": "So tired that you cannot go on with the day",
    "weak": "Muscles so weak that you lose your balance",
    "numb": "Numb between the legs, where you would sit on a saddle",
}
_TITLES = {
    Step.YOU: "You",
    Step.PLACE: "Where you train",
    Step.SIGNS: "Has any of this happened?",
    Step.HEALTH: "Your health",
    Step.CONSENT: "What you agree to",
    Step.LETTER: "A letter, if you have one",
}


def asked(quiet: bool) -> Asked:
    """The words for her."""
    return QUIET if quiet else PLAIN


def step_title(step: Step, quiet: bool) -> str:
    """What stands above a step."""
    words = asked(quiet)
    own = {Step.NOW: words.now, Step.DATES: words.dates, Step.BEFORE: words.before}
    return own.get(step) or _TITLES[step]
