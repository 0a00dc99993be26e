"""The words that name a source: "from", "conc", "stock", "pellets", and what stands on its label."""

from grammar.facts import JOINERS, Scanner
from grammar.lexing import Amount
from grammar.request import Quantity
from grammar.tokens import Piece
from grammar.units import STRENGTHS

_FILLED = frozenset(("FILLER", "COMMAND", "APPROX", "ACCURATE"))


def open_source(scan: Scanner, _token: Piece) -> None:
    """ "from", "using": what follows is the source, until another clause opens. "I have 24 students" opens none."""
    none: frozenset[str] = frozenset()
    if scan.ahead(none)[1] == "NUMBER" and scan.ahead(none, scan.i + 1)[1] in ("WHO", "CLASSOF", "SETS"):
        return
    scan.place, scan.loose = "source", False
    scan.facts.source_opener = "from"


def concentrated(scan: Scanner, _token: Piece) -> None:
    """ "concentrated": the source is the reagent bottle; opens the source clause when none is open."""
    scan.facts.source_words.add("concentrated")
    if scan.place == "open" and not scan.facts.source_opener:
        scan.place, scan.loose = "source", False
        scan.facts.source_opener = "conc"


def stock(scan: Scanner, _token: Piece) -> None:
    """ "stock": names the source when a source clause is open or a strength follows ("stock is 1 M")."""
    letter = scan.chunks[scan.i] if scan.i == 1 and len(scan.chunks) > 2 else None
    if isinstance(letter, Piece) and len(letter) == 1 and letter.isalpha() and scan.chunks[2] == ":":
        # "Stock A: ..." is a title.
        scan.i += 1
        return
    if scan.place == "source":
        scan.facts.source_words.add("stock")
        return
    _, kind = scan.ahead(_FILLED | {"EQUALS", "BREAK"})
    strengths = sum(isinstance(c, Amount) and c.kind in STRENGTHS for c in scan.chunks)
    if kind == "QUANTITY" and strengths > 1:
        scan.place, scan.loose = "source", False
        scan.facts.source_opener = scan.facts.source_opener or "stock"
        scan.facts.source_words.add("stock")


def standard(scan: Scanner, _token: Piece) -> None:
    """ "standard": a stock when it ends a source clause, else what the solution is for."""
    if scan.place == "source" and not scan.loose:
        scan.facts.source_words.add("stock")
    else:
        scan.facts.purposes.add("standard")


def solid(scan: Scanner, token: Piece) -> None:
    """ "pellets", "crystals": the source is a solid. "tin crystals" is a name of its own."""
    run = scan.facts.runs[-1] if scan.facts.runs else None
    if run is not None and token.lower() == "crystals" and len(run.tokens) == 1 and run.end == token.start_pos - 1:
        word = run.tokens[0]
        if word.type == "WORD" and not word.lower().endswith(("ate", "ide", "ite", "acid")):
            run.tokens.append(token)
    scan.facts.source_words.add("solid")


def dilute(scan: Scanner, _token: Piece) -> None:
    """ "dilute 6 M acid to ...": a verb when it comes first and a strength or volume to make follows; else an adjective."""
    started = scan.facts.strengths or scan.facts.volumes or scan.facts.runs
    verb = not started and any(c.type in ("TO", "DOWNTO", "FOR", "COMMAND") for c in scan.chunks[scan.i :])
    said_before = scan.facts.strengths and scan.place == "open" and not scan.facts.volumes
    if verb or (said_before and _stock_follows(scan)):
        scan.place, scan.loose = "source", False
        scan.facts.source_opener = "dilute"


def _stock_follows(scan: Scanner) -> bool:
    """ "0.01 M X: dilute 10.0 mL of 0.1 M X to 100.0 mL": how the solution is made, after what it is."""
    volume = scan.amount(scan.ahead(_FILLED)[0])
    strength = scan.amount(scan.ahead(frozenset(("OF", "FILLER")), scan.ahead(_FILLED)[0] + 1)[0])
    return volume is not None and volume.kind == "volume" and strength is not None and strength.kind in STRENGTHS


def density(scan: Scanner, token: Piece) -> None:
    """ "density 1.18", "d = 1.18 g/mL"; a lone "d" is part of a name."""
    j, _ = scan.ahead(JOINERS)
    amount = scan.amount(j)
    if amount is not None and amount.type == "NUMBER" and amount.value is not None:
        scan.facts.density, scan.i = Quantity(amount.value, "g/mL"), j + 1
    elif amount is not None and amount.quantity is not None and amount.kind in ("density", "mass per volume"):
        scan.facts.density, scan.i = amount.quantity, j + 1
    elif token.lower() == "d":
        scan.name(token)
    else:
        scan.set_aside(token)


def purity(scan: Scanner, token: Piece) -> None:
    """ "assay 98.5 %", "purity of 97"; without a number "pure" is only shown."""
    j, _ = scan.ahead(JOINERS)
    amount = scan.amount(j)
    if amount is not None and amount.type == "NUMBER" and amount.value is not None:
        scan.facts.purity, scan.i = Quantity(amount.value, "%"), j + 1
    elif amount is not None and amount.quantity is not None and amount.kind == "percent":
        scan.facts.purity, scan.i = amount.quantity, j + 1
    else:
        scan.set_aside(token)


def label(scan: Scanner, token: Piece) -> None:
    """ "bottle says 37.2 %": the source's strength or purity, whatever its substance makes of it."""
    j, kind = scan.ahead(JOINERS)
    amount = scan.amount(j) if kind == "QUANTITY" else None
    if amount is not None and amount.quantity is not None and amount.kind in STRENGTHS:
        _, following = scan.ahead(frozenset(("FILLER",)), j + 1)
        if following == "PURE":
            return
        scan.facts.label_strength, scan.i = amount.quantity, j + 1
    elif kind not in ("PURE", "DENSITY"):
        scan.set_aside(token)
