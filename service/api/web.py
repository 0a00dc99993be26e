"""The web page: its files, each under /web/NAME, and the page itself for a browser that opens /.

The files are read once. They may load nothing but each other and speak to nothing but this service; the policy says so.
"""

import hashlib
from functools import cache
from pathlib import Path

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from service.problems import Problem

router = APIRouter(include_in_schema=False)
FOLDER = Path(__file__).parents[2] / "clients" / "web"  # beside this package in a checkout and in a wheel
PAGE = "page.html"
_KINDS = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
}
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "connect-src 'self'",
        "form-action 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types 'none'",
    )
)


@cache
def files() -> dict[str, tuple[bytes, str, str]]:
    """Content, media type and entity tag of every file of the page, by name."""
    found = {}
    for path in sorted(FOLDER.iterdir()):
        if path.suffix in _KINDS:
            content = path.read_bytes()
            found[path.name] = (content, _KINDS[path.suffix], f'"{hashlib.sha256(content).hexdigest()[:32]}"')
    return found


@router.get("/web/{name}")
async def web_file(request: Request, name: str) -> Response:
    """One file of the page, or 404."""
    return web_response(request, name)


def wants_page(request: Request) -> bool:
    """Whether the client is a browser that opens a page: it names text/html, and not JSON before it."""
    kinds = [part.partition(";")[0].strip() for part in request.headers.get("accept", "").lower().split(",")]
    return "text/html" in kinds and "application/json" not in kinds[: kinds.index("text/html")]


def web_response(request: Request, name: str) -> Response:
    """A file with its own security policy; 304 where the browser holds it already. Raises Problem for another name."""
    held = files().get(name)
    if held is None:
        raise Problem("no-such-page", "There is nothing at this address.")
    content, kind, tag = held
    headers = {"ETag": tag, "Cache-Control": "no-cache", "Content-Security-Policy": POLICY}
    if name == PAGE:
        headers["Vary"] = "Accept"
    if tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    return Response(content, media_type=kind, headers=headers)
