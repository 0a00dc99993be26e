"""What a plan is made against: the lab's own glassware and balances, the policy in force, the rule catalogue."""

from dataclasses import dataclass
from functools import lru_cache

from rules.catalogue import catalogue
from rules.policies import Policy, policy
from rules.rule import Rule
from rules.tables import snapshot
from rules.tables.lab import Lab, default_lab


@dataclass(frozen=True, slots=True)
class Bench:
    """The fixed surroundings of a plan. Two equal requests on one bench give the same plan."""

    lab: Lab
    policy: Policy
    rules: tuple[Rule, ...]


@lru_cache(maxsize=8)
def default_bench(policy_name: str = "strictest") -> Bench:
    """The example lab with the named policy ("strictest", "eu", "uk" or "us") and every rule."""
    snapshot.use()
    return Bench(default_lab(), policy(policy_name), catalogue())
