"""What a report has to tell, before it is put in words for the paper. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from clients.rules.assessment import Measured
from clients.rules.report_changes import Change, Way
from clients.rules.report_said import Brief, Outcome, Said
from clients.rules.report_words import Voice


@dataclass(frozen=True, slots=True)
class Told:
    """What a report has to tell: of the parts that are `wanted`, from the assessments `ones`."""

    voice: Voice
    ones: tuple[Measured, ...]
    ways: tuple[Way, ...]
    symptoms: tuple[Said, ...]
    seen: tuple[Said, ...]
    results: Mapping[str, Outcome]
    numbers: tuple[Change, ...]
    totals: tuple[Change, ...]
    wanted: frozenset[str]
    quiet: bool
    brief: Brief
