"""What does not fit together in what stations receive with."""

from __future__ import annotations

from collections.abc import Iterator

from mplan.scenario import raw
from mplan.scenario.validation import KeyProblem

APART = ("antenna_gain", "noise_temperature")  # what G/T is made of


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield stations with a gain without its noise temperature, or with G/T and either of them."""
    for name, station in raw.table(data, "stations").items():
        stated = [key for key in APART if isinstance(station, dict) and key in station]
        if stated and "g_over_t" in station:
            text = f"given together with {stated[0]}; accepted: G/T, or the gain and the "
            yield KeyProblem(("stations", name, "g_over_t"), f"{text}noise temperature")
        elif len(stated) == 1:
            missing = next(key for key in APART if key not in stated)
            example = "56 dBi" if missing == APART[0] else "120 K"
            text = f'missing beside {stated[0]}; write for example: {missing} = "{example}"'
            yield KeyProblem(("stations", name, missing), text)
