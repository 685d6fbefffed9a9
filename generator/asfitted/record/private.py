"""What must never stand in a record: codes, passwords, card and account numbers, telephone numbers, e-mail addresses.

Git history cannot forget, so the reader refuses such text anywhere in the file, comments included. What was found
is not repeated in the message.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from asfitted.model.base import Problem
from asfitted.record.located import Mark

_UNITS = r"(?!\s*(?:mm|cm|m|ft|in|kg|g|mAh|Ah|mA|A|mV|V|W|Hz|MHz|dBm?|s|min|h|days?|weeks?|months?|years?|deg|°|%)\b)"
_LINK = (
    r"(?:[\s:=–—'\"“‘(-]|\b(?:is|was|are|now|set|changed|to|new|the|of|for|at|on|in|by|our|her|his|their|no|number|"
    r"panel|keypad|alarm|door|gate|hall|front|back|garage|house)\b){0,14}"
)
_DIGITS = r"\d(?:[ -]?\d){2,7}\b"
_CODE = (
    r"(?:pin(?:[ -]?(?:code|number))?|(?:entry|alarm|user|engineer|installer|master|door|gate|keypad|access|disarm|"
    r"unset|panel|duress|wi-?fi|security)[ -]?code|key[ -]?safe(?:[ -]?code)?|lock[ -]?box(?:[ -]?code)?)"
)
_PHRASE = (
    r"(?:pass[ -]?(?:word|code|phrase)|code[ -]?word|safe[ -]?word|duress[ -]?word|pass[ -]?key|"
    r"(?:wi-?fi|network|wpa[23]?|wlan)[ -]?key|"
    r"passord|kodeord|passwort|kennwort|contraseña|mot de passe|wachtwoord)"
)
_HARMLESS = (
    r"(?!(?:not|never|no|none|yes|known|unknown|kept|held|stored|written|set|changed|agreed|with|in|at|by|to|only|"
    r"required|needed|confirmed|given|chosen|tested|the householder|householder|theirs|secret)\b)"
)

_MAIL = re.compile(r"(?<![\w.+-])(?P<secret>[\w.+-]{1,64}@[\w-]{1,63}(?:\.[\w-]{1,63}){0,5}\.[^\W\d_]{2,20})")
_SECRET_WORD = re.compile(
    rf"\b{_PHRASE}\b[\"']?(?:"
    rf"\s*(?:\bis\b|\bwas\b|\bare\b|[:=–—-])\s*{_HARMLESS}[\"'“‘]?(?P<secret>[^\s,}}\]#\"'”’][^,}}\]#\n\"'”’]*)"
    r"|\s+(?P<quoted>[\"“‘][^\"”’\n]+)"
    r"|\s+(?P<mixed>(?=[^\s,]{0,40}\d)(?!\d{4}-)[^\s,]{4,40}))",
    re.IGNORECASE,
)
_PIN = re.compile(rf"\b{_CODE}\b{_LINK}(?<![\d.])(?P<secret>{_DIGITS}){_UNITS}(?!\.\d)", re.IGNORECASE)
_CODE_IS = re.compile(
    r"(?<!error )(?<!fault )(?<!event )(?<!date )(?<!product )(?<!bar)(?<!post)(?<!post )"
    rf"\bcode\b\s*(?:\bis\b|[:=])\s*[\"'“‘]?(?P<secret>{_DIGITS})",
    re.IGNORECASE,
)
_IS_PIN = re.compile(
    rf"(?<![\d.])(?P<secret>\d{{3,8}}) (?:is|was) (?:the|our|her|his|their|a) (?:\w+ ){{0,2}}(?:{_CODE}|code)\b",
    re.IGNORECASE,
)
_CARD = re.compile(r"(?<![\d.-])(?P<secret>\d(?:[ -]?\d){12,18})(?![\d.])")
_ACCOUNT = re.compile(r"\b(?P<secret>[A-Z]{2}\d{2}(?: ?[A-Z0-9]{4}){2,7}(?: ?[A-Z0-9]{1,3})?)\b")
_PHONE = re.compile(
    r"(?<![\w.+/-])(?P<secret>(?:\+\d|\(\+?\d|00[1-9]|0[1-9])(?:[ ()/.-]{0,2}\d){6,14}|"
    r"(?:1[-. ])?(?:\(\d{3}\) ?|\d{3}[-. ])\d{3}[-. ]\d{4})(?![\w-]|\.\d)"
)
_PHONE_WORD = re.compile(
    r"\b(?:phone|tel|telephone|telefon|mobile|mobil|handy|cell|call|ring|text|sms|fax)\b[^\d\n,;{}]{0,12}"
    r"(?P<secret>\d(?:[ ()/.-]{0,2}\d){5,14})(?!\.\d)",
    re.IGNORECASE,
)
_NUMBER_KEYS = re.compile(
    r"\b(?:serial|batch|model|firmware|reference|article)\b(?:\s+(?:number|no\.?))?\s*:?\s*[^,}\n+]*", re.IGNORECASE
)
_DATE = re.compile(r"\b(?:19|20)\d\d-\d\d(?:-\d\d)?\b|\b\d\d?([./])\d\d?\1(?:19|20)\d\d\b")


@dataclass(frozen=True, slots=True)
class Private:
    """Something private in a text: where, what kind of thing, and the secret itself, never to be shown."""

    mark: Mark
    what: str
    secret: str

    @property
    def problem(self) -> Problem:
        """What to say about it, without the secret."""
        return Problem(
            (),
            self.what,
            "nothing private in a record, because its history cannot forget",
            "Take it out before you commit; keep it in the firm's own system. If it was ever committed, change it.",
        )


def is_card_number(text: str) -> bool:
    """Check digits with the formula of ISO/IEC 7812-1 annex B (Luhn)."""
    digits = [int(c) for c in text if c.isdigit()][::-1]
    doubled = (d if i % 2 == 0 else sum(divmod(2 * d, 10)) for i, d in enumerate(digits))
    return any(digits) and sum(doubled) % 10 == 0


def is_account_number(text: str) -> bool:
    """Check an international bank account number by ISO 13616 (ISO/IEC 7064, MOD 97-10)."""
    plain = text.replace(" ", "")
    moved = plain[4:] + plain[:4]
    return len(plain) >= 15 and int("".join(str(int(c, 36)) for c in moved)) % 97 == 1


_KINDS = (
    (_MAIL, "an e-mail address", False),
    (_SECRET_WORD, "a code word or password", False),
    (_PIN, "a PIN or code", False),
    (_CODE_IS, "a PIN or code", False),
    (_IS_PIN, "a PIN or code", False),
    (_CARD, "a payment card number", True),
    (_ACCOUNT, "a bank account number", False),
    (_PHONE, "a telephone number", True),
    (_PHONE_WORD, "a telephone number", True),
)
"""Pattern, name, and whether a serial or batch number may look like it."""

_CHECKS = {_CARD: is_card_number, _ACCOUNT: is_account_number}


_STEMS = (
    *("@", "pass", "word", "kodeord", "kennwort", "mot de", "contrase", "wacht", "code", "key", "pin", "lock"),
    *("phone", "tel", "mobil", "handy", "cell", "call", "ring", "text", "sms", "fax"),
)
_NUMBER = re.compile(r"\d(?:[ ()/.-]{0,2}\d){5}|[A-Z]{2}\d{2} ?[A-Z0-9]{4}")
"""What a line must hold to be looked at closely: nearly every line of a record is passed over."""


def private_text(text: str) -> Iterator[Private]:
    """Find what must not stand in a record, line by line."""
    for number, line in enumerate(text.splitlines(), start=1):
        plain = _DATE.sub(_blank, line)
        lower = plain.lower()
        if not any(stem in lower for stem in _STEMS) and not _NUMBER.search(plain):
            continue
        without_numbers = _NUMBER_KEYS.sub(_blank, plain)
        for pattern, what, like_a_serial in _KINDS:
            match = pattern.search(without_numbers if like_a_serial else plain)
            secret = next(filter(None, match.groups())) if match else None
            if match and secret and _CHECKS.get(pattern, bool)(secret):
                yield Private((number, match.start() + 1), what, secret.strip(" \"'“”‘’"))


def _blank(match: re.Match[str]) -> str:
    return "x" * len(match[0])
