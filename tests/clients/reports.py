"""What the tests of progress reports share: facts of one client, one assessment, and 25."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from clients.rules.assessment import Catalogue, Measured, Own
from clients.rules.impact_tests import impact_tests
from clients.rules.report import ReportFacts
from coach.scheduling.dates import Ending, PregnancyDates
from coach.scheduling.values import Stage

TODAY = date(2026, 12, 3)
ENDED = date(2026, 3, 16)
KNOWN = Catalogue(
    ("above45", "navel", "below45"), {1: Own(1, "Plank on knees", "s", "more"), 2: Own(2, "Steps")}
)


def measured(day: date, pk: int = 1, **values: Any) -> Measured:
    """By Una with a calliper, on her back; `values` by code with _ for -, or of Measured."""
    way = {"by": "Una Tallon", "who": "coach", "method": "calliper", "position": "crook"}
    for name in (*way, "finger_mm", "origin"):
        if name in values:
            way[name] = values.pop(name)
    codes = {
        name if name.startswith("next_day") else name.replace("_", "-"): value
        for name, value in values.items()
    }
    return Measured(pk, day, codes, **way)


def with_tests(*, count: int = 11, below: str = "") -> dict[str, Any]:
    """The first tests passed without a symptom; one of them, `below`, with less than asked."""
    values: dict[str, Any] = {}
    for code, test in list(impact_tests().items())[:count]:
        amount = test.amount - (code == below)
        values |= dict.fromkeys((test.field(part) for part in test.parts), amount)
        values[test.field("symptom")] = "no"
    return {code.replace("-", "_"): value for code, value in values.items()}


ALL_OF_IT = {
    "width_above45_rest": 24, "width_navel_rest": 34, "width_below45_rest": 18,
    "width_above45_lift": 20, "width_navel_lift": 28, "width_below45_lift": 15,
    "tension": "soft", "doming": "yes", "leaking": "yes", "heaviness": "no", "effort": 5,
    "pulse": 70, "total_iciq": 7, "total_pgq": 40, "own_1": 20, "own_2": 4000,
}  # fmt: skip


def twenty_five() -> tuple[Measured, ...]:
    """One every nine days from 28 April on; the widths get less, two are in finger-widths."""
    found = []
    for n in range(25):
        day = date(2026, 4, 28) + timedelta(days=9 * n)
        less = {code: value - n // 3 for code, value in ALL_OF_IT.items() if "width" in code}
        told = {"leaking": "yes" if n < 9 else "no", "effort": 4 + n // 8}
        ones = ALL_OF_IT | less | told | (with_tests() if n > 15 else {})
        found.append(measured(day, n + 1, **ones))
    fingers = {"method": "fingers", "width_navel_rest": 2.5}
    found[3] = measured(found[3].day, 4, **fingers)
    found[9] = measured(found[9].day, 10, **fingers, who="client", by="")
    return tuple(found)


def facts(*ones: Measured, **changes: Any) -> ReportFacts:
    """Of Maeve, 37 weeks after an end, with consent, from the first of the year on."""
    values: dict[str, Any] = {
        "client": "Maeve Ashgrove",
        "born": date(1993, 5, 4),
        "quiet": False,
        "stage": Stage.WEEKS_26_52,
        "practice": "Strand Row Movement",
        "coach": "Una Tallon",
        "today": TODAY,
        "since": date(2026, 1, 1),
        "measured": ones,
        "known": KNOWN,
        "pregnancies": (PregnancyDates(date(2026, 3, 14), ENDED, Ending.BIRTH),),
        "consented_on": date(2026, 11, 2),
        "number": "112",
    }
    return ReportFacts(**(values | changes))
