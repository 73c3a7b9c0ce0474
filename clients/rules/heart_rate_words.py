"""Heart rates as a page prints them: ranges of whole numbers, sources and cautions. Pure.

Nothing here holds a word that a quiet client's page may not: where she carries, it says "now".
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from clients.rules.go_ahead_words import sentence
from clients.rules.heart_rate import (
    HIGHEST,
    OLDEST,
    RESERVE,
    TANAKA,
    YOUNGEST,
    Beats,
    Formula,
    disputed_efforts,
    effort_levels,
    highest_beats,
    published,
    reserve_beats,
    share_beats,
)
from clients.rules.plausible import FAST_PULSE
from coach.scheduling.values import GoAhead

ABOVE = "above her limit"
NOT_KNOWN = "not known"
_GO_BY = "Go by how hard it feels and by talking: she can hold a conversation."
_AGREE_BADLY = (
    "The heart beat 11 to 18 times a minute more than effort foretold in this stage (O’Neill and "
    "others 1992): never work out a heart rate from an effort."
)
_ESTIMATE = (
    "Estimates for healthy adults: her own highest may lie 22 to 24 beats above or below (95 of "
    "100). How she feels comes before any number."
)
_MEDICINE = (
    "Medicines that slow the heart, and heart trouble, make them wrong: ask her clinician "
    "(common practice, no source)."
)


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of words under their heads, the first cell of each its name."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HeartRate:
    """What a page prints: her clinician's limit first, what is missing, tables, cautions."""

    limit: str
    missing: tuple[str, ...]
    tables: tuple[Table, ...]
    cautions: tuple[str, ...]


def not_to_train_by(found: GoAhead) -> str:
    """Why no heart rate to train by is shown, in a sentence; "" where one may be."""
    if not found.word.may_train:
        return f"Her go-ahead says “{found.word}”: no heart rate to train by."
    if found.limits.gentle_recovery_only:
        return "She is limited to gentle recovery work: no heart rate to train by."
    return ""


def heart_rate_words(
    age: int | None,
    rest: int | None,
    *,
    pregnant: bool | None,
    limit: int | None,
    quiet: bool,
    not_now: str = "",
) -> HeartRate:
    """Her ranges in words. `age` in completed years, `rest`: her pulse at rest, None: not known.

    `pregnant` None: her stage is not known, and no number is shown. `limit`: what her clinician
    allows at most, before every number and cutting each. `not_now`: why there is none to train by.
    """
    missing = tuple(_missing(age, rest, pregnant, not_now, quiet=quiet))
    tables: tuple[Table, ...] = ()
    if age is not None and YOUNGEST <= age <= OLDEST and pregnant is not None and not not_now:
        tables = _published_tables(age, limit) if pregnant else _worked_out(age, rest, limit)
    told = f"Her clinician’s limit: at most {limit} beats a minute." if limit is not None else ""
    return HeartRate(told, missing, tables, tuple(_cautions(age, pregnant, shown=bool(tables))))


def _missing(
    age: int | None, rest: int | None, pregnant: bool | None, not_now: str, *, quiet: bool
) -> Iterator[str]:
    if not_now:
        yield not_now
    if age is None:
        born = "Her age is" if quiet else "Her date of birth is"
        yield f"{born} not known: no heart rate is worked out."
    elif not YOUNGEST <= age <= OLDEST:
        yield f"She is {age}: the sums hold from {YOUNGEST} to {OLDEST} years alone."
    if pregnant is None:
        yield "Her stage is not known: no heart rate is shown."
    elif not pregnant and rest is None:
        yield "Her pulse at rest is not known: ranges between rest and highest are not worked out."
    if rest is not None and rest > FAST_PULSE:
        yield f"A pulse of {rest} at rest is fast: count it again, and ask her clinician."


def _cautions(age: int | None, pregnant: bool | None, *, shown: bool) -> Iterator[str]:
    yield _GO_BY
    if pregnant is not False:
        yield _AGREE_BADLY
    if shown:
        yield _ESTIMATE
        yield _MEDICINE
    if shown and pregnant and age is not None:
        yield f"Published ranges differ: the one that ends first, at {_first_end(age)}, is safer."
        yield from (_disputed_words(one, age) for one in disputed_efforts(age))


def _first_end(age: int) -> int | None:
    printed = (one.most for one in published().pulses if one.is_for(age))
    return min((*printed, share_beats(age).most or 0))


def _disputed_words(effort: int, age: int) -> str:
    """ "Sources differ over 14 on the effort scale 6 to 20: vigorous (…); moderate (…)." """
    scales = published().scales
    by_level: dict[str, list[str]] = {}
    for code, level in effort_levels(effort, age).items():
        by_level.setdefault(level, []).append(scales[code].source)
    told = "; ".join(f"{level} ({'; '.join(some)})" for level, some in by_level.items())
    return f"Sources differ over {effort} on the effort scale 6 to 20: {told}."


def _worked_out(age: int, rest: int | None, limit: int | None) -> tuple[Table, ...]:
    """Her highest by each formula, and the bands of the first of them."""
    formulas = published().formulas
    highest = Table(
        "Her highest, estimated",
        ("by", "a minute, about", "95 of 100 people"),
        tuple(_highest_row(one, age) for one in formulas.values()),
        tuple(one.source for one in formulas.values()),
    )
    return (highest, _bands(formulas[TANAKA], age, rest, limit))


def _highest_row(formula: Formula, age: int) -> tuple[str, ...]:
    value = formula.highest(age)
    low, high = _whole(value - formula.spread), _whole(value + formula.spread)
    return (formula.words, str(_whole(value)), f"{low} to {high}")


def _whole(value: Decimal) -> int:
    return int(value.to_integral_value(ROUND_HALF_UP))


def _bands(formula: Formula, age: int, rest: int | None, limit: int | None) -> Table:
    highest, scales = formula.highest(age), published().scales
    of_highest = {one.level: one for one in highest_beats(scales[HIGHEST], highest)}
    known = rest is not None and 0 < rest < highest
    of_reserve = reserve_beats(scales[RESERVE], highest, rest) if known and rest else ()
    reserve = {one.level: one for one in of_reserve}
    rows = tuple(
        (sentence(level), beats_words(reserve.get(level), limit), beats_words(one, limit))
        for level, one in of_highest.items()
    )
    return Table(
        f"Beats a minute, by {formula.words}",
        ("level", "rest to highest, about", "of the highest, about"),
        rows,
        (
            f"Rest to highest: {scales[RESERVE].source}: {_cuts(RESERVE)}",
            f"Of the highest: {scales[HIGHEST].source}: {_cuts(HIGHEST)}",
        ),
    )


def _cuts(code: str) -> str:
    """ "moderate 40 to 59 %, …" of an edition."""
    bands = published().scales[code].bands
    return ", ".join(
        f"{one.level} {one.least} {'% on' if one.below is None else f'to {one.below - 1} %'}"
        for one in bands
    )


def beats_words(one: Beats | None, limit: int | None) -> str:
    """ "116 to 138", never above her limit; "not known" for none."""
    if one is None:
        return NOT_KNOWN
    if limit is not None and one.least > limit:
        return ABOVE
    most = min((n for n in (one.most, limit) if n is not None), default=None)
    if most is None:
        return f"{one.least} on"
    return f"{one.least} to {most}" if one.least < most else f"{most}"


def _published_tables(age: int, limit: int | None) -> tuple[Table, ...]:
    """What guidelines print for who carries: two that differ, beside each other."""
    printed = [one for one in published().pulses if one.is_for(age)]
    share = published().share
    rows = [
        (sentence(one.level), beats_words(Beats(one.level, one.least, one.most), limit), one.source)
        for one in printed
    ]
    of_share = share_beats(age)
    words = published().formulas[share.formula].words
    how = f"{share.source}: {share.least} to {share.most} % of {words}, at most {share.cap}"
    rows.append((sentence(of_share.level), beats_words(of_share, limit), how))
    heads = ("level", "a minute, about", "source")
    return (Table("Published for this stage", heads, tuple(rows), ()),)
