"""Whatever stands in a file: a home, or at least one trouble with its place in the file; never a traceback."""

from pathlib import Path

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from asfitted.dwelling.survey import survey
from asfitted.record.reader import read_text
from tests.conftest import THOROUGH

HERE = Path(__file__).parent
GOOD = [file.read_bytes() for file in sorted((HERE / "good").glob("*.yml"))]
BAD = [file.read_bytes() for file in sorted((HERE / "bad").glob("*.yml"))]
FILE = Path("homes/x/record.yml")
PIECES = [
    *(
        b"\n",
        b" ",
        b"  - ",
        b": ",
        b", ",
        b"{",
        b"}",
        b"[",
        b"]",
        b"#",
        b"&a ",
        b"*a",
        b"!",
        b"'",
        b'"',
        b"|",
        b">",
        b"%",
    ),
    *(
        b"\t",
        b"\0",
        b"\xff",
        b"\xc3",
        b"-",
        b"0",
        b"1e400",
        b".nan",
        b"~",
        b"null",
        b"no",
        b"99999",
        b"kg",
        b"?",
        b"---",
    ),
    *("ß€😀\u2028\u202e".encode(), b"north", b"hall", b"SA1", b"2026-02-30", b"PIN 4321", b"a@example.org"),
]


def home_or_troubles(raw: bytes) -> None:
    reading = read_text(raw, FILE)
    marks = [trouble.mark for trouble in reading.troubles]
    told = [trouble.sentence for trouble in reading.troubles]
    if reading.home is not None:
        assert marks == []
        dwelling, problems = survey(reading.home)
        assert (dwelling is None) == bool(problems)
        marks = [reading.locate(problem).mark for problem in problems]
        told = [reading.locate(problem).sentence for problem in problems]
    else:
        assert marks
    lines = raw.decode("utf-8", "replace").removeprefix("\ufeff").splitlines() or [""]
    for line, column in marks:
        assert 1 <= line <= len(lines)
        assert 1 <= column <= len(lines[line - 1]) + 1
    assert all(sentence.isprintable() for sentence in told), told


@given(st.binary(max_size=300))
@example(b"\xef\xbb\xbf\xff")
@example(b"a: 'b\r\r")
def test_any_bytes(raw: bytes) -> None:
    home_or_troubles(raw)


@given(st.text(max_size=300))
@example("? ")
@example("a:\n  - b\n c")
@example("“: {")
def test_any_text(text: str) -> None:
    home_or_troubles(text.encode("utf-8", "surrogatepass"))


@st.composite
def changed_records(draw: st.DrawFn) -> bytes:
    raw = draw(st.sampled_from(GOOD))
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(raw)))
        removed = draw(st.integers(0, 12))
        raw = raw[:at] + draw(st.sampled_from([b"", *PIECES])) + raw[at + removed :]
    return raw


@given(changed_records())
@settings(max_examples=1000 if THOROUGH else 120, suppress_health_check=[HealthCheck.too_slow])
def test_any_slip_of_the_finger(raw: bytes) -> None:
    home_or_troubles(raw)


@st.composite
def swapped_lines(draw: st.DrawFn) -> bytes:
    lines = draw(st.sampled_from(GOOD + BAD)).splitlines(keepends=True)
    for _ in range(draw(st.integers(1, 4))):
        one, other = draw(st.integers(0, len(lines) - 1)), draw(st.integers(0, len(lines) - 1))
        lines[one], lines[other] = draw(st.sampled_from([(lines[other], lines[one]), (lines[other], lines[other])]))
    return b"".join(lines)


@given(swapped_lines())
@settings(max_examples=500 if THOROUGH else 60, suppress_health_check=[HealthCheck.too_slow])
def test_any_lines_in_the_wrong_place(raw: bytes) -> None:
    home_or_troubles(raw)


_TREES = st.recursive(
    st.sampled_from(["1", "2.4", "hall", "yes", "SA1", "north", "2026-03-04", "-3 kg", "", "~", "x" * 3000]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["id", "kind", "in", "light"]), inner),
    max_leaves=8,
)


@given(
    st.dictionaries(
        st.sampled_from(["record", "home", "household", "storeys", "devices", "visits", "variations"]), _TREES
    )
)
@settings(suppress_health_check=[HealthCheck.too_slow])
def test_any_tree_below_the_known_keys(tree: dict[str, object]) -> None:
    import yaml

    home_or_troubles(yaml.safe_dump(tree).encode())
