"""The version of the rules: the release, and a digest of what every rule says of itself."""

import hashlib
from functools import lru_cache

from rules.catalogue import catalogue

RELEASE = "0.1.0"


@lru_cache(maxsize=1)
def rules_version() -> str:
    """Such as "0.1.0+4f1c20ab": it changes when a rule is added, removed, reworded or given another severity."""
    digest = hashlib.sha256()
    for rule in catalogue():
        for part in (rule.id, rule.group, rule.title, rule.severity, rule.rationale, rule.remedy):
            digest.update(part.encode())
            digest.update(b"\0")
    return f"{RELEASE}+{digest.hexdigest()[:8]}"
