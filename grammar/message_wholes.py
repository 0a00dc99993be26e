"""Whole messages about the conversation itself, or about what went wrong: "undo", "show it again", "I overshot the mark"."""

import re

from grammar import read_quantity
from grammar.message import Failed, Help, InUnit, More, Repeat, Undo, Unsure
from grammar.message_pieces import QUANTITY
from grammar.units import STRENGTHS, UNIT_PATTERN, UNITS, dimension, read_unit

_END = r"(?: (?:please|now|then|instead|again|thanks))*[\s.,!?]*"
_UNDO = re.compile(
    r"(?:no,? |oops,? |sorry,? |wait,? |never ?mind[,.:]? |please |can you |ok(?:ay)?,? )*(?:undo(?: (?:it|that|this"
    r"|the (?:last|change)(?: change)?))?"
    r"|(?:go|step|change it|put it) back(?: (?:one|a step|one step|to (?:the one|what it was) before|as it was|to (?:how|what) it was))?"
    r"|take that back|revert(?: (?:it|that))?|as it was(?: before)?|the one before|the previous one|back to the (?:one before|previous one"
    rf"|last one))(?: please)?{_END}",
    re.IGNORECASE,
)
_FIRST = re.compile(
    r"(?:ok(?:ay)?,? |no,? |please |let'?s )*(?:go )?back to (?:the )?(?:first|original|very first)(?: (?:one|request|plan|question))?"
    rf"|(?:the )?(?:first|original) (?:request|plan)(?: again)?{_END}",
    re.IGNORECASE,
)
_REPEAT = re.compile(
    r"(?:please |can you |could you |ok(?:ay)?,? )*(?:(?:show|tell|give)(?: me)? (?:it|that|the (?:plan|answer|card|request))(?: again)?"
    r"|repeat(?: (?:it|that|the (?:plan|answer)))?|(?:say|what was) (?:it|that) again|again|remind me(?: (?:please|what i asked))?"
    r"|what did i (?:ask|say|want)(?: for)?|what was (?:the|my) (?:plan|request|question|answer)|where were we"
    rf"|what have we got(?: so far)?){_END}",
    re.IGNORECASE,
)
_HELP = re.compile(
    r"(?:please |ok(?:ay)?,? )*(?:help(?: me)?|\?+|what can (?:you|i) (?:do|ask|say|type)(?: here| for me)?|how does this work"
    r"|how do i (?:use (?:this|you|it)|ask|start)|what do you do|who are you|what are you"
    r"|(?:can|could|would|will) you (?:please )?help(?: me)?(?: (?:to )?(?:make|prepare|with|plan)(?: up)?"
    rf"(?: (?:a|some|my|the))?(?: (?:solutions?|chemicals?|prep(?:aration)?s?))?)?|i need (?:some )?help){_END}",
    re.IGNORECASE,
)
_UNSURE = re.compile(
    r"(?:sorry,? |well,? |hmm+,? |um+,? )*(?:i |we )?(?:(?:really |just )?(?:don'?t|do not) (?:know|mind|care|remember)(?: which(?: one)?)?"
    r"|(?:am |'m |are |'re )?(?:not sure|unsure)(?: which(?: one)?)?|no idea|(?:it )?doesn'?t matter|does not matter"
    r"|whichever(?: (?:we|you) have| is (?:there|easiest|cheapest))?|either(?: one| will do| is fine)?"
    rf"|any(?: of them| one|thing)?(?: will do)?|you (?:choose|decide|pick)|which (?:one )?(?:is|should it be|would you use)){_END}",
    re.IGNORECASE,
)
_MORE = re.compile(
    rf"(?:and |plus |also |i need |we need |make |i want |can i have )*(?:another|an extra|an additional|a further|additional)"
    rf" (?P<q>{QUANTITY})(?: (?:of (?:it|that|this|the same)|more|too|as well)){{0,2}}{_END}"
    rf"|(?:and |plus )*(?P<q2>{QUANTITY}) (?:more|extra)(?: of (?:it|that|the same))?{_END}",
    re.IGNORECASE,
)
_OH = r"(?:oh(?: no| dear)?,? |oops,? |help,? |sorry,? |and |but |damn,? )*"
_BY_MISTAKE = r"(?: by (?:mistake|accident|error)| accidentally| instead(?: of .+)?| wrongly| in error)*"
_FILLED = re.compile(
    rf"{_OH}(?:(?:i(?:'ve| have)?|we(?:'ve| have)?|the student|somebody|someone|it was|they) (?:accidentally )?"
    rf"|(?=.* by (?:mistake|accident)))"
    r"(?:made (?:it )?up|filled(?: it)?|topped(?: it)? up|diluted(?: it)?|went)(?: up)? (?:to|into|past (?:the mark )?to)"
    rf" (?P<q>{QUANTITY}){_BY_MISTAKE}{_END}",
    re.IGNORECASE,
)
_TOO_MUCH = re.compile(
    rf"{_OH}(?:i|we|the student|someone|somebody) (?:added|put in|poured in) (?:(?P<q>{QUANTITY}) )?"
    rf"(?:(?:too|way too) much|of? ?(?:extra|more))(?: (?:of (?:the )?)?(?:water|solvent))?{_BY_MISTAKE}{_END}",
    re.IGNORECASE,
)
_FAILED: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (kind, re.compile(rf"{_OH}(?:{words}){_BY_MISTAKE}{_END}", re.IGNORECASE))
    for kind, words in (
        (
            "overshot",
            r"(?:i|we|it)(?:'ve| have)? (?:overshot|over ?filled|went (?:past|over)|gone (?:past|over)|passed|missed)(?: it)?"
            r"(?: (?:the|my) (?:mark|line|flask))?|(?:the (?:level|meniscus) is )?(?:above|over|past) the (?:mark|line)"
            r"|what if i (?:overshoot|go past|go over|pass)(?: the (?:mark|line))?|too much water",
        ),
        (
            "spilt",
            r"(?:i|we)(?:'ve| have)? (?:spilt|spilled|dropped|lost|knocked over)(?: (?:some|a bit|a little|it|half|all))?"
            r"(?: of)?(?: (?:it|the (?:solid|powder|solution|flask|beaker)))?|some (?:of it )?(?:was )?(?:spilt|spilled|lost)"
            r"|(?:i|we) knocked (?:it|the (?:flask|beaker|bottle)) over|what if i spill (?:it|some)",
        ),
        (
            "not_dissolved",
            r"(?:it|the (?:solid|salt|powder|stuff)|some of it|this) (?:won'?t|doesn'?t|does not|will not|isn'?t|is not|hasn'?t|didn'?t)"
            r" (?:all )?(?:dissolv\w+|go(?:ing)? in(?:to solution)?)(?: completely| fully)?|(?:it|the solution) (?:is|looks|went|goes|'s)"
            r" (?:still )?(?:cloudy|milky|turbid)|there(?: is|'s) (?:still )?(?:some )?(?:solid|undissolved solid)(?: left| at the bottom)?"
            r"|what if it (?:doesn'?t|won'?t|does not) dissolve",
        ),
    )
)
_IN_UNIT = re.compile(
    rf"(?:and |so |ok(?:ay)?,? |please )*(?:(?:what(?:'s| is| would be)? |how much is |express |convert |give me |show )"
    rf"(?:that|it|this|the (?:strength|concentration))? ?(?:be )?)?(?:in|as|to|into) (?P<unit>{UNIT_PATTERN}){_END}",
    re.IGNORECASE,
)


_PERCENTAGE = re.compile(
    rf"(?:and |so )?(?:(?:what(?:'s| is) (?:that|it) )?(?:as|in) (?:a )?(?:percentage|percent|per cent)"
    rf"|what (?:percentage|percent) is (?:that|it)){_END}",
    re.IGNORECASE,
)


def whole(line: str) -> Undo | Repeat | Help | Unsure | More | Failed | InUnit | None:
    """What the whole message says; None for any other."""
    if _FIRST.fullmatch(line):
        return Undo(first=True)
    if _UNDO.fullmatch(line):
        return Undo()
    if _HELP.fullmatch(line):
        return Help()
    if _REPEAT.fullmatch(line):
        return Repeat()
    if _UNSURE.fullmatch(line):
        return Unsure()
    return _more(line) or failed(line) or _in_unit(line)


def _more(line: str) -> More | None:
    found = _MORE.fullmatch(line)
    quantity = read_quantity(found["q"] or found["q2"]) if found else None
    return More(quantity) if quantity is not None and dimension(quantity.unit) in ("volume", "mass") else None


def failed(line: str) -> Failed | None:
    """What went wrong; with the volume it was really made up to, or how much too much went in."""
    filled, extra = _FILLED.fullmatch(line), _TOO_MUCH.fullmatch(line)
    if filled or extra:
        typed = filled["q"] if filled else extra["q"] if extra else None
        quantity = read_quantity(typed) if typed else None
        if quantity is not None and dimension(quantity.unit) != "volume":
            return None
        return Failed("filled" if filled else "overshot", quantity)
    kind = next((kind for kind, pattern in _FAILED if pattern.fullmatch(line)), None)
    return Failed(kind) if kind else None


def _in_unit(line: str) -> InUnit | None:
    if _PERCENTAGE.fullmatch(line):
        return InUnit("%")
    found = _IN_UNIT.fullmatch(line)
    unit = read_unit(found["unit"]) if found else None
    known = unit in UNITS and UNITS[unit].dimension in (*STRENGTHS, "mass", "volume") and unit not in ("m", "X", "vol")
    return InUnit(unit) if unit is not None and known else None
