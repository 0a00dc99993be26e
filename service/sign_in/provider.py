"""Sign-in by an OpenID Connect provider: authorization code with PKCE, state and nonce. A thin layer over authlib.

The provider says who it is and which groups they are in; what those groups may do here is in the settings.
"""

import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

import httpx

from service.logs import logger
from service.people.rights import ROLES
from service.problems import Problem
from service.settings import LOOPBACK_NAMES, Settings, SettingsError

BACK = "/v1/sign-in/back"
_METADATA_S = 3600.0
_TIMEOUT_S = 10.0
_LEEWAY_S = 30
# Signatures by a key that only the provider has; 'none' and shared secrets are never taken.
_ALGORITHMS = frozenset({"RS256", "RS384", "RS512", "PS256", "PS384", "PS512", "ES256", "ES384", "ES512", "EdDSA"})


@dataclass(frozen=True, slots=True)
class Claims:
    """Who came, in the provider's words, and the roles the settings give for it."""

    subject: str
    roles: tuple[str, ...]
    name: str
    full_name: str


class Provider:
    """The provider of the settings. ``transport`` stands in for the network in tests."""

    def __init__(self, settings: Settings, transport: httpx.AsyncBaseTransport | None = None) -> None:
        """Raises SettingsError for settings that cannot work."""
        self.issuer = settings.oidc_issuer
        self.transport = transport
        self._settings = settings
        self._known: dict[str, Any] = {}
        self._look_at = 0.0
        self._roles = dict(_pair(one) for one in settings.oidc_roles)
        if self.issuer:
            wanted = {"PREPWRIGHT_OIDC_CLIENT_ID": settings.oidc_client_id, "PREPWRIGHT_PUBLIC_URL": settings.public_url,
                      "PREPWRIGHT_OIDC_ROLES": self._roles}  # fmt: skip
            for name, value in wanted.items():
                if not value:
                    raise SettingsError(f"{name}: is needed for sign-in by {self.issuer}")
            safe(self.issuer, "PREPWRIGHT_OIDC_ISSUER")

    async def begin(self, state: str, nonce: str, verifier: str) -> str:
        """The address of the provider to send the browser to. Raises Problem."""
        known = await self._metadata()
        client = self._client()
        url, _ = client.create_authorization_url(
            known["authorization_endpoint"], state=state, nonce=nonce, code_verifier=verifier
        )
        return str(url)

    async def finish(self, code: str, nonce: str, verifier: str) -> Claims:
        """Who came, from the code that the provider sent back. Raises Problem for a token that proves nothing."""
        from authlib.common.errors import AuthlibBaseError
        from joserfc.errors import JoseError

        known = await self._metadata()
        try:
            async with self._client() as client:
                token = await client.fetch_token(
                    known["token_endpoint"], code=code, code_verifier=verifier, grant_type="authorization_code"
                )
            claims = await self._checked(token, nonce)
        except httpx.HTTPError as fault:
            raise _away(fault) from None
        except (AuthlibBaseError, JoseError, ValueError, KeyError, TypeError) as fault:
            logger().warning("sign-in refused", why=type(fault).__name__, said=str(fault)[:100])
            raise Problem("sign-in-failed", "What the provider sent proves nothing.") from None
        return Claims(str(claims["sub"]), self._roles_of(claims), _text(claims, "preferred_username", "email"),
                      _text(claims, "name"))  # fmt: skip

    async def _checked(self, token: Mapping[str, Any], nonce: str) -> Mapping[str, Any]:
        """The claims of the identity token: signature, issuer, audience, times and nonce are right, or an error is raised."""
        from authlib.integrations.base_client.async_openid import AsyncOpenIDMixin

        provider = self

        class Reader(AsyncOpenIDMixin):  # type: ignore[misc]
            client_id = self._settings.oidc_client_id
            server_metadata = self._known

            async def load_server_metadata(self) -> dict[str, Any]:
                return provider._known

            def _get_session(self) -> Any:
                return provider._client()

        options = {"iss": {"essential": True, "value": self.issuer},
                   "aud": {"essential": True, "value": self._settings.oidc_client_id}}  # fmt: skip
        found = await Reader().parse_id_token(token, nonce=nonce, claims_options=options, leeway=_LEEWAY_S)
        if found is None:
            raise ValueError("no identity token")
        claims: Mapping[str, Any] = found
        audience = claims["aud"] if isinstance(claims["aud"], list) else [claims["aud"]]
        if set(audience) != {self._settings.oidc_client_id} and claims.get("azp") != self._settings.oidc_client_id:
            raise ValueError("the token is for others too")
        return claims

    def _roles_of(self, claims: Mapping[str, Any]) -> tuple[str, ...]:
        held: Any = claims
        for part in self._settings.oidc_role_claim.split("."):
            held = held.get(part) if isinstance(held, Mapping) else None
        values = held if isinstance(held, list) else [held]
        return tuple(self._roles[value] for value in values if isinstance(value, str) and value in self._roles)

    async def _metadata(self) -> dict[str, Any]:
        """What the provider publishes of itself, at most an hour old. Raises Problem."""
        if not self._known or time.monotonic() >= self._look_at:
            address = f"{self.issuer.rstrip('/')}/.well-known/openid-configuration"
            try:
                async with httpx.AsyncClient(transport=self.transport, timeout=_TIMEOUT_S) as client:
                    answer = (await client.get(address)).raise_for_status()
                found: dict[str, Any] = answer.json()
                if found["issuer"] != self.issuer:
                    raise ValueError("another issuer")
                for name in ("authorization_endpoint", "token_endpoint", "jwks_uri"):
                    safe(found[name], name)
            except httpx.HTTPError as fault:
                raise _away(fault) from None
            except (ValueError, KeyError, TypeError) as fault:
                logger().error("sign-in metadata", why=type(fault).__name__, said=str(fault)[:100])
                raise Problem("sign-in-unreachable", "What the provider publishes of itself cannot be used.") from None
            signed = found.get("id_token_signing_alg_values_supported") or ["RS256"]
            found["id_token_signing_alg_values_supported"] = sorted(_ALGORITHMS & set(signed)) or ["RS256"]
            found.pop("jwks", None)  # keys are read from their address
            self._known, self._look_at = found, time.monotonic() + _METADATA_S
        return self._known

    def _client(self) -> Any:
        """Raises Problem where the extra is not installed."""
        try:
            from authlib.integrations.httpx_client import AsyncOAuth2Client
        except ImportError:
            raise Problem("sign-in-not-installed", "Install the extra: pip install 'prepwright[sign-in]'.") from None
        settings = self._settings
        return AsyncOAuth2Client(
            settings.oidc_client_id, settings.oidc_client_secret or None, scope="openid profile email",
            redirect_uri=f"{settings.public_url.rstrip('/')}{BACK}", code_challenge_method="S256",
            token_endpoint_auth_method="client_secret_basic" if settings.oidc_client_secret else "none",
            transport=self.transport, timeout=_TIMEOUT_S,
        )  # fmt: skip


def safe(url: str, name: str) -> None:
    """Raises SettingsError (a ValueError) for an address that is neither https nor on this machine."""
    parts = urlsplit(url)
    if not parts.hostname or not (parts.scheme == "https" or (parts.scheme == "http" and parts.hostname in LOOPBACK_NAMES)):
        raise SettingsError(f"{name}: {url!r} must begin with https://")


def _pair(one: str) -> tuple[str, str]:
    value, _, role = one.rpartition("=")
    if not value or role not in ROLES or role == "machine":
        allowed = ", ".join(role for role in ROLES if role != "machine")
        raise SettingsError(f"PREPWRIGHT_OIDC_ROLES: {one!r} is no pair such as technicians=maker; roles are {allowed}")
    return value, role


def _text(claims: Mapping[str, Any], *names: str) -> str:
    return next((claims[name] for name in names if isinstance(claims.get(name), str)), "")


def _away(fault: Exception) -> Problem:
    logger().error("sign-in provider", why=type(fault).__name__)
    return Problem("sign-in-unreachable", "The sign-in service does not answer.")
