"""What is said of the solution beside how it is made: what it is titrated in, what it is saturated with."""

from grammar.facts import NAME_TYPES, ReadingError, Scanner
from grammar.tokens import Piece

#: What a redox titration is done in, as the tables of equivalents say it.
_MEDIA = {"acid": "acid", "acidic": "acid", "alkaline": "alkaline", "basic": "alkaline", "neutral": "neutral"}
_MEDIUM_WORDS = frozenset(("medium", "conditions", "solution", "media"))
#: Sparingly soluble salts that a solution is kept over: they change its own strength by nothing that could be measured.
_KEPT_OVER = frozenset(
    ("agcl", "silver chloride", "hg2cl2", "calomel", "mercury chloride", "caco3", "calcium carbonate")
)


def changed(scan: Scanner, token: Piece) -> None:
    """ "half-strength", "saturated", "less than": changes an amount in a way that is not read, so nothing is read."""
    if token.lower() == "saturated" and _kept_over_salt(scan):
        return
    code = "saturated" if "saturated" in token.lower() else "amount-changed"
    raise ReadingError(code, token.start_pos, token.end_pos)


def _kept_over_salt(scan: Scanner) -> bool:
    """ "3 M KCl saturated with AgCl": the strength stands; the second salt is added until a little stays."""
    j, kind = scan.ahead(frozenset(("FILLER",)))
    if kind not in ("WITH", "IN") or not scan.facts.strengths:
        return False
    start = end = j + 1
    while end < len(scan.chunks) and scan.chunks[end].type in NAME_TYPES:
        end += 1
    name = " ".join(str(c) for c in scan.chunks[start:end])
    if name.lower() not in _KEPT_OVER:
        return False
    scan.facts.notes.append(
        f"to be saturated with {name} when it is made: shake with a little of it until some stays undissolved"
    )
    scan.i = end
    return True


def reaction_medium(scan: Scanner, j: int) -> bool:
    """ "0.1 N KMnO4 in acid medium", "for redox in acid": what the titration is done in, which settles the equivalents."""
    facts = scan.facts
    normal = any(f.amount.kind == "normal" for f in facts.strengths)
    if str(scan.chunks[j]).lower() not in _MEDIA or not (normal or facts.reaction):
        return False
    end = j + 1
    while end < len(scan.chunks) and str(scan.chunks[end]).lower() in _MEDIUM_WORDS:
        end += 1
    if end < len(scan.chunks) and scan.chunks[end].type in NAME_TYPES:
        return False
    start = facts.reaction[0] if facts.reaction else scan.chunks[j].start_pos
    facts.reaction, scan.i = (start, scan.chunks[end - 1].end_pos), end
    return True
