"""Make the sealed household edition of one home: build its site where nobody else looks, seal it, swap it in."""

import os
import tempfile
from pathlib import Path

from asfitted.pages.dossier import Dossier
from asfitted.pages.engine import SiteConfig, render_site
from asfitted.pages.household import household_tree
from asfitted.pages.sealed import Random, sealed_page
from asfitted.pages.tree import write_tree


def sealed_household(dossier: Dossier, config: SiteConfig, passphrase: str, random: Random) -> str:
    """Build the household edition of a home and seal it.

    The plain site stands in a temporary folder that only this user can read, and is removed before this returns.

    Args:
        dossier: all that is known of the home on a day.
        config: whom the household calls, and the engine that renders its site.
        passphrase: what opens it; see :func:`asfitted.pages.sealed.passphrase_trouble`.
        random: the source of salt and nonce.

    Raises:
        EngineFailed: when the site cannot be built.
    """
    with tempfile.TemporaryDirectory(prefix="asfitted-") as folder:
        tree, site = Path(folder) / "tree", Path(folder) / "site"
        write_tree(household_tree(dossier, config.firm), tree)
        render_site(tree, site, dossier.on, config.engine)
        files = {file.relative_to(site).as_posix(): file.read_bytes() for file in site.rglob("*") if file.is_file()}
    return sealed_page(files, passphrase, random)


def put(page: str, file: Path) -> None:
    """Write a page aside, then let it take the place of an earlier one whole.

    Raises:
        OSError: when it cannot be written; an earlier one then stays.
    """
    file.parent.mkdir(parents=True, exist_ok=True)
    handle, aside = tempfile.mkstemp(prefix=f".{file.name}-", dir=file.parent)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(page.encode())
        Path(aside).chmod(0o644)
        Path(aside).replace(file)
    finally:
        Path(aside).unlink(missing_ok=True)
