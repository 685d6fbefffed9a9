"""Photos beside a record, and what they show."""

import re
from typing import Annotated

from pydantic import BeforeValidator, Field, WithJsonSchema

from asfitted.model.base import Unusable, Value, shown
from asfitted.model.scalar import Day, Text

_FILE = re.compile(
    r"photos/[A-Za-z0-9][A-Za-z0-9_.-]{0,79}\.(?:[jJ][pP][eE]?[gG]|[pP][nN][gG]|[wW][eE][bB][pP])", re.ASCII
)
MOST = 12
"""Photos of one device, room or visit."""


def _read_file(value: object) -> str:
    if not isinstance(value, str) or not _FILE.fullmatch(value):
        raise Unusable(
            shown(value),
            "a JPEG, PNG or WebP file in the folder “photos” beside the record, such as photos/sa1.jpg",
            "Name it with letters, figures, dots and hyphens; a photo is never taken from another folder.",
        )
    return value


PhotoFile = Annotated[
    str, BeforeValidator(_read_file), WithJsonSchema({"type": "string", "pattern": f"^{_FILE.pattern}$"})
]
"""The name of a file in the home's own folder of photos."""


class Photo(Value):
    """A photo beside the record. It shows things, never people, keys, codes or documents."""

    file: PhotoFile = Field(description="the file, from the home's folder")
    caption: Text = Field(description="what it shows, also for those who cannot see it")
    taken: Day | None = Field(None, description="the day it was taken")


Photos = Annotated[tuple[Photo, ...], Field(max_length=MOST)]
"""The photos of a device, a room or a visit."""
