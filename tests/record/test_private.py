"""What must never stand in a record, what may, and that no message repeats a secret."""

import time
from pathlib import Path

import pytest

from asfitted.record.private import is_account_number, is_card_number, private_text
from asfitted.record.reader import read_text

# Telephone numbers below stand in ranges that regulators keep free for invented stories (Ofcom 020 7946 0xxx and
# 07700 900xxx, ACMA 0491 570 006, NANPA 555-01xx, ARCEP 01 99 00 xx xx: from memory) or are invented.
SECRETS = {
    "an e-mail address": [
        ("keyholder {} after six", "ann.example@mail.example.org"),
        ("{}", "ann+home@example.co.uk"),
    ],
    "a code word or password": [
        ("code word is {}", "badger"),
        ("codeword: {}", "badger"),
        ("the code word = {}", "“green badger”"),
        ("password {}", "badger42"),
        ("Password: {}", "hunter2"),
        ("Wi-Fi password is {}", "correct horse"),
        ("wifi key: {}", "12ab34cd"),
        ("network key – {}", "9f8e7d6c"),
        ("passphrase: {}", "over the hills"),
        ("Passwort: {}", "geheim"),
        ("kodeord: {}", "hemmeligt"),
    ],
    "a PIN or code": [
        ("PIN {}", "4321"),
        ("PIN: {}", "4321"),
        ("pin is {}", "4321"),
        ("pin code {}", "4321"),
        ("the PIN for the hall keypad is {}", "4321"),
        ("PIN changed to {}", "4321"),
        ("PIN {}", "4 3 2 1"),
        ("entry code {}", "2468"),
        ("Alarm code: {}", "1234"),
        ("engineer code = {}", "123456"),
        ("key safe {}", "2468"),
        ("key safe code: {}", "2468"),
        ("the code is {}", "4321"),
        ("{} is the alarm code", "4321"),
        ("{} is her PIN", "4321"),
    ],
    "a payment card number": [
        ("paid with {}", "4111 1111 1111 1111"),  # the test number that every card scheme's handbook prints
        ("{}", "4111111111111111"),
        ("{}", "4111-1111-1111-1111"),
    ],
    "a bank account number": [
        ("refund to {}", "GB82 WEST 1234 5698 7654 32"),  # the example of ISO 13616
        ("{}", "GB82WEST12345698765432"),
    ],
    "a telephone number": [
        ("{}", "07700 900123"),
        ("call {}", "07700 900123"),
        ("{}", "+44 7700 900123"),
        ("{}", "+44 (0)20 7946 0123"),
        ("{}", "020 7946 0958"),
        ("{}", "(020) 7946 0958"),
        ("{}", "(202) 555-0123"),
        ("{}", "202-555-0123"),
        ("{}", "202.555.0123"),
        ("{}", "1-800-555-0123"),
        ("{}", "01 99 00 12 34"),
        ("{}", "01.99.00.12.34"),
        ("{}", "030 23125 000"),
        ("{}", "030/23125000"),
        ("{}", "+34 900 123 456"),
        ("{}", "+47 22 33 44 55"),
        ("{}", "0047 22 33 44 55"),
        ("{}", "0491 570 006"),
        ("{}", "+91 98765 43210"),
        ("tel {}", "22334455"),
        ("ring her on {}", "22 33 44 55"),
        ("mobile {}", "600123456"),
    ],
}
CASES = [(what, text, secret) for what, cases in SECRETS.items() for text, secret in cases]

HARMLESS = [
    "serial: 7731-0042",
    "serial: 0123456789012",
    'serial: "0123456789012", made: 2026-01',
    "serial: 4111111111111111",
    "the serial number 0123456789012 was worn off",
    "batch: 20260114",
    "batch 20260114",
    "model: 202-555-0123",
    "reference: MR-0170001234",
    "date: 2026-03-04",
    "visits on 2026-03-04 and 2027-03-04",
    "visits on 04.03.2026 and 04/03/2027",
    "place: [54.0, -2.8]",
    "corner: [0, 0], size: [1.80, 4.20]",
    "from-west: 1.105, from-south: 1.955",
    "0.62 1.10 2.30 4.40 1.20 3.33",
    "walk: {from: [1.90, 0], legs: [E 4.62, N 3.88, W 4.60, S 3.90], by: laser}",
    "asked the householder to change the PIN",
    "asked the householder to change the PIN, replaced the 500 mA fuse",
    "asked the householder to change the PIN, replaced the 2600 mAh battery",
    "changed the PIN on 2026-03-04",
    "the PIN is kept by the householder",
    "PIN pad in the hall, 1400 mm above floor",
    "code of practice",
    "alarm code of practice, part 6",
    "code of practice 5839",
    "the code word was confirmed with the householder",
    "code word is known to the householder",
    "the householder set a new code word",
    "password: changed",
    "key safe 1200 mm from the door",
    "fault code is 1203",
    "second-path: mobile, serial: 77310042",
    "path-mobile: received, signal: 12 dB, battery: 12.65",
    "kind: call-out, date: 2026-03-04, note: three alarms at 12:30 and 14:45",
    "two alarms at 868.3 MHz, 12 V 7 Ah battery, 2.1 kg",
    "BS 5839-6 and EN 14604, 2005",
    "gap 9 mm @ 22 mm open",
    "light fitting with 3 of 4 pins",
]


@pytest.mark.parametrize(("what", "text", "secret"), CASES, ids=[f"{text} {secret}" for _, text, secret in CASES])
@pytest.mark.parametrize("place", ["value", "comment", "key", "quoted value"])
def test_secret_is_refused_wherever_it_stands_and_never_repeated(what: str, text: str, secret: str, place: str) -> None:
    said = text.format(secret)
    line = {
        "value": f"  note: {said}" if ": " not in said else f"  note: >-\n   {said}",
        "comment": f"  # {said}",
        "key": f"  ? {said!r}\n  : 1" if "“" not in said else f"  '{said}': 1",
        "quoted value": f"  note: '{said}'",
    }[place]
    reading = read_text(f"record: 1\nhome:\n  label: Flat\n{line}\n".encode(), Path("record.yml"))
    assert reading.home is None
    named = [trouble for trouble in reading.troubles if trouble.problem.found == what]
    assert [trouble.mark[0] for trouble in named] in ([4], [5])
    assert not any(secret in f"{trouble.place} {trouble.sentence}" for trouble in reading.troubles)


@pytest.mark.parametrize("line", HARMLESS)
def test_plain_matter_of_a_record_is_not_refused(line: str) -> None:
    assert list(private_text(line)) == []


def test_every_line_is_named_once() -> None:
    text = b"record: 1\nhome: {label: Flat}\n# ann@example.org, PIN 4321, +44 7700 900123\n# bob@example.org\n"
    reading = read_text(text, Path("record.yml"))
    private = [trouble.mark[0] for trouble in reading.troubles if "private" in trouble.problem.expected]
    assert private == [3, 4]


def test_secret_in_a_value_that_is_also_wrong_is_not_shown_in_part() -> None:
    phrase = "correct horse battery staple and then some more words to be cut off"
    record = f"record: 1\nhome: {{label: Flat, place: 'the Wi-Fi password is {phrase}'}}\n"
    reading = read_text(record.encode(), Path("record.yml"))
    told = " ".join(trouble.sentence for trouble in reading.troubles)
    assert "a code word or password" in told
    assert "correct" not in told


def test_card_numbers_follow_the_published_check_digit() -> None:
    # ISO/IEC 7812-1 annex B; 4111 1111 1111 1111 is the schemes' published test number, and the worked example
    # 7992739871 with check digit 3 stands in most descriptions of the formula (from memory).
    assert is_card_number("4111 1111 1111 1111")
    assert [digit for digit in range(10) if is_card_number(f"7992739871{digit}")] == [3]
    assert not is_card_number("4111 1111 1111 1112")
    assert not is_card_number("0000 0000 0000 0000")


def test_account_numbers_follow_the_published_check_digits() -> None:
    # The examples of ISO 13616 (the registry's own for the United Kingdom, Germany and Norway; from memory).
    assert is_account_number("GB82 WEST 1234 5698 7654 32")
    assert is_account_number("DE89 3704 0044 0532 0130 00")
    assert is_account_number("NO93 8601 1117 947")
    assert not is_account_number("GB82 WEST 1234 5698 7654 33")


@pytest.mark.parametrize(
    "piece",
    ["a", "1 ", "+", "password ", "PIN ", "PIN :", "(0", "0", "a@", "a@a.", "A1", "GB82 WEST ", "serial ", "pin the "],
)
def test_long_line_is_searched_without_going_over_it_again_and_again(piece: str) -> None:
    # a pattern that starts anew at every letter would need minutes
    begun = time.perf_counter()
    list(private_text(piece * (200_000 // len(piece))))
    assert time.perf_counter() - begun < 5.0
