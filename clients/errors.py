"""What can go wrong between a client and the service."""


class AskError(Exception):
    """The service gave no reply: it cannot be reached, or it could not take the request.

    ``lines`` say more, one fault a line.
    """

    def __init__(self, message: str, lines: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.lines = lines
