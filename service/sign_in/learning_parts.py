"""The pieces PyLTI1p3 asks of a web framework: a request, a redirect, cookies and a store that are held in memory.

Imported only where the extra ``sign-in`` is installed.
"""

import time
from collections.abc import Mapping
from typing import Any

from pylti1p3.cookie import CookieService
from pylti1p3.launch_data_storage.base import LaunchDataStorage
from pylti1p3.message_launch import MessageLaunch
from pylti1p3.oidc_login import OIDCLogin
from pylti1p3.redirect import Redirect
from pylti1p3.request import Request
from pylti1p3.session import SessionService
from pylti1p3.tool_config.dict import ToolConfDict

__all__ = ["Asked", "Cookies", "Kept", "Keys", "Launched", "Login", "ToolConfDict", "session"]


class Asked(Request):
    """The parameters of a request."""

    def __init__(self, params: Mapping[str, str]) -> None:
        self._params = params

    @property
    def session(self) -> dict[str, Any]:
        """Nothing is kept in a session of a framework."""
        return {}

    def is_secure(self) -> bool:
        """The service is reached by https."""
        return True

    def get_param(self, key: str) -> str:
        """A parameter, or nothing."""
        return self._params.get(key, "")


class Cookies(CookieService):
    """Cookies that never leave the service: what they would hold is in its own store."""

    def __init__(self, held: dict[str, str]) -> None:
        self._held = held

    def get_cookie(self, name: str) -> str | None:
        """What is held under a name."""
        return self._held.get(name)

    def set_cookie(self, name: str, value: str | int, exp: int | None = 3600) -> None:  # noqa: ARG002
        """Hold it for the length of the request."""
        self._held[name] = str(value)


class Kept(LaunchDataStorage[Any]):
    """A store for the length of one request."""

    def __init__(self) -> None:
        super().__init__()
        self._values: dict[str, Any] = {}

    def get_session_cookie_name(self) -> str | None:
        """No cookie leads to it."""
        return None

    def can_set_keys_expiration(self) -> bool:
        """It is gone before anything could expire."""
        return False

    def get_value(self, key: str) -> Any:
        """What is held under a key."""
        return self._values.get(key)

    def set_value(self, key: str, value: Any, exp: int | None = None) -> None:  # noqa: ARG002
        """Hold it."""
        self._values[key] = value

    def check_value(self, key: str) -> bool:
        """Whether something is held under a key."""
        return key in self._values


class Keys(Kept):
    """The public keys of the platforms, held by the process until they are to be looked up again."""

    def __init__(self, held: dict[str, tuple[float, Any]]) -> None:
        super().__init__()
        self._until = held

    def get_value(self, key: str) -> Any:
        """The keys, unless it is time to look again."""
        until, value = self._until.get(key, (0.0, None))
        return value if until > time.monotonic() else None

    def set_value(self, key: str, value: Any, exp: int | None = None) -> None:
        """Hold them for ``exp`` seconds."""
        self._until[key] = (time.monotonic() + (exp or 0), value)


class _To(Redirect[str]):
    def __init__(self, url: str) -> None:
        self._url = url

    def do_redirect(self) -> str:
        return self._url

    def do_js_redirect(self) -> str:
        return self._url

    def set_redirect_url(self, location: str) -> None:
        self._url = location

    def get_redirect_url(self) -> str:
        return self._url


class Login(OIDCLogin[Any, Any, Any, Any, str]):
    """The first step of a launch."""

    def get_redirect(self, url: str) -> Redirect[str]:
        """Where the browser is sent."""
        return _To(url)


class Launched(MessageLaunch[Any, Any, Any, Any]):
    """The second step of a launch."""

    def _get_request_param(self, key: str) -> str:
        return str(self._request.get_param(key))


def session(storage: Kept) -> SessionService:
    """The library's own session over a store of one request."""
    found = SessionService(Asked({}))
    found.set_data_storage(storage)
    return found
