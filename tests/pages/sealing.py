"""A home sealed once by the command, for the tests of the file and of the browser."""

import base64
import io
import json
import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

from click.testing import CliRunner, Result
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.pbkdf2 import PBKDF2HMAC

from asfitted.cli import main
from tests.pages.homes import RECORD

PASSPHRASE = "four wet umbrellas, ünd one kite"  # noqa: S105 - of an example
CARRIED = re.compile(r'(?<=<script type="application/json" id="sealed">).*?(?=</script>)')
CONFIG = """
site_name: Records
extra: {firm: {name: Lantern & Latch, telephone: 01632 960 123, emergency: "112"}}
"""


def seal(folder: Path, *more: str, to: Path) -> Result:
    """Seal the ordinary home with the command, the passphrase in a file."""
    (folder / "homes" / "mill").mkdir(parents=True, exist_ok=True)
    (folder / "homes" / "mill" / "record.yml").write_text(RECORD, encoding="utf-8")
    (folder / "docs").mkdir(exist_ok=True)
    (folder / "mkdocs.yml").write_text(CONFIG, encoding="utf-8")
    (folder / "passphrase").write_text(PASSPHRASE + "\n", encoding="utf-8")
    options = {
        "--homes": folder / "homes",
        "--config": folder / "mkdocs.yml",
        "--on": "2026-03-10",
        "--to": to,
        "--passphrase-file": folder / "passphrase",
    }
    given = [str(part) for pair in options.items() for part in pair]
    return CliRunner().invoke(main, ["seal", "mill", *given, *more], catch_exceptions=False)


def carried(page: str) -> dict[str, str | int]:
    """Give what a sealed page carries."""
    found = CARRIED.findall(page)
    assert len(found) == 1
    values: dict[str, str | int] = json.loads(found[0])
    return values


def outside(page: str) -> str:
    """Give what stands outside: a sealed page without what it carries."""
    return CARRIED.sub("", page)


def opened(page: str, passphrase: str) -> dict[str, bytes]:
    """Open a sealed page by the written format, with nothing of ours."""
    values = carried(page)
    salt, nonce, content = (base64.b64decode(str(values[name])) for name in ("salt", "nonce", "content"))
    key = PBKDF2HMAC(hashes.SHA256(), 32, salt, int(values["iterations"])).derive(passphrase.encode())
    bound = f"asfitted sealed {values['format']} {values['derivation']} {values['iterations']}".encode()
    with zipfile.ZipFile(io.BytesIO(AESGCM(key).decrypt(nonce, content, bound))) as box:
        assert box.testzip() is None
        return {name: box.read(name) for name in box.namelist()}


def texts(value: object) -> Iterator[str]:
    """Give every text and number in a value read from a record, keys too."""
    if isinstance(value, dict):
        for key, below in value.items():
            yield str(key)
            yield from texts(below)
    elif isinstance(value, list | tuple):
        for below in value:
            yield from texts(below)
    elif value is not None:
        yield str(value)
