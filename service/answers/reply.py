"""The reply to a question or a check: the same document as for a plan, with ``answer`` in place of the plan."""

from grammar.request import Ask, Check, to_document
from rules.plan import Open
from service.answers.checking import Unplanned, check
from service.answers.evaluate import evaluate
from service.answers.terms import Answer, Asked, Consider, Document, Refused, Result, header, options
from service.bench import Bench
from service.impossible import CANNOT_BE_MADE
from service.reply import compose, finding_document, problem_document, versions

#: Answers that differ by less than this say the same, so no question is worth asking.
SAME = 0.0005


def reply(asked: Asked, bench: Bench, consider: Consider) -> tuple[str, Document]:
    """Outcome and reply document (without the id) of a question or a check."""
    result = result_of(asked, bench, consider)
    if isinstance(result, Open) and result.options:
        agreed = _all_agree(asked, result, bench, consider)
        result = agreed or result
    outcome = _outcome(result)
    if isinstance(result, Unplanned):
        return outcome, _unplanned(asked, result, bench, consider)
    document = header(outcome, asked)
    if isinstance(result, Answer):
        said = [*result.assumptions, *asked.request.read_as_notes]
        said += [f"Not used: '{words}'." for words in asked.request.set_aside]
        if said:
            document["assumptions"] = list(dict.fromkeys(said))
        if result.findings:
            document["findings"] = [finding_document(f) for f in result.findings]
        document["answer"] = result.document()
    elif isinstance(result, Open):
        document["question"] = _question(asked, result, bench, consider)
    elif isinstance(result, Refused):
        if result.findings:
            document["findings"] = [finding_document(f) for f in result.findings]
        document["problem"] = problem_document(result.problem)
    else:
        document["problem"] = problem_document(result)
    document["versions"] = versions()
    return outcome, document


def result_of(asked: Asked, bench: Bench, consider: Consider) -> Result | Unplanned:
    """The answer to a question or a check, or what stands in its way."""
    return evaluate(asked, bench, consider) if isinstance(asked, Ask) else check(asked, bench, consider)


def _outcome(result: Result | Unplanned) -> str:
    if isinstance(result, Unplanned):
        return result.considered.outcome
    if isinstance(result, Answer):
        return "answered"
    if isinstance(result, Open):
        return "question"
    problem = result.problem if isinstance(result, Refused) else result
    return "refused" if isinstance(result, Refused) or problem.code in CANNOT_BE_MADE else "not_understood"


def _unplanned(asked: Asked, result: Unplanned, bench: Bench, consider: Consider) -> Document:
    """The reply about the request itself, without its numbers: there is nothing to hold the claim against."""
    judged = result.considered
    document = compose(judged.outcome, asked.request, judged.plan, judged.findings)
    document.pop("plan", None)
    document |= header(judged.outcome, asked)
    if judged.outcome == "question":
        open_ = judged.plan.opens[0] if judged.plan.opens else next(f.question for f in judged.findings if f.question)
        document["question"] = _question(asked, open_, bench, consider)
    return document


def _all_agree(asked: Asked, open_: Open, bench: Bench, consider: Consider) -> Answer | None:
    """The answer, where every way to settle the question leads to the same one."""
    found = [result_of(then, bench, consider) for _, then in options(asked, open_)]
    answers = [f for f in found if isinstance(f, Answer) and f.amount is not None]
    if len(answers) < len(found) or len(answers) < 2 or isinstance(asked, Check):
        return None
    values = [a.amount.value for a in answers if a.amount is not None]
    if max(values) - min(values) > SAME * max(values):
        return None
    answers[0].assumptions.append(f"{open_.text} It makes no difference to the answer.")
    return answers[0]


def _question(asked: Asked, open_: Open, bench: Bench, consider: Consider) -> Document:
    """The question, each option with the whole question or check it leads to and what that gives."""
    found: Document = {"about": open_.about, "text": open_.text, "options": []}
    for option, then in options(asked, open_):
        effect = _effect(result_of(then, bench, consider))
        found["options"].append(
            {"id": option.id, "label": option.label, "effect": effect, "request": to_document(then)}
        )
    if open_.remedy:
        found["remedy"] = open_.remedy
    return found


def _effect(result: Result | Unplanned) -> str:
    if isinstance(result, Answer) and result.amount is not None:
        verdict = f", so {result.more['verdict']}" if "verdict" in result.more else ""
        return result.amount.display + verdict
    if isinstance(result, Open):
        return "a further question follows"
    if isinstance(result, Unplanned) and result.considered.outcome in ("held", "question"):
        return {"held": "must be allowed first", "question": "a further question follows"}[result.considered.outcome]
    return "cannot be made at this strength"
