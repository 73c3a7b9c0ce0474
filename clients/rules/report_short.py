"""A report in short: three to six plain entries, each of a sentence or two. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from clients.rules.assessment import EFFORT
from clients.rules.impact_tests import Result, impact_tests
from clients.rules.report_changes import Change, Way
from clients.rules.report_said import TAKEN, Said
from clients.rules.report_told import Told
from clients.rules.report_way import way_title
from clients.rules.report_words import SYMPTOMS, TESTS, WIDTHS
from clients.rules.words import short_day_words


def in_short(told: Told) -> tuple[str, ...]:
    """The entries, the first saying how often she was measured and when."""
    return (
        _how_often(told),
        *_widths(told),
        *_felt(told),
        *_not_asked(told),
        *_tests(told),
        *_effort(told),
    )


def _how_often(told: Told) -> str:
    first, last = told.ones[0].day, told.ones[-1].day
    if len(told.ones) == 1:
        once = "measured once in this time"
        return f"{told.voice.was} {once}, on {short_day_words(last)}: no change can be told yet."
    when = f"from {short_day_words(first)} to {short_day_words(last)}"
    if first == last:
        when = f"on {short_day_words(last)}"
    many = "twice" if len(told.ones) == 2 else f"{len(told.ones)} times"
    return f"{told.voice.was} measured {many} {when}."


def _widths(told: Told) -> Iterator[str]:
    if WIDTHS not in told.wanted:
        return
    if not told.ways:
        yield "No width was taken in this time."
        return
    way = next((one for one in told.ways if _compared(one)), None)
    if way is None:
        if len(told.ones) > 1:
            yield "No width was taken twice in the same way, so no change of it can be told."
        return
    yield " ".join((_widest(way, told), *_others(way), *_other_ways(told)))


def _compared(way: Way) -> list[Change]:
    return [change for change in way.changes if change.first]


def _widest(way: Way, told: Told) -> str:
    """The place that was widest at first, at rest where it was taken so."""
    of_rest = [one for one in _compared(way) if one.code.endswith("-rest")]
    one = max(of_rest or _compared(way), key=lambda change: _first(change))
    first, latest, brief = one.first or one.latest, one.latest, told.brief
    where = one.label if one not in of_rest else f"{one.label}, at rest"
    return (
        f"The width {where}, was {one.value_words(first)} on {brief(first.day)} and "
        f"{one.value_words(latest)} on {brief(latest.day)}: {one.words} "
        f"({way_title(way.one, told.voice, quiet=told.quiet)})."
    )


def _first(change: Change) -> float:
    return (change.first or change.latest).value


def _others(way: Way) -> Iterator[str]:
    found = _compared(way)
    if len(found) < 2:
        return
    counts = (
        (sum(one.by < 0 for one in found), "narrower"),
        (sum(one.by > 0 for one in found), "wider"),
        (sum(not one.by for one in found), "as before"),
    )
    told = [(many, words) for many, words in counts if many]
    if len(told) == 1:
        yield f"All {len(found)} widths taken in that way are {told[0][1]}."
        return
    parts = [f"{many} {'is' if many == 1 else 'are'} {words}" for many, words in told]
    yield f"Of the {len(found)} widths taken in that way, {_and(parts)}."


def _other_ways(told: Told) -> Iterator[str]:
    if len(told.ways) > 1:
        yield "Widths taken in another way, or by another person’s fingers, stand by themselves."


def _felt(told: Told) -> Iterator[str]:
    """What she feels, what she no longer feels, what she never did when she was asked."""
    asked = [one for one in told.symptoms if one.last]
    felt = [f"{one.finding} ({_when(one, told)})" for one in asked if one.felt]
    gone = [f"{one.finding} (no {_when(one, told)})" for one in asked if one.gone]
    never = [one.finding for one in asked if not (one.felt or one.gone)]
    found = [
        *([f"Felt when last asked: {', '.join(felt)}."] if felt else []),
        *([f"No longer felt when last asked: {', '.join(gone)}."] if gone else []),
        *([f"Not felt when asked: {', '.join(never)}."] if never else []),
    ]
    if found:
        yield " ".join(found)


def _when(one: Said, told: Told) -> str:
    """ "since 5 Nov", "on 3 Dec"."""
    run = one.last
    return f"{'since' if run.count > 1 else 'on'} {told.brief(run.first)}" if run else ""


def _not_asked(told: Told) -> Iterator[str]:
    """What was not asked the last time she was measured, whatever was said before."""
    if SYMPTOMS not in told.wanted:
        return
    last = told.ones[-1].day
    missing = [one.finding for one in told.symptoms if not (one.last and one.last.last == last)]
    if missing:
        yield f"Not asked on {told.brief(last)}: {', '.join(missing)}. Not asked is not no."


def _tests(told: Told) -> Iterator[str]:
    if TESTS not in told.wanted:
        return
    taken = [one for one in told.results.values() if one.result in TAKEN]
    if not taken:
        return
    passed, all_of_them = sum(one.result is Result.PASS for one in taken), len(impact_tests())
    failed = [one.test.words.lower() for one in taken if one.result is Result.FAIL]
    if passed == all_of_them:
        yield f"All {passed} tests were passed when last taken."
        return
    more = f"; not passed: {', '.join(failed)}" if failed else ""
    yield f"Of the {all_of_them} tests, {passed} {_were(passed)} passed when last taken{more}."


def _effort(told: Told) -> Iterator[str]:
    """How hard training felt, first and last."""
    one = next((each for each in told.numbers if each.code == EFFORT), None)
    if one is None or one.first is None:
        return
    if not one.by:
        yield f"Effort is {_at(one, one.latest.value, told)}, as before."
        return
    first, latest = (_at(one, reading.value, told) for reading in (one.first, one.latest))
    on, then = told.brief(one.first.day), told.brief(one.latest.day)
    yield f"Effort was {first} on {on}, and {latest} on {then}."


def _at(one: Change, value: float, told: Told) -> str:
    words = told.voice.said(dict(one.said).get(value, ""))
    return f"{value:g} of 10 ({words})"


def _were(many: int) -> str:
    return "was" if many == 1 else "were"


def _and(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
