"""The pick list: each thing to fetch once, added up over all preparations."""

from typing import Any

from service.planner.figures import amount
from service.ware_reply import amount_document

Document = dict[str, Any]


def pick_list(preparations: list[Document]) -> list[Document]:
    """Totals per reagent over the preparations of the day, unrounded, by name; g and mL are never added to each other."""
    sums: dict[tuple[str, str], list[tuple[int, Document]]] = {}
    made_here: dict[str, int] = {}
    made = {one["n"] for one in preparations}
    for one in preparations:
        for measure in fetched(one["measure"]):
            key = (measure["what"], measure["amount"]["unit"])
            sums.setdefault(key, []).append((one["n"], measure["amount"]))
        for taken in one.get("takes_from", ()):
            if taken["preparation"] in made:
                made_here[taken["what"]] = taken["preparation"]
    found = []
    for (what, unit), parts in sums.items():
        total = parts[0][1] if len(parts) == 1 else amount_document(amount(sum(one["value"] for _, one in parts), unit))
        line: Document = {"what": what, "amount": total, "preparations": list(dict.fromkeys(n for n, _ in parts))}
        if what in made_here:
            line["made_here"] = made_here[what]
        found.append(line)
    return sorted(found, key=lambda line: str(line["what"]).lower())


def fetched(measures: list[Document]) -> list[Document]:
    """What is taken from the shelf: where a solid is weighed for a stock, the stock itself is made on the way."""
    weighed = any(m["role"] == "solute" for m in measures)
    return [m for m in measures if not (weighed and m["role"] == "stock") and m["role"] != "solvent"]
