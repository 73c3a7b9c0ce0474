"""Which files are taken as a letter; made by independent writers, then cut, bent and disguised."""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image
from reportlab.pdfgen.canvas import Canvas

from clients.rules.documents import MOST_BYTES, DocumentRefused, read_document

FILES = Path(__file__).parent / "files"
HEIC = (FILES / "telephone.heic").read_bytes()


def pdf(script: str = "") -> bytes:
    """One page, written by ReportLab."""
    made = io.BytesIO()
    canvas = Canvas(made)
    canvas.drawString(72, 700, "She may train.")
    canvas.showPage()
    canvas.save()
    content = made.getvalue()
    return content.replace(b"/Type /Catalog", f"/Type /Catalog {script}".encode())


def picture(kind: str, **options: object) -> bytes:
    """A small photo, written by Pillow."""
    made = io.BytesIO()
    Image.radial_gradient("L").resize((61, 40)).convert("RGB").save(made, kind, **options)
    return made.getvalue()


def png_of(width: int, height: int) -> bytes:
    """A PNG that claims a size and holds next to nothing."""
    parts = [(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)),
             (b"IDAT", zlib.compress(b"\0" * 100)), (b"IEND", b"")]  # fmt: skip
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in parts
    )


def jpeg_of(width: int, height: int) -> bytes:
    content = picture("JPEG")
    at = content.index(b"\xff\xc0") + 5
    return content[:at] + struct.pack(">HH", height, width) + content[at + 4 :]


def sized(width: int, height: int) -> bytes:
    """How a HEIC states the size of a picture in it (ISO/IEC 23008-12, 6.5.3)."""
    return b"ispe\0\0\0\0" + struct.pack(">II", width, height)


def drawn_often(times: int) -> bytes:
    """A JPEG whose picture is drawn again and again, as one sent coarse first is a few times."""
    content = picture("JPEG", progressive=True)
    at, end = content.rindex(b"\xff\xda"), content.rindex(b"\xff\xd9")
    return content[:end] + content[at:end] * times + content[end:]


TAKEN = [
    ("letter.pdf", pdf(), "letter.pdf", "application/pdf"),
    ("letter.pdf", pdf() + b"\r\n\0\0", "letter.pdf", "application/pdf"),
    ("scan", picture("JPEG"), "scan.jpg", "image/jpeg"),
    ("scan.jpeg", picture("JPEG", progressive=True, quality=30), "scan.jpg", "image/jpeg"),
    ("scan.jpg", picture("JPEG", exif=b"Exif\0\0II*\0\x08\0\0\0\0\0"), "scan.jpg", "image/jpeg"),
    ("moving.jpg", picture("JPEG") + b"a film of two seconds", "moving.jpg", "image/jpeg"),
    ("phone.HEIC", HEIC, "phone.heic", "image/heic"),
    ("phone.heic", HEIC + b"SEFT of a telephone", "phone.heic", "image/heic"),
    ("phone.heif", HEIC.replace(b"ftypheic", b"ftypmif1"), "phone.heic", "image/heic"),
    ("film.jpg", drawn_often(20), "film.jpg", "image/jpeg"),
    ("shot.png", picture("PNG"), "shot.png", "image/png"),
    ("shot.exe", picture("PNG"), "shot.png", "image/png"),
    ("../../etc/passwd", picture("PNG"), "passwd.png", "image/png"),
    ("C:\\Users\\Una\\Brief.PDF", pdf(), "Brief.pdf", "application/pdf"),
    ("a\nb\u202e.fdp.exe", pdf(), "a b.pdf", "application/pdf"),
    ("", pdf(), "letter.pdf", "application/pdf"),
    ("x" * 300 + ".pdf", pdf(), "x" * 120 + ".pdf", "application/pdf"),
]


@pytest.mark.parametrize(("name", "content", "tidy", "kind"), TAKEN)
def test_letters_are_taken_whole_under_a_tidy_name(
    name: str, content: bytes, tidy: str, kind: str
) -> None:
    found = read_document(name, content)
    assert (found.name, found.content_type, found.content) == (tidy, kind, content)


CUT = "not whole"
WANTED = "Take a PDF, or a photo as JPEG, PNG or HEIC."
REFUSED = [
    ("nothing", b"", "empty"),
    ("over 10 MB", pdf() + b"\0" * MOST_BYTES, "larger than 10 MB"),
    ("text", b"She may train.", WANTED),
    ("a web page named .pdf", b"<!doctype html><script>1</script>", "That is a web page"),
    ("a drawing with script", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "a drawing"),
    ("a word processor’s", b"PK\x03\x04" + b"\0" * 99, "word-processor or zip"),
    ("an older word processor’s", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "older word processor"),
    ("rich text", b"{\\rtf1 hello}", "rich-text"),
    ("a HEIC’s first bytes", b"\0\0\0\x24ftypheic\0\0\0\0mif1heic", CUT),
    ("a HEIC cut", HEIC[:-40], CUT),
    ("a HEIC cut in its index", HEIC[:200], CUT),
    ("a HEIC of no size", HEIC.replace(sized(120, 160), sized(0, 160)), CUT),
    ("a HEIC too large to show", HEIC.replace(sized(120, 160), sized(9000, 9000)), "50 million"),
    ("moving pictures as HEIC", HEIC.replace(b"ftypheic", b"ftypmsf1"), "The picture moves"),
    ("an AVIF", HEIC.replace(b"ftypheic", b"ftypavif"), "That is an AVIF picture"),
    ("a film", HEIC.replace(b"ftypheic", b"ftypqt  "), "That is a film"),
    ("another film", HEIC.replace(b"ftypheic", b"ftypM4V "), "That is a film"),
    ("GIF", picture("GIF"), "GIF"),
    ("TIFF", picture("TIFF"), "TIFF"),
    ("WebP", b"RIFF\x24\0\0\0WEBPVP8 ", "WebP"),
    ("a program", b"MZ\x90\0", "That is a program"),
    ("a program for another system", b"\x7fELF\2\1\1", "That is a program"),
    ("a script", b"#!/bin/sh\nrm -r /\n", "That is a program"),
    ("a bitmap", b"BM\x36\0\0\0", "That is a bitmap"),
    ("PostScript", b"%!PS-Adobe-3.0\n", "That is PostScript"),
    ("a packed file", b"\x1f\x8b\x08\0", "That is a packed file"),
    ("a PDF cut in the middle", pdf()[: len(pdf()) // 2], CUT),
    ("a PDF without its last line", pdf().removesuffix(b"%%EOF\n").rstrip(), CUT),
    ("a PDF’s first bytes", b"%PDF-1.7\n", CUT),
    ("a PDF of no version", b"%PDF-x" + pdf()[8:], "not one that can be read"),
    ("a PDF whose index lies outside", b"%PDF-1.4\nstartxref\n99999\n%%EOF\n", CUT),
    ("a PDF with a program", pdf("/OpenAction << /S /JavaScript /JS (app.alert) >>"), "a program"),
    ("a PDF that hides one", pdf("/OpenAction << /S /J#61vaScript >>"), "a program"),
    ("a PDF that starts another", pdf("/OpenAction << /S /Launch >>"), "starts a program"),
    ("a PDF with a file in it", pdf("/Names << /EmbeddedFiles 9 0 R >>"), "another file"),
    ("a PDF with a film in it", pdf("/AF << /Subtype /RichMedia >>"), "a film or a sound"),
    ("a locked PDF", pdf("/Encrypt 9 0 R"), "locked with a password"),
    ("a PDF behind something else", b"<html>" + pdf(), "That is a web page"),
    ("a JPEG cut in its picture", picture("JPEG")[:-40], CUT),
    ("a JPEG cut in its head", picture("JPEG")[:100], CUT),
    ("a JPEG’s first bytes", b"\xff\xd8\xff\xe0", CUT),
    ("a JPEG with an end and nothing else", b"\xff\xd8\xff\xd9", CUT),
    ("a JPEG drawn over itself", drawn_often(200), "too often"),
    ("a JPEG of no size", jpeg_of(0, 40), CUT),
    ("a JPEG too large to show", jpeg_of(65000, 65000), "50 million"),
    ("a JPEG whose part lies about its length", b"\xff\xd8\xff\xe0\xff\xff" + b"\0" * 50, CUT),
    ("a PNG cut", picture("PNG")[:-30], CUT),
    ("a PNG without its end", picture("PNG")[:-12], CUT),
    ("a PNG with a byte changed", picture("PNG")[:60] + b"\0!" + picture("PNG")[62:], CUT),
    ("a PNG too large to show", png_of(60000, 60000), "50 million"),
    ("a PNG that moves", (FILES / "moving.png").read_bytes(), "The picture moves"),
    ("a PNG of no size", png_of(0, 5), CUT),
    ("a PNG’s first bytes", b"\x89PNG\r\n\x1a\n", CUT),
    ("a PNG with its end first", b"\x89PNG\r\n\x1a\n" + png_of(5, 5)[-12:], CUT),
]


@pytest.mark.parametrize(("content", "words"), [row[1:] for row in REFUSED],
                         ids=[row[0] for row in REFUSED])  # fmt: skip
def test_everything_else_gets_a_sentence(content: bytes, words: str) -> None:
    with pytest.raises(DocumentRefused) as refused:
        read_document("letter.pdf", content)
    sentence = str(refused.value)
    assert words in sentence
    assert sentence.endswith(".")


@pytest.mark.parametrize("whole", [pdf(), picture("JPEG"), picture("PNG")])
def test_a_file_cut_off_anywhere_is_found_out(whole: bytes) -> None:
    end = len(whole.rstrip())
    taken = []
    for length in range(1, end, 7):
        try:
            taken.append(read_document("x", whole[:length]).name)
        except DocumentRefused:
            continue
    assert taken == []


def test_packed_bytes_that_happen_to_look_like_a_program_are_no_program() -> None:
    stream = b"4 0 obj\n<< /Length 9 >>\nstream\n\x01/JS \x02/Launch \nendstream\nendobj\n"
    assert read_document("x", pdf().replace(b"1 0 obj", stream + b"1 0 obj", 1)).name == "x.pdf"
