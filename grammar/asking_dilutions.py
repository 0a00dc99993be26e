"""Frames that ask for the strength after diluting, or of what is at hand; ``asking_words`` says how they are written."""

Frame = tuple[str, str, tuple[str, ...]]

#: A volume of a solution that is there.
_HAD = "{available:v}( of)?( an?| the)? {stock:c} {what}"
_WATER = "{water:v} (of )?water"
_IF = "((if|when) )?"
_WHO = "((i|we|you) )?"
#: "What is its (new) molarity", after what was done.
_ASKED = "[,.;:?-]*( (what|find|calculate|give))?( (is|will|would))?( (be|the|its|new|resulting|final))* {asked}<OF_IT>"
_MADE = ("{total} from {available} of {stock} {what}",)
_SUM = ("{sum} from {available} of {stock} {what}",)

AFTER_DILUTING: tuple[Frame, ...] = (
    (
        "strength",
        f"{_IF}{_HAD} (<DILUTED>) {{total:v}}"
        f"( (of solution|by (adding|the addition of) water|with (distilled |deionised )?water))?{_ASKED}",
        _MADE,
    ),
    (
        "strength",
        f"{_IF}{_WHO}(dilute|take|start with) {_HAD}( and)? (to make|to give|<DILUTED>) {{total:v}}( of solution)?{_ASKED}",
        _MADE,
    ),
    ("strength", f"{_IF}{_WHO}(add|mix|combine|put) {_WATER} (to|with|into|and) {_HAD}{_ASKED}", _SUM),
    (
        "strength",
        f"{_IF}{_WHO}((add|mix|combine|put|take) )?{_HAD} (to|with|into|and|plus|added to) {_WATER}{_ASKED}",
        _SUM,
    ),
    (
        "strength",
        f"{_IF}{_WHO}add water to {_HAD} (until|till|so that) the (final |total )?volume is {{total:v}}{_ASKED}",
        _MADE,
    ),
    ("strength", f"what {{asked}} results (when|if|from) {_HAD} (<DILUTED>) {{total:v}}", _MADE),
    ("strength", f"{_IF}{_HAD} in {{total:v}}{_ASKED}", _MADE),
    ("strength", f"{{what}}{_ASKED}", ("{what}",)),
)
