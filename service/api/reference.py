"""GET /v1/rules and /v1/substances: what the bench knows."""

from typing import Annotated

from fastapi import APIRouter, Query
from starlette.responses import Response

from service.api.contract import PHRASEBOOK, RULE, RULE_LIST, SOURCE, SUBSTANCE, SUBSTANCE_LIST, problems
from service.api.respond import Json, from_document
from service.problems import FieldError, Problem
from service.reference import rules, sources, substances
from service.reference.phrasebook import phrasebook

router = APIRouter(prefix="/v1", tags=["reference"])


@router.get(
    "/rules",
    response_class=Json,
    summary="The rules a plan is checked against",
    responses={200: RULE_LIST, **problems("invalid-request")},
)
async def list_rules(
    group: Annotated[
        str | None,
        Query(max_length=80, description="Only this group.", json_schema_extra={"enum": list(rules.groups())}),
    ] = None,
) -> Response:
    """All of them, in the order they run; or those of one group."""
    if group is not None and group not in rules.groups():
        raise Problem(
            "invalid-request",
            "There is no such group of rules.",
            (FieldError("/query/group", "is no group of rules", rules.groups()),),
        )
    return from_document({"rules": rules.rule_list(group)})


@router.get(
    "/rules/{rule_id}",
    response_class=Json,
    summary="One rule in full",
    responses={200: RULE, **problems("no-such-rule")},
)
async def get_rule(rule_id: str) -> Response:
    """Why the rule exists, what it says, where it comes from, and requests that show it at work."""
    found = rules.rule(rule_id)
    if found is None:
        raise Problem("no-such-rule", "No rule has this id.")
    return from_document(found)


@router.get(
    "/substances",
    response_class=Json,
    summary="Search the substances",
    responses={200: SUBSTANCE_LIST, **problems("invalid-request")},
)
async def list_substances(
    q: Annotated[
        str, Query(max_length=200, description="A name, part of one, a formula or a CAS number; empty lists all.")
    ] = "",
) -> Response:
    """Best first; near spellings when nothing fits."""
    found, near = substances.search(q)
    return from_document({"substances": found, **({"suggestions": list(near)} if near else {})})


@router.get(
    "/substances/{slug}",
    response_class=Json,
    summary="One substance in full",
    responses={200: SUBSTANCE, **problems("no-such-substance")},
)
async def get_substance(slug: str) -> Response:
    """Its forms as sold, the names that are read for it, and the source."""
    found = substances.one(slug)
    if found is None:
        raise Problem("no-such-substance", "No substance has this short name.")
    return from_document(found)


@router.get(
    "/sources/{source_id}",
    response_class=Json,
    summary="The document behind a citation",
    responses={200: SOURCE, **problems("no-such-source")},
)
async def get_source(source_id: str) -> Response:
    """Its full reference; a value from memory or from common practice says so here."""
    found = sources.source(source_id)
    if found is None:
        raise Problem("no-such-source", "No source has this id.")
    return from_document(found)


@router.get(
    "/phrasebook",
    response_class=Json,
    summary="How requests may be typed",
    responses={200: PHRASEBOOK},
)
async def get_phrasebook() -> Response:
    """Sentences with the typed request each is read as, and sentences that are turned back, with the reason and what to do."""
    return from_document(phrasebook())
