"""One adapter an engine. Each has ``render(tree, site, day) -> pages``. ``pages/engine.py`` chooses among them."""

ENGINES = ("mkdocs", "zensical")
"""The engines that have an adapter, the usual one first."""


class EngineFailed(Exception):  # noqa: N818 - says what happened
    """The engine could not do what was asked; carries what it said."""
