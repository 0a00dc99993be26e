"""A receiver on this machine: keeps what it was sent, and answers as it is told."""

import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any


class Receiver:
    """Listens on a free port; ``answers`` are given one after the other, the last for ever."""

    def __init__(self, *answers: int, location: str = "") -> None:
        self.answers = list(answers) or [204]
        self.got: list[tuple[dict[str, str], bytes]] = []
        kept = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = self.rfile.read(int(self.headers["content-length"]))
                kept.got.append(({name.lower(): value for name, value in self.headers.items()}, body))
                status = kept.answers.pop(0) if len(kept.answers) > 1 else kept.answers[0]
                self.send_response(status)
                if location:
                    self.send_header("Location", location)
                self.send_header("Content-Length", "0")
                self.end_headers()

            def log_message(self, *_: Any) -> None:
                return

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.url = f"http://127.0.0.1:{self._server.server_address[1]}/events"
        threading.Thread(target=self._server.serve_forever, daemon=True).start()

    def close(self) -> None:
        self._server.shutdown()
        self._server.server_close()
