"""Everything the store holds of one person, to be handed to that person. Secrets are left out, even as hashes."""

from typing import Any

from sqlalchemy import Engine, Select, select

from service.store.tables import audit, plans
from service.store.tables_approvals import decisions, withdrawals
from service.store.tables_days import days
from service.store.tables_people import api_keys, identities, people, sessions


def everything_of(engine: Engine, person: str) -> dict[str, Any]:
    """The account, its keys and sessions, what was asked for and decided, and every entry of the log made by it."""
    account = select(people.c.id, people.c.at, people.c.name, people.c.full_name, people.c.roles, people.c.active)
    lists: dict[str, Select[Any]] = {
        "keys": select(api_keys.c.id, api_keys.c.at, api_keys.c.scopes, api_keys.c.expires, api_keys.c.withdrawn)
        .where(api_keys.c.person_id == person)
        .order_by(api_keys.c.seq),
        "identities": select(identities.c.issuer, identities.c.subject, identities.c.at)
        .where(identities.c.person_id == person)
        .order_by(identities.c.seq),
        "sessions": select(sessions.c.at, sessions.c.expires)
        .where(sessions.c.person_id == person)
        .order_by(sessions.c.seq),
        "plans": select(plans.c.id, plans.c.at, plans.c.outcome, plans.c.text, plans.c.read_as)
        .where(plans.c.client == person)
        .order_by(plans.c.seq),
        "days": select(days.c.id, days.c.at, days.c.date).where(days.c.client == person).order_by(days.c.seq),
        "decisions": select(decisions.c.plan_id, decisions.c.at, decisions.c.decision, decisions.c.reason)
        .where(decisions.c.person == person)
        .order_by(decisions.c.seq),
        "withdrawals": select(withdrawals.c.plan_id, withdrawals.c.at, withdrawals.c.reason)
        .where(withdrawals.c.person == person)
        .order_by(withdrawals.c.seq),
        "log": select(audit.c.seq, audit.c.at, audit.c.event, audit.c.subject)
        .where((audit.c.actor == person) | (audit.c.subject == person))
        .order_by(audit.c.seq),
    }
    with engine.connect() as connection:
        found: dict[str, Any] = {"account": dict(connection.execute(account.where(people.c.id == person)).mappings().one())}
        for name, query in lists.items():
            found[name] = [dict(row) for row in connection.execute(query).mappings()]
    return found
