"""Files that many sites share, stored once and linked into each folder, so that each still opens and copies alone."""

import os
import shutil
import tempfile
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path


@dataclass
class Store:
    """A folder of files by the digest of their content; safe to delete, as every link stands by itself.

    What is stored is looked at once a process: a file that was altered, in the folder or through one of its links, is
    not passed on.
    """

    folder: Path
    _held: dict[str, Path] = field(default_factory=dict)
    _digests: dict[tuple[Path, int, int], str] = field(default_factory=dict)

    def link(self, file: Path, target: Path) -> None:
        """Put the content of a file at a place: a link into the store, or a copy where there can be none.

        Raises:
            OSError: when neither can be made.
        """
        target.parent.mkdir(parents=True, exist_ok=True)
        try:
            os.link(self._stored(file), target)
        except OSError:  # another disk, a disk without links, or as many links as a file may have
            target.unlink(missing_ok=True)
            shutil.copyfile(file, target)

    def _stored(self, file: Path) -> Path:
        digest = self._digest(file)
        if digest not in self._held:
            stored = self.folder / f"{digest}{file.suffix}"
            if not stored.is_file() or sha256(stored.read_bytes()).hexdigest() != digest:
                self._store(file, stored)
            self._held[digest] = stored
        return self._held[digest]

    def _digest(self, file: Path) -> str:
        seen = file.stat()
        key = (file, seen.st_mtime_ns, seen.st_size)
        if key not in self._digests:
            self._digests[key] = sha256(file.read_bytes()).hexdigest()
        return self._digests[key]

    def _store(self, file: Path, stored: Path) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        handle, aside = tempfile.mkstemp(dir=self.folder, prefix=".aside-")
        os.close(handle)
        shutil.copyfile(file, aside)
        Path(aside).chmod(0o644)
        Path(aside).replace(stored)
