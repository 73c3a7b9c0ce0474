"""Files that somebody might send in place of a letter, each with the sentence it is told."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from pathlib import Path

from PIL import Image

from tests.clients.pages import PDF

FILES = Path(__file__).parent / "files"
PHOTO = (FILES / "photo-with-place.jpg").read_bytes()
SHOT = (FILES / "shot-with-notes.png").read_bytes()
HEIC = (FILES / "telephone.heic").read_bytes()

TAKE = "Take a PDF, or a photo as JPEG, PNG or HEIC."
CUT = "The file is not whole: it ends too early. Fetch it again, or take a photo of the letter."
PRINT = "Print it to a new PDF, or take a photo of the letter."
LARGE = "The file is larger than 10 MB."
HUGE = "The picture has more than 50 million dots. Take a smaller one."
MOVES = "The picture moves. Take one that stands still."
UNREAD = "The photo cannot be read. Take it again, or save the letter as a PDF."


def picture(kind: str) -> bytes:
    made = io.BytesIO()
    Image.new("RGB", (40, 30), "navy").save(made, kind)
    return made.getvalue()


def png(*chunks: tuple[bytes, bytes]) -> bytes:
    """A PNG of these chunks, each with its right sum (W3C PNG, 5.3)."""
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        for kind, body in chunks
    )


def head(width: int, height: int) -> tuple[bytes, bytes]:
    return b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)


def with_key(key: str) -> bytes:
    """The PDF with something more in its catalogue."""
    return PDF.replace(b"/Type/Catalog", b"/Type/Catalog" + key.encode())


def packed() -> bytes:
    """A zip with a program in it."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as file:
        file.writestr("letter.exe", b"MZ")
    return made.getvalue()


BOMB = png(
    head(20, 20),
    (b"zTXt", b"a\0\0" + zlib.compress(bytes(50_000_000), 9)),
    (b"IDAT", zlib.compress(b"\0")),
    (b"IEND", b""),
)
WIDE = PHOTO.replace(struct.pack(">HH", 160, 120), struct.pack(">HH", 65000, 65000))
SVG = b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"

HOSTILE = {
    "empty": ("letter.pdf", b"", "The file is empty."),
    "10 MB and a byte": ("letter.pdf", PDF + bytes(10 * 1024 * 1024 + 1 - len(PDF)), LARGE),
    "a web page": ("letter.pdf", b"<!doctype html><script>alert(1)</script>",
                   f"That is a web page or a drawing. {TAKE}"),
    "a drawing with a script": ("letter.svg", SVG, f"That is a web page or a drawing. {TAKE}"),
    "a web page that is a PDF too": ("letter.pdf", b"<html><script>" + PDF,
                                     f"That is a web page or a drawing. {TAKE}"),
    "a program": ("letter.exe", b"MZ\x90\0" + bytes(60), f"That is a program. {TAKE}"),
    "a program named like a photo": ("letter.jpg", b"\x7fELF\2\1\1", f"That is a program. {TAKE}"),
    "a script": ("letter.pdf", b"#!/bin/sh\ncurl x | sh\n", f"That is a program. {TAKE}"),
    "a zip": ("letter.zip", packed(), f"That is a word-processor or zip file. {TAKE}"),
    "a zip that is a PDF too": ("letter.pdf", PDF + packed(), CUT),
    "a GIF": ("letter.gif", picture("GIF"), f"That is a GIF. {TAKE}"),
    "a TIFF": ("letter.tif", picture("TIFF"), f"That is a TIFF. {TAKE}"),
    "a bitmap": ("letter.png", picture("BMP"), f"That is a bitmap. {TAKE}"),
    "a WebP": ("letter.webp", picture("WEBP"), f"That is a WebP picture or a sound. {TAKE}"),
    "an AVIF": ("letter.avif", HEIC.replace(b"ftypheic", b"ftypavif"),
                f"That is an AVIF picture. {TAKE}"),
    "a film": ("letter.mov", b"\0\0\0\x14ftypqt  " + bytes(40), f"That is a film. {TAKE}"),
    "text": ("letter.txt", b"She may train.", TAKE),
    "a PDF with a script": ("letter.pdf", with_key("/OpenAction<</S/JavaScript/JS(x)>>"),
                            f"The PDF holds a program. {PRINT}"),
    "a PDF that hides a script": ("letter.pdf", with_key("/OpenAction<</S/J#61vaScript>>"),
                                  f"The PDF holds a program. {PRINT}"),
    "a PDF that starts a program": ("letter.pdf", with_key("/OpenAction<</S/Launch>>"),
                                    f"The PDF starts a program. {PRINT}"),
    "a PDF with a file in it": ("letter.pdf", with_key("/Names<</EmbeddedFiles 9 0 R>>"),
                                f"The PDF holds another file. {PRINT}"),
    "a PDF with a film in it": ("letter.pdf", with_key("/AF<</Subtype/RichMedia>>"),
                                f"The PDF holds a film or a sound. {PRINT}"),
    "a locked PDF": ("letter.pdf", PDF.replace(b"trailer<<", b"trailer<</Encrypt 9 0 R"),
                     f"The PDF is locked with a password. {PRINT}"),
    "a PDF cut off": ("letter.pdf", PDF[: len(PDF) // 2], CUT),
    "a PDF of no version": ("letter.pdf", b"%PDF-x" + PDF[8:],
                            f"The PDF is not one that can be read. {TAKE}"),
    "a JPEG cut off": ("letter.jpg", PHOTO[:-60], CUT),
    "a JPEG whose part lies about its length": (
        "letter.jpg", b"\xff\xd8\xff\xe0\xff\xff" + bytes(50), CUT),
    "a JPEG of 4,225 million dots": ("letter.jpg", WIDE, HUGE),
    "a JPEG without what it is drawn from": (
        "letter.jpg", PHOTO.replace(b"\xff\xdb", b"\xff\xea"), UNREAD),
    "a PNG cut off": ("letter.png", SHOT[:-30], CUT),
    "a PNG of 3,600 million dots": ("letter.png", png(head(60000, 60000),
                                    (b"IDAT", b""), (b"IEND", b"")), HUGE),
    "a PNG that unpacks to 50 MB": ("letter.png", BOMB, UNREAD),
    "a PNG with a byte changed": ("letter.png", SHOT[:80] + b"\0!" + SHOT[82:], CUT),
    "a PNG that moves": ("letter.png", (FILES / "moving.png").read_bytes(), MOVES),
    "a HEIC cut off": ("letter.heic", HEIC[:-40], CUT),
    "a HEIC that moves": ("letter.heic", HEIC.replace(b"ftypheic", b"ftypmsf1"), MOVES),
    "a HEIC without the key to its data": (
        "letter.heic", HEIC.replace(b"hvcC", b"none"), UNREAD),
}  # fmt: skip

# Taken, because what is kept of them is their dots alone: (what was in them, what is kept).
DEFUSED = {
    "a JPEG that says where it was taken": ("a.jpg", PHOTO, b"Exif", "a.jpg", "image/jpeg"),
    "a JPEG with a script in a comment": ("a.jpg", PHOTO, b"<script>", "a.jpg", "image/jpeg"),
    "a JPEG that is a zip too": ("a.jpg", PHOTO + packed(), b"PK\3\4", "a.jpg", "image/jpeg"),
    "a PNG with a web page behind it": ("a.png", SHOT + SVG, b"<svg", "a.png", "image/png"),
    "a PNG with notes": ("a.png", SHOT, b"Galway", "a.png", "image/png"),
    "a HEIC that says where it was taken": ("a.heic", HEIC, b"Exif", "a.jpg", "image/jpeg"),
    "a name that leads elsewhere": ("../../etc/cron.d/x.png", SHOT, b"Galway", "x.png",
                                    "image/png"),
    "a name with an ending too many": ("letter.pdf.exe", SHOT, b"Galway", "letter.png",
                                       "image/png"),
    "a PNG that says it is a web page": ("a.html", SHOT, b"Galway", "a.png", "image/png"),
}  # fmt: skip
