"""The newest audit entry, kept in a small file outside the database.

The file may lag behind the log (it is written after the commit and not flushed), never be ahead of it: when
it is, or when it names another hash, entries are missing from the database.
"""

import fcntl
import os
from pathlib import Path
from types import TracebackType
from typing import Self

from service.audit.chain import EMPTY, Head

_LENGTH = 86  # 20 digits, a space, 64 hex digits, a line end: overwritten in place


class HeadFile:
    """The file, held open; several workers on one machine may share it."""

    def __init__(self, path: Path) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        self.path = path
        self._descriptor = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o644)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        os.close(self._descriptor)

    def read(self) -> Head:
        """What the file says; the empty head when the file is new.

        Raises ValueError when the file holds something else.
        """
        return parse(os.pread(self._descriptor, 200, 0))

    def advance(self, head: Head) -> None:
        """Write ``head`` unless the file already knows a later entry (another worker's)."""
        fcntl.flock(self._descriptor, fcntl.LOCK_EX)
        try:
            if head.seq > self.read().seq:
                os.pwrite(self._descriptor, b"%020d %b\n" % (head.seq, head.hash.encode()), 0)
        finally:
            fcntl.flock(self._descriptor, fcntl.LOCK_UN)

    def set_aside(self, name: str) -> Path:
        """Keep what the file says as evidence under another name, and start it again as empty."""
        kept = self.path.with_name(f"{self.path.name}.{name}")
        kept.write_bytes(os.pread(self._descriptor, 200, 0))
        os.ftruncate(self._descriptor, 0)
        return kept


def parse(content: bytes) -> Head:
    """The head a head file's content names. Raises ValueError when it is not one."""
    if not content:
        return EMPTY
    seq, _, digest = content.decode("ascii").rstrip("\n").partition(" ")
    if len(content) != _LENGTH or len(digest) != 64:
        raise ValueError("not an audit head")
    return Head(int(seq), digest)
