"""The household edition in other languages: whole catalogues, nothing left in English, nothing hostile let through."""

import re
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from html.parser import HTMLParser
from importlib.resources import files
from io import BytesIO
from typing import Any
from xml.etree import ElementTree as ET

import markdown
import pytest
import yaml
from babel.dates import get_month_names
from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po
from babel.support import Format
from icalendar import Calendar
from pydantic import BaseModel

from asfitted.language import Language, figure, say, say_many, speaking
from asfitted.model.words import DEVICE_KINDS, FITTING_KINDS, LanguageCode
from asfitted.pages import household, languages
from asfitted.pages.catalogues import PACKAGE, TEMPLATE, brought_up_to_date, is_translated, template, written
from asfitted.pages.dossier import Dossier, Firm
from asfitted.pages.household import household_tree
from asfitted.pages.languages import (
    CODES,
    FINISHED,
    catalogue_path,
    language,
    long_date,
    month_of,
    short_month,
    speaking_for,
    translations,
)
from asfitted.pages.render import environment, metres
from asfitted.pages.wording import counted, listed, number, span
from tests.pages.homes import FIRM, HOSTILE, ON, RECORD, dossier, home, hostile_home
from tests.pages.office_site import demo

FOREIGN: tuple[LanguageCode, ...] = tuple(code for code in CODES if code != "en")
PSEUDO = "sv"  # a language that Babel knows and we do not ship, so that nothing kept by language is mixed up
DAYS = "‹{}›"
Tree = Mapping[str, str | bytes]


@cache
def messages() -> Catalog:
    return template()


@cache
def catalogue(code: str) -> Catalog:
    file = files("asfitted.pages").joinpath(*catalogue_path(code).split("/"))
    return read_po(BytesIO(file.read_bytes()), locale=code)


def own(catalog: Catalog) -> list[Message]:
    return [message for message in catalog if message.id]


# The catalogues


def test_the_template_holds_just_the_messages_there_are() -> None:
    assert (PACKAGE / TEMPLATE).read_bytes() == written(messages()), "run: python -m asfitted.pages.catalogues"


@pytest.mark.parametrize("code", FOREIGN)
def test_a_catalogue_is_in_line_with_the_template(code: str) -> None:
    before = files("asfitted.pages").joinpath(*catalogue_path(code).split("/")).read_bytes()
    there = {message.id for message in own(catalogue(code))}
    assert there == {message.id for message in own(brought_up_to_date(code, before, messages()))}


@pytest.mark.parametrize("code", [code for code in FOREIGN if code in FINISHED])
def test_a_finished_language_says_everything(code: str) -> None:
    found = [m.id for m in own(catalogue(code)) if m.fuzzy or not is_translated(m.string)]
    assert not found


def strings(message: Message) -> Iterator[tuple[str, str]]:
    """Give each translation with the English it stands for."""
    english = (message.id,) if isinstance(message.id, str) else tuple(message.id)
    said = (message.string,) if isinstance(message.string, str) else tuple(message.string or ())
    yield from ((english[min(n, len(english) - 1)], words) for n, words in enumerate(said))


PLACEHOLDER = re.compile(r"%\(\w+\)s|\{\w+\}")
MARKUP = re.compile(r"</?\w[^>]*>|\]\([^)]*\)")


@pytest.mark.parametrize("code", FOREIGN)
@pytest.mark.parametrize("parts", [PLACEHOLDER, MARKUP], ids=["placeholders", "markup"])
def test_a_translation_keeps_what_is_not_words(code: str, parts: re.Pattern[str]) -> None:
    wrong = [
        (english, said)
        for message in own(catalogue(code))
        for english, said in strings(message)
        if said and Counter(parts.findall(english)) != Counter(parts.findall(said))
    ]
    assert not wrong


MEANS_SOMETHING = re.compile(r"[`*_|\\#~\n<>{}]")


@pytest.mark.parametrize("code", FOREIGN)
def test_a_translation_ends_as_its_sentence_does_and_means_nothing_to_markdown(code: str) -> None:
    wrong = [
        (english, said)
        for message in own(catalogue(code))
        for english, said in strings(message)
        if said
        and (
            said != said.strip()
            or said.endswith(".") != english.endswith(".")
            or MEANS_SOMETHING.search(MARKUP.sub("", PLACEHOLDER.sub("", said)))
        )
    ]
    assert not wrong


def test_a_message_of_a_catalogue_is_said_and_one_without_translation_comes_out_in_english() -> None:
    catalog = Catalog(locale="de")
    catalog.add("ceiling {height} m", "Decke {height} m")
    catalog.add(("{count} year", "{count} years"), ("{count} Jahr", "{count} Jahre"))
    catalog.add("guessed", "geraten", flags=["fuzzy"])
    with speaking(Language("de", translations(written(catalog)), ",")):
        assert say("ceiling {height} m", height=figure(2.4, 2)) == "Decke 2,40 m"
        assert [say_many("{count} year", "{count} years", n) for n in (1, 2)] == ["1 Jahr", "2 Jahre"]
        assert say("guessed") == "guessed"
        assert say("never translated") == "never translated"
    assert say("ceiling {height} m", height=figure(2.4, 2)) == "ceiling 2.40 m"


def test_what_is_put_into_a_message_is_never_read_as_a_message_itself() -> None:
    assert say("on the {opening}", opening="{room} {0} %(x)s") == "on the {room} {0} %(x)s"


# Days and numbers: what CLDR says, as another module of Babel gives it


@pytest.mark.parametrize("code", FOREIGN)
def test_days_and_numbers_are_written_as_in_the_country(code: LanguageCode) -> None:
    day = date(2026, 3, 4)
    with speaking_for(code):
        assert long_date(day) == Format(code).date(day, "long")
        assert metres(2.4) == f"{Format(code).decimal(2.4, '0.00')}\N{NO-BREAK SPACE}m"


def test_known_days_in_words() -> None:
    # From memory: what anybody who grew up with the language writes.
    said = {}
    for code in CODES:
        with speaking_for(code):
            said[code] = (long_date(date(2026, 3, 4)), month_of(date(2026, 3, 31)))
    assert said == {
        "en": ("4 March 2026", "March 2026"),
        "nb": ("4. mars 2026", "mars 2026"),
        "de": ("4. März 2026", "März 2026"),
        "es": ("4 de marzo de 2026", "marzo de 2026"),
    }
    assert [short_month(date(2026, month, 1)) for month in (1, 9, 12)] == ["Jan", "Sep", "Dec"]


def test_english_counts_in_words_and_others_in_figures() -> None:
    assert (number(3), span(315_576_000), listed(["a", "b", "c"])) == ("three", "10 years", "a, b and c")
    with speaking_for("de"):
        assert number(3) == "3"
        assert counted(3, "device", "devices").startswith("3 ")


# Nothing is left in English: every message becomes «message»


@cache
def pseudo() -> Language:
    catalog = Catalog(locale=PSEUDO)
    for message in own(messages()):
        many = isinstance(message.id, tuple)
        catalog.add(message.id, tuple(f"«{text}»" for text in message.id) if many else f"«{message.id}»")
    return Language(PSEUDO, translations(written(catalog)), ",", lambda day: DAYS.format(day.isoformat()))


def as_pseudo(of: Dossier, firm: Firm) -> Tree:
    facts = of.home.home.model_copy(update={"language": "de"})
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(languages, "language", lambda _: pseudo())
        return household_tree(replace(of, home=of.home.model_copy(update={"home": facts})), firm)


class Visible(HTMLParser):
    """The words a reader sees or hears, block by block; a day in words is left out, since Babel writes it."""

    BLOCKS = frozenset(
        [
            "p",
            "li",
            "dt",
            "dd",
            "h1",
            "h2",
            "h3",
            "h4",
            "td",
            "th",
            "legend",
            "label",
            "figcaption",
            "summary",
            "div",
            "section",
            "figure",
        ]
    )

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = [""]
        self.quiet = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.quiet += tag == "time"
        self.said += [value for name, value in attrs if name in ("aria-label", "alt", "title") and value]
        if tag in self.BLOCKS:
            self.said.append("")

    def handle_endtag(self, tag: str) -> None:
        self.quiet -= tag == "time"
        if tag in self.BLOCKS:
            self.said.append("")

    def handle_data(self, data: str) -> None:
        self.said[-1] += "" if self.quiet else data


SVG = re.compile(r"<svg\b.*?</svg>", re.DOTALL)


def words_of_page(text: str) -> Iterator[str]:
    _, front, body = text.split("---\n", 2)
    head = yaml.safe_load(front)
    yield from (head["title"], head["description"])
    for drawing in SVG.findall(body):
        yield from words_of_drawing(drawing)
    reader = Visible()
    reader.feed(markdown.markdown(SVG.sub("", body), extensions=["admonition", "attr_list", "md_in_html"]))
    yield from reader.said


def words_of_drawing(svg: str) -> Iterator[str]:
    notes = []
    for element in ET.fromstring(svg).iter():  # noqa: S314 - a drawing of ours
        kind = element.tag.rpartition("}")[2]
        if kind == "text" and element.get("class") == "d-note":
            notes.append(element.text or "")
        elif kind == "text" and "d-letters" in element.get("class", ""):
            continue  # part of a symbol, explained by the legend
        elif kind in ("text", "title", "desc", "tspan"):
            yield element.text or ""
    yield " ".join(notes)


def words_of_calendar(file: bytes) -> Iterator[str]:
    for event in Calendar.from_ical(file).walk("VEVENT"):
        yield from (str(event["SUMMARY"]), str(event["DESCRIPTION"]))


def words_of_site(file: str) -> Iterator[str]:
    config = yaml.safe_load(file)
    toc = next(part["toc"]["title"] for part in config["markdown_extensions"] if "toc" in part)
    yield from (config["copyright"], config["extra"]["urgent"]["words"], config["extra"]["overdue"], toc)
    yield from (each["toggle"]["name"] for each in config["theme"]["palette"])
    yield from titles(config["nav"])


def titles(nav: list[dict[str, Any]]) -> Iterator[str]:
    for entry in nav:
        for title, below in entry.items():
            yield title
            if isinstance(below, list):
                yield from titles(below)


def words_of(tree: Tree) -> Iterator[tuple[str, str]]:
    for path, content in tree.items():
        text = content.decode() if isinstance(content, bytes) and not path.endswith(".jpg") else content
        if path.endswith(".md"):
            yield from ((path, words) for words in words_of_page(str(text)))
        elif path.endswith(".svg") and "drawings" in path:
            yield from ((path, words) for words in words_of_drawing(str(text)))
        elif path.endswith(".ics"):
            yield from ((path, words) for words in words_of_calendar(str(text).encode()))
        elif path == "mkdocs.yml":
            yield from ((path, words) for words in words_of_site(str(text)))


def texts(value: Any) -> Iterator[str]:
    if isinstance(value, BaseModel):
        value = {name: getattr(value, name) for name in type(value).model_fields}
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for key, part in value.items():
            yield from (*texts(key), *texts(part))
    elif isinstance(value, list | tuple):
        for part in value:
            yield from texts(part)


def typed(of: Dossier, firm: Firm) -> list[str]:
    """Give what the record and the firm's own facts say, as a page may show it, the longest first."""
    given = {*texts(of.home), *(getattr(firm, field) for field in Firm.__dataclass_fields__)}
    given |= {text.replace("-", " ") for text in given}
    given -= {*DEVICE_KINDS, *FITTING_KINDS, *(kind.replace("-", " ") for kind in FITTING_KINDS), "ceiling"}
    given |= {device.name for device in of.home.devices.values() if device.name}
    given |= {re.sub(r"^\d+\s*[x×]\s*", "", text) for text in given}  # "2 x AA" is listed as AA
    return sorted((text.strip().casefold() for text in given if text.strip()), key=len, reverse=True)


MONTH_NAMES = {
    width: sorted(get_month_names(width, "stand-alone", PSEUDO).values(), key=len, reverse=True)
    for width in ("wide", "abbreviated")
}
FIGURES = re.compile(r"‹[^›]*›|\d{4}-\d\d(-\d\d)?|\d+,\d+|\d+|\b[hm]\b|m²|[%°×≈·;:,.()/+–-]|\bqr\b")


TAGS = re.compile(r"[A-Z]{2}\d+")
MONTHS = re.compile("|".join(f"{name}[.]?" for width in ("wide", "abbreviated") for name in MONTH_NAMES[width]))


def outside(words: str) -> str:
    """Give what of a text stands in no message; what was cut short on a drawing ends where it was cut."""
    if words.rstrip().endswith("…") and words.count("«") > words.count("»"):
        words = words.rstrip() + "»" * (words.count("«") - words.count("»"))
    kept, depth = [], 0
    for letter in words:
        depth += letter == "«"
        if depth == 0:
            kept.append(letter)
        elif letter == "»":
            depth -= 1
            kept.append(" ")
    return "".join(kept) if depth == 0 else words


def left_in_english(tree: Tree, allowed: list[str]) -> Iterator[tuple[str, str, str]]:
    known = set(allowed)
    for path, words in words_of(tree):
        rest = " ".join(MONTHS.sub(" ", TAGS.sub(" ", outside(words))).split()).casefold()
        if rest in known:
            continue
        for text in allowed:
            if len(text) > 3 and text in rest:
                rest = rest.replace(text, " ")
        rest = " ".join(part for part in FIGURES.sub(" ", rest).split() if part not in known and part != "…")
        if rest:
            yield path, rest, words


def test_no_word_of_any_demo_home_is_left_untranslated() -> None:
    assert len(demo()) >= 5
    for of in demo():
        tree = as_pseudo(of, FIRM)
        assert not list(left_in_english(tree, typed(of, FIRM))), of.id


@pytest.mark.parametrize("firm", [FIRM, Firm()], ids=["a firm", "no firm"])
def test_no_word_is_left_untranslated_where_little_is_known(firm: Firm) -> None:
    for record in (RECORD, RECORD.split("visits:")[0], RECORD.split("devices:")[0]):
        of = dossier(home(record))
        assert not list(left_in_english(as_pseudo(of, firm), typed(of, firm)))


def test_the_search_for_english_finds_what_was_not_translated() -> None:
    of = dossier(home())
    allowed = typed(of, FIRM)
    page = "---\ntitle: «Dates»\ndescription: «What is due»\n---\n<p>«Next: <b>SA1</b>» living room</p>\n<p>{}</p>\n"
    assert not list(left_in_english({"docs/x.md": page.format("2,40 m")}, allowed))
    for slip in ("Next", "2.40 m tall", "smoke alarm"):
        assert list(left_in_english({"docs/x.md": page.format(slip)}, allowed)), slip


def test_drawings_write_every_figure_with_the_decimal_mark_of_the_language() -> None:
    tree = as_pseudo(dossier(home()), FIRM)
    drawn = [words for path, words in words_of(tree) if path.endswith(".svg")]
    figures = [words for words in drawn if re.fullmatch(r"\d+[.,]\d+", words)]
    assert len(figures) > 20
    assert not [words for words in figures if "." in words]


# Hostile text


@pytest.mark.parametrize("firm", [FIRM, Firm(*[HOSTILE] * 7)], ids=["our firm", "hostile firm"])
def test_hostile_text_inside_a_translated_passage_stays_text(firm: Firm) -> None:
    firm = replace(firm, sites="")
    for path, content in as_pseudo(dossier(hostile_home()), firm).items():
        if path.endswith(".md"):
            body = SVG.sub("", str(content).split("---\n", 2)[2])
            assert "<script" not in body, path
            assert "onerror=alert(2)>" not in body, path
            assert "**x**" not in body, path
            assert "](javascript" not in body, path
            assert "{{ 7*7 }}" not in body, path


def test_a_value_in_a_passage_is_escaped_for_markdown_and_the_passage_keeps_its_markup() -> None:
    made = environment().from_string("{% trans who=who %}<b>Call</b> {{ who }} (now){% endtrans %} {{ _('a_b') }}")
    assert made.render(who="*x* <i>") == "<b>Call</b> &#42;x&#42; &#60;i&#62; (now) a&#95;b"


# What a site says of its language


def test_a_home_speaks_the_language_of_its_record_and_says_that_it_was_translated() -> None:
    facts = home(RECORD.replace("reference: LL-7", "reference: LL-7, language: de"))
    tree = household_tree(dossier(facts), FIRM)
    config = yaml.safe_load(str(tree["mkdocs.yml"]))
    assert config["theme"]["language"] == "de"
    with speaking_for("de"):
        note = say(household.TRANSLATED)
    assert note in config["copyright"]
    assert note.split(".")[0] in str(tree["docs/safety.md"])
    assert "10. März 2026" in str(tree["docs/index.md"])
    english = household_tree(dossier(home()), FIRM)
    assert "translated" not in str(english["mkdocs.yml"]) + str(english["docs/safety.md"])


def test_a_storey_with_a_usual_id_and_no_name_is_called_in_the_language() -> None:
    first, upper = (home(RECORD.replace("- id: first", f"- id: {name}")).storeys[1] for name in ("first", "upper"))
    assert (first.called, upper.called) == ("first floor", "upper floor")
    with speaking_for("de"):
        assert first.called == "erstes Obergeschoss"


def test_one_language_leaves_nothing_behind_in_the_next() -> None:
    plain = household_tree(dossier(home()), FIRM)
    as_pseudo(dossier(home()), FIRM)
    assert household_tree(dossier(home()), FIRM) == plain


def test_the_language_that_is_spoken_ends_even_where_something_goes_wrong() -> None:
    with pytest.raises(RuntimeError), speaking(pseudo()):
        raise RuntimeError
    assert say("Overview") == "Overview"


def test_a_language_is_read_once_and_english_needs_no_catalogue() -> None:
    assert language("de") is language("de")
    assert language("en") == Language()
    assert {code for code in FOREIGN if language(code).decimal != ","} == set()
    assert set(FINISHED) <= set(CODES)
    assert tomllib.loads((PACKAGE / "pages/data/sealed.toml").read_text(encoding="utf-8")).keys() == set(CODES)
    assert ON.year == 2026
