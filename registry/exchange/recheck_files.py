"""What lies in the folder of a dossier, held to MANIFEST; read by recheck.py."""

import hashlib
import os
import re
import stat
import unicodedata

from recheck_formulas import Differs

LISTED = re.compile(r"([0-9a-f]{64})  (.+)")
FAULTS = (
    Differs,
    ArithmeticError,
    AttributeError,
    LookupError,
    MemoryError,
    RecursionError,
    TypeError,
    ValueError,
)
"""What changed cells lead to: told in words, never thrown."""
MOST_OF_MANIFEST = 50_000_000  # bytes


def in_plain(fault) -> str:
    if isinstance(fault, Differs):
        return str(fault)
    if isinstance(fault, LookupError):
        return f"it points to {fault}, which is not there"
    if isinstance(fault, (AttributeError, TypeError)):
        return f"something in it is of another kind than it must be ({fault})"
    return str(fault) or type(fault).__name__


def fingerprint(path: str) -> str:
    digest = hashlib.sha256()
    with open(path, "rb") as file:
        for block in iter(lambda: file.read(1 << 20), b""):
            digest.update(block)
    return digest.hexdigest()


def a_file_of(folder: str, name: str, most: int) -> str:
    """The path of a file that may be read: no link, no pipe, within so many bytes."""
    path = whole_path(folder, name)
    if why := why_not_read(folder, name):
        raise ValueError(why)
    size = os.path.getsize(path)
    if size > most:
        raise ValueError(f"it has {size} bytes; more than {most} are not read")
    return path


def why_not_read(folder: str, name: str) -> str:
    """Why a file is not opened: a link leads elsewhere, a pipe or device never ends."""
    path = folder
    for part in name.split("/"):
        path = os.path.join(path, part)
        if os.path.islink(path):
            return "is a link to a file elsewhere"
    return "" if stat.S_ISREG(os.stat(path).st_mode) else "is no plain file"


def files_below(folder: str):
    """Names of all files, and of links, which may lead anywhere and are none."""
    for where, folders, names in os.walk(folder):
        links = [name for name in folders if os.path.islink(os.path.join(where, name))]
        for name in names + links:
            yield os.path.relpath(os.path.join(where, name), folder).replace(os.sep, "/")


def whole_path(folder: str, name: str) -> str:
    return os.path.join(folder, *name.split("/"))


def listed_files(folder: str):
    """Names and fingerprints of MANIFEST, and what is wrong with it, one line each."""
    with open(a_file_of(folder, "MANIFEST", MOST_OF_MANIFEST), encoding="utf-8") as file:
        lines = file.read().split("\n")
    listed, wrong, alike = {}, [], set()
    for nth, line in enumerate(lines[:-1] if lines[-1] == "" else lines, start=1):
        found = LISTED.fullmatch(line)
        if found is None:
            wrong.append(f"line {nth} is no SHA-256, two spaces and a name")
        elif not is_inside(found.group(2)):
            wrong.append(f"line {nth} names {found.group(2)!r}, which is not in this folder")
        elif found.group(2) in listed:
            wrong.append(f"line {nth} names {found.group(2)!r} once more")
        elif as_one(found.group(2)) in alike:
            wrong.append(
                f"line {nth} names {found.group(2)!r}, on some systems the same as another"
            )
        else:
            listed[found.group(2)] = found.group(1)
            alike.add(as_one(found.group(2)))
    return listed, wrong


def as_one(name: str) -> str:
    """Names that some systems keep as one file: they differ in case or in the form of a letter."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def is_inside(name: str) -> bool:
    odd = "\\" in name or ":" in name or "\0" in name
    return not odd and all(part not in ("", ".", "..") for part in name.split("/"))


def judge_files(folder: str):
    """(what, how it differs) of every file."""
    try:
        listed, wrong = listed_files(folder)
    except FileNotFoundError:
        listed, wrong = {}, ["is missing"]
    except (OSError, ValueError) as fault:
        listed, wrong = {}, [f"cannot be read: {fault}"]
    yield "MANIFEST", "; ".join(wrong)
    here = set(files_below(folder)) - {"MANIFEST"}
    for name in sorted(here | set(listed)):
        yield name, how_file_differs(folder, name, listed.get(name, ""), name in here)


def how_file_differs(folder: str, name: str, told: str, is_here: bool) -> str:
    if not is_here:
        return "is missing"
    if not told:
        return "is not in MANIFEST"
    try:
        if why := why_not_read(folder, name):
            return why
        same = fingerprint(whole_path(folder, name)) == told
        return "" if same else "its bytes are not those of MANIFEST"
    except OSError as fault:
        return f"cannot be read: {fault}"


def judge_photos(folder: str, photos):
    for name, row in photos.items():
        try:
            path, told = row["file"]["read"], row["sha256"]["read"]
            if path:
                yield f"original of {name}", how_photo_differs(folder, path, told)
        except (*FAULTS, OSError) as fault:
            yield f"original of {name}", f"cannot be looked at: {in_plain(fault)}"


def how_photo_differs(folder: str, path: str, told: str) -> str:
    if not is_inside(path):
        return f"the record names {path!r}, which is not in this folder"
    whole = whole_path(folder, path)
    if not os.path.lexists(whole):
        return "is missing"
    if why := why_not_read(folder, path):
        return why
    return "" if fingerprint(whole) == told else "is not the file the record names"
