"""A class beside the captions of its film: found starts, what is missing, what ran over. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from content.rules.alignment.targets import Spoken, Target, targets_of
from content.rules.captions import Cue
from content.rules.timeline import TimeLine


@dataclass(frozen=True, slots=True)
class Found:
    """Where a planned interval began, in milliseconds; None: not found. `confidence`: 0 to 1."""

    target: Target
    at: int | None
    confidence: float
    fixed: bool = False


@dataclass(frozen=True, slots=True)
class Overrun:
    """A block's length as planned and as filmed, in milliseconds; None: not known."""

    block: int
    planned: int
    filmed: int | None


@dataclass(frozen=True, slots=True)
class Aligned:
    """Every planned interval in the order of the plan, and what each block took."""

    found: tuple[Found, ...]
    overrun: tuple[Overrun, ...]

    @property
    def in_time(self) -> tuple[Found, ...]:
        """Those found, in the order in which they were filmed."""
        there = (one for one in self.found if one.at is not None)
        return tuple(sorted(there, key=lambda one: one.at or 0))

    @property
    def missing(self) -> tuple[Target, ...]:
        """Those not found."""
        return tuple(one.target for one in self.found if one.at is None)


def align(
    line: TimeLine,
    library: Mapping[str, Spoken],
    cues: Sequence[Cue],
    *,
    fixed: Mapping[str, int] | None = None,
    length_ms: int | None = None,
) -> Aligned:
    """Find when each interval of work began. `fixed`: starts that the coach put right, by key.

    `length_ms`: of the film, where known; otherwise the end of the captions.
    """
    from content.rules.alignment.search import starts  # noqa: PLC0415 -- numpy is slow to load

    fixed = fixed or {}
    targets = targets_of(line, library)
    end = length_ms or max((cue.end for cue in cues), default=0)
    there = starts(targets, cues, fixed, end)
    found = tuple(
        Found(one, fixed[one.key], 1.0, True) if one.key in fixed else Found(one, *start)
        for one, start in zip(targets, there, strict=True)
    )
    return Aligned(found, overrun(line, found, end or None))


def overrun(line: TimeLine, found: Sequence[Found], end: int | None) -> tuple[Overrun, ...]:
    """From the first start found in a block to the first one found in the next."""
    begins: list[int | None] = [
        min((one.at for one in found if one.at is not None and one.target.block == n), default=None)
        for n in range(len(line.blocks))
    ]
    planned = [one.seconds * 1000 for one in line.blocks]
    untils = [*begins[1:], end]
    return tuple(
        Overrun(n, whole, until - begin if begin is not None and until and until > begin else None)
        for n, (whole, begin, until) in enumerate(zip(planned, begins, untils, strict=False))
    )
