"""Whether the pixels of a JPEG are all there and end where its scan ends: one decoding, no picture.

A decoder says nothing where pixels are missing and the file is closed behind them, nor where bytes
are left over: it paints grey, or skips. Told apart are they by what it takes. Within a scan it
wants more bytes before it goes on; behind one it takes all that comes and looks for a marker.
"""

from typing import Any

from PIL import Image, ImageFile

from registry.imaging.faults import PhotoRefused
from registry.imaging.kinds import Kind
from registry.imaging.opening import UNREADABLE, open_photo
from registry.imaging.wholeness import CUT_SHORT, Scans, scans_of

DAMAGED_INSIDE = (
    "The photo is damaged inside: more bytes are left than its picture takes. Send it again from "
    "the device that took it; if it looks whole there, store it anew there and send that."
)
# A decoder reads up to 8 bytes ahead of the last pixel. To pixels that are missing they add a few
# blocks at the most.
_READ_AHEAD = bytes(8)
# Between a whole scan and its end stands nothing but what fills up (B.1.1.2, B.1.1.5): nought or
# FF. Some bytes more are no damage to be seen.
_FILLING, _LEFT_OVER, _TAIL = b"\0\xff", 64, 1 << 16


def check_scans(data: bytes) -> None:
    """Raise PhotoRefused where pixels of a checked JPEG are missing or bytes are left over.

    Needs no more memory than an eighth of the size, and for one in passes what its decoder holds
    of it, up to 8 bytes a pixel. It cannot see damage behind which the decoder found its way back
    at the same block: then the count is right and the picture wrong. So it is too between restart
    marks, where a decoder begins anew.
    """
    scans = scans_of(data)
    with open_photo(data, Kind.JPEG) as image:
        image.draft(None, (max(1, image.width // 8), max(1, image.height // 8)))
        if scans.arithmetic:  # its decoder takes no less than the whole
            image.load()
            return
        taker = _Taker(image)
        near, whole = _near_the_end(data, scans), memoryview(data)
        taker.take(whole[:near])
        if near > scans.last:
            if taker.is_through(whole[near : near + 2], in_passes=scans.in_passes):
                raise PhotoRefused(DAMAGED_INSIDE)
            near += 2 if scans.in_passes else 0
        taker.take(bytes(whole[near : scans.end]) + _READ_AHEAD)
        if scans.in_passes:
            taker.take(scans.next_restart)
        if not taker.is_through(b"\0\0", in_passes=scans.in_passes):
            raise PhotoRefused(CUT_SHORT)


def _near_the_end(data: bytes, scans: Scans) -> int:
    """So far a decoder must need the bytes of a picture that is sound.

    The begin of the last scan where that cannot be said: it is short; or it is one of passes with
    restart marks, at which a decoder skips what it finds as it does behind a scan.
    """
    if scans.in_passes and scans.next_restart:
        return scans.last
    tail = data[max(scans.last, scans.end - _TAIL) : scans.end]
    return max(scans.last, scans.end - len(tail) + len(tail.rstrip(_FILLING)) - _LEFT_OVER)


class _Taker:
    """A decoder that is given a file part by part, as Pillow's own loop gives it."""

    def __init__(self, image: ImageFile.ImageFile) -> None:
        name, extents, _, how = image.tile[0]
        image.load_prepare()
        self._decoder: Any = Image._getdecoder(image.mode, name, how, image.decoderconfig)
        self._decoder.setimage(image.im, extents)
        self._left = b""
        self._is_done = False

    def take(self, more: bytes | memoryview) -> None:
        """Give it bytes; it leaves those that it cannot use yet."""
        if self._is_done:
            return
        given = self._left + more if self._left else more
        taken, fault = self._decoder.decode(given)
        if fault < 0:
            raise PhotoRefused(UNREADABLE)
        self._is_done = taken < 0
        self._left = b"" if self._is_done else bytes(given[taken:])

    def is_through(self, two: bytes | memoryview, *, in_passes: bool) -> bool:
        """Whether it needs nothing more for the scans it was given; `two` bytes follow.

        In one pass every row has come out then. In passes none comes before the end marker, but
        behind the last one it takes what follows byte by byte and leaves none. Within a scan it
        has run out and goes on with two bytes more at the least, mostly six: it leaves the first,
        or is content with it and leaves the second.
        """
        left = 0
        for at in range(len(two) if in_passes else 0):
            self.take(two[at : at + 1])
            left += len(self._left)
        return left == 0 if in_passes else self._is_done
