"""A series for one client: every part judged at the day on which it comes out. Pure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from content.rules.suitability import ClassJudged, Verdict
from content.rules.suitability.values import worst

NO_DAY = "It has no day yet, so nothing is known of how she will be."
NO_DESIGN = "It isn’t designed yet."
BY_THEN = (
    "By what is recorded now her go-ahead will read “{word}” by then: it is asked again that day."
)


@dataclass(frozen=True, slots=True)
class Part:
    """One class of a series. `day`: when it comes out, today for one that is out, None for no day;
    `judged`: what it comes to on that day, None for one without a design or a day; `word`: her
    go-ahead on that day in words; `out`: whether it is published.
    """

    number: int
    title: str
    day: date | None
    judged: ClassJudged | None
    word: str = ""
    out: bool = False

    @property
    def verdict(self) -> Verdict:
        """What the part comes to on its day; what cannot be judged is not known."""
        if self.judged is None or self.judged.not_cleared:
            return Verdict.NOT_KNOWN
        return self.judged.verdict

    @property
    def why(self) -> str:
        """Why it is not known where no exercise says so; "" otherwise."""
        if self.day is None:
            return NO_DAY
        if self.judged is None:
            return NO_DESIGN
        return BY_THEN.format(word=self.word) if self.judged.not_cleared else ""


@dataclass(frozen=True, slots=True)
class SeriesJudged:
    """A series with its parts in order."""

    title: str
    parts: tuple[Part, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of its parts: a series fits only if each part does on its day."""
        return worst([one.verdict for one in self.parts])

    @property
    def said(self) -> str:
        """How far it fits, in words."""
        fits = [one.verdict in {Verdict.FINE, Verdict.EASIER} for one in self.parts]
        if all(fits):
            return "every part fits on its day, by what is recorded now"
        first = fits.index(False)
        if not first:
            return "not from its first part on"
        return f"fits up to part {self.parts[first - 1].number}"
