"""The words of the tables of assessments, read strictly: what is not known here is refused.

A line of `given`: "A: 1 December 2026 | the coach, fingers, finger 16 mm, knees bent | navel at
rest 2.5, heaviness no". Values are typed as she would type them and read by the rules.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from clients.rules.assessment import NEXT_DAY, NEXT_DAY_ON, Catalogue, read
from clients.rules.impact_tests import impact_tests
from clients.rules.measuring import scheme
from tests.clients.table_words import DAY, NotUnderstood, day

SITES = {
    "breastbone": "xiphoid",
    "above": "above45",
    "3 above": "above30",
    "navel": "navel",
    "2 below": "below20",
    "below": "below45",
}
STATES = {"at rest": "rest", "on a lift": "lift"}
WHO = {"the coach": "coach", "herself": "client", "the clinician": "clinician"}
METHODS = {"fingers", "calliper", "tape", "ultrasound"}
POSITIONS = {
    "knees bent": "crook",
    "legs straight": "flat",
    "half sitting": "reclined",
    "standing": "standing",
}
QUESTIONS = ("doming", "leaking", "heaviness", "pain", "urgency", "girdle", "bleeding")
TESTS = (
    "walk", "stand", "squat", "jog", "bounds", "hop", "running", "calf", "bridge", "sit", "side",
)  # fmt: skip
# Every site that any line here names, so that a width can be typed at each.
EVERYTHING = Catalogue(sites=tuple(SITES.values()))
WIDTH = rf"({'|'.join(SITES)}) ({'|'.join(STATES)})"


@dataclass
class Line:
    """One line of `given`: what is stored of it."""

    name: str
    day: date
    about: dict[str, Any] = field(default_factory=dict)
    values: dict[str, Any] = field(default_factory=dict)
    withdrawn: bool = False


def read_line(text: str) -> Line:
    """One assessment; NotUnderstood for anything that is not known."""
    hit = re.fullmatch(rf"(?:([A-Z]): )?{DAY} \| ([^|]+) \| ([^|]+)", text)
    if hit is None:
        raise NotUnderstood(f"no assessment: {text!r}")
    line = Line(hit[1] or "", day(hit[2]))
    for one in hit[3].split(", "):
        _about(line, one)
    if "who" not in line.about:
        raise NotUnderstood(f"nobody measured: {text!r}")
    line.values = values_of(hit[4])
    return line


def values_of(text: str) -> dict[str, Any]:
    """What was measured, by code: "navel at rest 26, heaviness no"."""
    found: dict[str, Any] = {}
    for one in text.split(", "):
        found |= _values(one)
    return found


def _about(line: Line, one: str) -> None:
    who = re.fullmatch(rf"({'|'.join(WHO)})(?: (\w+))?", one)
    if who:
        line.about |= {"who": WHO[who[1]], "by": who[2] or f"Una, {who[1]}"}
    elif one in METHODS:
        line.about["method"] = one
    elif one in POSITIONS:
        line.about["position"] = POSITIONS[one]
    elif finger := re.fullmatch(r"finger (\d+) mm", one):
        line.about["finger_mm"] = int(finger[1])
    elif one == "unfinished":
        line.about["finished"] = False
    elif one == "withdrawn":
        line.withdrawn = True
    else:
        raise NotUnderstood(f"nothing about an assessment: {one!r}")


def _values(one: str) -> dict[str, Any]:
    """The codes and kept values of one thing measured."""
    if width := re.fullmatch(rf"{WIDTH} (\S+)", one):
        return _typed(f"width-{SITES[width[1]]}-{STATES[width[2]]}", width[3])
    if answer := re.fullmatch(rf"({'|'.join(QUESTIONS)}) (yes|no)", one):
        return _typed(answer[1], answer[2])
    if number := re.fullmatch(r"(effort|pulse) (\d+)", one):
        return _typed(number[1], number[2])
    if told := re.fullmatch(rf"next day (symptoms|nothing) told {DAY}", one):
        answer_ = {"symptoms": "yes", "nothing": "no"}[told[1]]
        return {NEXT_DAY: answer_, NEXT_DAY_ON: day(told[2]).isoformat()}
    if test := re.fullmatch(rf"({'|'.join(TESTS)}) (.+)", one):
        return _test(test[1], test[2])
    raise NotUnderstood(f"nothing measured: {one!r}")


def _test(code: str, said: str) -> dict[str, Any]:
    if said == "not offered":
        return _typed(f"test-{code}-offered", "no")
    hit = re.fullmatch(
        r"(?:(\d+) left ?)?(?:(\d+) right ?)?(?:(\d+) ?)?(?:felt (nothing|something))?", said
    )
    if hit is None:
        raise NotUnderstood(f"no result of a test: {said!r}")
    felt = {None: None, "nothing": "no", "something": "yes"}[hit[4]]
    parts = zip(("left", "right", "amount", "symptom"), (*hit.groups()[:3], felt), strict=True)
    found: dict[str, Any] = {}
    for part, text in parts:
        found |= _typed(f"test-{code}-{part}", text) if text is not None else {}
    return found


def _typed(code: str, text: str) -> dict[str, Any]:
    return {code: read(code, text, EVERYTHING)}


def open_code(words: str) -> str:
    """The code of an open finding: "test hop" is test-hop, "next day" next-day."""
    tests = {f"{kind} {one}" for kind in ("test", "felt") for one in TESTS}
    if words in tests or words == "next day":
        return words.replace(" ", "-")
    if words in QUESTIONS or re.fullmatch(r"width-\w+-\w+", words):
        return words
    raise NotUnderstood(f"nothing that can be open: {words!r}")


def words_are_those_of_the_data() -> bool:
    """Whether the tables here know every question, test, method and position that there is."""
    known = scheme()
    return (
        set(QUESTIONS) == set(known.answers)
        and set(TESTS) == set(impact_tests())
        and set(known.methods) == METHODS
        and set(POSITIONS.values()) == set(known.positions)
        and set(WHO.values()) == set(known.who)
    )
