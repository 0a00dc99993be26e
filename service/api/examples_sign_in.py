"""Examples of launches from a learning system, from an invented college."""

from typing import Any

LOGIN = {
    "iss": "https://courses.alder-vale.example",
    "login_hint": "5512",
    "target_link_uri": "https://prep.alder-vale.example/v1/lti/launch",
    "client_id": "prep-room",
}
LAUNCH = {"state": "state-0f9c2f0e-7d7b-4f6a-9d3a-5b1d6f0f3c11", "id_token": "header.claims.signature"}
KEYS: dict[str, Any] = {
    "keys": [{"kty": "RSA", "kid": "tool-1", "alg": "RS256", "use": "sig", "n": "xjlCRBqkQ0qWb8tWZ9zY5w", "e": "AQAB"}]
}
