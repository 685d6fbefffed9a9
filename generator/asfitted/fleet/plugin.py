"""The MkDocs plugin for the root of a repository of homes: a thin adapter over what builds the office edition."""

from datetime import date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import Any, Literal

from mkdocs.config import config_options
from mkdocs.config.base import BaseConfigOption, Config, ConfigErrors, ConfigWarnings, ValidationError
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import ConfigurationError, PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, get_plugin_logger
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page

from asfitted.fleet.kept_pages import KeptPages
from asfitted.history.story import Chapter, Key, Stories
from asfitted.pages.engine import EngineFailed, site_config
from asfitted.rules.catalogue import Catalogue

log = get_plugin_logger(__name__)


class Folder(config_options.OptionallyRequired[str]):
    """The name of a folder; whether it is there is asked when pages are made from it."""

    def run_validation(self, value: object) -> str:
        """Take text."""
        if not isinstance(value, str) or not value.strip():
            raise ValidationError(f"found {value!r}; expected the name of a folder, from the folder of mkdocs.yml")
        return value


class Day(BaseConfigOption[date]):
    """A day, as YAML reads it or as text."""

    def run_validation(self, value: object) -> date:
        """Take a day."""
        if isinstance(value, date) and not isinstance(value, datetime):
            return value
        try:
            return date.fromisoformat(str(value))
        except ValueError:
            raise ValidationError(f"found {value!r}; expected a day such as 2026-11-25, or no option at all") from None


class Options(Config):
    """The options in ``mkdocs.yml``: the folder of homes, and a day to stand for today.

    The day cannot be called ``on``, as commands call it: YAML takes that for true.
    """

    homes = Folder(default="homes")
    day = config_options.Optional(Day())

    def validate(self) -> tuple[ConfigErrors, ConfigWarnings]:
        """Refuse an option that is not there: one with a slip of the finger would be left out in silence."""
        known = [name for name, _ in self._schema]
        unknown: ConfigErrors = [(name, ValidationError(_no_such(name, known))) for name in self if name not in known]
        errors, warnings = super().validate()
        return [*errors, *unknown], [warning for warning in warnings if warning[0] in known]


def _no_such(name: str, known: list[str]) -> str:
    near = get_close_matches(str(name), known, 1)
    meant = f" Did you mean {near[0]}?" if near else ""
    return f"there is no such option; expected one of {', '.join(known)}.{meant}"


class AsfittedPlugin(BasePlugin[Options]):
    """Adds the office pages of every home to the handbook, and watches the records while serving."""

    def __init__(self) -> None:
        self._kept: KeptPages | None = None
        self._ours: frozenset[str] = frozenset()
        self._rules: Catalogue | None = None
        self._chapters: dict[Key, Chapter] = {}

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Keep pages from build to build while serving."""
        self._kept = KeptPages() if command == "serve" and not dirty else None

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Give the pages our stylesheets and scripts.

        Raises:
            ConfigurationError: when there is no folder of homes.
        """
        from asfitted.pages.office import SCRIPTS, STYLES

        if not self._homes(config).is_dir():
            raise ConfigurationError(
                f"plugin asfitted, option homes: found {self.config.homes}, which is no folder; make it, or name the "
                "folder of your records, from the folder of mkdocs.yml"
            )
        config.extra_css = [*config.extra_css, *(s for s in STYLES if s not in config.extra_css)]
        config.extra_javascript = [
            *config.extra_javascript,
            *(s for s in SCRIPTS if s not in config.extra_javascript),
        ]
        return config

    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        """Add every office page, drawing and asset as a generated file; a file of the handbook comes first."""
        added = [
            File.generated(config, path, content=content)
            for path, content in self._tree(config).items()
            if path not in files.src_uris
        ]
        self._ours = frozenset(file.src_uri for file in added)
        for file in added:
            files.append(file)
        if self._kept:
            self._kept.begin(files, config)
        return files

    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:  # noqa: ARG002
        """Spare the engine a page of ours that has not changed since the build before."""
        return self._kept.markdown(markdown, page) if self._kept and page.file.src_uri in self._ours else markdown

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:  # noqa: ARG002
        """Keep what became of a page of ours, or give it again."""
        return self._kept.content(html, page, files) if self._kept and page.file.src_uri in self._ours else html

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:  # noqa: ARG002
        """Keep a finished page of ours, or give it again."""
        return self._kept.output(output, page) if self._kept and page.file.src_uri in self._ours else output

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Any) -> LiveReloadServer:  # noqa: ARG002 - MkDocs passes it by name
        """Build again when a record or a rule set of the firm's own is saved."""
        server.watch(str(self._homes(config)))
        return server

    def _homes(self, config: MkDocsConfig) -> Path:
        return Path(config.config_file_path).parent / self.config.homes

    def _tree(self, config: MkDocsConfig) -> dict[str, str | bytes]:
        from asfitted.fleet.build import unreadable, unusable_sets
        from asfitted.fleet.load import load_catalogue, load_homes
        from asfitted.pages.office import office_tree

        on = self.config.day or date.today()  # noqa: DTZ011 - the day where the technician is
        homes = self._homes(config)
        own = load_catalogue(homes)
        loaded = load_homes(homes, on, own=own)
        for trouble in (*own[1], *(trouble for home in loaded for trouble in home.troubles)):
            log.warning("%s: %s", trouble.place, trouble.sentence)
        dossiers = [home.dossier for home in loaded if home.dossier]
        unread = [unreadable(home) for home in loaded if not home.dossier]
        try:
            firm = site_config(config)
        except EngineFailed as error:
            raise PluginError(str(error)) from None
        told = self._stories(homes, on, [home.id for home in loaded], own[0])
        return office_tree(dossiers, unread, firm, on, own[0], unusable_sets(own[1]), told)

    def _stories(self, homes: Path, on: date, names: list[str], rules: Catalogue) -> Stories | None:
        """Tell the stories of the homes; what a commit changed is told once, while the rules stay as they are."""
        from asfitted.fleet.stories import load_stories

        if rules != self._rules:
            self._rules, self._chapters = rules, {}
        stories = load_stories(homes, on, names, rules, self._chapters)
        chapters = [chapter for story in stories.told.values() for chapter in story.chapters] if stories else []
        self._chapters = {chapter.key: chapter for chapter in chapters if chapter.key}
        return stories
