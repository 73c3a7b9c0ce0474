"""Keys are made once, for the owner's eyes only, and read loudly."""

from __future__ import annotations

import base64
import os
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from coach import keys


def test_a_key_is_made_once_with_mode_0600(tmp_path: Path) -> None:
    first = keys.kept_secret("COACH_TRIAL", tmp_path / "keys", "one")
    again = keys.kept_secret("COACH_TRIAL", tmp_path / "keys", "two")
    assert (first, again) == ("one", "one")
    assert (tmp_path / "keys" / "coach_trial").stat().st_mode & 0o777 == 0o600
    assert (tmp_path / "keys").stat().st_mode & 0o777 == 0o700


def test_the_environment_wins(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COACH_TRIAL", "given")
    assert keys.kept_secret("COACH_TRIAL", tmp_path, "made") == "given"
    assert list(tmp_path.iterdir()) == []


def test_a_key_that_others_can_read_stops_the_start(tmp_path: Path) -> None:
    (tmp_path / "coach_trial").write_text("x")
    (tmp_path / "coach_trial").chmod(0o644)
    with pytest.raises(keys.BadKey, match="chmod 600"):
        keys.kept_secret("COACH_TRIAL", tmp_path, "made")


def test_an_emptied_key_is_never_replaced(tmp_path: Path) -> None:
    (tmp_path / "coach_trial").touch(mode=0o600)
    with pytest.raises(keys.BadKey, match="backup"):
        keys.kept_secret("COACH_TRIAL", tmp_path, "made")


def test_many_at_once_agree_on_one_key(tmp_path: Path) -> None:
    with ThreadPoolExecutor(8) as pool:
        results = pool.map(
            lambda n: keys.kept_secret("COACH_TRIAL", tmp_path, f"key {n}"), range(32)
        )
        assert len(set(results)) == 1


def test_field_keys_are_read_in_order() -> None:
    two, one = os.urandom(32), os.urandom(32)
    text = ",".join(
        f"{n}:{base64.urlsafe_b64encode(key).decode()}" for n, key in ((2, two), (1, one))
    )
    assert list(keys.field_keys(text).items()) == [(2, two), (1, one)]
    assert len(keys.field_keys(keys.new_field_key())[1]) == 32


@pytest.mark.parametrize("text", ["", "1", "x:abcd", "1:abcd", "0:" + "A" * 43 + "=", "1:%%%"])
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(keys.BadKey):
        keys.field_keys(text)
