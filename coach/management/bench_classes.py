"""An invented hour of a class, and how long its time line, its captions and whom it suits take."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from itertools import cycle, islice
from time import perf_counter
from typing import Any

from coach.scheduling.dates import GestationalAge
from coach.scheduling.values import GoAheadWord, Stage
from content.rules.alignment import Aligned, align
from content.rules.captions import Captions, read_captions
from content.rules.checks import checks
from content.rules.design import COOL_DOWN, MAIN, WARM_UP, Block, Design, Item, Pattern
from content.rules.exercises import Exercise, exercises
from content.rules.stamps import vtt_time
from content.rules.suitability import Person
from content.rules.suitability.judging import Judge
from content.rules.timeline import TimeLine, timeline

RUNS = 5
CLASSES = 500
PER_CLASS = 14  # exercises of one of the many classes
# What is wanted of each, in seconds.
WANTED: Mapping[str, float] = {"line": 0.002, "captions": 1.0, "suits": 0.05}
_LATE = 1.15  # she films a little slower than planned
_LINE_S, _WORD_S = 10, 0.45
_TALK = ("lovely", "keep", "breathing", "shoulders", "down", "and", "soft", "knees")

Library = Mapping[str, Exercise]


def measure(classes: int = CLASSES) -> dict[str, Any]:
    """Time them, best of RUNS, seconds; `ratio`: of what is wanted of each."""
    library = exercises()
    design = hour(library)
    line = timeline(design, library)
    content = spoken(line, library).encode()
    many = [_class(n, library) for n in range(classes)]
    person = _person()
    seconds = {
        "line": _best(lambda: _worked_out(design, library)),
        "captions": _best(lambda: _aligned(line, library, content)),
        "suits": _best(lambda: _judged(many, person, library)),
    }
    aligned = _aligned(line, library, content)
    return {
        "minutes": line.seconds // 60,
        "intervals": len(aligned.found),
        "cues": len(_read(content).cues),
        "found": len(aligned.in_time),
        "classes": classes,
        "runs": RUNS,
        "seconds": seconds,
        "ratio": {name: seconds[name] / wanted for name, wanted in WANTED.items()},
    }


def _best(work: Callable[[], Any]) -> float:
    return min(_seconds(work) for _ in range(RUNS))


def _seconds(work: Callable[[], Any]) -> float:
    begun = perf_counter()
    work()
    return perf_counter() - begun


def _worked_out(design: Design, library: Library) -> None:
    checks(design, timeline(design, library), library)


def _read(content: bytes) -> Captions:
    return read_captions(content)


def _aligned(line: TimeLine, library: Library, content: bytes) -> Aligned:
    """From the bytes of the file to the times."""
    return align(line, library, _read(content).cues)


def _judged(many: Sequence[Design], person: Person, library: Library) -> None:
    judge = Judge(person, library)
    for one in many:
        judge.of_class(one)


def hour(library: Library) -> Design:
    """Sixty minutes: a warm-up, four patterns of 45/15 in two rounds, a cool-down."""
    one_sided = (code for code, one in library.items() if one.sides != "each")
    codes = iter(list(one_sided)[::3])

    def items(count: int) -> tuple[Item, ...]:
        return tuple(Item(code) for code in islice(codes, count))

    warm = Block(WARM_UP, "", (Pattern(items(6), 45, 15),))
    main = Block(MAIN, "", tuple(Pattern(items(6), 45, 15, 2) for _ in range(4)))
    cool = Block(COOL_DOWN, "", (Pattern(items(6), 50, 10),))
    return Design((warm, main, cool), promised=3600)


def spoken(line: TimeLine, library: Library) -> str:
    """Its captions as WebVTT: each exercise named at its start, cues and talk until the next."""
    words = list(_words(line, library))
    cues = []
    for begin in range(0, int(words[-1][0]) + 1, _LINE_S):
        said = [word for at, word in words if begin <= at < begin + _LINE_S]
        if said:
            times = f"{vtt_time(begin * 1000)} --> {vtt_time((begin + _LINE_S) * 1000)}"
            cues.append(f"{times}\n{' '.join(said)}\n")
    return "WEBVTT\n\n" + "\n".join(cues)


def _words(line: TimeLine, library: Library) -> Iterator[tuple[float, str]]:
    for one in line.work:
        known = library[one.exercise]
        begin, end = one.start * _LATE, (one.end - 2) * _LATE
        named = f"and {known.name} {' '.join(known.cues)}".lower().split()
        for n, word in enumerate(islice(_then_talk(named), int((end - begin) / _WORD_S))):
            yield begin + n * _WORD_S, word


def _then_talk(words: list[str]) -> Iterator[str]:
    yield from words
    yield from cycle(_TALK)


def _class(n: int, library: Library) -> Design:
    """One of the many: every so-manieth exercise, from another one on."""
    codes = list(library)
    picked = [codes[(n * 7 + step * 11) % len(codes)] for step in range(PER_CLASS)]
    pattern = Pattern(tuple(Item(code, shows=library[code].easier[:1]) for code in picked))
    return Design((Block(MAIN, "", (pattern,)),))


def _person() -> Person:
    """Thirty weeks, cleared, of whom no assessment is on file."""
    return Person(
        date(2026, 1, 5), Stage.TRIMESTER_3, GestationalAge.parse("30w0d"), word=GoAheadWord.YES
    )
