"""The MkDocs plugin for the root of a repository of homes: a thin adapter over what builds the office edition."""

from datetime import date
from pathlib import Path
from typing import Any

from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, get_plugin_logger
from mkdocs.structure.files import File, Files

from asfitted.pages.engine import site_config

log = get_plugin_logger(__name__)


class Options(Config):
    """The options of the plugin in ``mkdocs.yml``: the folder of homes, and a day to stand for today."""

    homes = config_options.Type(str, default="homes")
    on = config_options.Optional(config_options.Type(date))


class AsfittedPlugin(BasePlugin[Options]):
    """Adds the office pages of every home to the handbook, and watches the records while serving."""

    def _homes(self, config: MkDocsConfig) -> Path:
        return Path(config.config_file_path).parent / self.config.homes

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Give the pages our stylesheets and scripts."""
        from asfitted.pages.office import SCRIPTS, STYLES

        config.extra_css = [*config.extra_css, *(s for s in STYLES if s not in config.extra_css)]
        config.extra_javascript = [
            *config.extra_javascript,
            *(s for s in SCRIPTS if s not in config.extra_javascript),
        ]
        return config

    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        """Add every office page, drawing and asset as a generated file."""
        from asfitted.fleet.build import unreadable, unusable_sets
        from asfitted.fleet.load import load_catalogue, load_homes
        from asfitted.pages.office import office_tree

        on = self.config.on or date.today()  # noqa: DTZ011 - the day where the technician is
        own = load_catalogue(self._homes(config))
        loaded = load_homes(self._homes(config), on, own=own)
        for trouble in (*own[1], *(trouble for home in loaded for trouble in home.troubles)):
            log.warning("%s: %s", trouble.place, trouble.sentence)
        dossiers = [home.dossier for home in loaded if home.dossier]
        unread = [unreadable(home) for home in loaded if not home.dossier]
        tree = office_tree(dossiers, unread, site_config(config), on, own[0], unusable_sets(own[1]))
        for path, content in tree.items():
            if path not in files.src_uris:
                files.append(File.generated(config, path, content=content))
        return files

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Any) -> LiveReloadServer:  # noqa: ARG002 - MkDocs passes it by name
        """Build again when a record or a rule set of the firm's own is saved."""
        server.watch(str(self._homes(config)))
        return server
