"""People, keys and sessions; holds and decisions; repeated requests; the index the audit log is searched by."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"

SEQUENCE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def _entry() -> tuple[sa.Column[int], sa.Column[str]]:
    return (
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
    )


def upgrade() -> None:
    """Make the tables and the indexes of the audit log."""
    _people()
    _approvals()
    op.create_table(
        "repeats",
        sa.Column("client", sa.Text, primary_key=True),
        sa.Column("key", sa.Text, primary_key=True),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("status", sa.Integer, nullable=True),
        sa.Column("headers", sa.Text, nullable=True),
        sa.Column("body", sa.LargeBinary, nullable=True),
    )
    op.create_index("repeats_by_time", "repeats", ["at"])
    op.create_table(
        "audit_terms",
        sa.Column("kind", sa.String(12), primary_key=True),
        sa.Column("value", sa.Text, primary_key=True),
        sa.Column("seq", SEQUENCE, primary_key=True, autoincrement=False),
        sa.Column("strength", sa.Float, nullable=True),
        sa.Column("amount_g", sa.Float, nullable=True),
        sqlite_with_rowid=False,
    )
    op.create_index("plans_by_client", "plans", ["client", "seq"])
    op.create_index("audit_by_actor", "audit", ["actor", "seq"])
    op.create_index("audit_by_event", "audit", ["event", "seq"])
    op.create_index("audit_by_time", "audit", ["at", "seq"])


def _people() -> None:
    op.create_table(
        "people",
        sa.Column("id", sa.String(10), primary_key=True),
        *_entry(),
        sa.Column("name", sa.String(64), nullable=False, unique=True),
        sa.Column("full_name", sa.Text, nullable=False),
        sa.Column("roles", sa.Text, nullable=False),
        sa.Column("password", sa.Text, nullable=True),
        sa.Column("active", sa.Integer, nullable=False),
        sa.Column("failures", sa.Integer, nullable=False),
        sa.Column("locked_until", sa.String(27), nullable=True),
    )
    op.create_table(
        "api_keys",
        sa.Column("id", sa.String(10), primary_key=True),
        *_entry(),
        sa.Column("person_id", sa.String(10), sa.ForeignKey("people.id"), nullable=False),
        sa.Column("secret_hash", sa.String(64), nullable=False),
        sa.Column("scopes", sa.Text, nullable=False),
        sa.Column("expires", sa.String(27), nullable=False),
        sa.Column("withdrawn", sa.Integer, nullable=False),
    )
    op.create_index("api_keys_by_person", "api_keys", ["person_id"])
    op.create_table(
        "sessions",
        sa.Column("token_hash", sa.String(64), primary_key=True),
        *_entry(),
        sa.Column("person_id", sa.String(10), sa.ForeignKey("people.id"), nullable=False),
        sa.Column("expires", sa.String(27), nullable=False),
    )
    op.create_table(
        "signing_keys",
        sa.Column("id", sa.String(10), primary_key=True),
        *_entry(),
        sa.Column("secret", sa.LargeBinary, nullable=False),
    )


def _approvals() -> None:
    op.create_table(
        "holds",
        sa.Column("plan_id", sa.String(10), sa.ForeignKey("plans.id"), primary_key=True),
        *_entry(),
        sa.Column("asker", sa.Text, nullable=False),
        sa.Column("state", sa.String(8), nullable=False),
        sa.Column("rank", sa.Integer, nullable=False),
        sa.Column("needs", sa.Integer, nullable=False),
        sa.Column("needed_by", sa.String(10), nullable=False),
        sa.Column("same", sa.String(64), nullable=False),
    )
    op.create_index("holds_by_state", "holds", ["state", "rank", "needed_by", "seq"])
    op.create_index("holds_by_request", "holds", ["same", "state", "seq"])
    op.create_table(
        "decisions",
        sa.Column("seq", SEQUENCE, sa.ForeignKey("audit.seq"), primary_key=True, autoincrement=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("plan_id", sa.String(10), sa.ForeignKey("plans.id"), nullable=False),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("decision", sa.String(8), nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("conditions", sa.Text, nullable=False),
    )
    op.create_index("decisions_by_plan", "decisions", ["plan_id", "seq"])
