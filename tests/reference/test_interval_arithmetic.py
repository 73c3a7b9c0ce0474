"""The time line of a class against published protocols and worked totals."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from content.rules.design import Block, Design, Item, Pattern
from content.rules.timeline import clock, ratio, timeline


@dataclass(frozen=True)
class Known:
    name: str
    sides: str = "one"


LIBRARY = {
    "both": Known("Both"),
    "each": Known("Each", "each"),
    "turns": Known("Turns", "alternating"),
}


def block(*patterns: Pattern, last_rest: bool = True, change: int = 0, after: int = 0,
          kind: str = "main") -> Block:  # fmt: skip
    return Block(kind, "", patterns, last_rest, change, after)


def sets(work: int, rest: int, rounds: int = 1, round_rest: int = 0, items: int = 1) -> Pattern:
    return Pattern((Item("both"),) * items, work, rest, rounds, round_rest)


def seconds(*blocks: Block) -> int:
    return timeline(Design(blocks), LIBRARY).seconds


@pytest.mark.parametrize(
    ("what", "blocks", "with_last", "without"),
    [
        # Tabata and others 1996: 20 s of work, 10 s of rest, 7 to 8 sets.
        ("eight short sprints", [block(sets(20, 10, 8))], 240, 230),
        ("seven of them", [block(sets(20, 10, 7))], 210, 200),
        # Klika & Jordan 2013: twelve exercises with 10 s between; 30 s from memory.
        ("a circuit of twelve", [block(sets(30, 10, items=12))], 480, 470),
        # Reported worked example of sprint intervals, JSSM 2011;10:571: 5 x 30 s, 4 min between.
        ("five all-out sprints", [block(sets(30, 240, 5))], 1350, 1110),
        # Common practice, no source.
        ("45/15 eight times", [block(sets(45, 15, 8))], 480, 465),
        ("30/15 eight times", [block(sets(30, 15, 8))], 360, 345),
        ("a minute on, a minute off", [block(sets(60, 60, 10))], 1200, 1140),
        ("four times four minutes", [block(sets(240, 180, 4))], 1680, 1500),
    ],
)
def test_totals_of_protocols(what: str, blocks: list[Block], with_last: int, without: int) -> None:
    (one,) = blocks
    dropped = Block(one.kind, one.title, one.patterns, False, one.change, one.change_after)
    assert (seconds(one), seconds(dropped)) == (with_last, without), what


def test_blocks_of_thirty_twenty_ten_with_two_minutes_between() -> None:
    """Gunnarsson & Bangsbo 2012: 5 x (30, 20, 10 s), 3 to 4 blocks, 2 min between."""
    easy = Pattern(tuple(Item("both", work=n) for n in (30, 20, 10)), 30, 0, 5)
    assert seconds(block(easy, easy, easy, change=120)) == 19 * 60
    assert seconds(block(easy, easy, easy, easy, change=120)) == 26 * 60


@pytest.mark.parametrize(("last_rest", "total"), [(True, 1740), (False, 1680)])
def test_a_class_of_rounds_with_and_without_the_last_rests(last_rest: bool, total: int) -> None:
    """Common practice, no source: 5:00, three rounds of six 40/20 with a minute between, 4:00."""
    assert seconds(
        block(sets(300, 0), kind="warm-up"),
        block(sets(40, 20, 3, 60, items=6), last_rest=last_rest),
        block(sets(240, 0), kind="cool-down"),
    ) == total  # fmt: skip


@pytest.mark.parametrize(("last_rest", "shown"), [(True, "17:00"), (False, "16:45")])
def test_a_warm_up_of_six_and_a_main_part_of_fourteen(last_rest: bool, shown: str) -> None:
    """Common practice, no source: six exercises of 30 s, then fourteen of 45/15."""
    warm, main = sets(30, 0, items=6), sets(45, 15, items=14)
    total = seconds(block(warm, kind="warm-up"), block(main, last_rest=last_rest))
    assert clock(total) == shown


@pytest.mark.parametrize(
    ("total", "shown"),
    [(0, "0:00"), (59, "0:59"), (60, "1:00"), (119, "1:59"), (120, "2:00"), (3599, "59:59"),
     (3600, "1:00:00"), (36000, "10:00:00")],
)  # fmt: skip
def test_minutes_and_seconds_never_show_sixty(total: int, shown: str) -> None:
    assert clock(total) == shown


@pytest.mark.parametrize(
    ("work", "rest", "shown"),
    [(45, 15, "3:1"), (40, 20, "2:1"), (20, 10, "2:1"), (50, 20, "5:2"), (30, 0, ""), (0, 9, "")],
)
def test_work_to_rest_is_reduced(work: int, rest: int, shown: str) -> None:
    assert ratio(work, rest) == shown


def test_work_and_rest_are_summed_by_block_and_in_all() -> None:
    """Eight sets of 20/10: work 2:40, rest 1:20, or 1:10 without the last."""
    for last_rest, rest in ((True, 80), (False, 70)):
        found = timeline(Design((block(sets(20, 10, 8), last_rest=last_rest),)), LIBRARY)
        assert (found.whole.work, found.whole.rest, found.blocks[0].rest) == (160, rest, rest)


def test_sides_are_two_intervals_or_one_that_alternates() -> None:
    pattern = Pattern((Item("each"), Item("turns"), Item("both")), 40, 20)
    found = timeline(Design((block(pattern),)), LIBRARY)
    assert [(one.start, one.end, one.kind, one.side) for one in found.intervals] == [
        (0, 40, "work", "left"), (40, 60, "rest", "left"),
        (60, 100, "work", "right"), (100, 120, "rest", "right"),
        (120, 160, "work", "alternating"), (160, 180, "rest", "alternating"),
        (180, 220, "work", ""), (220, 240, "rest", ""),
    ]  # fmt: skip


def test_the_item_says_otherwise_about_sides() -> None:
    pattern = Pattern((Item("each", sides="alternating"), Item("both", sides="two")), 40, 0)
    found = timeline(Design((block(pattern),)), LIBRARY)
    assert [one.side for one in found.work] == ["alternating", "left", "right"]


def test_every_end_is_the_next_start() -> None:
    one = block(sets(40, 20, 3, 60, items=6), sets(30, 10, 2), change=15, after=25, last_rest=False)
    found = timeline(Design((one, one, block())), LIBRARY).intervals
    assert [a.end for a in found[:-1]] == [b.start for b in found[1:]]
    assert all(one.seconds > 0 for one in found)
