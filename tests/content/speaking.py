"""A designed class as a coach speaks it on film, with all that goes otherwise than planned. Seeded.

Written without looking at the aligner: the truth is when each interval really began.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from random import Random

from content.rules.alignment import targets_of
from content.rules.design import COOL_DOWN, MAIN, WARM_UP, Block, Design, Item, Pattern
from content.rules.exercises import Exercise, exercises
from content.rules.timeline import Interval, TimeLine, timeline
from tests.content.hearing import Said, recognised, sayings, words_in

SLOWEST, FASTEST = 4 / 3, 0.95


STRANGER = "something-else"
_STRANGER = replace(
    exercises()["standing-march"],
    name="Walking like a penguin",
    aliases=("penguin walk",),
    cues=("feet close together", "hands out like little wings"),
)


def vocabulary() -> Mapping[str, Exercise]:
    """The exercises as the product has them."""
    return exercises()


@dataclass(frozen=True)
class Film:
    """What was planned, what a recogniser heard, and the truth."""

    line: TimeLine
    words: tuple[Said, ...]
    began: Mapping[str, int]
    left_out: frozenset[str]
    swapped: frozenset[str]
    length: int


@dataclass
class Telling:
    """A film while it is being made: `now` in milliseconds; what is to be said, with its time."""

    rng: Random
    library: Mapping[str, Exercise]
    codes: Sequence[str]
    now: int = 0
    said: list[tuple[int, str]] = field(default_factory=list)
    began: dict[str, int] = field(default_factory=dict)

    def say(self, at: float, kind: str, **names: str) -> None:
        """One of the sayings of this kind, at about this time."""
        self.said.append((max(int(at), 0), self.rng.choice(sayings()[kind]).format(**names)))


def film(seed: int, *, minutes: int | None = None, library: Mapping[str, Exercise] | None = None,
         design: Design | None = None) -> Film:  # fmt: skip
    """A class of this seed, filmed: ten to fifty minutes unless its length is given."""
    rng = Random(seed)
    known = library or vocabulary()
    made = design or designed(rng, known, minutes or rng.randint(10, 50))
    line = timeline(made, known)
    keys = dict(zip(line.work, (one.key for one in targets_of(line, known)), strict=True))
    sets = [list(group) for _, group in groupby(line.intervals, key=_set)]
    kept, left_out, swapped = _changed(sets, rng)
    telling = Telling(rng, known, made.exercises)
    _told(telling, kept, keys)
    words = _spoken(telling)
    heard = recognised(words, rng, rng.uniform(0.02, 0.06), rng.uniform(0.04, 0.14))
    return Film(line, tuple(heard), telling.began, _keys(left_out, keys), _keys(swapped, keys),
                telling.now)  # fmt: skip


def _set(one: Interval) -> tuple[int, int, int, int, bool]:
    """An exercise with both sides and its rests is one set; what lies between stands alone."""
    return one.block, one.pattern, one.item, one.round, one.kind in ("work", "rest")


def _keys(sets: Sequence[Sequence[Interval]], keys: Mapping[Interval, str]) -> frozenset[str]:
    return frozenset(keys[one] for group in sets for one in group if one in keys)


def designed(rng: Random, library: Mapping[str, Exercise], minutes: int) -> Design:
    """A warm-up, a main part of one or more patterns, a cool-down; about so many minutes."""
    pool = list(library)
    rng.shuffle(pool)
    take = iter(pool * 3)

    def items(least: int, most: int) -> tuple[Item, ...]:
        return tuple(Item(next(take)) for _ in range(rng.randint(least, most)))

    warm = Block(WARM_UP, "", (Pattern(items(4, 6), rng.choice((30, 40)), rng.choice((0, 10))),))
    cool = Block(COOL_DOWN, "", (Pattern(items(3, 5), rng.choice((40, 60)), rng.choice((0, 10))),))
    patterns: list[Pattern] = []
    while not patterns or _seconds(Design((warm, _main(patterns, rng), cool)), library) < (
        minutes * 60 - 240
    ):
        patterns.append(
            Pattern(
                items(3, 6),
                rng.choice((30, 40, 45, 50)),
                rng.choice((10, 15, 20)),
                rng.choice((1, 1, 2, 3)),
                rng.choice((0, 30, 60)),
            )
        )
    return Design((warm, _main(patterns, rng), cool))


def _main(patterns: Sequence[Pattern], rng: Random) -> Block:
    return Block(MAIN, "", tuple(patterns), change=20, change_after=20)


def _seconds(design: Design, library: Mapping[str, Exercise]) -> int:
    return timeline(design, library).seconds


_Sets = list[list[Interval]]


def _changed(sets: _Sets, rng: Random) -> tuple[_Sets, _Sets, _Sets]:
    """Two exercises swapped and one left out, in one round or in all; the sets as filmed.

    Now and then she does something else in its stead that is not in the plan.
    """
    working = [n for n, group in enumerate(sets) if group[0].kind == "work"]
    places = [
        n for n in range(len(working) - 1)
        if _pattern(sets[working[n]]) == _pattern(sets[working[n + 1]])
    ]  # fmt: skip
    first = rng.choice(places)
    one, two = working[first], working[first + 1]
    sets = list(sets)
    swapped = [sets[one], sets[two]]
    sets[one], sets[two] = sets[two], sets[one]
    candidates = [sets[n] for n in working if sets[n] not in swapped]
    gone = rng.choice(candidates)
    left_out = [gone]
    if rng.random() < 0.5:
        left_out = [one for one in candidates if _same(one) == _same(gone)]
    instead = rng.random() < 0.25
    filmed = [_stranger(one) if one in left_out else one for one in sets
              if instead or one not in left_out]  # fmt: skip
    return filmed, left_out, swapped


def _stranger(group: Sequence[Interval]) -> list[Interval]:
    return [replace(one, exercise=STRANGER) for one in group]


def _pattern(group: Sequence[Interval]) -> tuple[int, int, int]:
    return group[0].block, group[0].pattern, group[0].round


def _same(group: Sequence[Interval]) -> tuple[int, int, int]:
    return group[0].block, group[0].pattern, group[0].item


def _told(telling: Telling, sets: _Sets, keys: Mapping[Interval, str]) -> None:
    """Speak the whole film, set by set, at her own pace, with two long unrelated passages."""
    rng = telling.rng
    pace = rng.uniform(FASTEST, SLOWEST)
    aside = set(rng.sample(range(1, len(sets)), 2))
    passages = iter(rng.sample(sayings()["passages"], 2))
    _welcome(telling)
    for n, group in enumerate(sets):
        if n in aside:
            telling.said.append((telling.now + 500, next(passages)))
            telling.now += rng.randint(58_000, 66_000)
        if group[0].kind == "work":
            _perform(telling, group, keys, pace, first=n == 0 or sets[n - 1][0].kind != "work")
        else:
            _pause(telling, group, sets[n + 1 : n + 6], pace)
    telling.now += rng.randint(5_000, 20_000)


def _welcome(telling: Telling) -> None:
    rng = telling.rng
    for text in sayings()["welcome"]:
        if rng.random() < 0.8:
            telling.said.append((telling.now + 300, text))
            telling.now += len(text.split()) * 400 + 1500
    telling.now += rng.randint(3_000, 15_000)


def _pause(telling: Telling, group: Sequence[Interval], ahead: _Sets, pace: float) -> None:
    """A rest between rounds or a change: often what comes is listed in it."""
    rng = telling.rng
    begun = telling.now
    for one in group:
        telling.now += int(one.seconds * 1000 * pace * rng.uniform(0.8, 1.3))
    telling.say(begun + 500, "rest")
    names = [_name(telling, one[0].exercise) for one in ahead if one[0].kind == "work"]
    if names and rng.random() < 0.5 and telling.now - begun > 12_000:
        telling.say(begun + 4_000, "preview", names=" then ".join(names[:4]))


def _perform(telling: Telling, group: Sequence[Interval], keys: Mapping[Interval, str],
             pace: float, *, first: bool) -> None:  # fmt: skip
    """One exercise: announced shortly before or named at its start, done, rested after."""
    begun = False
    for one in group:
        if one.kind == "work":
            _announce(telling, one, again=begun)
            if one in keys:
                telling.began[keys[one]] = telling.now
            _during(telling, one, int(one.seconds * 1000 * pace * telling.rng.uniform(0.94, 1.06)))
            begun = True
        else:
            telling.say(telling.now + 300, "rest")
            telling.now += int(one.seconds * 1000 * pace * telling.rng.uniform(0.7, 1.4))


def _announce(telling: Telling, one: Interval, *, again: bool) -> None:
    """What is said about an interval around its start, which is now."""
    rng, now = telling.rng, telling.now
    if again:
        if rng.random() < 0.85:
            telling.say(now - rng.randint(0, 4_000), "other_side", side=one.side)
        if rng.random() < 0.25:
            telling.say(now + rng.randint(0, 2_000), "begin", name=_name(telling, one.exercise))
    else:
        _named(telling, one)
    if rng.random() < 0.55:
        telling.say(now - 800, "go")


def _named(telling: Telling, one: Interval) -> None:
    """Seldom not at all, now and then both before and at the start."""
    rng, now, luck = telling.rng, telling.now, telling.rng.random()
    if luck < 0.03:
        return
    if luck < 0.6:
        before = now - rng.randint(4_000, 11_000)
        telling.say(before, "announce", name=_name(telling, one.exercise))
    if luck > 0.45:
        if one.round > 1 and rng.random() < 0.4:
            told = {"name": _name(telling, one.exercise), "round": str(one.round)}
            telling.say(now + rng.randint(0, 1_500), "again", **told)
        else:
            telling.say(now + rng.randint(0, 1_500), "begin", name=_name(telling, one.exercise))


def _name(telling: Telling, code: str) -> str:
    """Its name, or other words for it."""
    known = telling.library.get(code, _STRANGER)
    if known.aliases and telling.rng.random() < 0.4:
        return telling.rng.choice(known.aliases)
    return known.name


def _during(telling: Telling, one: Interval, length: int) -> None:
    """Cues and encouragement while it is done, a countdown at its end."""
    rng, now = telling.rng, telling.now
    cues = list(telling.library.get(one.exercise, _STRANGER).cues)
    at = now + rng.randint(4_000, 8_000)
    while at < now + length - 9_000:
        if cues and rng.random() < 0.5:
            telling.said.append((at, cues.pop(rng.randrange(len(cues)))))
        else:
            _encourage(telling, at)
        at += rng.randint(4_000, 10_000)
    if rng.random() < 0.6:
        telling.say(now + length - 5_000, "last")
    telling.now += length


def _encourage(telling: Telling, at: int) -> None:
    """Sometimes with the name of an exercise that came earlier, or that comes later."""
    here = len(telling.began)
    codes = list(telling.codes)
    middle = min(here, len(codes) - 1)
    earlier = telling.rng.choice(codes[: max(middle, 1)])
    later = telling.rng.choice(codes[middle:])
    names = {"earlier": _name(telling, earlier), "later": _name(telling, later)}
    telling.say(at, "encourage", **names)


def _spoken(telling: Telling) -> list[Said]:
    """Every word with its time: nobody speaks two sentences at once."""
    found: list[Said] = []
    free = 0
    for at, text in sorted(telling.said):
        begin = max(at, free)
        for word in words_in(text):
            lasts = int(telling.rng.uniform(0.75, 1.25) * (180 + 28 * len(word)))
            found.append(Said(word, begin, begin + lasts))
            begin += lasts + telling.rng.choice((20, 40, 40, 160))
        free = begin + 250
    return found
