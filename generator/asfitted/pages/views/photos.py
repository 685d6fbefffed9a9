"""Photos as the pages show them: what each is called there, or why it cannot be shown."""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from hashlib import sha256

from asfitted.model.base import Unusable
from asfitted.model.photo import Photo
from asfitted.pages.dossier import Dossier
from asfitted.pages.photos import Picture, pictures


@dataclass(frozen=True, slots=True)
class Shown:
    """A picture and the file that holds it, named by its content: a name given by a camera would tell the camera."""

    picture: Picture
    file: str


@dataclass(frozen=True, slots=True)
class Pair:
    """The two sizes of one photo; or neither, and why it cannot be read."""

    small: Shown | None = None
    large: Shown | None = None
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Album:
    """The photos of one home that its pages show, by the file in the record."""

    pairs: Mapping[str, Pair]

    def of(self, photos: Iterable[Photo], *, broken: bool = False) -> tuple[tuple[Photo, Pair], ...]:
        """Give photos of the record with their pictures; those that cannot be read only where that is to be told."""
        found = ((photo, self.pairs[photo.file]) for photo in photos)
        return tuple((photo, pair) for photo, pair in found if broken or pair.small)

    @property
    def files(self) -> dict[str, str | bytes]:
        """The pictures by their path from the folder that holds ``photos``."""
        shown = [one for pair in self.pairs.values() for one in (pair.small, pair.large) if one]
        return {one.file: one.picture.data for one in shown}


def photos_of(dossier: Dossier, rooms: Collection[str] | None = None) -> list[Photo]:
    """Give the photos of a home: of its rooms, its devices, and the visits made by the day of the pages.

    Args:
        dossier: the home.
        rooms: ids of the rooms that are shown; all of them unless given.
    """
    home = dossier.home
    shown = (room for name, room in home.rooms.items() if rooms is None or name in rooms)
    made = (visit for visit in home.visits if visit.date <= dossier.on)
    photos = (*(room.photos for room in shown), *(device.photos for device in home.devices.values()))
    return [photo for some in (*photos, *(visit.photos for visit in made)) for photo in some]


def album(photos: Iterable[Photo], read: Callable[[str], bytes]) -> Album:
    """Make the pictures of photos.

    Args:
        photos: those that pages show.
        read: gives the content of a file that the record names, or raises Unusable.
    """
    return Album({file: _pair(file, read) for file in dict.fromkeys(photo.file for photo in photos)})


def _pair(file: str, read: Callable[[str], bytes]) -> Pair:
    try:
        large, small = pictures(read(file))
    except Unusable as error:
        return Pair(trouble=f"found {error.found}; expected {error.expected}")
    return Pair(_named(small), _named(large))


def _named(picture: Picture) -> Shown:
    return Shown(picture, f"photos/{sha256(picture.data).hexdigest()[:16]}.jpg")
