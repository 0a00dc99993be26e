"""What the published contract says of each response: its shape and an example."""

from typing import Any, get_args

from service import problems as problem_kinds
from service.api import examples, examples_reading, examples_talk
from service.api.wishes import FIELDS as WISHES
from service.problems import KINDS
from service.requests import KINDS as REQUEST_KINDS
from service.schemas.approvals import ConditionsShape
from service.schemas.common import Outcome
from service.schemas.conversation import Conversation, Opened
from service.schemas.days import PrepDayBody
from service.schemas.policies import PolicyDecision, PolicyProposal
from service.schemas.reading import Reading
from service.schemas.reference import (
    Health,
    Live,
    PhrasebookShape,
    ProblemDocument,
    ProblemList,
    ProblemPage,
    RuleList,
    RuleShape,
    SourceShape,
    Start,
    SubstanceList,
    SubstanceShape,
)
from service.schemas.reply import PlanList, Reply
from service.schemas.shelf import BottleBody, EventBody
from service.schemas.webhooks import RotationBody, SwitchBody, WebhookBody

OUTCOMES: tuple[str, ...] = get_args(Outcome)
Described = dict[str, Any]

_CLASS_SET: Described = {"class_set": {"$ref": "#/components/schemas/ClassSet"}}  # instead of a volume
_HEADER = {"schema": {"type": "string"}}
IDEMPOTENCY_KEY: Described = {
    "name": "Idempotency-Key",
    "in": "header",
    "required": False,
    "description": "The same key with the same body gets the first answer again, marked Idempotency-Replayed; with "
    "another body 422; while the first is being answered 409. Kept for 30 days, for each client apart.",
    "schema": {"type": "string", "maxLength": 200},
}
_REPLY_HEADERS = {
    "Idempotency-Replayed": {**_HEADER, "description": "true when this is the answer of an earlier request."},
    "Content-Location": {**_HEADER, "description": "Where this reply is kept."},
    "ETag": {
        **_HEADER,
        "description": "SHA-256 of the canonical reply without its id: the same request gives the same. That of a held "
        "plan that was fetched has a second part, which changes with every decision.",
    },
    "Prepwright-Audit-Head": {
        **_HEADER,
        "description": "The reply's own audit entry, number:hash. Keep it as a receipt.",
    },
}


def described(shape: Any, description: str, shown: dict[str, Any], headers: Described | None = None) -> Described:
    """A response of that shape, with named examples."""
    named = {name: {"summary": name.replace("_", " "), "value": value} for name, value in shown.items()}
    found: Described = {
        "model": shape,
        "description": description,
        "content": {"application/json": {"examples": named}},
    }
    return {**found, "headers": headers} if headers else found


REPLY = described(Reply, "The reply, with one of six outcomes.", examples.REPLIES, _REPLY_HEADERS)


def described_reply(description: str, shown: dict[str, Any]) -> Described:
    """A response that is a reply, with examples of its own."""
    return described(Reply, description, shown, _REPLY_HEADERS)


MESSAGE_REPLY = described(Reply, "The reply, with one of six outcomes.", examples_talk.MESSAGES, _REPLY_HEADERS)
OPENED = described(
    Opened,
    "The conversation.",
    {"opened": examples_talk.OPENED},
    {"Location": {**_HEADER, "description": "Where its messages go."}},
)
CONVERSATION = described(Conversation, "The conversation.", {"conversation": examples_talk.CONVERSATION})
PLAN_LIST = described(PlanList, "One page, newest first.", {"page": examples.PLAN_LIST})
READING = described(Reading, "The fields that were read, or where reading stopped.", examples_reading.READINGS)
RULE_LIST = described(RuleList, "The rules.", {"rules": examples.RULE_LIST})
RULE = described(RuleShape, "The rule.", {"rule": examples.RULE})
SUBSTANCE_LIST = described(
    SubstanceList, "What matches.", {"found": examples.SUBSTANCE_LIST, "near": examples.SUBSTANCE_NEAR}
)
SUBSTANCE = described(SubstanceShape, "The substance.", {"substance": examples.SUBSTANCE})
PHRASEBOOK = described(PhrasebookShape, "The phrasebook.", {"phrasebook": examples.PHRASEBOOK})
SOURCE = described(SourceShape, "The source.", {"source": examples.SOURCE})
HEALTH = described(Health, "The state of the service.", {"ready": examples.HEALTH})
LIVE = described(Live, "The process runs.", {"live": {"live": True}})
START = described(Start, "What is where.", {"start": examples.START})
METRICS: Described = {
    "description": "The counters.",
    "content": {
        "text/plain": {
            "schema": {"type": "string"},
            "examples": {"one": {"value": 'prepwright_requests_total{method="POST",route="/v1/plans",status="200"} 3.0'}},
        }
    },
}
PROBLEM_LIST = described(
    ProblemList, "Every problem type.", {"problems": {"problems": [problem_kinds.page(KINDS["no-such-plan"])]}}
)
PROBLEM_PAGE = described(ProblemPage, "What it means.", {"page": problem_kinds.page(KINDS["no-such-plan"])})

# What the outermost layer may answer at any address.
_ANYWHERE = ("unknown-host", "fault")


def problems(*slugs: str) -> dict[int | str, Described]:
    """The problem responses of an endpoint, by status, with an example of each kind."""
    by_status: dict[int | str, Described] = {}
    for slug in (*slugs, *_ANYWHERE):
        kind = KINDS[slug]
        shown = problem_kinds.document(examples.problem(slug), "7c1f0a9be2d34f58")
        held = by_status.setdefault(
            kind.status,
            {
                "description": "",
                "content": {
                    problem_kinds.MEDIA_TYPE: {
                        "schema": {"$ref": "#/components/schemas/ProblemDocument"},
                        "examples": {},
                    }
                },
            },
        )
        held["content"][problem_kinds.MEDIA_TYPE]["examples"][slug] = {"summary": kind.title, "value": shown}
        held["description"] = " / ".join(filter(None, (held["description"], kind.title)))
    return by_status


def ask_body() -> Described:
    """The request body of POST /v1/plans."""
    return {
        "required": True,
        "content": {
            "application/json": {
                "schema": {
                    "oneOf": [
                        {
                            "type": "object",
                            "required": ["text"],
                            "additionalProperties": False,
                            "properties": {
                                "text": {"type": "string", "description": "The request in plain words."},
                                **_CLASS_SET,
                                **WISHES,
                            },
                        },
                        {
                            "type": "object",
                            "required": ["request"],
                            "additionalProperties": False,
                            "properties": {
                                "request": {
                                    "oneOf": [
                                        {"$ref": f"#/components/schemas/{kind.__name__}"}
                                        for kind in REQUEST_KINDS.values()
                                    ]
                                },
                                **_CLASS_SET,
                                **WISHES,
                            },
                        },
                    ]
                },
                "examples": {
                    name: {"summary": name.replace("_", " "), "value": value} for name, value in examples.ASKED.items()
                },
            }
        },
    }


EXTRA_SHAPES: tuple[Any, ...] = (
    ProblemDocument,
    ConditionsShape,
    BottleBody,
    EventBody,
    PrepDayBody,
    PolicyProposal,
    PolicyDecision,
    WebhookBody,
    RotationBody,
    SwitchBody,
)
