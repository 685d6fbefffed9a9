"""YAML text to plain text values, with the place of each.

Every scalar stays the text that was typed, so that ``no`` is not False, ``012`` is not 10 and ``12:30`` is
not 750: the type of a value is the model's to say. Repeated keys, aliases, tags and several documents are
refused.
"""

from dataclasses import dataclass, field
from typing import Any

import yaml

from asfitted.model.base import Path, Problem, shown
from asfitted.record.broken import broken_yaml, unreadable_character
from asfitted.record.located import Mark, Marks

DEEPEST = 20
"""Levels of nesting; the format itself needs nine."""
LARGEST = 1_000_000
"""Characters; the largest dwelling imagined needs a tenth."""


class Unreadable(ValueError):  # noqa: N818 - says what the text is
    """Text that is not one plain YAML document."""

    def __init__(self, mark: Mark, problem: Problem) -> None:
        super().__init__(problem.found)
        self.mark, self.problem = mark, problem


@dataclass
class _Open:
    """A mapping or list that is being read."""

    value: Any
    path: Path
    key: str | None = None
    count: int = 0

    @property
    def wants_key(self) -> bool:
        return isinstance(self.value, dict) and self.key is None


@dataclass
class _Builder:
    keys: dict[Path, Mark] = field(default_factory=dict)
    values: dict[Path, Mark] = field(default_factory=dict)
    stack: list[_Open] = field(default_factory=list)
    root: Any = None
    documents: int = 0

    @property
    def top(self) -> _Open | None:
        return self.stack[-1] if self.stack else None

    def next_path(self) -> Path:
        top = self.top
        if top is None or top.wants_key:
            return top.path if top else ()
        return (*top.path, top.count if top.key is None else top.key)

    def put(self, value: Any) -> None:
        top = self.top
        if top is None:
            self.root = value
        elif isinstance(top.value, dict):
            top.value[top.key] = value
            top.key = None
        else:
            top.value.append(value)
            top.count += 1


_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def read_tree(text: str) -> tuple[Any, Marks]:
    """Read one YAML document.

    Returns:
        Nested dicts and lists whose leaves are text, or None for nothing; and where each stands.

    Raises:
        Unreadable: with the line, for anything that is not plain YAML.
    """
    builder = _Builder()
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            _take(builder, event)
    except yaml.MarkedYAMLError as error:
        said = " ".join(str(part) for part in (error.context, error.problem) if part)
        at, start = error.problem_mark or error.context_mark, error.context_mark or error.problem_mark
        raise Unreadable(*broken_yaml(said, _mark(at), _mark(start), text)) from None
    except yaml.reader.ReaderError:
        match = yaml.reader.Reader.NON_PRINTABLE.search(text)
        raise Unreadable(*unreadable_character(text, match.start() if match else 0)) from None
    return builder.root, Marks(builder.keys, builder.values)


def _mark(mark: Any) -> Mark:
    return (mark.line + 1, mark.column + 1) if mark else (1, 1)


def _take(builder: _Builder, event: yaml.Event) -> None:
    if isinstance(event, yaml.DocumentStartEvent):
        builder.documents += 1
        if builder.documents > 1:
            raise Unreadable(_mark(event.start_mark), Problem((), "a second document (---)", "one record a file"))
    elif isinstance(event, yaml.NodeEvent):
        _refuse_extras(builder, event)
    if isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
        _open(builder, event)
    elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
        builder.stack.pop()
    elif isinstance(event, yaml.ScalarEvent):
        _scalar(builder, event)


def _refuse_extras(builder: _Builder, event: yaml.NodeEvent) -> None:
    if isinstance(event, yaml.AliasEvent) or event.anchor:
        problem = Problem(builder.next_path(), "an anchor or alias (& or *)", "the value written out")
        raise Unreadable(_mark(event.start_mark), problem)
    tag = getattr(event, "tag", None)
    if tag not in (None, "!"):
        written = shown(str(tag).replace("tag:yaml.org,2002:", "!!"))
        problem = Problem(builder.next_path(), f"the tag {written}", "the plain value")
        raise Unreadable(_mark(event.start_mark), problem)


def _open(builder: _Builder, event: yaml.CollectionStartEvent) -> None:
    path = builder.next_path()
    if builder.top and builder.top.wants_key:
        remedy = "Quote text that starts with [ or {."
        raise Unreadable(
            _mark(event.start_mark), Problem(path, "a list or mapping as a key", "a word as a key", remedy)
        )
    if len(builder.stack) >= DEEPEST:
        problem = Problem((), f"more than {DEEPEST} levels of nesting", "the levels of the record format")
        raise Unreadable(_mark(event.start_mark), problem)
    value: Any = {} if isinstance(event, yaml.MappingStartEvent) else []
    builder.values[path] = _mark(event.start_mark)
    builder.put(value)
    builder.stack.append(_Open(value, path))


def _scalar(builder: _Builder, event: yaml.ScalarEvent) -> None:
    top = builder.top
    if top and top.wants_key:
        path = (*top.path, event.value)
        if event.value in top.value:
            line = builder.keys[path][0]
            problem = Problem(
                path, f"{shown(event.value)} a second time", "every key once", f"The first is in line {line}."
            )
            raise Unreadable(_mark(event.start_mark), problem)
        top.key = event.value
        builder.keys[path] = _mark(event.start_mark)
        return
    builder.values[builder.next_path()] = _mark(event.start_mark)
    nothing = event.implicit[0] and event.style in (None, "") and event.value in ("", "~", "null")
    builder.put(None if nothing else event.value)
