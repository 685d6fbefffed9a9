"""The sealed edition as a file: what it holds, what it hides, and how the command makes it."""

import base64
import json
import os
import random
import re
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
import yaml
from cryptography.exceptions import InvalidTag
from hypothesis import given
from hypothesis import strategies as st

from asfitted.fleet.sealing import put
from asfitted.pages import sealed
from asfitted.pages.engine import EngineFailed
from asfitted.pages.sealed import archive, encrypted, key_of, made_up_passphrase, passphrase_trouble, sealed_page
from tests.conftest import BROKEN, Run
from tests.conftest import GOOD as GOOD_HOME
from tests.pages.sealing import CARRIED, PASSPHRASE, carried, opened, outside, seal, texts

ROOT = Path(__file__).parents[2]
HOMES = sorted((ROOT / "homes").glob("*/record.yml"))
QUICKLY = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
GOOD = "seven lamps under a bridge"
SCRIPT = {"assets/asfitted.js": b"1;\n"}


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Derive keys in no time, where a test is about something else."""
    monkeypatch.setattr(sealed, "ITERATIONS", 1)


# ------------------------------------------------------------------ published vectors


@pytest.mark.parametrize(
    ("passphrase", "salt", "iterations", "key"),
    [
        # RFC 7914, section 11, the first 32 of 64 bytes (from memory; OpenSSL and the browser agree)
        ("passwd", b"salt", 1, "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc"),
        ("Password", b"NaCl", 80_000, "4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56"),
    ],
)
def test_a_key_is_derived_as_rfc_7914_publishes_it(passphrase: str, salt: bytes, iterations: int, key: str) -> None:
    assert key_of(passphrase, salt, iterations).hex() == key


def test_encryption_is_aes_256_gcm_as_its_specification_publishes_it() -> None:
    # McGrew and Viega, The Galois/Counter Mode of Operation (GCM), appendix B, test case 16 (read, as other projects quote it)
    key = bytes.fromhex("feffe9928665731c6d6a8f9467308308" * 2)
    plain = bytes.fromhex(
        "d9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a72"
        "1c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b39"
    )
    made = encrypted(
        key,
        bytes.fromhex("cafebabefacedbaddecaf888"),
        plain,
        bytes.fromhex("feedfacedeadbeeffeedfacedeadbeefabaddad2"),
    )
    assert made[:-16].hex() == (
        "522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa"
        "8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0abcc9f662"
    )
    assert made[-16:].hex() == "76fc6ece0f4e1768cddf8853bb2d551b"


# ------------------------------------------------------------------ the file


def test_the_file_opens_with_the_passphrase_and_holds_the_whole_site(sealed_file: Path) -> None:
    page = sealed_file.read_text(encoding="utf-8")
    site = opened(page, PASSPHRASE)
    assert {"index.html", "calendar.ics", "search/search_index.json", "rooms/living.html"} <= set(site)
    assert any(name.startswith("drawings/") for name in site)
    assert b"House by the mill" in site["index.html"]
    assert carried(page)["iterations"] >= 600_000  # type: ignore[operator]  # OWASP Password Storage Cheat Sheet (read)


def test_the_program_in_the_handbook_opens_it(sealed_file: Path, tmp_path: Path) -> None:
    text = (ROOT / "docs" / "sealed.md").read_text(encoding="utf-8")
    (program,) = re.findall(r"^```python\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)
    done = subprocess.run(
        [sys.executable, "-c", program, str(sealed_file), str(tmp_path / "site")],
        input=f"  {PASSPHRASE} \n", capture_output=True, text=True, check=False, start_new_session=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert "House by the mill" in (tmp_path / "site" / "index.html").read_text(encoding="utf-8")


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("part", ["iterations", "format", "derivation", "salt", "nonce", "content"])
def test_nothing_that_the_file_carries_can_be_changed(part: str) -> None:
    page = sealed_page({"index.html": b"<h1>Home</h1>"}, GOOD, os.urandom)
    values = carried(page)
    was = values[part]
    if part in ("salt", "nonce", "content"):
        data = bytearray(base64.b64decode(str(was)))
        data[len(data) // 2] ^= 1
        values[part] = base64.b64encode(data).decode()
    else:
        values[part] = was + 1 if isinstance(was, int) else "PBKDF2"
    changed = CARRIED.sub(lambda _: json.dumps(values), page)
    with pytest.raises(InvalidTag):
        opened(changed, GOOD)


@pytest.mark.usefixtures("quick")
def test_a_wrong_passphrase_opens_nothing() -> None:
    page = sealed_page({"index.html": b"<h1>Home</h1>"}, GOOD, os.urandom)
    with pytest.raises(InvalidTag):
        opened(page, GOOD + "s")


@pytest.mark.usefixtures("quick")
def test_salt_and_nonce_are_new_every_time_and_all_else_is_the_same_for_the_same_chance() -> None:
    site = {"index.html": b"a"}
    one, other = (carried(sealed_page(site, GOOD, os.urandom)) for _ in range(2))
    assert len(base64.b64decode(str(one["salt"]))) >= 16  # NIST SP 800-132, 5.1 (from memory)
    assert len(base64.b64decode(str(one["nonce"]))) == 12  # NIST SP 800-38D, 8.2 (from memory)
    assert all(one[part] != other[part] for part in ("salt", "nonce", "content"))
    assert sealed_page(site, GOOD, bytes) == sealed_page(site, GOOD, bytes)


@pytest.mark.parametrize("size", [0, 40_000, 70_000])
def test_an_archive_is_filled_up_to_whole_steps(size: int) -> None:
    packed = archive({"index.html": random.Random(size).randbytes(size)})  # noqa: S311 - text that does not compress
    assert len(packed) % 65_536 == 0
    assert len(packed) - size <= 65_536 + 200


def test_a_site_that_could_not_be_opened_again_is_refused() -> None:
    with pytest.raises(ValueError, match=r"index\.html"):
        sealed_page({"a.html": b""}, GOOD, os.urandom)


# ------------------------------------------------------------------ nothing outside


@pytest.fixture(scope="module")
def shells() -> Iterator[dict[str, str]]:
    """Seal something of every demo home, and of none; give what stands outside each."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sealed, "ITERATIONS", 1)
        sites = {"": b""} | {file.parent.name: file.read_bytes() for file in HOMES}
        yield {
            name: outside(sealed_page({"index.html": text, f"rooms/{name}.html": text, **SCRIPT}, GOOD, os.urandom))
            for name, text in sites.items()
        }


def test_the_outside_is_byte_for_byte_the_same_for_every_home_and_for_none(shells: dict[str, str]) -> None:
    assert len(shells) == 6
    assert len(set(shells.values())) == 1


def test_the_outside_of_a_home_sealed_by_the_command_differs_in_no_byte_from_that_of_another_site(
    sealed_file: Path,
) -> None:
    page = sealed_file.read_text(encoding="utf-8")
    scripts = {name: text for name, text in opened(page, PASSPHRASE).items() if re.fullmatch(r"assets/[^/]+\.js", name)}
    assert scripts
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sealed, "ITERATIONS", 1)
        assert outside(page) == outside(sealed_page({"index.html": b"", **scripts}, GOOD, os.urandom))


def _leaks(page: str, empty: str, values: set[str]) -> set[str]:
    """Give the values, and the words of four letters or more in them, that stand in a page beyond its empty form."""
    pieces = values | {word for value in values for word in re.findall(r"[\w-]{4,}", value)}
    return {piece for piece in pieces if len(piece) > 2 and piece in page and piece not in empty}


def test_no_text_of_any_record_stands_outside_the_ciphertext(shells: dict[str, str]) -> None:
    for file in HOMES:
        values = set(texts(yaml.load(file.read_bytes(), QUICKLY)))  # noqa: S506 - a safe loader
        assert len(values) > 100
        assert _leaks(shells[file.parent.name], shells[""], values) == set()
        # the search itself finds a label and a tag where they do stand
        assert _leaks(shells[file.parent.name] + file.read_text(encoding="utf-8"), shells[""], values) >= {
            "record",
            "SA1",
        }


def test_no_text_of_the_record_or_the_firm_nor_passphrase_or_key_stands_in_the_whole_file(sealed_file: Path) -> None:
    page = sealed_file.read_text(encoding="utf-8")
    values = carried(page)
    key = key_of(PASSPHRASE, base64.b64decode(str(values["salt"])), int(values["iterations"]))
    long = [
        "House by the mill",
        "77-0042",
        "Lantern",
        "01632 960 123",
        "living room",
        "homes/mill",
        str(sealed_file.parent.parent),
    ]
    forms = [PASSPHRASE, base64.b64encode(PASSPHRASE.encode()).decode(), key.hex(), base64.b64encode(key).decode()]
    assert [text for text in (*long, *forms) if text in page] == []
    beside = {file.name for file in sealed_file.parent.iterdir()}
    assert beside == {"sealed.html"}


def test_the_page_may_load_nothing_and_run_only_scripts_by_their_hash(sealed_file: Path) -> None:
    page = sealed_file.read_text(encoding="utf-8")
    (policy,) = re.findall(r'http-equiv="Content-Security-Policy" content="([^"]+)"', page)
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules["default-src"] == "'none'"
    assert re.fullmatch(r"('sha256-[\w+/=]{44}' ?)+", rules["script-src"])
    assert not re.search(r"""(?:src|href)=["']|url\(|@import|https?://(?!sealed\.invalid/")""", outside(page))


def test_every_language_says_the_same_things() -> None:
    words = tomllib.loads((ROOT / "generator/asfitted/pages/data/sealed.toml").read_text(encoding="utf-8"))
    assert set(words) == {"en", "nb", "de", "es"}
    for language, said in words.items():
        assert set(said) == set(words["en"])
        assert all(said.values())
        assert language == "en" or sum(said[key] == words["en"][key] for key in said) <= 1  # "Passphrase" is German too


# ------------------------------------------------------------------ passphrases


@pytest.mark.parametrize(
    ("weak", "reason"),
    [
        ("", "too short"),
        ("fourteen chars", "too short"),  # NIST SP 800-63B-4, 3.1.1.2: 15 (read)
        ("passwordpasswordpassword", "over and over"),
        ("aaaabbbbaaaabbbbaaaabbbb", "over and over"),
        ("House by the MILL 2026", "too short"),
        ("seven lamps\tunder a bridge", "cannot be typed"),
        ("            short            ", "too short"),
    ],
)
def test_a_weak_passphrase_is_refused_with_the_reason(weak: str, reason: str) -> None:
    trouble = passphrase_trouble(weak, ("House by the mill", "ab"))
    assert trouble is not None
    assert reason in trouble


@pytest.mark.parametrize("strong", [GOOD, PASSPHRASE, "пять мокрых зонтов и змей", "k7fm-2xqp-9wsd-h3vb-t8ne"])
def test_a_strong_passphrase_is_taken(strong: str) -> None:
    assert passphrase_trouble(strong, ("House by the mill",)) is None


def test_a_passphrase_is_the_same_from_every_keyboard() -> None:
    composed, decomposed = "grüne Brücke über uns", "gru\u0308ne Bru\u0308cke u\u0308ber uns"
    assert key_of(composed, b"salt", 1) == key_of(f"  {decomposed} ", b"salt", 1)


@given(st.integers())
def test_a_made_up_passphrase_is_strong_and_easy_to_tell(seed: int) -> None:
    phrase = made_up_passphrase(random.Random(seed).randbytes)  # noqa: S311 - an example, not a secret
    assert re.fullmatch(r"([a-hjkmnp-z2-9]{4}-){4}[a-hjkmnp-z2-9]{4}", phrase)
    assert passphrase_trouble(phrase) is None


def test_every_letter_of_a_made_up_passphrase_is_as_likely_as_any_other() -> None:
    firsts = Counter(made_up_passphrase(lambda count, first=byte: bytes([first] * count))[0] for byte in range(248))  # type: ignore[misc]
    assert set(firsts.values()) == {
        8
    }  # of 256 bytes the last 8 begin no whole round of 31 letters, and are thrown away


# ------------------------------------------------------------------ the command


def test_a_passphrase_is_not_taken_from_the_command_line_or_the_environment(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    from asfitted.cli.seal import command

    assert [option.name for option in command.params if "pass" in str(option.name)] == ["passphrase_file"]
    assert not any(option.envvar for option in command.params)
    done = run("seal", "good", "--passphrase", GOOD, homes={"good": "record: 1"})
    assert done.exit_code == 2
    monkeypatch.setenv("ASFITTED_SEAL_PASSPHRASE_FILE", GOOD)
    assert run("seal", "good").exit_code == 2


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"short\n", "too short"),
        (b"", "alone, on one line"),
        (b"seven lamps under a bridge\nand more\n", "alone, on one line"),
        (b"seven lamps under a bridge\xff", "UTF-8"),
        (None, "No such file"),
    ],
)
def test_a_passphrase_file_that_cannot_be_used_is_told_in_a_sentence(
    tmp_path: Path, text: bytes | None, says: str
) -> None:
    if text is not None:
        (tmp_path / "own").write_bytes(text)
    done = seal(tmp_path, "--passphrase-file", str(tmp_path / "own"), to=tmp_path / "sealed.html")
    assert done.exit_code == 1
    assert says in done.output
    assert "seven lamps" not in done.output
    assert not (tmp_path / "sealed.html").exists()


def test_a_passphrase_is_shown_on_a_terminal_only_and_asked_for_on_one_only(run: Run) -> None:
    assert "on a terminal only" in run("seal", "good", "--suggest", homes={"good": GOOD_HOME}).output
    assert "no terminal to ask" in run("seal", "good").output
    both = run("seal", "good", "--suggest", "--passphrase-file", "any")
    assert "exclude each other" in both.output
    assert both.exit_code == 2
    assert not Path("site").exists()


@pytest.mark.parametrize("option", ["--suggest", None])
def test_on_a_terminal_a_passphrase_is_made_up_and_shown_once_or_asked_for_twice_unseen(
    run: Run, monkeypatch: pytest.MonkeyPatch, option: str | None
) -> None:
    taken: list[str] = []
    asked: dict[str, object] = {}

    def taking(_: object, passphrase: str, __: object) -> str:
        taken.append(passphrase)
        return ""

    def asking(_: str, **how: object) -> str:
        asked.update(how)
        return GOOD

    terminal = SimpleNamespace(isatty=lambda: True)
    monkeypatch.setattr("asfitted.cli.seal.sys", SimpleNamespace(stdin=terminal, stderr=terminal, exit=sys.exit))
    monkeypatch.setattr("asfitted.fleet.sealing.sealed_page", taking)
    monkeypatch.setattr("asfitted.fleet.sealing.render_site", lambda *_: 0)
    monkeypatch.setattr("click.prompt", asking)
    done = run("seal", "good", *([option] if option else []), homes={"good": GOOD_HOME})
    assert done.exit_code == 0, done.output
    assert Path("site/sealed/good/sealed.html").is_file()
    if option:
        assert done.stderr.strip() == f"Passphrase, shown this once: {taken[0]}"
        assert passphrase_trouble(taken[0]) is None
        return
    assert taken == [GOOD]
    assert asked["hide_input"] is True
    assert asked["confirmation_prompt"]
    assert GOOD not in done.output


def test_without_its_library_the_command_says_what_to_install(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "cryptography", None)
    done = run("seal", "good", homes={"good": GOOD_HOME})
    assert done.exit_code == 1
    assert "asfitted[sealed]" in done.output


def test_a_home_that_cannot_be_used_or_built_is_not_sealed_and_no_passphrase_is_told(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    Path("own").write_text(GOOD, encoding="utf-8")
    done = run("seal", "broken", "--passphrase-file", "own", homes={"broken": BROKEN})
    assert done.exit_code == 2
    assert "cannot be used" in done.stderr

    def stop(*_: object) -> int:
        raise EngineFailed("it stopped")

    monkeypatch.setattr("asfitted.fleet.sealing.render_site", stop)
    done = run("seal", "good", "--passphrase-file", "own", homes={"good": GOOD_HOME})
    assert done.exit_code == 1
    assert "it stopped" in done.output
    assert GOOD not in done.output
    assert not Path("site").exists()


def test_an_earlier_file_stays_when_a_new_one_cannot_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put("first", tmp_path / "sealed.html")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", "sealed.html")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OSError, match="space"):
        put("second", tmp_path / "sealed.html")
    assert [file.read_text(encoding="utf-8") for file in tmp_path.iterdir()] == ["first"]
