"""What a file is, by its first bytes and never by its name.

Signatures: JPEG ISO/IEC 10918-1 B.1.1.3 (SOI), PNG ISO/IEC 15948 5.2, HEIF ISO/IEC 23008-12
10.2 and annex B (brands); the others from their own specifications, from memory.
"""

from enum import StrEnum

from registry.imaging.faults import PhotoRefused


class Kind(StrEnum):
    """The three kinds of photo that are kept."""

    JPEG = "jpeg"
    PNG = "png"
    HEIC = "heic"

    @property
    def media_type(self) -> str:
        return f"image/{self.value}"

    @property
    def suffix(self) -> str:
        """The ending for a file of this kind that is handed out."""
        return {"jpeg": ".jpg"}.get(self.value, f".{self.value}")


KEPT = "Send the photo as JPEG, PNG or HEIC."

_STILLS = {b"heic", b"heix", b"heim", b"heis", b"mif1"}
_SEQUENCES = {b"hevc", b"hevx", b"hevm", b"hevs", b"msf1"}
_AVIF = {b"avif", b"avis"}

# First bytes of what people send by mistake, and what it is called.
_OTHERS: tuple[tuple[bytes, str], ...] = (
    (b"GIF8", "a GIF picture, which may move"),
    (b"%PDF", "a PDF document"),
    (b"II*\0", "a TIFF or raw camera file"),
    (b"MM\0*", "a TIFF or raw camera file"),
    (b"II+\0", "a TIFF file"),
    (b"MM\0+", "a TIFF file"),
    (b"BM", "a BMP picture"),
    (b"PK\x03\x04", "a ZIP archive or an office document"),
    (b"\0\0\x01\0", "an icon"),
    (b"\xff\x0a", "a JPEG XL picture"),
    (b"\0\0\0\x0cJXL ", "a JPEG XL picture"),
    (b"\0\0\0\x0cjP  ", "a JPEG 2000 picture"),
    (b"8BPS", "a Photoshop file"),
)
_TEXT_MARKS = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")


def kind_of(data: bytes) -> Kind:
    """Return the kind of photo that `data` holds; PhotoRefused names what it is instead."""
    if data.startswith(b"\xff\xd8\xff"):
        return Kind.JPEG
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return Kind.PNG
    if data[4:8] == b"ftyp":
        return _of_brands(data)
    raise PhotoRefused(f"This file is {_called(data)}. {KEPT}")


def _of_brands(data: bytes) -> Kind:
    """Tell HEIC from the many other files that are built of the same boxes."""
    size = min(int.from_bytes(data[:4], "big"), 4096)
    brands = [data[8:12], *(data[at : at + 4] for at in range(16, size, 4))]
    if _AVIF & set(brands):
        raise PhotoRefused(f"This file is an AVIF picture. {KEPT}")
    if brands[0] in _STILLS:
        return Kind.HEIC
    if brands[0] in _SEQUENCES:
        raise PhotoRefused(f"This file is a row of moving pictures, not a still photo. {KEPT}")
    raise PhotoRefused(f"This file is a film or a sound recording, not a photo. {KEPT}")


def _called(data: bytes) -> str:
    for start, name in _OTHERS:
        if data.startswith(start):
            return name
    if data.startswith(b"RIFF") and data[8:12] == b"WEBP":
        return "a WebP picture"
    head = data[:1024]
    for mark in _TEXT_MARKS:
        head = head.removeprefix(mark)
    if head.replace(b"\0", b"").lstrip().startswith(b"<"):
        return "a web page or a drawing (HTML, SVG, XML), whatever its name says"
    return "none that this record knows as a photo"
