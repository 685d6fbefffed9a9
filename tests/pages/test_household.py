"""The household edition as a tree and as a site built by the plain engine."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
import yaml
from icalendar import Calendar

from asfitted.model.home import Variation
from asfitted.pages.household import household_tree
from asfitted.rules.catalogue import Limit, Rule, Source
from asfitted.rules.finding import Finding, Subject, Verdict
from tests.pages.homes import FIRM, HOSTILE, ON, RECORD, dossier, home

Tree = Mapping[str, str | bytes]
RULE = Rule(
    id="smoke-in-bedroom",
    family="fire",
    title="smoke alarm in every bedroom",
    says="Every bedroom has one.",
    why="",
    measured="",
    remedy="Fit one.",
    applies_to=("room",),
    check="",
    options={},
    limits={},
    plain="This bedroom has no smoke alarm.",
)
LIMIT = Limit("common", "", Source("x", "common practice"), "common practice", "advice")
ROOM = Subject("room", "bedroom", "bedroom")


def finding(
    verdict: Verdict,
    subject: Subject = ROOM,
    variation: Variation | None = None,
    rule: Rule = RULE,
    limit: Limit = LIMIT,
) -> Finding:
    return Finding(rule, limit, subject, verdict, "office words 0.31 m", "", (), variation=variation)


def page(tree: Tree, name: str) -> str:
    content = tree[f"docs/{name}.md"]
    assert isinstance(content, str)
    return content


@pytest.fixture(scope="module")
def tree() -> Tree:
    return household_tree(dossier(home()), FIRM)


@pytest.fixture(scope="module")
def site(household_site: Path) -> Path:
    return household_site


class Page(HTMLParser):
    """What a built page holds: its elements, the addresses it names, its ids and its text."""

    def __init__(self, file: Path) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.addresses: list[str] = []
        self.ids: list[str] = []
        self.text = ""
        self.feed(file.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        for name, value in attrs:
            if name in ("href", "src", "xlink:href", "action", "poster", "srcset", "data") and value is not None:
                self.addresses.append(value)
            if name == "id" and value:
                self.ids.append(value)

    def handle_data(self, data: str) -> None:
        self.text += data


def pages(site: Path) -> Iterator[tuple[Path, Page]]:
    for file in sorted(site.rglob("*.html")):
        yield file, Page(file)


def test_the_same_home_on_the_same_day_gives_the_same_bytes(tree: Tree) -> None:
    assert household_tree(dossier(home()), FIRM) == tree


def test_every_box_holds_its_words(tree: Tree) -> None:
    boxes = 0
    for path, content in tree.items():
        lines = str(content).split("\n") if path.endswith(".md") else []
        for number, line in enumerate(lines):
            if line.startswith("!!! "):
                boxes += 1
                assert lines[number + 1] == "", (path, line)
                assert lines[number + 2].startswith("    "), (path, line)
    assert boxes


def test_every_page_of_the_navigation_is_there_and_no_other(tree: Tree) -> None:
    nav = yaml.safe_load(tree["mkdocs.yml"])["nav"]
    flat = [
        p
        for entry in nav
        for v in entry.values()
        for p in ([v] if isinstance(v, str) else [q for r in v for q in r.values()])
    ]
    titles = [title for entry in nav for title in entry]
    assert titles == ["Overview", "When it sounds", "How to", "Dates", "Batteries", "Devices", "Rooms", "More"]
    assert sorted(f"docs/{p}" for p in flat) == sorted(p for p in tree if p.endswith(".md"))
    assert "rooms/hall.md" in flat


def test_the_engine_needs_no_plugin_of_ours(tree: Tree) -> None:
    config = yaml.safe_load(tree["mkdocs.yml"])
    assert [p if isinstance(p, str) else next(iter(p)) for p in config["plugins"]] == ["search", "offline"]
    assert config["use_directory_urls"] is False
    assert config["site_url"] == ""
    assert config["site_name"] == "House by the mill"


def test_the_plain_engine_builds_the_tree_without_a_warning(site: Path) -> None:
    names = {file.relative_to(site).as_posix() for file, _ in pages(site)}
    assert {
        "index.html",
        "sounds.html",
        "devices.html",
        "how-to.html",
        "dates.html",
        "batteries.html",
        "words.html",
        "visits.html",
        "safety.html",
        "rooms/living.html",
    } == {*names} - {"rooms/hall.html", "rooms/bedroom.html"}


def test_no_address_of_the_site_leads_out_of_its_folder(site: Path) -> None:
    seen = 0
    for file, parsed in pages(site):
        for address in parsed.addresses:
            parts = urlsplit(address)
            seen += 1
            assert parts.scheme in ("", "data", "tel"), (file.name, address)
            assert not parts.netloc, (file.name, address)
            assert not address.startswith("/"), (file.name, address)
    assert seen > 200
    for sheet in site.rglob("*.css"):
        assert not re.search(r"url\(\s*['\"]?(https?:)?//", sheet.read_text(encoding="utf-8")), sheet.name


def test_every_link_of_the_site_leads_to_something(site: Path) -> None:
    ids = {file: set(parsed.ids) for file, parsed in pages(site)}
    for file, parsed in pages(site):
        for address in parsed.addresses:
            parts = urlsplit(address)
            if parts.scheme or address == ".":
                continue
            target = (file.parent / unquote(parts.path)).resolve() if parts.path else file
            assert target.is_file(), (file.name, address)
            if parts.fragment and target in ids and not parts.fragment.startswith("__"):
                assert parts.fragment in ids[target], (file.name, address)


def test_no_id_stands_twice_on_a_page(site: Path) -> None:
    for file, parsed in pages(site):
        twice = {name for name in parsed.ids if parsed.ids.count(name) > 1}
        assert not twice, file.name


def test_hostile_text_adds_no_element_and_no_attribute(site: Path, hostile_household_site: Path) -> None:
    plain = {file.relative_to(site): parsed for file, parsed in pages(site)}
    for file, parsed in pages(hostile_household_site):
        twin = plain[file.relative_to(hostile_household_site)]
        for tag in ("script", "iframe", "img", "form", "object", "style", "link"):
            assert [t for t, _ in parsed.elements].count(tag) == [t for t, _ in twin.elements].count(tag), (
                file.name,
                tag,
            )
        for tag, attributes in parsed.elements:
            handlers = [name for name in attributes if name.startswith("on")]
            assert not handlers, (file.name, tag)
        assert not [a for a in parsed.addresses if a.lower().startswith("javascript")], file.name


def test_hostile_text_is_shown_as_it_was_typed(hostile_household_site: Path) -> None:
    typed = " ".join(HOSTILE.split())
    for name in ("index", "devices", "visits", "sounds"):
        shown = " ".join(Page(hostile_household_site / f"{name}.html").text.split())
        assert typed in shown, name


def test_a_page_s_title_is_escaped_too(hostile_household_site: Path) -> None:
    raw = (hostile_household_site / "rooms" / "living.html").read_text(encoding="utf-8")
    title = raw[raw.index("<title>") + 7 : raw.index("</title>")]
    assert "<" not in title
    assert "&lt;script&gt;" in title


def test_the_overview_says_what_did_not_work_and_that_the_firm_knows(tree: Tree) -> None:
    index = page(tree, "index")
    assert "SA2" in index
    assert "standing--attention" in index
    assert "did not work when last tested. Lantern &#38; Latch has this on record" in index


def test_the_overview_says_that_all_is_well_when_it_is() -> None:
    record = RECORD.replace("button: silent", "button: sounded").replace(
        "      CU1: {m", "      OS1: {sounded: yes}\n      CU1: {m"
    )
    index = page(household_tree(dossier(home(record)), FIRM), "index")
    assert "All seven devices worked when last tested, and nothing is left to do." in index
    assert "Still open" not in index


def test_a_date_that_has_passed_is_never_called_well() -> None:
    record = RECORD.replace("button: silent", "button: sounded").replace(
        "      CU1: {m", "      OS1: {sounded: yes}\n      CU1: {m"
    )
    index = page(household_tree(dossier(home(record), on=ON + timedelta(days=60)), FIRM), "index")
    assert "standing--well" not in index
    assert "have passed" in index


def test_a_home_in_which_nothing_was_tested_is_not_called_well() -> None:
    record = RECORD[: RECORD.index("visits:")]
    index = page(household_tree(dossier(home(record)), FIRM), "index")
    assert "standing--unfinished" in index
    assert "Do not rely on these alarms yet, and keep your old alarms in place." in index


UNFINISHED = RECORD.replace("kind: commissioning", "kind: installation").replace(
    "    handed-over: [manual, how to test]\n", "    note: the old alarm stays for now\n"
)


def test_a_home_that_was_not_commissioned_is_told_first_that_the_work_is_not_finished() -> None:
    index = page(household_tree(dossier(home(UNFINISHED)), FIRM), "index")
    told = [
        "The work is not finished",
        "Do not rely on these alarms yet, and keep your old alarms in place.",
        "Call Lantern &#38; Latch if the next day of work is not agreed.",
        "## What you can do today",
        "## Where the work stands",
        "the old alarm stays for now",
        "OS1&#58; outdoor sounder, because: late in the evening",
        "## Next dates",
    ]
    places = [index.index(words) for words in told]
    assert places == sorted(places)
    assert "othing for you to do" not in index
    today = index[index.index("{: #today") : index.index("{: #last-visit")]
    assert [tag for tag in ("SA1", "SA2", "CO1", "MD1", "OS1") if tag in today] == ["SA1", "SA2", "CO1"]


def test_a_commissioning_after_the_day_of_the_pages_does_not_count_yet() -> None:
    before = household_tree(dossier(home(), on=date(2026, 3, 3)), FIRM)
    assert "standing--unfinished" in page(before, "index")
    assert "standing--unfinished" not in page(household_tree(dossier(home()), FIRM), "index")


def test_nobody_is_reminded_of_what_was_never_shown(tree: Tree) -> None:
    unshown = household_tree(dossier(home(UNFINISHED)), FIRM)
    assert not [name for name, content in unshown.items() if "as you were shown" in str(content)]
    assert "ask your installer how" in page(unshown, "dates")
    assert "ask your installer how" in page(unshown, "how-to")
    assert "ask your installer how" in page(unshown, "devices")
    assert "as you were shown" in page(tree, "devices")


def test_who_to_call_stands_right_after_how_the_home_stands(tree: Tree) -> None:
    index = page(tree, "index")
    line = index[index.index("</section>") : index.index("\n## ")]
    assert 'href="tel:112"' in line
    assert 'href="tel:01632960123"' in line


def test_a_home_without_devices_still_has_its_pages() -> None:
    record = RECORD[: RECORD.index("devices:")]
    tree = household_tree(dossier(home(record)), FIRM)
    assert "No devices have been fitted yet" in page(tree, "index")
    assert "docs/dates.md" in tree


def test_a_device_without_a_place_is_said_to_be_not_yet_placed_and_to_protect_nothing() -> None:
    record = RECORD.replace("visits:", "  SA9: {kind: smoke alarm, name: spare alarm}\nvisits:")
    tree = household_tree(dossier(home(record)), FIRM)
    devices, index = page(tree, "devices"), page(tree, "index")
    card = devices[devices.index("{: #sa9") :]
    assert "<dt>Where</dt> <dd>Not yet placed</dd>" in card
    assert "rooms/" not in card
    assert "Two smoke alarms" in index
    assert "Not yet placed on the plan: SA9" in index
    assert not [name for name in tree if "None" in name]
    assert not [name for name, text in tree.items() if name.startswith("docs/rooms/") and "SA9" in str(text)]


def test_a_device_without_a_point_is_not_said_to_be_on_the_drawing() -> None:
    record = RECORD.replace("on: ceiling of living, from-west: 1.60, from-south: 1.95", "on: ceiling of living")
    devices = page(household_tree(dossier(home(record)), FIRM), "devices")
    cards = {tag: devices[devices.index(f"{{: #{tag}") :].split("<dt>Where</dt>")[1] for tag in ("sa1", "sa2")}
    assert cards["sa1"].startswith(" <dd>On the ceiling of the living room, ground floor; place not recorded yet</dd>")
    assert 'bedroom.html">drawing</a>' in cards["sa2"].split("</dd>")[0]


def test_a_card_says_what_the_overview_says_is_not_right() -> None:
    short = finding(Verdict.FAILS, Subject("device", "SA2", "SA2"))
    tree = household_tree(dossier(home(), (short,)), FIRM)
    assert "<b>SA2, smoke alarm.</b> This bedroom has no smoke alarm." in page(tree, "index")
    for name, card in (("devices", "{: #sa2"), ("rooms/bedroom", "{: #sa2")):
        shown = page(tree, name)
        assert "This bedroom has no smoke alarm." in shown[shown.index(card) :], name
    assert page(tree, "devices").count("This bedroom has no smoke alarm.") == 1


def test_a_standby_battery_that_is_not_connected_has_no_date() -> None:
    card = "CU1: {kind: control unit, in: hall, wall: west, from-south: 1.10, height: 1.40"
    for word, date_given in (("yes", True), ("no", False)):
        devices = page(
            household_tree(dossier(home(RECORD.replace(card, f"{card}, standby-battery: {word}"))), FIRM), "devices"
        )
        shown = devices[devices.index("{: #cu1") :].split("{: #", 2)[1]
        assert ("New battery by" in shown) is date_given
        assert ("Battery not connected" in shown) is not date_given


def test_only_a_linked_alarm_is_listened_to_for_the_others(tree: Tree) -> None:
    devices = page(tree, "devices")
    cards = {tag: devices[devices.index(f"{{: #{tag}") :].split("</details>")[0] for tag in ("sa1", "co1")}
    assert "other linked alarms" in cards["sa1"]
    assert "other linked alarms" not in cards["co1"]


GAS = RECORD.replace(
    "  - id: first\n",
    "    fittings: [{boiler: hall, wall: west, from-north: 0.40, height: 1.50, burns: gas}]\n  - id: first\n",
)


def test_only_where_the_stairs_are_shared_does_the_household_read_what_to_do_when_they_are_full_of_smoke() -> None:
    # Shropshire Fire and Rescue Service, "Escape plan": in a flat whose hallways are filled with smoke, go back inside and
    # close the door (read).
    told = "on the shared stairs"
    flat = home(RECORD.replace("to: outside, leaf: steel", "to: shared, leaf: steel"))
    assert told in str(household_tree(dossier(flat), FIRM)["docs/sounds.md"])
    assert told not in str(household_tree(dossier(home()), FIRM)["docs/sounds.md"])


def test_a_home_that_burns_gas_has_the_gas_emergency_number(tree: Tree) -> None:
    sounds = page(household_tree(dossier(home(GAS)), replace(FIRM, gas="01632 960 118")), "sounds")
    for heading in ("{: #carbon-monoxide", "{: #gas"):
        part = sounds[sounds.index(heading) :].split("\n## ")[0]
        assert 'href="tel:01632960118"' in part, heading
    assert "{: #gas" not in page(tree, "sounds")


def test_without_a_number_the_gas_emergency_number_is_told_in_words() -> None:
    sounds = page(household_tree(dossier(home(GAS)), FIRM), "sounds")
    assert sounds.count("the gas emergency number of your country") == 2


def test_what_falls_short_is_told_in_plain_words_and_the_office_s_words_stay_out() -> None:
    tree = household_tree(dossier(home(), (finding(Verdict.FAILS), finding(Verdict.NOT_VERIFIED))), FIRM)
    index = page(tree, "index")
    assert "<b>Bedroom.</b> This bedroom has no smoke alarm." in index
    assert "<b>Still to be measured or tested:</b>" in index
    assert not any("office words" in str(content) for content in tree.values())


def test_a_rule_without_plain_words_stays_off_the_household_s_pages() -> None:
    agreed = Variation(rule="smoke-in-bedroom", room="bedroom", why="w", agreed="a", on=date(2026, 3, 4))
    ours = replace(RULE, plain="")
    found = tuple(
        finding(verdict, rule=ours, variation=agreed if verdict is Verdict.VARIATION else None)
        for verdict in (Verdict.FAILS, Verdict.NOT_VERIFIED, Verdict.BORDERLINE, Verdict.VARIATION)
    )
    assert household_tree(dossier(home(), found), FIRM) == household_tree(dossier(home()), FIRM)


def test_a_figure_that_is_only_to_be_looked_up_does_not_send_the_household_measuring() -> None:
    weak = replace(LIMIT, status="from memory", confidence="medium")
    assert "Still to be measured" in page(
        household_tree(dossier(home(), (finding(Verdict.NOT_VERIFIED),)), FIRM), "index"
    )
    looked_up = (finding(Verdict.NOT_VERIFIED, limit=weak),)
    assert household_tree(dossier(home(), looked_up), FIRM) == household_tree(dossier(home()), FIRM)


def test_an_agreed_variation_stands_with_its_reason() -> None:
    agreed = Variation(
        rule="smoke-in-bedroom", room="bedroom", why="used as a store", agreed="householder", on=date(2026, 3, 4)
    )
    index = page(household_tree(dossier(home(), (finding(Verdict.VARIATION, variation=agreed),)), FIRM), "index")
    assert "used as a store" in index
    assert "4 March 2026" in index


def test_what_conforms_or_does_not_apply_is_not_spread_out_before_the_household() -> None:
    both = (finding(Verdict.CONFORMS), finding(Verdict.NOT_APPLICABLE))
    assert household_tree(dossier(home(), both), FIRM) == household_tree(dossier(home()), FIRM)


def test_the_place_of_the_home_and_the_word_for_its_rules_stay_out(tree: Tree) -> None:
    for name, content in tree.items():
        if name.startswith("docs/") and "assets" not in name:
            text = content.decode() if isinstance(content, bytes) else content
            assert "-2.8" not in text, name
            assert "54.0" not in text, name


def test_every_device_has_a_card_with_its_tag_its_room_and_how_it_did(site: Path) -> None:
    shown = Page(site / "devices.html")
    for tag in ("SA1", "SA2", "CO1", "MD1", "OC1", "OS1", "CU1"):
        assert tag.lower() in shown.ids
        assert tag in shown.text
    assert (
        "The test button made it sound; it sounded after 8 seconds in test smoke; the linked alarms sounded too"
        in shown.text
    )
    assert "Did not work" in shown.text
    assert "Not tested yet" in shown.text


def test_a_test_before_the_device_was_fitted_says_nothing_of_it() -> None:
    record = RECORD.replace("SA1: {kind: smoke alarm,", "SA1: {kind: smoke alarm, fitted: 2026-03-08,")
    devices = page(household_tree(dossier(home(record)), FIRM), "devices")
    card = devices[devices.index("{: #sa1") :].split("{: #", 2)[1]
    assert "Not tested yet" in card


def test_the_emergency_number_of_the_firm_stands_in_every_kind_of_alarm(tree: Tree) -> None:
    sounds = page(tree, "sounds")
    for heading in ("{: #fire", "{: #carbon-monoxide", "{: #intruder"):
        part = sounds[sounds.index(heading) :].split("\n## ")[0]
        assert 'href="tel:112"' in part, heading


def test_what_the_home_does_not_have_is_not_explained() -> None:
    record = RECORD.replace(
        "  CO1: {kind: carbon monoxide alarm, in: living", "  HA1: {kind: heat alarm, in: living"
    ).replace("      CO1:", "      HA1:")
    sounds = page(household_tree(dossier(home(record)), FIRM), "sounds")
    assert "carbon-monoxide" not in sounds
    assert "#fire" in sounds


def test_the_calendar_is_one_a_second_reader_accepts(tree: Tree) -> None:
    content = tree["docs/calendar.ics"]
    assert isinstance(content, bytes)
    events = Calendar.from_ical(content).walk("VEVENT")
    assert any("SA1" in str(event["summary"]) for event in events)


def test_each_drawing_lies_beside_the_pages_to_scale(tree: Tree) -> None:
    drawings = [name for name in tree if name.startswith("docs/drawings/")]
    assert len(drawings) >= 5  # two storeys, three rooms with devices
    for name in drawings:
        assert 'width="' in str(tree[name])
        assert "mm" in str(tree[name])


def test_the_year_ahead_ends_at_the_same_day_a_year_on(site: Path) -> None:
    text = Page(site / "dates.html").text
    assert "March 2026" in text
    assert "From 10 March 2026 to the same day a year on" in text
    assert "March 2027" in text
    assert "April 2027" not in text[text.index("Month by month") :]
    assert text.count("Your monthly tests") >= 11


def test_the_theme_s_own_credit_and_pages_are_left_out(site: Path) -> None:
    assert not (site / "404.html").exists()
    assert not (site / "sitemap.xml").exists()
    assert all("squidfunk" not in address for _, parsed in pages(site) for address in parsed.addresses)


def test_every_kind_of_alarm_is_one_tap_from_the_top_of_what_to_do(site: Path) -> None:
    shown = Page(site / "sounds.html")
    for name in ("fire", "carbon-monoxide", "intruder", "chirp"):
        assert f"#{name}" in shown.addresses
        assert name in shown.ids


class Prose(HTMLParser):
    """The sentences of a page's own text: of its paragraphs, list entries and descriptions."""

    BLOCKS = ("p", "li", "dd")

    def __init__(self, file: Path) -> None:
        super().__init__(convert_charrefs=True)
        self.depth, self.inside, self.parts = 0, False, [""]
        self.feed(file.read_text(encoding="utf-8"))

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002 - as it is called
        if tag == "article":
            self.inside = True
        if tag == "svg":
            self.depth += 1
        if tag in self.BLOCKS:
            self.parts.append("")

    def handle_endtag(self, tag: str) -> None:
        if tag == "article":
            self.inside = False
        if tag == "svg":
            self.depth -= 1
        if tag in self.BLOCKS:
            self.parts.append("")

    def handle_data(self, data: str) -> None:
        if self.inside and not self.depth:
            self.parts[-1] += data

    def sentences(self) -> list[list[str]]:
        split = [s for part in self.parts for s in re.split(r"(?<=[.?!])\s+", " ".join(part.split()))]
        words = [re.findall(r"[A-Za-z][A-Za-z'’-]*", sentence) for sentence in split]
        return [found for found in words if len(found) > 2]  # a date or a tag is no sentence


def syllables(word: str) -> int:
    """Count groups of vowels, a silent e at the end left out."""
    word = re.sub(r"[^a-z]", "", word.lower())
    count = len(re.findall(r"[aeiouy]+", word))
    if re.search(r"[^aeiouyl]e$|[^aeiouytd]ed$|[^aeiouysxzhcg]es$", word):
        count -= 1
    return max(count, 1)


def grade(sentences: list[list[str]]) -> float:
    # Kincaid, Fishburne, Rogers, Chissom: Derivation of new readability formulas for Navy enlisted personnel,
    # Research Branch Report 8-75, 1975: grade = 0.39 words/sentence + 11.8 syllables/word - 15.59.
    words = [word for sentence in sentences for word in sentence]
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def test_syllables_are_counted_as_a_dictionary_divides_words() -> None:
    # Counts from memory, as dictionaries divide these words.
    known = {"alarm": 2, "smoke": 1, "battery": 3, "carbon": 2, "monoxide": 3, "replaced": 2, "tested": 2, "called": 1}
    known |= {"little": 2, "device": 2, "technician": 3, "window": 2, "houses": 2, "stays": 1, "the": 1}
    close = {word: syllables(word) for word in known}
    assert sum(abs(close[word] - count) for word, count in known.items()) <= 1


def test_grade_of_a_sentence_worked_out_by_hand() -> None:
    # “The cat sat on the mat.” 6 words, 6 syllables: 0.39 x 6 + 11.8 x 1 - 15.59 = -1.45.
    assert grade([["The", "cat", "sat", "on", "the", "mat"]]) == pytest.approx(-1.45)


@pytest.mark.parametrize(
    ("name", "most"),
    [
        ("sounds", 6),
        ("how-to", 7),
        ("safety", 7),
        ("words", 7),
        ("index", 8),
        ("dates", 8),
        ("batteries", 8),
        ("devices", 8),
    ],
)
def test_household_reads_plain_words(site: Path, name: str, most: float) -> None:
    sentences = Prose(site / f"{name}.html").sentences()
    assert len(sentences) > 5
    assert grade(sentences) < most
