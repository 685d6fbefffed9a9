"""Photos from a home's folder to its pages: only its own, only those named, and none that stops a build."""

import os
from collections.abc import Mapping
from html.parser import HTMLParser
from pathlib import Path

import pytest

from asfitted.fleet import photos as of_fleet
from asfitted.fleet.build import Order, build_sites
from asfitted.fleet.load import Loaded, load_home
from asfitted.model.base import Unusable
from asfitted.pages import office as pages_of_office
from asfitted.pages.dossier import Dossier, Firm
from asfitted.pages.engine import SiteConfig
from asfitted.pages.household import household_tree
from tests.conftest import GOOD, Run
from tests.pages.homes import HOSTILE, ON, dossier, home
from tests.pages.shots import SECRETS, shot
from tests.pages.test_photos import png_of

CONFIG = SiteConfig("Office", firm=Firm("Lantern & Latch"))
PHOTOS = {"photos/sa1.jpg": shot(orientation=6), "photos/cabin.png": shot("PNG", (300, 200), place=False)}
CLEAN = shot(size=(40, 30), place=False)


def record(
    device: str = "photos/sa1.jpg", room: str = "photos/cabin.png", caption: str = "Alarm above the stove"
) -> str:
    of_device = f"model: optical, photos: [{{file: {device}, caption: '{caption}', taken: 2026-03-04}}]"
    of_room = f"size: [4.0, 4.0], photos: [{{file: {room}, caption: The cabin}}]"
    of_visit = "report: 2026-03-05, photos: [{file: photos/sa1.jpg, caption: At the first test}]"
    text = GOOD.replace("model: optical", of_device).replace("size: [4.0, 4.0]", of_room)
    return text.replace("report: 2026-03-05", of_visit)


def put(folder: Path, text: str, photos: Mapping[str, bytes] = PHOTOS) -> Path:
    (folder / "photos").mkdir(parents=True, exist_ok=True)
    (folder / "record.yml").write_text(text, encoding="utf-8")
    for name, raw in photos.items():
        (folder / name).write_bytes(raw)
    return folder


def loaded(folder: Path) -> tuple[Loaded, Dossier]:
    made = load_home(folder, ON)
    assert made.dossier, [trouble.sentence for trouble in made.troubles]
    return made, made.dossier


def text_of(tree: Mapping[str, str | bytes], page: str) -> str:
    content = tree[page]
    assert isinstance(content, str)
    return content


def office(of: Dossier) -> dict[str, str | bytes]:
    """Write the office pages of one home, without those over all homes, which take longer and show no photo."""
    return pages_of_office._home(of, ())


class Images(HTMLParser):
    """Collects the pictures of a page, each with the address its link leads to."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: list[dict[str, str | None]] = []
        self.tags: list[tuple[str, list[tuple[str, str | None]]]] = []
        self._link: str | None = None
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, attrs))
        if tag == "a":
            self._link = dict(attrs).get("href")
        if tag == "img" and "loading" in dict(attrs):
            self.found.append({**dict(attrs), "larger": self._link})


@pytest.fixture(scope="module")
def one(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the site of a home, beside another with a photo of its own under the same name."""
    base = tmp_path_factory.mktemp("photos")
    put(base / "homes/one", record(), {**PHOTOS, "photos/not-named.jpg": CLEAN})
    put(base / "homes/two", record(room="photos/cabin.jpg"), {"photos/sa1.jpg": shot(), "photos/cabin.jpg": CLEAN})
    built = build_sites(Order(base / "homes", base / "site", ON, CONFIG), ["one"], office=False)
    assert [site.trouble for site in built] == [""]
    return base


def files(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_a_household_gets_its_own_photos_and_none_of_another_home(one: Path) -> None:
    _, other = loaded(one / "homes/two")
    theirs = {path: content for path, content in household_tree(other, CONFIG.firm).items() if "/photos/" in path}
    own = files(one / "site/homes/one/photos")
    assert len(own) == len(theirs) == 3  # two sizes of one photo, and one that is small enough as it is
    assert set(own.values()).isdisjoint(theirs.values())
    assert {f"docs/photos/{name}" for name in own}.isdisjoint(theirs)


def test_nothing_of_an_original_stands_in_a_site(one: Path) -> None:
    originals = set(files(one / "homes").values())
    site = files(one / "site/homes/one")
    assert not originals & set(site.values())
    pictures = {name: content for name, content in site.items() if name.endswith((".jpg", ".jpeg", ".webp"))}
    assert len(pictures) == 3
    for content in pictures.values():
        assert [secret for secret in SECRETS if secret.encode() in content] == []
    assert not any("sa1.jpg" in name or "cabin.png" in name for name in site)


@pytest.mark.parametrize("page", ["devices.html", "rooms/cabin.html", "visits.html"])
def test_every_picture_of_a_built_page_is_there_with_its_size_and_caption(one: Path, page: str) -> None:
    file = one / "site/homes/one" / page
    found = Images(file.read_text(encoding="utf-8")).found
    captions = {"devices.html": ["Alarm above the stove"], "visits.html": ["At the first test"]}
    assert [image["alt"] for image in found] == captions.get(page, ["The cabin", "Alarm above the stove"])
    for image in found:
        small, large = (file.parent / str(image[way]) for way in ("src", "larger"))
        assert small.is_file()
        assert large.is_file()
        assert (image["width"], image["height"]) == (("240", "320") if image["alt"] != "The cabin" else ("300", "200"))
        assert image["loading"] == "lazy"


def test_the_same_home_gives_the_same_trees(tmp_path: Path) -> None:
    folder = put(tmp_path / "home", record())
    (_, first), (_, second) = loaded(folder), loaded(folder)
    assert household_tree(first, CONFIG.firm) == household_tree(second, CONFIG.firm)
    assert office(first) == office(second)


def test_the_office_shows_photos_of_rooms_devices_and_visits(tmp_path: Path) -> None:
    _, one = loaded(put(tmp_path / "one", record()))
    tree = office(one)
    rooms, visits = (text_of(tree, f"{page}.md") for page in ("rooms", "visits"))
    assert [image["alt"] for image in Images(rooms).found] == ["The cabin", "Alarm above the stove"]
    assert [image["alt"] for image in Images(visits).found] == ["At the first test"]
    for image in Images(rooms + visits).found:
        assert image["src"] in tree
        assert image["larger"] in tree
    assert '<time datetime="2026-03-04">4 March 2026</time>' in rooms


def test_a_room_without_a_page_gives_the_household_no_files(tmp_path: Path) -> None:
    store = "      - {id: store, use: store, corner: [4.1, 0], size: [2, 2], photos: [{file: photos/cabin.png, caption: x}]}"
    text = GOOD.replace(
        "    rooms: [{id: cabin, use: bedroom, corner: [0, 0], size: [4.0, 4.0]}]",
        f"    rooms:\n      - {{id: cabin, use: bedroom, corner: [0, 0], size: [4.0, 4.0]}}\n{store}",
    )
    _, one = loaded(put(tmp_path / "one", text))
    assert not any("photos/" in path for path in household_tree(one, CONFIG.firm))
    assert any(path.startswith("photos/") for path in office(one))


BROKEN = {
    "no such file": (None, "no such file"),
    "a text": (b"record: 1", "a file that is no such image"),
    "half of one": (CLEAN[: len(CLEAN) // 2], "a damaged image"),
    "too many pixels": (png_of(60_000, 60_000), "pixels"),
}


@pytest.mark.parametrize("what", BROKEN)
def test_a_broken_photo_is_told_to_the_office_and_left_out_of_the_households_pages(what: str, tmp_path: Path) -> None:
    raw, said = BROKEN[what]
    folder = put(tmp_path / "one", record(), {"photos/cabin.png": PHOTOS["photos/cabin.png"]})
    if raw is not None:
        (folder / "photos/sa1.jpg").write_bytes(raw)
    made, one = loaded(folder)
    if what != "half of one":  # whose head is whole
        places = [trouble.problem.path for trouble in made.troubles]
        assert places == [("devices", "SA1", "photos", 0, "file"), ("visits", 0, "photos", 0, "file")]
        assert said in made.troubles[0].sentence
        assert made.troubles[0].mark == (10, made.reading.file.read_text("utf-8").splitlines()[9].index("photos/sa1") + 1)  # fmt: skip
    rooms = text_of(office(one), "rooms.md")
    assert "<b>Photo cannot be read:</b> Alarm above the stove (<code>photos/sa1.jpg</code>)" in rooms
    assert said in rooms
    household = household_tree(one, CONFIG.firm)
    for page in ("devices", "rooms/cabin", "visits"):
        assert "cannot be read" not in text_of(household, f"docs/{page}.md")
        assert "Alarm above the stove" not in text_of(household, f"docs/{page}.md")
    assert len([path for path in household if "photos/" in path]) == 1


def test_check_tells_of_a_missing_photo_with_its_place_and_judges_the_home_all_the_same(run: Run) -> None:
    done = run("check", "--on", "2026-03-10", homes={"one": record()})
    assert "homes/one/record.yml:7:" in done.stderr
    assert "devices.SA1.photos[0].file: found no such file; expected a photo in one/photos." in done.stderr
    assert done.exit_code != 2


def test_a_photo_that_holds_its_position_is_told_before_it_is_committed(tmp_path: Path) -> None:
    made, _ = loaded(put(tmp_path / "one", record()))
    assert [trouble.problem.path[0] for trouble in made.troubles] == ["devices", "visits"]
    assert all("the position where photos/sa1.jpg was taken" in trouble.sentence for trouble in made.troubles)
    assert "Take it out before you commit" in made.troubles[0].sentence


def outside(folder: Path, what: str) -> None:
    photo = folder / "photos/sa1.jpg"
    other = put(folder.parent / "two", GOOD, {"photos/sa1.jpg": CLEAN})
    if what == "a link to another home":
        photo.symlink_to(other / "photos/sa1.jpg")
    elif what == "a link to the record":
        photo.symlink_to(folder / "record.yml")
    elif what == "a link to itself":
        photo.symlink_to(photo)
    elif what == "a folder":
        photo.mkdir()
    elif what == "a pipe":
        os.mkfifo(photo)
    else:
        (folder / "photos").rmdir()
        (folder / "photos").symlink_to(other / "photos")


@pytest.mark.parametrize(
    "what",
    [
        "a link to another home",
        "a link to the record",
        "a link to itself",
        "a folder",
        "a pipe",
        "a folder that is a link",
    ],
)
def test_nothing_but_an_ordinary_file_of_the_home_is_read(what: str, tmp_path: Path) -> None:
    folder = put(tmp_path / "one", record(), {})
    outside(folder, what)
    with pytest.raises(Unusable, match=r"link|ordinary"):
        of_fleet.read_photo(folder, "photos/sa1.jpg")
    made, one = loaded(folder)
    assert ("devices", "SA1", "photos", 0, "file") in [trouble.problem.path for trouble in made.troubles]
    assert not any("photos/" in path for path in household_tree(one, CONFIG.firm))


def test_a_folder_of_homes_that_is_itself_a_link_is_read(tmp_path: Path) -> None:
    put(tmp_path / "real/one", record())
    (tmp_path / "homes").symlink_to(tmp_path / "real")
    assert of_fleet.read_photo(tmp_path / "homes/one", "photos/sa1.jpg") == PHOTOS["photos/sa1.jpg"]


def test_a_file_that_is_too_large_is_not_read(tmp_path: Path) -> None:
    folder = put(tmp_path / "one", record())
    with (folder / "photos/sa1.jpg").open("r+b") as file:
        file.truncate(of_fleet.LARGEST + 1)  # a hole on disk, not thirty megabytes
    with pytest.raises(Unusable, match="30 MB; expected at most 30 MB"):
        of_fleet.read_photo(folder, "photos/sa1.jpg")


def test_a_hostile_caption_is_text_and_nothing_else(tmp_path: Path) -> None:
    caption = HOSTILE.replace("\u2028", " ").replace("'", "''") + '" onload="alert(1)'
    _, one = loaded(put(tmp_path / "one", record(caption=caption)))
    pages = [
        content for content in (household_tree(one, CONFIG.firm) | office(one)).values() if isinstance(content, str)
    ]
    shown = [page for page in pages if "onload" in page and "photo" in page]
    assert len(shown) == 3  # devices and room of the household, rooms of the office
    for page in shown:
        read = Images(page)
        assert {image["alt"] for image in read.found} & {caption.replace("''", "'")}
        assert all(name not in ("onload", "onerror", "onclick") for _, attrs in read.tags for name, _ in attrs)
        assert "<script>" not in page
        assert "{{" not in page


def test_a_dossier_without_a_folder_has_no_photos() -> None:
    of = home(record())
    made = dossier(of)
    assert "Photo cannot be read" in text_of(office(made), "rooms.md")
    assert not any("photos/" in path for path in household_tree(made, CONFIG.firm))
