"""Who measured and how, in the words of a report. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from clients.rules.assessment import Measured
from clients.rules.measured_words import way_words
from clients.rules.measuring import CLINICIAN, COACH, FINGERS, HERSELF, scheme
from clients.rules.report_changes import any_width
from clients.rules.report_said import Brief
from clients.rules.report_words import Voice
from clients.rules.words import unless_quiet

UNNAMED = "name not shown"


def way_title(one: Measured, voice: Voice, *, quiet: bool) -> str:
    """ "calliper, on your back, knees bent", with whose fingers where it was counted in them."""
    way = voice.said(way_words(one)) or "way of measuring not known"
    if one.unit != FINGERS:
        return way
    method, *rest = way.split(", ")
    by = person(one, voice, quiet=quiet)
    whose = f"{method} of {by}" if one.who != HERSELF else voice.said(f"her own {method}")
    return ", ".join((whose, *rest))


def person(one: Measured, voice: Voice, *, quiet: bool) -> str:
    """ "Una Tallon (coach)", "you yourself", "a clinician, name not known"."""
    if one.who == HERSELF:
        return voice.said("herself")
    name = unless_quiet(one.by.strip(), quiet=quiet, instead=UNNAMED) or "name not known"
    kind = {COACH: "coach", CLINICIAN: "clinician"}.get(one.who, "who is not known")
    return f"{name} ({kind})"


def measured_by(
    ones: Sequence[Measured], voice: Voice, brief: Brief, *, quiet: bool
) -> Iterator[str]:
    """A sentence for each person and way, with how often and when."""
    groups: dict[str, list[Measured]] = {}
    for one in ones:
        groups.setdefault(_by_words(one, voice, quiet=quiet), []).append(one)
    for words, rows in groups.items():
        first, last = rows[0].day, rows[-1].day
        when = f"on {brief(last)}" if first == last else f"from {brief(first)} to {brief(last)}"
        often = "" if len(rows) == 1 else f"{len(rows)} times, "
        yield f"{words}: {often}{when}."


def _by_words(one: Measured, voice: Voice, *, quiet: bool) -> str:
    who = person(one, voice, quiet=quiet)
    origin = unless_quiet(one.origin.strip(), quiet=quiet, instead=UNNAMED)
    handed = f", handed over by {origin}" if origin else ""
    way = (voice.said(way_words(one)) or "way not known") if any_width(one) else "no width"
    return f"Measured by {who}{handed}, {way}"


def short_person(one: Measured, voice: Voice, *, quiet: bool) -> str:
    """Who measured, as a cell of the table."""
    if one.who == HERSELF:
        return "you" if voice.to_her else "herself"
    name = unless_quiet(one.by.strip(), quiet=quiet)
    return name or voice.said(scheme().who.get(one.who, "not known"))
