"""Alignment on classes that are spoken with everything that goes otherwise than planned."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import inf
from statistics import median

import pytest

from content.rules.alignment import Aligned, align
from content.rules.captions import read_captions
from content.rules.design import Block, Design, Item, Pattern
from content.rules.interval_words import name_of
from content.rules.timeline import timeline
from tests.content import hearing
from tests.content.speaking import Film, film, vocabulary

Written = Callable[[Film], bytes]
MANY, FEWER = 200, 24
TEN = ("squat", "bent-over-row", "bridge", "clam", "chair-dip", "standing-march", "childs-pose",
       "bird-dog", "calf-raise", "side-plank")  # fmt: skip


def written(one: Film, seed: int, seconds: int) -> bytes:
    """The captions in one of the forms: lines come as all three of them, paragraphs as text."""
    if seconds > 30 or seed % 3 == 2:
        return hearing.plain(one.words, seconds, bracketed=seed % 2 == 0)
    return (hearing.vtt if seed % 3 else hearing.srt)(one.words, seconds)


@dataclass(frozen=True)
class Judged:
    """A class that was aligned: seconds off by interval (inf: not found), what was left out."""

    seed: int
    off: tuple[float, ...]
    left_out: int
    missed: int
    ascending: bool


def judged(seed: int, seconds: int) -> Judged:
    one = film(seed)
    cues = read_captions(written(one, seed, seconds)).cues
    found = align(one.line, vocabulary(), cues)
    at = {each.target.key: each.at for each in found.found}
    times = [each.at for each in found.in_time if each.at is not None]
    return Judged(
        seed,
        tuple(_off(at[key], began) for key, began in one.began.items()),
        len(one.left_out),
        sum(at[key] is None for key in one.left_out),
        all(first < second for first, second in pairwise(times)),
    )


def _off(at: int | None, began: int) -> float:
    return inf if at is None else abs(at - began) / 1000


@cache
def all_judged(seconds: int, count: int) -> tuple[Judged, ...]:
    return tuple(judged(seed, seconds) for seed in range(count))


def figures(found: Iterable[Judged]) -> dict[str, float]:
    """Median and 95th percentile in seconds over every interval that was done, and shares."""
    found = list(found)
    off = sorted(each for one in found for each in one.off)
    left_out = sum(one.left_out for one in found)
    return {
        "median": median(off),
        "95th": off[int(0.95 * len(off))],
        "within 10 s": sum(each <= 10 for each in off) / len(off),
        "not found": sum(each == inf for each in off) / len(off),
        "missing": sum(one.missed for one in found) / left_out,
        "ascending": sum(one.ascending for one in found) / len(found),
    }


NORMAL_AND_LONG = [FEWER, pytest.param(MANY, marks=pytest.mark.endurance)]


@pytest.mark.parametrize("count", NORMAL_AND_LONG)
def test_lines_every_ten_seconds(count: int) -> None:
    """An interval that was done and not found counts as off by more than ten seconds."""
    found = figures(all_judged(10, count))
    assert found["median"] <= 3
    assert found["within 10 s"] >= 0.95
    assert found["missing"] >= 0.9
    assert found["ascending"] == 1


@pytest.mark.parametrize("count", NORMAL_AND_LONG)
def test_paragraphs_every_forty_seconds(count: int) -> None:
    found = figures(all_judged(40, count))
    assert found["median"] <= 8
    assert found["missing"] >= 0.9
    assert found["ascending"] == 1


def aligned(one: Film, fixed: dict[str, int] | None = None) -> Aligned:
    cues = read_captions(hearing.vtt(one.words, 10)).cues
    return align(one.line, vocabulary(), cues, fixed=fixed)


def test_what_she_put_right_stays_and_the_rest_is_aligned_anew() -> None:
    one = film(11)
    before = aligned(one)
    middle = before.found[len(before.found) // 2].target.key
    shift = 90_000
    moved = dict.fromkeys([middle], one.began[middle] + shift)
    after = aligned(one, moved)
    fixed = [each for each in after.found if each.fixed]
    assert [(each.target.key, each.at, each.confidence) for each in fixed] == [
        (middle, one.began[middle] + shift, 1.0)
    ]
    order = [each.target.key for each in after.found]
    # The one beside it may be heard before it still: two neighbours may have been swapped.
    later = [each.at for each in after.found[order.index(middle) + 2 :] if each.at is not None]
    assert all(at > moved[middle] for at in later)
    assert aligned(one) == before


def test_a_right_time_put_in_by_hand_moves_nothing_else_far() -> None:
    one = film(11)
    before = aligned(one)
    middle = before.found[len(before.found) // 2].target.key
    after = aligned(one, {middle: one.began[middle]})
    differing = [
        first.target.key
        for first, second in zip(before.found, after.found, strict=True)
        if (first.at is None) != (second.at is None)
        or abs((first.at or 0) - (second.at or 0)) > 10_000
    ]
    assert [key for key in differing if key != middle] == []


def test_names_noted_by_hand_a_minute_apart_are_each_found() -> None:
    """A name and a word beside each time: far apart in time, they are no list of what will come."""
    one = film(11)
    noted = "\n".join(
        f"{each.start // 60}:{each.start % 60:02d} {name_of(each, vocabulary())} now"
        for each in one.line.intervals
    )
    found = {each.target.key: each for each in align(one.line, vocabulary(), read_captions(
        f"0:00 hello\n{noted}".encode()).cues).found}  # fmt: skip
    close = [key for key, each in found.items() if each.at is not None and each.confidence >= 0.6]
    assert len(close) >= 0.9 * len(list(one.line.work))


def test_empty_captions_find_nothing() -> None:
    one = film(5)
    found = align(one.line, vocabulary(), ())
    assert found.in_time == ()
    assert len(found.missing) == len(list(one.line.work))
    assert {each.confidence for each in found.found} == {0.0}
    assert {each.filmed for each in found.overrun} == {None}


def test_captions_of_another_class_find_nearly_nothing() -> None:
    """Two classes that share no exercise; some of their names share words."""
    here, there = TEN[:5], TEN[5:]

    def designed(codes: Sequence[str]) -> Design:
        items = tuple(Item(code) for code in codes)
        return Design((Block("main", "", (Pattern(items, rounds=3),)),))

    planned = timeline(designed(here), vocabulary())
    shares = []
    for seed in range(10):
        other = film(seed, design=designed(there))
        cues = read_captions(hearing.vtt(other.words, 10)).cues
        found = align(planned, vocabulary(), cues)
        shares.append(len(found.missing) / len(found.found))
    assert min(shares) >= 0.8
    assert sum(shares) / len(shares) >= 0.9


def test_the_same_exercises_in_three_rounds_are_told_apart() -> None:
    """What is found lies nearest to where its own round had it, not another one."""
    items = tuple(Item(code) for code in ("squat", "bent-over-row", "bridge", "standing-march"))
    design = Design((Block("main", "", (Pattern(items, 40, 15, rounds=3, round_rest=45),)),))
    off, own = [], []
    for seed in range(20):
        one = film(seed, design=design)
        for each in aligned(one).found:
            began = one.began.get(each.target.key)
            if began is not None:
                off.append(_off(each.at, began))
                own.append(each.at is None or _nearest(one, each.target.key, each.at) == began)
    assert median(off) <= 3
    assert sum(own) / len(own) >= 0.97


def _nearest(one: Film, key: str, at: int) -> int:
    """The start nearest to a time, of the same exercise in whatever round."""
    exercise = key.split(".")[:3]
    starts = [began for other, began in one.began.items() if other.split(".")[:3] == exercise]
    return min(starts, key=lambda began: abs(began - at))


def test_a_class_spoken_as_it_was_planned_keeps_the_order_of_the_plan() -> None:
    """Without the two that were swapped, times rise in the order of the plan."""
    one = film(8)
    times = [
        each.at
        for each in aligned(one).found
        if each.at is not None and each.target.key not in one.swapped
    ]
    assert times == sorted(times)


def test_the_overrun_of_a_block_is_what_it_took() -> None:
    """From the first interval of a block to the first of the next, within ten seconds."""
    one = film(2)
    firsts: dict[int, int] = {}
    for key, began in sorted(one.began.items(), key=lambda row: row[1]):
        firsts.setdefault(int(key.split(".")[0]), began)
    warm_up = aligned(one).overrun[0]
    assert warm_up.planned == one.line.blocks[0].seconds * 1000
    assert warm_up.filmed is not None
    assert abs(warm_up.filmed - (firsts[1] - firsts[0])) <= 20_000
