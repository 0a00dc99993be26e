"""One request of a prep day, and what it gives."""

from dataclasses import dataclass

from grammar.request import Request
from service.approvals.settle import Settled, Wish


@dataclass(frozen=True, slots=True)
class Line:
    """One request as it was sent: its number, the words typed, what is asked, and whom it is for.

    ``asked`` has the class set in it where one came with it; ``words`` are then judged too, for what they name.
    ``request`` is what it was read as, once it is answered.
    """

    number: int
    words: str | None
    asked: str | Request
    wish: Wish
    to: str | None
    sum: tuple[str, ...] = ()
    request: Request | None = None


@dataclass(frozen=True, slots=True)
class Replied:
    """A line, or several that agree, with the one reply they get."""

    lines: tuple[Line, ...]
    settled: Settled

    @property
    def text(self) -> str | None:
        """The words of a line that stands alone."""
        return self.lines[0].words if len(self.lines) == 1 else None

    @property
    def needed_by(self) -> str | None:
        """The earliest day it is needed."""
        return min((line.wish.needed_by for line in self.lines if line.wish.needed_by), default=None)

    @property
    def wish(self) -> Wish:
        """The earliest day, and the room where it is the same for all."""
        rooms = {line.wish.room for line in self.lines}
        return Wish(self.needed_by, rooms.pop() if len(rooms) == 1 else None)
