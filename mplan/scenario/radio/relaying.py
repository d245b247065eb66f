"""What does not fit together in the relays of a scenario."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from datetime import date, datetime

from mplan.scenario import quantities, raw
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import shown

FAR = 60  # d between a relay's epoch and the launch day: an orbit known so long before is another


def findings(data: raw.Data) -> Iterator[KeyProblem]:
    """Yield relays without a station, upside down, or of a day far from the launch day."""
    relays = raw.table(data, "relays")
    if relays and not raw.table(data, "stations"):
        text = "relays hand on to ground stations, and there is none; accepted: with [stations]"
        yield KeyProblem(("relays",), text)
    for name, relay in relays.items():
        if not isinstance(relay, dict):
            continue
        low, high = (quantities.read("length", relay.get(x)) for x in ("perilune", "apolune"))
        if low is not None and high is not None and high < low:
            found = shown(relay["apolune"])
            text = f"found {found}; accepted: at least the perilune, {shown(relay['perilune'])}"
            yield KeyProblem(("relays", name, "apolune"), text)
        yield from _far(name, relay.get("epoch"), raw.value(data, "dates.launch_day"))


def _far(name: str, epoch: object, launch: object) -> Iterator[KeyProblem]:
    """Yield an epoch that lies too far from the launch."""
    first, second = _day(epoch), _day(launch)
    if first is not None and second is not None and abs((first - second).days) > FAR:
        found = f"found {shown(epoch)}, {abs((first - second).days)} d from dates.launch_day"
        yield KeyProblem(("relays", name, "epoch"), f"{found}; accepted: {FAR} d at most")


def _day(written: object) -> date | None:
    """Return a day as a file states it; None for what is none, which is told elsewhere."""
    if isinstance(written, datetime):
        return written.date()
    if isinstance(written, date):
        return written
    with suppress(TypeError, ValueError):
        return date.fromisoformat(written)  # type: ignore[arg-type]
    return None
