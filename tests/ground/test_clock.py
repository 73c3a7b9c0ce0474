"""The only clock, really and pretended."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from coach import clock


@pytest.fixture
def _real(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("COACH_TODAY")


def test_a_pretended_day_is_that_day_everywhere(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COACH_TODAY", "2027-02-28")
    assert {clock.today(zone) for zone in ("Pacific/Kiritimati", "Pacific/Niue", "UTC")} == {
        date(2027, 2, 28)
    }
    assert clock.now() == datetime(2027, 2, 28, 9, tzinfo=UTC)


@pytest.mark.parametrize("wrong", ["2027-02-30", "tomorrow", "28.2.2027"])
def test_a_day_that_is_none_is_an_error(monkeypatch: pytest.MonkeyPatch, wrong: str) -> None:
    monkeypatch.setenv("COACH_TODAY", wrong)
    with pytest.raises(ValueError, match=r".+"):
        clock.now()


@pytest.mark.usefixtures("_real")
def test_really_it_is_the_present_in_utc() -> None:
    before = datetime.now(UTC)  # noqa: TID251  # the clock is what is tested
    assert before <= clock.now() <= datetime.now(UTC)  # noqa: TID251  # as above


@pytest.mark.usefixtures("_real")
def test_two_zones_fourteen_and_minus_eleven_hours_off_are_never_on_one_date() -> None:
    assert clock.today("Pacific/Kiritimati") > clock.today("Pacific/Niue")
