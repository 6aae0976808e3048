"""Answers kept on disk, so that a service is asked only for what is new.

One file holds one answer: a line of JSON about it, then the body as gzip. It is written beside its
place and renamed, so that other processes see the old answer or the new one, never half of one. A
file that is damaged, for instance because the power went before it reached the disk, does not
match its own checksum and counts as absent. A folder that cannot be written costs the cache, never
the morning.
"""

from __future__ import annotations

import logging
import os
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from windowcast.sources.kept import LARGEST_BYTES, Kept, packed, unpacked

log = logging.getLogger(__name__)

_KEEP_S = 30 * 86_400.0
_TORN_AFTER_S = 3_600.0
_FOLDER_BYTES = 256 * 2**20


class AnswerCache:
    """A folder of kept answers; processes may share it.

    Entries that nothing has touched for 30 days, and the oldest beyond ``folder_bytes``, are
    removed when the first new one is written.
    """

    def __init__(self, folder: Path, *, folder_bytes: int = _FOLDER_BYTES) -> None:
        self.folder = folder
        self._folder_bytes = folder_bytes
        self._has_complained = False
        self._has_pruned = False

    def load(self, key: str) -> Kept | None:
        """The answer kept under a key, None if there is none or it is damaged."""
        try:
            with self._place(key).open("rb") as file:
                return unpacked(file.read(LARGEST_BYTES))
        except FileNotFoundError:
            return None
        except OSError as problem:
            self._complain(problem)
            return None

    def store(self, key: str, kept: Kept) -> None:
        """Keep an answer under a key in place of the one before."""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            self._write(key, packed(kept))
            if not self._has_pruned:
                self._has_pruned = True
                self._prune(self._place(key).stat().st_mtime)
        except OSError as problem:
            self._complain(problem)

    def drop(self, key: str) -> None:
        """Forget the answer under a key."""
        try:
            self._place(key).unlink(missing_ok=True)
        except OSError as problem:
            self._complain(problem)

    def _place(self, key: str) -> Path:
        return self.folder / f"{key}.answer"

    def _write(self, key: str, packed: bytes) -> None:
        handle, name = tempfile.mkstemp(prefix=f"{key[:16]}.", suffix=".part", dir=self.folder)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(packed)
            os.replace(name, self._place(key))
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise

    def _prune(self, now_s: float) -> None:
        """``now_s`` is the time of a file just written: the folder's own clock."""
        room = self._folder_bytes
        for touched_s, size, path in _newest_first(self.folder.glob("*.answer")):
            room -= size
            if room < 0 or now_s - touched_s > _KEEP_S:
                path.unlink(missing_ok=True)
        for touched_s, _, path in _newest_first(self.folder.glob("*.part")):
            if now_s - touched_s > _TORN_AFTER_S:
                path.unlink(missing_ok=True)

    def _complain(self, problem: OSError) -> None:
        if not self._has_complained:
            self._has_complained = True
            log.warning(
                "the weather cache in %s cannot be used (%s); every answer is asked for anew",
                self.folder,
                problem.strerror or type(problem).__name__,
            )


def _newest_first(paths: Iterable[Path]) -> list[tuple[float, int, Path]]:
    """When each file was last written, its size, and the file."""
    entries = []
    for path in paths:
        with suppress(FileNotFoundError):  # another process pruned it
            found = path.stat()
            entries.append((found.st_mtime, found.st_size, path))
    return sorted(entries, reverse=True)
