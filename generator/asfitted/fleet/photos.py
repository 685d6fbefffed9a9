"""The photos of a home, from its own folder: those that its record names, and nothing from outside of it."""

from collections.abc import Iterator
from pathlib import Path as FilePath

from asfitted.model.base import Path, Problem, Unusable
from asfitted.model.home import Home
from asfitted.model.photo import Photo
from asfitted.pages.photos import tells_place

FOLDER = "photos"
LARGEST = 30_000_000
"""Bytes of one photo; what a telephone takes has a tenth."""


def read_photo(home: FilePath, file: str) -> bytes:
    """Read a photo of a home.

    Args:
        home: the home's folder.
        file: the file as the record names it.

    Raises:
        Unusable: when there is none, it lies outside the home's folder of photos, or cannot be read.
    """
    try:
        return _path(home, file).read_bytes()
    except OSError as error:
        raise _unreadable(error) from None


def photo_problems(record: Home, folder: FilePath) -> list[Problem]:
    """Find what is wrong with the photos that a record names. None of it keeps the home from being used.

    A photo that carries its position is told, since it is kept in a history that cannot forget; no page shows it.
    """
    return [problem for path, photo in _named(record) if (problem := _problem(folder, path, photo))]


def _named(record: Home) -> Iterator[tuple[Path, Photo]]:
    """Give every photo of a record, with the place of its file there."""
    rooms = (
        (("storeys", floor, "rooms", place), room.photos)
        for floor, storey in enumerate(record.storeys)
        for place, room in enumerate(storey.rooms)
    )
    devices = ((("devices", tag), device.photos) for tag, device in record.devices.items())
    visits = ((("visits", place), visit.photos) for place, visit in enumerate(record.visits))
    for path, photos in (*rooms, *devices, *visits):
        yield from (((*path, "photos", number, "file"), photo) for number, photo in enumerate(photos))


def _problem(folder: FilePath, path: Path, photo: Photo) -> Problem | None:
    try:
        with _path(folder, photo.file).open("rb") as file:
            if tells_place(file):
                return Problem(
                    path,
                    f"the position where {photo.file} was taken, inside the file",
                    "a photo without it, because the history of a record cannot forget",
                    "Take it out before you commit; the pages leave it out.",
                )
    except OSError as error:
        return _unreadable(error).at(path)
    except Unusable as error:
        return error.at(path)
    return None


def _path(home: FilePath, file: str) -> FilePath:
    """Give the real place of a photo.

    Raises:
        Unusable: when it is no file of the home's folder of photos, or too large.
        OSError: when it cannot be found.
    """
    try:
        path = (home / file).resolve(strict=True)
        own = home.resolve() / FOLDER
    except FileNotFoundError:
        raise Unusable("no such file", f"a photo in {home.name}/{FOLDER}") from None
    except RuntimeError:  # how Python up to 3.12 tells of links that lead in a circle
        raise Unusable("links that lead in a circle", "a photo") from None
    if not path.is_relative_to(own):
        raise Unusable("a link that leaves the home's folder of photos", "the photo itself")
    if not path.is_file():
        raise Unusable("no ordinary file", "a photo")
    if (size := path.stat().st_size) > LARGEST:
        raise Unusable(f"{size / 1e6:.0f} MB", f"at most {LARGEST / 1e6:.0f} MB", "Save it smaller.")
    return path


def _unreadable(error: OSError) -> Unusable:
    return Unusable(error.strerror or "an unreadable file", "a file that may be read")
