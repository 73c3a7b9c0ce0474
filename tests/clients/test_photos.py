"""Photos are kept upright and without the place, whatever they are; what no decoder reads is told.

The files are real ones (files/MADE.md); the results are read with Pillow and by their bytes.
"""

from __future__ import annotations

import ast
import io
import os
import struct
import time
import zlib
from pathlib import Path

import pytest
from PIL import Image

from clients.documents.taken import taken
from clients.rules.documents import DocumentRefused
from coach.practice import pictures, redrawing

FILES = Path(__file__).parent / "files"
ROOT = Path(__file__).parents[2]
PHOTOS = {
    "photo-with-place.jpg": ("photo-with-place.jpg", "image/jpeg"),
    "shot-with-notes.png": ("shot-with-notes.png", "image/png"),
    "telephone.heic": ("telephone.jpg", "image/jpeg"),
}
DAMSON, PAPER = (122, 39, 72), (244, 239, 230)


def opened(content: bytes) -> Image.Image:
    return Image.open(io.BytesIO(content))


def near(one: object, other: tuple[int, int, int]) -> bool:
    assert isinstance(one, tuple)
    return all(abs(a - b) < 20 for a, b in zip(one, other, strict=True))


@pytest.mark.parametrize("name", PHOTOS)
def test_a_photo_is_kept_upright(name: str) -> None:
    """The upper left quarter is damson, the rest of the page is not."""
    image = opened(taken(name, (FILES / name).read_bytes()).content).convert("RGB")
    assert image.size == (160, 120)
    assert near(image.getpixel((20, 20)), DAMSON)
    assert near(image.getpixel((140, 20)), PAPER)
    assert near(image.getpixel((4, 110)), PAPER)


@pytest.mark.parametrize(("name", "expected"), PHOTOS.items())
def test_nothing_of_it_says_where_or_when(name: str, expected: tuple[str, str]) -> None:
    raw = (FILES / name).read_bytes()
    told = [word for word in (b"Invented", b"Galway", b"script", b"Exif", b"2026:12:01")
            if word in raw]  # fmt: skip
    document = taken(name, raw)
    assert len(told) > 0
    assert [word for word in told if word in document.content] == []
    assert (document.name, document.content_type) == expected
    assert dict(opened(document.content).getexif()) == {}


def jpeg_parts(content: bytes) -> list[int]:
    """The marks of a JPEG's parts up to its picture (ITU-T T.81, B.1.1)."""
    at, found = 2, []
    while content[at] == 0xFF and content[at + 1] != 0xDA:
        found.append(content[at + 1])
        at += 2 + struct.unpack(">H", content[at + 2 : at + 4])[0]
    return found


def png_parts(content: bytes) -> list[bytes]:
    """The kinds of a PNG's chunks (W3C PNG, 5.3)."""
    at, found = 8, []
    while at < len(content):
        length, kind = struct.unpack(">I4s", content[at : at + 8])
        found.append(kind)
        at += 12 + length
    return found


def test_a_jpeg_keeps_only_the_parts_that_draw_it() -> None:
    """JFIF's head (E0), tables (DB, C4) and the frame (C0); no Exif (E1), no comment (FE)."""
    raw = (FILES / "photo-with-place.jpg").read_bytes()
    assert {0xE1, 0xFE} <= set(jpeg_parts(raw))
    assert set(jpeg_parts(taken("x", raw).content)) == {0xE0, 0xDB, 0xC0, 0xC4}


def test_a_png_keeps_only_the_parts_that_draw_it() -> None:
    raw = (FILES / "shot-with-notes.png").read_bytes()
    assert {b"tEXt", b"iTXt", b"eXIf"} <= set(png_parts(raw))
    assert set(png_parts(taken("x", raw).content)) == {b"IHDR", b"IDAT", b"IEND"}


def test_what_is_hung_on_behind_a_photo_is_gone() -> None:
    for name in ("photo-with-place.jpg", "shot-with-notes.png"):
        both = (FILES / name).read_bytes() + b"PK\x03\x04 a packed file <script>"
        assert b"packed" not in taken(name, both).content


@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_comes_out_as_it_is_seen(orientation: int) -> None:
    """Exif 2.32, 4.6.4; ImageOps of Pillow is the reference."""
    from PIL import ImageOps

    image = opened((FILES / "shot-with-notes.png").read_bytes()).convert("RGB")
    exif = Image.Exif()
    exif[0x0112] = orientation
    made = io.BytesIO()
    image.save(made, "JPEG", quality=95, exif=exif)
    seen = ImageOps.exif_transpose(opened(made.getvalue()))
    found = opened(taken("x", made.getvalue()).content)
    assert found.size == seen.size
    corners = [(4, 4), (4, seen.height - 5), (seen.width - 5, 4)]
    assert [near(found.getpixel(at), DAMSON) for at in corners] == [
        near(seen.getpixel(at), DAMSON) for at in corners
    ]


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_every_kind_of_png_is_drawn(mode: str) -> None:
    made = io.BytesIO()
    Image.new(mode, (30, 20), 1 if mode == "1" else None).save(made, "PNG")
    image = opened(taken("x", made.getvalue()).content)
    assert (image.size, image.mode in {"L", "RGB"}) == ((30, 20), True)


def test_clear_parts_become_white_paper() -> None:
    made = io.BytesIO()
    Image.new("RGBA", (9, 9), (255, 0, 0, 0)).save(made, "PNG")
    assert opened(taken("x", made.getvalue()).content).getpixel((4, 4)) == (255, 255, 255)


def test_a_grey_png_of_16_bits_keeps_its_greys() -> None:
    made = io.BytesIO()
    Image.new("I;16", (9, 9), 0x80FF).save(made, "PNG")
    assert opened(taken("x", made.getvalue()).content).getpixel((4, 4)) == 0x80


@pytest.mark.parametrize(("kind", "size"), [("JPEG", (5000, 3750)), ("PNG", (4500, 2000))])
def test_a_large_one_is_made_smaller_in_its_proportions(kind: str, size: tuple[int, int]) -> None:
    made = io.BytesIO()
    Image.new("RGB", size, "white").save(made, kind)
    found = opened(taken("x", made.getvalue()).content)
    assert max(found.size) == redrawing.LONGEST_SIDE == 4000
    assert abs(found.width / found.height - size[0] / size[1]) < 0.01


def test_a_png_that_would_be_too_large_becomes_a_jpeg(monkeypatch: pytest.MonkeyPatch) -> None:
    made = io.BytesIO()
    Image.frombytes("RGB", (200, 200), os.urandom(120_000)).save(made, "PNG")
    monkeypatch.setattr(redrawing, "MOST_BYTES", 60_000)
    content, kind = redrawing.redrawn(made.getvalue(), "image/png")
    assert (kind, len(content) <= 60_000) == ("image/jpeg", True)


def png(*chunks: tuple[bytes, bytes]) -> bytes:
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in chunks
    )


def head(width: int, height: int) -> tuple[bytes, bytes]:
    return b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)


BROKEN = {
    "a PNG of a few bytes that unpacks to 200 MB": png(
        head(20, 20), (b"zTXt", b"a\0\0" + zlib.compress(bytes(200_000_000), 9)),
        (b"IDAT", b"\x78\x9c"), (b"IEND", b""),
    ),
    "a PNG whose dots are not there": png(
        head(7000, 7000), (b"IDAT", zlib.compress(b"\0")), (b"IEND", b"")
    ),
    "a JPEG without its tables": (
        (FILES / "photo-with-place.jpg").read_bytes().replace(b"\xff\xdb", b"\xff\xea")
    ),
    "a HEIC without the key to its data": (
        (FILES / "telephone.heic").read_bytes().replace(b"hvcC", b"none")
    ),
}  # fmt: skip


@pytest.mark.parametrize("content", BROKEN.values(), ids=BROKEN)
def test_what_no_decoder_gets_through_is_told(content: bytes) -> None:
    with pytest.raises(DocumentRefused, match="The photo cannot be read"):
        taken("photo", content)


def test_a_decoder_that_runs_on_is_stopped(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    program = tmp_path / "endless.py"
    program.write_text("while True: pass")
    monkeypatch.setattr(pictures, "_PROGRAM", program)
    monkeypatch.setattr(redrawing, "SECONDS", 0.5)
    began = time.monotonic()
    with pytest.raises(DocumentRefused, match="too long"):
        taken("x.jpg", (FILES / "photo-with-place.jpg").read_bytes())
    assert time.monotonic() - began < 5


def test_a_decoder_that_crashes_takes_nothing_with_it(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    program = tmp_path / "crash.py"
    program.write_text("import os, signal; os.kill(os.getpid(), signal.SIGSEGV)")
    monkeypatch.setattr(pictures, "_PROGRAM", program)
    with pytest.raises(DocumentRefused, match="cannot be read"):
        taken("x.jpg", (FILES / "photo-with-place.jpg").read_bytes())


def test_the_decoder_is_given_no_key_and_may_write_nothing(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    program = tmp_path / "tell.py"
    source = Path(redrawing.__file__).read_text().replace(
        "    content, kind = redrawn(sys.stdin.buffer.read(), sys.argv[1])",
        "    import os\n"
        "    names = [n for n in os.environ if n.startswith(('COACH_', 'DATABASE'))]\n"
        "    limits = [resource.getrlimit(one)[0] for one in (resource.RLIMIT_CORE, "
        "resource.RLIMIT_FSIZE)]\n"
        "    content, kind = repr((names, limits)).encode(), 'told'",
    )  # fmt: skip
    program.write_text(source)
    monkeypatch.setattr(pictures, "_PROGRAM", program)
    for name in ("COACH_FILE_KEY", "COACH_FIELD_KEYS", "DATABASE_URL"):
        monkeypatch.setenv(name, "secret")
    assert pictures.redrawn(b"x", "image/png") == (b"([], [0, 0])", "told")


def test_other_kinds_are_a_mistake_of_ours() -> None:
    with pytest.raises(ValueError, match="no kind of photo"):
        pictures.redrawn(b"", "image/gif")


def test_there_is_one_way_in() -> None:
    """Whoever reads a file by `read_document` alone would keep where a photo was taken."""
    reading = [
        str(path.relative_to(ROOT))
        for room in ("coach", "clients", "content")
        for path in sorted((ROOT / room).rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.ImportFrom) and node.module == "clients.rules.documents"
        if "read_document" in [name.name for name in node.names]
    ]
    assert reading == ["clients/documents/taken.py"]
