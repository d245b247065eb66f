"""How grave what a check finds is, and where a scenario sets that otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal, get_args

from pydantic import PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from mplan.scenario.wording import choices, shown

Severity = Literal["stops the flight", "needs a decision", "for information"]
SEVERITIES: tuple[Severity, ...] = get_args(Severity)

CheckName = Literal[
    "sequence",
    "pad",
    "fit",
    "thrust",
    "climb",
    "impact",
    "delta-v",
    "one burn",
    "starts",
    "qualified duration",
    "longest burn",
    "restart",
    "docking cycles",
    "delivery time",
    "settling",
    "crossfeed",
    "boil-off",
    "propellant transfer",
    "thrusters",
    "control",
    "escape",
    "lunar orbit",
    "landing",
    "hardware on the ground",
    "supplies",
    "contingency",
    "air",
    "duration",
    "light",
    "recovery",
    "rendezvous",
    "terrain",
    "rescue",
    "contact",
    "entry",
    "power",
    "battery",
    "heat",
    "radiation",
    "earlier mission",
    "ways out",
]
WAYS_OUT: CheckName = "ways out"  # asked of a coverage that is flown on demand, not of a flight


def _judged(value: Any) -> Severity | dict[str, Severity]:  # noqa: ANN401  (as the file has it)
    """Return one severity for a check, or one by event or element."""
    named = value if isinstance(value, Mapping) else {"": value}
    for each in named.values():
        if each not in SEVERITIES:
            text = f"found {shown(each)}; accepted: {choices(SEVERITIES)}, or a table of these by "
            raise PydanticCustomError("quantity", "{text}", {"text": text + "event or element"})
    return dict(value) if isinstance(value, Mapping) else value


_WORD = {"enum": list(SEVERITIES)}
Judged = Annotated[
    Severity | dict[str, Severity],
    PlainValidator(_judged),
    WithJsonSchema({"anyOf": [_WORD, {"type": "object", "additionalProperties": _WORD}]}),
]
