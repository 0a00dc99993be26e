"""Launches from a learning system (LTI 1.3). A thin layer over PyLTI1p3: what it asks of a web framework is given here.

What must be remembered between the two steps is kept by the service, not in cookies, so a launch works in a new window
of a browser that takes no cookies of third parties. Nothing of a person is kept but the platform's own id of them.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

from service.logs import logger
from service.problems import Problem
from service.settings import Settings, SettingsError
from service.sign_in.provider import safe

LAUNCH = "/v1/lti/launch"
_CLAIM = "https://purl.imsglobal.org/spec/lti/claim/"
_MEMBERSHIP = "http://purl.imsglobal.org/vocab/lis/v2/membership#"
_NEEDED = ("client_id", "auth_login_url", "auth_token_url", "key_set_url", "deployment_ids")
_KEYS_S = 300.0
_TIMEOUT_S = 10.0
_MOST_STUDENTS = 1000
_LONGEST_COURSE = 100

Params = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Launch:
    """Who came, from which platform, in which part; the course and how many learners it has, where they are told."""

    issuer: str
    subject: str
    role: str
    course: str = ""
    students: int | None = None


class Learning:
    """The learning systems of the settings. ``session`` stands in for the network in tests."""

    def __init__(self, settings: Settings, session: Any = None) -> None:
        """Raises SettingsError for a file that cannot be used."""
        self.platforms = _platforms(settings)
        self.session = session
        self._url = f"{settings.public_url.rstrip('/')}{LAUNCH}"
        self._key = Path(settings.lti_private_key).read_text("ascii") if settings.lti_private_key else ""
        self._keys: dict[str, tuple[float, Any]] = {}
        if self.platforms and not settings.public_url:
            raise SettingsError("PREPWRIGHT_PUBLIC_URL: is needed for launches from a learning system")

    def begin(self, params: Params) -> tuple[str, str, str]:
        """The platform's address to send the browser to, the state and the nonce of the launch. Raises Problem."""
        parts = _parts()
        self._platform(params.get("iss", ""))
        login = parts.Login(parts.Asked(params), self._tool(parts), parts.session(parts.Kept()), parts.Cookies({}))
        url: str = _guarded(lambda: login.get_redirect_object(self._url).get_redirect_url())
        asked = parse_qs(urlsplit(url).query)
        return url, asked["state"][0], asked["nonce"][0]

    def finish(self, params: Params, nonce: str) -> Launch:
        """Who came, from what the platform posted and the nonce its launch was begun with. Raises Problem."""
        parts = _parts()
        state = params.get("state", "")
        session = parts.session(parts.Kept())
        session.save_nonce(nonce)
        launch = parts.Launched(
            parts.Asked(params), self._tool(parts), session, parts.Cookies({state: state}),
            requests_session=self._network(),
        )  # fmt: skip
        launch.set_public_key_caching(parts.Keys(self._keys), int(_KEYS_S))
        found: Launch = _guarded(lambda: self._told(launch))
        return found

    def keys(self) -> dict[str, Any]:
        """The public key of this tool, for platforms that are asked for head counts."""
        found: dict[str, Any] = self._tool(_parts()).get_jwks() if self._key else {"keys": []}
        return found

    def _told(self, launch: Any) -> Launch:
        claims: Mapping[str, Any] = launch.validate().get_launch_data()
        if not launch.is_resource_launch():
            raise ValueError("another kind of launch")
        for name in ("exp", "iat", "sub"):  # the library checks their values where they are there
            if not claims.get(name):
                raise ValueError(f"no {name}")
        if isinstance(claims["aud"], list) and len(claims["aud"]) > 1 and claims.get("azp") != launch.get_client_id():
            raise ValueError("the launch is for others too")
        role = _role(claims.get(f"{_CLAIM}roles"))
        subject = f"{claims['sub']} as {role}"  # a teacher of one course may learn in another: two accounts
        if role != "requester":
            return Launch(claims["iss"], subject, role)
        return Launch(claims["iss"], subject, role, _course(claims), self._students(launch, claims))

    def _students(self, launch: Any, claims: Mapping[str, Any]) -> int | None:
        """How many learn in the course: as the platform's setting says, or counted; names are neither kept nor shown."""
        custom = claims.get(f"{_CLAIM}custom")
        typed = str(custom.get("class_size", "")) if isinstance(custom, Mapping) else ""
        if typed.isdecimal() and len(typed) <= 4 and 0 < int(typed) <= _MOST_STUDENTS:
            return int(typed)
        if not (self._key and launch.has_nrps()):
            return None
        try:
            members = launch.get_nrps().get_members()
        except Exception as fault:  # whatever the platform answers: the form opens without the number
            logger().warning("head count", why=type(fault).__name__)
            return None
        learners = [m for m in members if m.get("status", "Active") == "Active" and _holds(m.get("roles"), "Learner")]
        return len(learners) if 0 < len(learners) <= _MOST_STUDENTS else None

    def _platform(self, issuer: str) -> None:
        if not self.platforms:
            raise Problem("sign-in-not-set-up", "No learning system is set up.")
        if issuer not in self.platforms:
            raise Problem("sign-in-failed", "The launch comes from a platform that is not set up here.")

    def _tool(self, parts: Any) -> Any:
        tool = parts.ToolConfDict(self.platforms)
        if self._key:
            from joserfc.jwk import RSAKey

            public = RSAKey.import_key(self._key).as_pem(private=False).decode("ascii")
            for issuer in self.platforms:
                tool.set_private_key(issuer, self._key)
                tool.set_public_key(issuer, public)
        return tool

    def _network(self) -> Any:
        """A session that waits ten seconds for an answer, not for ever."""
        if self.session is not None:
            return self.session
        import requests

        class Patient(requests.Session):
            def request(self, *args: Any, **options: Any) -> Any:
                return super().request(*args, **{"timeout": _TIMEOUT_S, **options})

        return Patient()


def _parts() -> Any:
    """The classes PyLTI1p3 works with. Raises Problem where the extra is not installed."""
    try:
        from service.sign_in import learning_parts
    except ImportError:
        raise Problem("sign-in-not-installed", "Install the extra: pip install 'prepwright[sign-in]'.") from None
    return learning_parts


def _guarded(step: Callable[[], Any]) -> Any:
    """What a step gives. Raises Problem: the library raises plain exceptions on what a platform or a forger sends."""
    try:
        return step()
    except Problem:
        raise
    except Exception as fault:
        logger().warning("launch refused", why=type(fault).__name__, said=str(fault)[:100])
        if isinstance(fault.__cause__, OSError):  # every fault of the network library is one
            raise Problem("sign-in-unreachable", "The learning system does not answer.") from None
        raise Problem("sign-in-failed", "What the learning system sent proves nothing.") from None


def _holds(roles: Any, role: str) -> bool:
    """Whether somebody has a role in this course; what they are elsewhere in the institution counts for nothing."""
    return isinstance(roles, list) and any(one in (role, f"{_MEMBERSHIP}{role}") for one in roles)


def _role(roles: Any) -> str:
    """The role here. Raises Problem where the launch gives none."""
    if _holds(roles, "Instructor"):
        return "requester"
    if _holds(roles, "Learner"):
        return "learner"
    raise Problem("no-role", "Only teachers and learners of the course come in.")


def _course(claims: Mapping[str, Any]) -> str:
    context = claims.get(f"{_CLAIM}context")
    held = context if isinstance(context, Mapping) else {}
    named = next((held[name] for name in ("title", "label") if isinstance(held.get(name), str)), "")
    return " ".join(named.split())[:_LONGEST_COURSE]


def _platforms(settings: Settings) -> dict[str, dict[str, Any]]:
    """The platforms by issuer. Raises SettingsError naming what is wrong."""
    if not settings.lti_platforms:
        return {}
    name = f"PREPWRIGHT_LTI_PLATFORMS: {settings.lti_platforms}"
    try:
        found: dict[str, dict[str, Any]] = json.loads(Path(settings.lti_platforms).read_text("utf-8"))
        for issuer, held in found.items():
            missing = [key for key in _NEEDED if not held.get(key)]
            if missing or not isinstance(held["deployment_ids"], list):
                raise SettingsError(f"{name}: {issuer} needs {', '.join(missing) or 'a list deployment_ids'}")
            for key in ("auth_login_url", "auth_token_url", "key_set_url"):
                safe(held[key], f"{name}: {issuer} {key}")
    except SettingsError:
        raise
    except (OSError, ValueError, AttributeError, TypeError) as fault:
        raise SettingsError(f"{name}: cannot be used: {fault}") from None
    return found
