"""Passwords, random secrets and signed tokens. Passwords are slow to guess; random secrets need only a hash."""

import hashlib
import hmac
import secrets
import time
from functools import lru_cache
from typing import Any

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from joserfc import jwt
from joserfc.errors import ExpiredTokenError, JoseError
from joserfc.jwk import OctKey

SHORTEST_PASSWORD = 12
LONGEST_PASSWORD = 200
_ALGORITHM = "HS256"
_ISSUER = "prepwright"


@lru_cache(maxsize=1)
def _hasher() -> PasswordHasher:
    return PasswordHasher()


@lru_cache(maxsize=1)
def _nobodys_password() -> str:
    return _hasher().hash(secrets.token_urlsafe())


def hash_password(password: str) -> str:
    """The argon2id hash that is kept. Raises ValueError for a password that is too short or too long."""
    if not SHORTEST_PASSWORD <= len(password) <= LONGEST_PASSWORD:
        raise ValueError(f"a password has {SHORTEST_PASSWORD} to {LONGEST_PASSWORD} characters")
    return _hasher().hash(password)


def password_fits(kept: str | None, password: str) -> bool:
    """Whether the password is the one that was hashed; takes the same time where there is none."""
    try:
        return _hasher().verify(kept or _nobodys_password(), password[:LONGEST_PASSWORD]) and kept is not None
    except (VerificationError, InvalidHashError):
        return False


def new_secret() -> str:
    """A random secret of 256 bits, letters and digits that need no escaping."""
    return secrets.token_urlsafe(32)


def hash_secret(secret: str) -> str:
    """SHA-256: enough for a secret that is random."""
    return hashlib.sha256(secret.encode()).hexdigest()


def same(one: str, other: str) -> bool:
    """Whether two texts are equal, without telling by time where they differ."""
    return hmac.compare_digest(one.encode(), other.encode())


def csrf_token(session_token: str) -> str:
    """What a page must send beside the session cookie; it cannot be had from the cookie's hash in the database."""
    return hash_secret("csrf:" + session_token)[:32]


class TokenExpiredError(ValueError):
    """The token was good once."""


def sign(key_id: str, scopes: str, signing: tuple[str, bytes], life_s: int) -> str:
    """A token (JWT, HMAC-SHA-256) for the holder of a key, good for ``life_s`` seconds."""
    signed_by, secret = signing
    issued = int(time.time())
    claims = {
        "iss": _ISSUER, "sub": key_id, "scope": scopes, "iat": issued, "exp": issued + life_s,
        "jti": secrets.token_hex(8),
    }  # fmt: skip
    return jwt.encode({"alg": _ALGORITHM, "kid": signed_by}, claims, OctKey.import_key(secret), algorithms=[_ALGORITHM])


def read_token(token: str, signing: tuple[str, bytes]) -> dict[str, Any]:
    """The claims of a token this service signed. Raises TokenExpiredError, or ValueError for any other token."""
    try:
        claims = jwt.decode(token, OctKey.import_key(signing[1]), algorithms=[_ALGORITHM]).claims
        wanted = {name: {"essential": True} for name in ("exp", "sub", "scope")}
        jwt.JWTClaimsRegistry(iss={"essential": True, "value": _ISSUER}, **wanted).validate(claims)  # type: ignore[arg-type]
    except ExpiredTokenError:
        raise TokenExpiredError("the token has expired") from None
    except (JoseError, ValueError, TypeError) as fault:
        raise ValueError(f"no token of this service: {type(fault).__name__}") from None
    return claims
