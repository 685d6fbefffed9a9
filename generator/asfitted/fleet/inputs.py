"""What a site is made from, as digests: while they stay the same, so does the site."""

import platform
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, requires, version
from importlib.resources import files
from pathlib import Path
from re import match

from asfitted.fleet.photos import FOLDER as PHOTOS
from asfitted.fleet.rule_sets import FOLDER as RULE_SETS
from asfitted.fleet.site_maker import Order
from asfitted.history.revision import Revision
from asfitted.record.reader import RECORD_NAME

Seen = Mapping[str, tuple[int, int, str]]
"""Photos by name: size, when changed in ns, digest. Of one that looks the same the digest is not taken again."""


@dataclass(frozen=True)
class Inputs:
    """What one site is made from: a digest over all of it, and the photos as they were seen."""

    digest: str
    photos: Seen


def of_home(order: Order, common: str, name: str, revision: Revision, seen: Seen) -> Inputs | None:
    """Give what the site of a home is made from; None where that cannot be read.

    Args:
        order: the build.
        common: what :func:`common_to_all` gave.
        name: the home.
        revision: that of its record.
        seen: its photos as they were seen before.
    """
    folder = order.homes / name
    try:
        record = sha256((folder / RECORD_NAME).read_bytes()).hexdigest()
        photos = {file.relative_to(folder).as_posix(): _photo(file, folder, seen) for file in _photos(folder)}
    except OSError:
        return None
    parts = [common, name, repr(revision), record, *(f"{path} {photo[2]}" for path, photo in photos.items())]
    return Inputs(_over(parts), photos)


def common_to_all(order: Order) -> str:
    """Give the digest of what every site is made from: the program, its libraries, the firm's facts and rule sets."""
    sets = sorted((order.homes / RULE_SETS).glob("*.toml"))
    own = [f"{file.name} {_of_file(file)}" for file in sets if file.is_file()]
    return _over([_program(), repr(order.config.firm), order.config.engine, *own])


def of_office(order: Order, common: str, homes: Iterable[str]) -> str:
    """Give the digest of what the office's site is made from, beside the history of the homes."""
    handbook = [f"{path} {sha256(content).hexdigest()}" for path, content in sorted(order.handbook.items())]
    return _over([common, repr(order.config), *handbook, *homes])


@cache
def _program() -> str:
    """Give the digest of every file of this program, and of the versions of what it is built on."""
    package = Path(str(files("asfitted")))
    ours = [path for path in sorted(package.rglob("*")) if path.is_file() and "__pycache__" not in path.parts]
    texts = [f"{path.relative_to(package).as_posix()} {_of_file(path)}" for path in ours]
    return _over([platform.python_version(), *_libraries(), *texts])


def _libraries() -> Iterator[str]:
    for asked in requires("asfitted") or []:
        name = match(r"[\w.-]+", asked)
        try:
            yield f"{name[0]} {version(name[0])}" if name else asked
        except PackageNotFoundError:  # one that is installed for some uses only
            yield asked


def _photos(folder: Path) -> list[Path]:
    within = folder / PHOTOS
    return sorted(path for path in within.rglob("*") if path.is_file()) if within.is_dir() else []


def _photo(file: Path, folder: Path, seen: Seen) -> tuple[int, int, str]:
    state = file.stat()
    before = seen.get(file.relative_to(folder).as_posix())
    looks = (state.st_size, state.st_mtime_ns)
    return (*looks, before[2] if before and tuple(before[:2]) == looks else _of_file(file))


def _of_file(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest()


def _over(parts: Iterable[str]) -> str:
    return sha256("\n".join(parts).encode("utf-8", "surrogateescape")).hexdigest()
