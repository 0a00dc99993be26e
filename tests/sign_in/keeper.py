"""An invented college's own provider of accounts: it publishes itself, hands out codes and signs real tokens."""

import hashlib
import hmac
import json
import time
from base64 import b64decode, urlsafe_b64encode
from collections.abc import Callable
from typing import Any
from urllib.parse import parse_qs, unquote, urlsplit

import httpx
from joserfc import jwt
from joserfc.jwk import KeySet, RSAKey

from tests.conftest import Running, StartApp

ISSUER = "https://accounts.alder-vale.example"
PUBLIC = "https://prep.alder-vale.example"
CLIENT, SECRET = "prep-room", "the secret of the prep room"
KEY = RSAKey.generate_key(2048, {"kid": "one"}, private=True)
OTHER_KEY = RSAKey.generate_key(2048, {"kid": "one"}, private=True)

Claims = dict[str, Any]


class Keeper:
    """The provider as a transport: what it is asked goes through ``__call__``; ``spoil`` changes what it signs."""

    def __init__(self) -> None:
        self.codes: dict[str, Claims] = {}
        self.spoil: Callable[[Claims], Claims] = lambda claims: claims
        self.key: Any = KEY
        self.algorithm = "RS256"
        self.away = False
        self.published: Claims = {
            "issuer": ISSUER,
            "authorization_endpoint": f"{ISSUER}/authorize",
            "token_endpoint": f"{ISSUER}/token",
            "jwks_uri": f"{ISSUER}/keys",
            "id_token_signing_alg_values_supported": ["RS256", "HS256", "none"],
        }

    def __call__(self, request: httpx.Request) -> httpx.Response:
        if self.away:
            raise httpx.ConnectError("nobody there", request=request)
        path = request.url.path
        if path == "/.well-known/openid-configuration":
            return httpx.Response(200, json=self.published)
        if path == "/keys":
            return httpx.Response(200, json=KeySet([KEY]).as_dict(private=False))
        assert path == "/token"
        return self._token(request)

    def authorize(self, location: str, **who: Any) -> tuple[str, str]:
        """What the page of the provider does when somebody has logged in there: code and state for the way back."""
        asked = {name: values[0] for name, values in parse_qs(urlsplit(location).query).items()}
        assert location.startswith(f"{ISSUER}/authorize?")
        assert (asked["response_type"], asked["client_id"], asked["code_challenge_method"]) == ("code", CLIENT, "S256")
        assert asked["redirect_uri"] == f"{PUBLIC}/v1/sign-in/back"
        assert "openid" in asked["scope"].split()
        code = f"code-{len(self.codes)}"
        self.codes[code] = {"asked": asked, "who": {"sub": "u-17", "preferred_username": "r.alvarez", **who}}
        return code, asked["state"]

    def _token(self, request: httpx.Request) -> httpx.Response:
        form = {name: values[0] for name, values in parse_qs(request.content.decode()).items()}
        name, _, secret = b64decode(request.headers["authorization"].removeprefix("Basic ")).decode().partition(":")
        held = self.codes.pop(form["code"], None)
        challenge = urlsafe_b64encode(hashlib.sha256(form["code_verifier"].encode()).digest()).decode().rstrip("=")
        if held is None or (unquote(name), unquote(secret)) != (CLIENT, SECRET) or held["asked"]["code_challenge"] != challenge:
            return httpx.Response(400, json={"error": "invalid_grant"})
        now = int(time.time())
        claims = {"iss": ISSUER, "aud": CLIENT, "iat": now, "exp": now + 300, "nonce": held["asked"]["nonce"], **held["who"]}
        token = signed(self.spoil(claims), self.key, self.algorithm)
        return httpx.Response(200, json={"access_token": "a", "token_type": "Bearer", "id_token": token})


class Visit:
    """A service that is set up for the provider, and a browser that goes there and back."""

    def __init__(self, start: StartApp, database: str = "", **changed: Any) -> None:
        self.keeper = Keeper()
        settings = {
            "public_url": PUBLIC, "oidc_issuer": ISSUER, "oidc_client_id": CLIENT, "oidc_client_secret": SECRET,
            "oidc_roles": ("technicians=maker", "safety=safety-officer"), "sign_ins_a_minute": 1000, **changed,
        }  # fmt: skip
        self.running: Running = start(database, **settings)
        self.running.services.provider.transport = httpx.MockTransport(self.keeper)

    def begin(self) -> httpx.Response:
        self.running.client.cookies.clear()
        return self.running.get("/v1/sign-in")

    def back(self, code: str, state: str, cookie: str | None, **more: str) -> httpx.Response:
        self.running.client.cookies.clear()
        headers = {} if cookie is None else {"Cookie": f"prepwright_sign_in={cookie}"}
        return self.running.get("/v1/sign-in/back", params={"code": code, "state": state, **more}, headers=headers)

    def sign_in(self, **who: Any) -> httpx.Response:
        begun = self.begin()
        assert begun.status_code == 303, begun.text
        code, state = self.keeper.authorize(begun.headers["location"], **{"groups": ["technicians"], **who})
        return self.back(code, state, begun.cookies["prepwright_sign_in"])

    def session(self, answer: httpx.Response) -> Any:
        headers = {"Cookie": f"prepwright_session={answer.cookies['prepwright_session']}"}
        self.running.client.cookies.clear()
        return self.running.get("/v1/session", headers=headers).json()


def signed(claims: Claims, key: Any, algorithm: str) -> str:
    """A token. HS256 is signed with the published key as the shared secret: the mistake that would let anybody sign."""
    head = {"alg": algorithm, "kid": "one"}
    if algorithm != "HS256":
        return jwt.encode(head, claims, key, algorithms=[algorithm])
    text = ".".join(urlsafe_b64encode(json.dumps(part).encode()).decode().rstrip("=") for part in (head, claims))
    mac = hmac.digest(KEY.as_pem(private=False), text.encode(), "sha256")
    return f"{text}.{urlsafe_b64encode(mac).decode().rstrip('=')}"
