"""The sealed household edition: the whole built site of one home, encrypted with a passphrase, in one HTML file.

The site is packed into a zip archive, the archive encrypted with AES-256-GCM (NIST SP 800-38D) under a key derived from
the passphrase by PBKDF2-HMAC-SHA256 (RFC 8018), and the ciphertext put into a page that opens it in the browser's own
cryptography. Outside the ciphertext stands nothing of the home or the firm: that part is the same for every home. The
format is written down in ``docs/sealed.md``.
"""

import base64
import hashlib
import io
import json
import re
import tomllib
import unicodedata
import zipfile
from collections.abc import Callable, Iterable, Mapping
from importlib.resources import files
from typing import Any

from markupsafe import Markup

from asfitted.pages.render import render

FORMAT = 1
DERIVATION = "PBKDF2-HMAC-SHA256"
ITERATIONS = 600_000
"""OWASP Password Storage Cheat Sheet, PBKDF2: 600,000 iterations with HMAC-SHA-256 (read). NIST SP 800-132, 5.2, asks
for as many as the user can bear (from memory)."""
SALT_BYTES = 16
"""NIST SP 800-132, 5.1: at least 128 bits, random (from memory)."""
NONCE_BYTES = 12
"""NIST SP 800-38D, 8.2: 96 bits; a fresh salt gives each file a key of its own, so none is used twice with a key."""
KEY_BYTES = 32
LEAST_CHARACTERS = 15
"""NIST SP 800-63B-4, 3.1.1.2: at least 15 characters where a password stands alone (read, as quoted by OWASP ASVS)."""
LEAST_DIFFERENT = 5
STEP = 64 * 1024
"""What the length of an archive is filled up to, in bytes, so that a file's length tells little of the home."""
LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"
"""Letters and figures that nobody takes for another."""
GROUPS, GROUP = 5, 4

Random = Callable[[int], bytes]
"""Gives so many random bytes, fit for keys."""


def made_up_passphrase(random: Random) -> str:
    """Make a passphrase up: five groups of four letters or figures, 99 bits of chance."""
    letters: list[str] = []
    while len(letters) < GROUPS * GROUP:
        # A byte beyond the last whole round of the letters would favour the first ones.
        letters += [LETTERS[byte % len(LETTERS)] for byte in random(64) if byte < 256 // len(LETTERS) * len(LETTERS)]
    return "-".join("".join(letters[at : at + GROUP]) for at in range(0, GROUPS * GROUP, GROUP))


def passphrase_trouble(passphrase: str, known: Iterable[str] = ()) -> str | None:
    """Say why a passphrase is too weak or cannot be typed, or None.

    Args:
        passphrase: as typed.
        known: names that anybody would try, such as the home's; they count for nothing.
    """
    phrase = _normal(passphrase)
    if not phrase.isprintable():
        return "The passphrase holds a character that cannot be typed, such as a tab or a line break."
    counted = phrase.casefold()
    for name in known:
        if len(name) > 3:
            counted = counted.replace(_normal(name).casefold(), "")
    if len(counted) < LEAST_CHARACTERS:
        return (
            f"The passphrase is too short: use at least {LEAST_CHARACTERS} characters, best of several words that do "
            "not belong together. The name of the home or of the firm does not count."
        )
    if len(set(counted)) < LEAST_DIFFERENT or re.fullmatch(r"(.{1,10}?)\1+.{0,9}", counted):
        return "The passphrase says the same over and over; use several words that do not belong together."
    return None


def sealed_page(site: Mapping[str, bytes], passphrase: str, random: Random) -> str:
    """Seal a built site into one HTML page.

    Sealing is the one exception to "same inputs, same bytes": every run needs a fresh salt and nonce.

    Args:
        site: the files of a built household edition by their path, with ``index.html``.
        passphrase: what opens it; see :func:`passphrase_trouble`.
        random: the source of salt and nonce.

    Returns:
        The page. No part of it but the ciphertext depends on the home.

    Raises:
        ValueError: when the site has no ``index.html``.
    """
    if "index.html" not in site:
        raise ValueError("a site without index.html cannot be opened again")
    salt, nonce = random(SALT_BYTES), random(NONCE_BYTES)
    head = {"format": FORMAT, "derivation": DERIVATION, "iterations": ITERATIONS}
    content = encrypted(key_of(passphrase, salt, ITERATIONS), nonce, archive(site), bound(head))
    carried = head | {name: _base64(data) for name, data in (("salt", salt), ("nonce", nonce), ("content", content))}
    here = files("asfitted.pages")
    script, style = (here.joinpath("assets", f"sealed.{kind}").read_text(encoding="utf-8") for kind in ("js", "css"))
    words = tomllib.loads(here.joinpath("data", "sealed.toml").read_text(encoding="utf-8"))
    # The site's own scripts run again once it is open; a script that is not on this list runs nowhere.
    scripts = [script.encode(), *(site[name] for name in sorted(site) if re.fullmatch(r"assets/[^/]+\.js", name))]
    return render(
        "sealed.html",
        allowed=Markup(" ").join(_hashed(text) for text in scripts),
        style=_as_it_stands(style),
        script=_as_it_stands(script),
        say=words["en"],
        words=_json(words),
        carried=_json(carried),
    )


def archive(site: Mapping[str, bytes]) -> bytes:
    """Pack a site into a zip archive, filled up with spaces in its comment to a whole number of :data:`STEP` bytes."""
    bare = _zip(site, 0)
    return _zip(site, -len(bare) % STEP)


def key_of(passphrase: str, salt: bytes, iterations: int) -> bytes:
    """Derive the key from a passphrase: 32 bytes by PBKDF2-HMAC-SHA256 over its UTF-8 (RFC 8018, 5.2).

    A passphrase is first brought to the Unicode form NFKC, as NIST SP 800-63B-4 asks, and freed of spaces around it, so
    that it is the same from every keyboard.
    """
    return hashlib.pbkdf2_hmac("sha256", _normal(passphrase).encode(), salt, iterations, KEY_BYTES)


def encrypted(key: bytes, nonce: bytes, content: bytes, with_it: bytes) -> bytes:
    """Encrypt with AES-256-GCM: the ciphertext with its tag of 16 bytes behind it.

    Args:
        key: 32 bytes.
        nonce: 12 bytes, never used before with this key.
        content: what is kept secret.
        with_it: what stands open and must not be changed either.
    """
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    return AESGCM(key).encrypt(nonce, content, with_it)


def bound(head: Mapping[str, Any]) -> bytes:
    """Give the line that the encryption binds to the ciphertext: format, derivation and iterations."""
    return f"asfitted sealed {head['format']} {head['derivation']} {head['iterations']}".encode()


def _normal(passphrase: str) -> str:
    return unicodedata.normalize("NFKC", passphrase).strip(" ")


def _zip(site: Mapping[str, bytes], filling: int) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as box:
        for name, content in sorted(site.items()):
            entry = zipfile.ZipInfo(name)  # dated 1980, so that the archive tells no time of its own
            entry.compress_type = zipfile.ZIP_DEFLATED
            box.writestr(entry, content)
        box.comment = b" " * filling
    return packed.getvalue()


def _base64(data: bytes) -> str:
    return base64.b64encode(data).decode()


def _hashed(script: bytes) -> Markup:
    """Name a script as a content security policy does."""
    return Markup("'sha256-{}'").format(_base64(hashlib.sha256(script).digest()))


def _json(value: object) -> Markup:
    return _as_it_stands(json.dumps(value, ensure_ascii=False, sort_keys=True).replace("<", "\\u003c"))


def _as_it_stands(ours: str) -> Markup:
    return Markup(ours)  # noqa: S704 - a file of ours, or JSON without any markup
