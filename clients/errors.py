"""What can go wrong between a client and the service."""


class AskError(Exception):
    """The service gave no reply: it cannot be reached, or it could not take the request.

    ``lines`` say more, one fault a line; ``outcome`` is set where there was a reply, but no plan to go on with.
    """

    def __init__(self, message: str, lines: tuple[str, ...] = (), outcome: str = "") -> None:
        super().__init__(message)
        self.lines = lines
        self.outcome = outcome
