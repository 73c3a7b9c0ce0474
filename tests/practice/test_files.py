"""Files are kept encrypted under names that tell nothing, and damage is noticed."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pyrage
import pytest
from django.conf import settings
from django.db import IntegrityError, transaction
from django.test import TestCase

from coach import clock, keys
from coach.practice import checks, files
from coach.practice.models import Practice, StoredFile

PDF = b"%PDF-1.7 a letter from the clinic " * 50


def store(content: bytes, name: str = "x") -> StoredFile:
    with files.atomic():
        return files.store(name=name, content=content, content_type="application/pdf")


@files.atomic()
def store_and_fail() -> None:
    store(PDF)
    raise ZeroDivisionError


@pytest.fixture
def letter(db: None) -> StoredFile:
    return store(PDF, "Maeve letter.pdf")


def test_a_file_comes_back_as_it_was(letter: StoredFile) -> None:
    assert files.read(StoredFile.objects.get(pk=letter.pk)) == PDF


def test_on_disk_it_is_an_age_file_that_tells_nothing(letter: StoredFile) -> None:
    """The header line is that of the age format, version 1 (C2SP age specification)."""
    path = files.path_of(letter)
    content = path.read_bytes()
    assert content.startswith(b"age-encryption.org/v1\n-> X25519 ")
    assert b"letter" not in content
    assert "Maeve" not in path.name
    assert path.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize(
    ("content", "sentence"),
    [(b"", "The file is empty."), (bytes(files.MOST_BYTES + 1), "The file is larger than 10 MB.")],
)
def test_empty_and_huge_files_are_refused_and_nothing_is_kept(
    db: None, content: bytes, sentence: str
) -> None:
    with pytest.raises(files.FileRefused, match=sentence):
        store(content)
    assert StoredFile.objects.count() == 0


def test_exactly_ten_megabytes_are_taken(db: None) -> None:
    assert store(bytes(files.MOST_BYTES)).size == 10 * 1024 * 1024


def test_a_damaged_file_is_an_error(letter: StoredFile) -> None:
    path = files.path_of(letter)
    content = bytearray(path.read_bytes())
    content[-1] ^= 1
    path.write_bytes(bytes(content))
    with pytest.raises(files.FileDamaged):
        files.read(letter)


def test_a_missing_file_is_an_error(letter: StoredFile) -> None:
    files.path_of(letter).unlink()
    with pytest.raises(files.FileDamaged):
        files.read(letter)


def on_disk() -> list[Path]:
    return sorted(settings.FILES.glob("*"))


def test_a_file_whose_row_is_not_kept_is_not_kept_either(db: None) -> None:
    def fails() -> None:
        with files.atomic():
            files.store(name="x", content=PDF, content_type="application/pdf")
            assert len(on_disk()) == 1
            Practice.objects.create(pk=2, name="A second one")

    with pytest.raises(IntegrityError):
        fails()
    assert (StoredFile.objects.count(), on_disk()) == (0, [])


def test_an_inner_transaction_that_fails_takes_only_its_own_file(db: None) -> None:
    with files.atomic():
        kept = store(PDF)
        with pytest.raises(ZeroDivisionError):
            store_and_fail()
    assert on_disk() == [files.path_of(kept)]


def test_an_outer_one_that_fails_takes_what_an_inner_one_stored(db: None) -> None:
    with pytest.raises(ZeroDivisionError):
        store_and_fail()
    assert on_disk() == []


@pytest.mark.usefixtures("db")
def test_a_file_cannot_be_stored_where_nothing_would_take_it_back() -> None:
    with transaction.atomic(), pytest.raises(RuntimeError, match=r"inside files\.atomic"):
        files.store(name="x", content=PDF, content_type="application/pdf")
    assert on_disk() == []


def test_a_file_is_erased_once_that_is_certain(letter: StoredFile) -> None:
    path = files.path_of(letter)
    with TestCase.captureOnCommitCallbacks(execute=True):
        files.remove(letter)
        assert path.exists()
    assert (StoredFile.objects.count(), path.exists()) == (0, False)


def test_a_file_without_a_row_is_found_unless_it_is_just_being_stored(letter: StoredFile) -> None:
    now = clock.now().timestamp()
    for name, age in (("old.age", 3601), ("new.age", 3599)):
        (settings.FILES / name).write_bytes(b"x")
        os.utime(settings.FILES / name, (now - age, now - age))
    os.utime(files.path_of(letter), (now - 9999, now - 9999))
    assert [one.reason for one in checks.files_have_rows()] == ["old.age belongs to nothing."]


def test_without_a_folder_there_is_nothing_without_a_row(db: None) -> None:
    assert (settings.FILES.exists(), list(checks.files_have_rows())) == (False, [])


@pytest.fixture
def with_keys(monkeypatch: pytest.MonkeyPatch) -> Iterator[pytest.MonkeyPatch]:
    files._identities.cache_clear()
    yield monkeypatch
    monkeypatch.undo()
    files._identities.cache_clear()


def hold(monkeypatch: pytest.MonkeyPatch, *identities: str) -> None:
    monkeypatch.setenv("COACH_FILE_KEY", "\n".join(identities))
    files._identities.cache_clear()


def test_the_first_key_encrypts_and_all_decrypt(with_keys: pytest.MonkeyPatch, db: None) -> None:
    old, new = (str(pyrage.x25519.Identity.generate()) for _ in range(2))
    hold(with_keys, "# made in spring", old)
    before = store(PDF)
    hold(with_keys, new, "", old)
    after = store(PDF[:9])
    assert (files.read(before), files.read(after)) == (PDF, PDF[:9])
    hold(with_keys, new)
    assert files.read(after) == PDF[:9]
    with pytest.raises(files.FileDamaged):
        files.read(before)


@pytest.mark.parametrize("text", ["# only a remark", "AGE-SECRET-KEY-1NONSENSE", ","])
def test_what_is_no_key_says_so(with_keys: pytest.MonkeyPatch, db: None, text: str) -> None:
    hold(with_keys, text)
    with pytest.raises(keys.BadKey, match="COACH_FILE_KEY"):
        store(PDF)
    assert on_disk() == []
