"""How often one account or address may ask: counts by the minute, in this process. Several workers each count alone."""

import time
from dataclasses import dataclass, field

_WINDOW_S = 60.0


@dataclass(slots=True)
class Limit:
    """At most ``most`` calls a minute for each name; 0 is no limit."""

    most: int
    _began: float = field(default_factory=time.monotonic)
    _counts: dict[str, int] = field(default_factory=dict)

    def wait(self, name: str) -> int:
        """Count a call; the seconds to wait when it is one too many, else 0."""
        if not self.most:
            return 0
        passed = time.monotonic() - self._began
        if passed >= _WINDOW_S:
            self._began, passed = time.monotonic(), 0.0
            self._counts.clear()
        count = self._counts.get(name, 0) + 1
        self._counts[name] = count
        return 0 if count <= self.most else int(_WINDOW_S - passed) + 1
