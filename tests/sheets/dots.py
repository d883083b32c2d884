"""Reads a square of dots (ISO/IEC 18004, level M, versions 1 to 6), from memory of the standard.

Written for the tests and sharing nothing with the program that makes the dots. The check words of
Reed and Solomon have to come out even, or a phone would refuse the square.
"""

import numpy as np

# Version -> (number of blocks, check words in each), level M.
BLOCKS = {1: (1, 10), 2: (1, 16), 3: (1, 26), 4: (2, 18), 5: (2, 24), 6: (4, 16)}
MASKS = (
    lambda r, c: (r + c) % 2 == 0,
    lambda r, c: r % 2 == 0,
    lambda r, c: c % 3 == 0,
    lambda r, c: (r + c) % 3 == 0,
    lambda r, c: (r // 2 + c // 3) % 2 == 0,
    lambda r, c: (r * c) % 2 + (r * c) % 3 == 0,
    lambda r, c: ((r * c) % 2 + (r * c) % 3) % 2 == 0,
    lambda r, c: ((r + c) % 2 + (r * c) % 3) % 2 == 0,
)


def read(found: np.ndarray) -> str:
    """The text a square holds. Raises ValueError where it is no whole square of level M."""
    version = (len(found) - 17) // 4
    level, mask = _format(found)
    if level != 0b00:
        raise ValueError("not of level M")
    words = _words(found, version, mask)
    blocks, checks = BLOCKS[version]
    parts = _deinterleaved(words, blocks, checks)
    if any(_syndromes(part, checks) for part in parts):
        raise ValueError("the check words do not fit the data")
    return _text([word for part in parts for word in part[:-checks]])


def _format(found: np.ndarray) -> tuple[int, int]:
    """Level and mask from the fifteen dots round the upper left finder."""
    places = [(8, c) for c in (0, 1, 2, 3, 4, 5, 7, 8)] + [(r, 8) for r in (7, 5, 4, 3, 2, 1, 0)]
    bits = int("".join(str(int(found[place])) for place in places), 2) ^ 0b101010000010010
    return bits >> 13, bits >> 10 & 0b111


def _words(found: np.ndarray, version: int, mask: int) -> list[int]:
    """Data and check words in the order they are laid: pairs of columns from the right, zigzag."""
    carries = _carries(version)
    size, bits, upward = len(found), [], True
    right = size - 1
    while right > 0:
        right -= right == 6
        for row in range(size - 1, -1, -1) if upward else range(size):
            for column in (right, right - 1):
                if carries[row, column]:
                    bits.append(int(found[row, column]) ^ int(MASKS[mask](row, column)))
        right, upward = right - 2, not upward
    return [int("".join(map(str, bits[at : at + 8])), 2) for at in range(0, len(bits) - 7, 8)]


def _carries(version: int) -> np.ndarray:
    """True where a dot is data: not a finder, a timing line, the alignment mark or the format."""
    size = 17 + 4 * version
    carries = np.ones((size, size), dtype=bool)
    carries[:9, :9] = carries[:9, -8:] = carries[-8:, :9] = False
    carries[6, :] = carries[:, 6] = False
    if version > 1:
        carries[size - 9 : size - 4, size - 9 : size - 4] = False
    return carries


def _deinterleaved(words: list[int], blocks: int, checks: int) -> list[list[int]]:
    data, check = words[: -blocks * checks], words[-blocks * checks :]
    return [data[nth::blocks] + check[nth::blocks] for nth in range(blocks)]


def _syndromes(block: list[int], checks: int) -> int:
    """0 where the block is whole: its polynomial is zero at every root of the generator."""
    return max(_value(block, nth) for nth in range(checks))


def _value(block: list[int], power: int) -> int:
    root, total = 1, 0
    for _ in range(power):
        root = _times(root, 2)
    for word in block:
        total = _times(total, root) ^ word
    return total


def _times(a: int, b: int) -> int:
    """Product in the field of 256 with x^8 + x^4 + x^3 + x^2 + 1."""
    product = 0
    while b:
        if b & 1:
            product ^= a
        a <<= 1
        if a & 0x100:
            a ^= 0x11D
        b >>= 1
    return product


def _text(words: list[int]) -> str:
    bits = "".join(f"{word:08b}" for word in words)
    if bits[:4] != "0100":
        raise ValueError("not written in bytes")
    count = int(bits[4:12], 2)
    return bytes(int(bits[12 + 8 * n : 20 + 8 * n], 2) for n in range(count)).decode()
