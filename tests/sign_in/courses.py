"""An invented college's learning system: it signs real launches, shows its keys and counts a course."""

import json
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import httpx
import requests
from joserfc import jwt
from joserfc.jwk import KeySet, RSAKey
from requests.adapters import BaseAdapter

from tests.conftest import Running, StartApp

ISSUER = "https://courses.alder-vale.example"
PUBLIC = "https://prep.alder-vale.example"
CLIENT = "prep-room"
KEY = RSAKey.generate_key(2048, {"kid": "platform-1", "alg": "RS256"}, private=True)
OTHER_KEY = RSAKey.generate_key(2048, {"kid": "platform-1", "alg": "RS256"}, private=True)
TOOL_KEY = RSAKey.generate_key(2048, private=True)
LTI = "https://purl.imsglobal.org/spec/lti/claim/"
ROLE = "http://purl.imsglobal.org/vocab/lis/v2/membership#"
AT_THE_COLLEGE = "http://purl.imsglobal.org/vocab/lis/v2/institution/person#"
MEMBERS = f"{ISSUER}/courses/7/members"
NRPS = "https://purl.imsglobal.org/spec/lti-nrps/claim/namesroleservice"

Claims = dict[str, Any]


class Courses(BaseAdapter):
    """The platform, as the network that the service sees."""

    def __init__(self) -> None:
        super().__init__()
        self.members: list[Claims] = []
        self.asked: list[str] = []
        self.away = False

    def send(self, request: requests.PreparedRequest, **_: Any) -> requests.Response:
        assert request.url is not None
        self.asked.append(request.url)
        if self.away:
            raise requests.ConnectionError("nobody there")
        if request.url == f"{ISSUER}/keys":
            return _json(KeySet([KEY]).as_dict(private=False))
        if request.url == f"{ISSUER}/token":
            form = parse_qs(str(request.body))
            claims = jwt.decode(form["client_assertion"][0], TOOL_KEY, algorithms=["RS256"]).claims
            assert (claims["iss"], claims["aud"]) == (CLIENT, f"{ISSUER}/token")
            return _json({"access_token": "t", "token_type": "Bearer", "expires_in": 60})
        assert (request.url, request.headers["Authorization"]) == (MEMBERS, "Bearer t")
        return _json({"id": MEMBERS, "members": self.members})

    def close(self) -> None:
        pass


def _json(document: Any) -> requests.Response:
    response = requests.Response()
    response.status_code = 200
    response._content = json.dumps(document).encode()
    return response


class Lesson:
    """A service that is set up for the platform, and a browser that clicks on the link in a course."""

    def __init__(self, start: StartApp, folder: Path, database: str = "", **changed: Any) -> None:
        file = folder / "platforms.json"
        file.write_text(
            json.dumps(
                {
                    ISSUER: {
                        "client_id": CLIENT,
                        "auth_login_url": f"{ISSUER}/authorize",
                        "auth_token_url": f"{ISSUER}/token",
                        "key_set_url": f"{ISSUER}/keys",
                        "deployment_ids": ["dep-1"],
                    }
                }
            )
        )
        key = folder / "tool.pem"
        key.write_bytes(TOOL_KEY.as_pem(private=True))
        settings = {
            "public_url": PUBLIC, "lti_platforms": str(file), "lti_private_key": str(key), "sign_ins_a_minute": 1000,
            **changed,
        }  # fmt: skip
        self.running: Running = start(database, **settings)
        self.courses = Courses()
        session = requests.Session()
        session.mount("https://", self.courses)
        self.running.services.learning.session = session
        self.key: Any = KEY
        self.spoil: Callable[[Claims], Claims] = lambda claims: claims

    def begin(self, method: str = "POST", **changed: str) -> httpx.Response:
        sent = {"iss": ISSUER, "login_hint": "5512", "target_link_uri": f"{PUBLIC}/v1/lti/launch", "client_id": CLIENT, **changed}
        self.running.client.cookies.clear()
        if method == "GET":
            return self.running.get("/v1/lti/login", params=sent)
        return self.running.call("POST", "/v1/lti/login", data=sent)

    def signed(self, begun: httpx.Response, role: str = "Instructor", **more: Any) -> dict[str, str]:
        """What the platform's page posts after it has looked at who is logged in there."""
        location = begun.headers["location"]
        assert location.startswith(f"{ISSUER}/authorize?")
        asked = {name: values[0] for name, values in parse_qs(urlsplit(location).query).items()}
        assert (asked["response_type"], asked["response_mode"], asked["scope"]) == ("id_token", "form_post", "openid")
        assert (asked["redirect_uri"], asked["client_id"]) == (f"{PUBLIC}/v1/lti/launch", CLIENT)
        now = int(time.time())
        claims = {
            "iss": ISSUER, "aud": CLIENT, "sub": "u-5512", "iat": now, "exp": now + 300, "nonce": asked["nonce"],
            "name": "Rosa Alvarez", "email": "rosa@alder-vale.example",
            f"{LTI}message_type": "LtiResourceLinkRequest", f"{LTI}version": "1.3.0", f"{LTI}deployment_id": "dep-1",
            f"{LTI}target_link_uri": f"{PUBLIC}/v1/lti/launch", f"{LTI}resource_link": {"id": "link-1"},
            f"{LTI}roles": [f"{ROLE}{role}"], f"{LTI}context": {"id": "7", "title": "Chemistry 2, Tuesday"},
            **more,
        }  # fmt: skip
        token = jwt.encode({"alg": "RS256", "kid": "platform-1"}, self.spoil(claims), self.key, algorithms=["RS256"])
        return {"state": asked["state"], "id_token": token}

    def post(self, form: dict[str, str]) -> httpx.Response:
        """The launch, as a new window of a browser sends it: from another site, with no cookie at all."""
        self.running.client.cookies.clear()
        headers = {"Origin": ISSUER, "Sec-Fetch-Site": "cross-site"}
        return self.running.call("POST", "/v1/lti/launch", data=form, headers=headers)

    def launch(self, role: str = "Instructor", **more: Any) -> httpx.Response:
        begun = self.begin()
        assert begun.status_code == 303, begun.text
        assert "set-cookie" not in begun.headers
        return self.post(self.signed(begun, role, **more))

    def as_(self, answer: httpx.Response, method: str, path: str, **options: Any) -> httpx.Response:
        """A request in the session that a launch gave."""
        headers = {"Cookie": f"prepwright_session={answer.cookies['prepwright_session']}"}
        self.running.client.cookies.clear()
        who = self.running.get("/v1/session", headers=headers).json()
        return self.running.call(method, path, headers={**headers, "X-CSRF-Token": who["csrf_token"]}, **options)
