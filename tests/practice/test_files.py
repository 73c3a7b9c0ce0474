"""Files are kept encrypted under names that tell nothing, and damage is noticed."""

from __future__ import annotations

import pytest

from coach.practice import files
from coach.practice.models import StoredFile

PDF = b"%PDF-1.7 a letter from the clinic " * 50


@pytest.fixture
def letter(db: None) -> StoredFile:
    return files.store(name="Maeve letter.pdf", content=PDF, content_type="application/pdf")


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
        files.store(name="x", content=content, content_type="text/plain")
    assert StoredFile.objects.count() == 0


def test_exactly_ten_megabytes_are_taken(db: None) -> None:
    stored = files.store(name="x", content=bytes(files.MOST_BYTES), content_type="image/png")
    assert stored.size == 10 * 1024 * 1024


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
