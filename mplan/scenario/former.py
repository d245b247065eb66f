"""Keys of earlier file formats: what each is called now, so that an old file can be mended.

A key that is renamed or removed gets a line in `KEYS`. The message for it then stands alone: that
the same key is unknown, or the new one missing, is not told a second time.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from mplan.scenario.reading.lines import Path
from mplan.scenario.validation import KeyProblem
from mplan.scenario.wording import shown

FORMAT = "mplan-scenario/2"
EARLIER = ("mplan-scenario/1",)


class Former(NamedTuple):
    """A key as it was written, `*` for any name or index; what it is called now, None if gone.

    With a `value`, the key is still good and only that value of it is not.
    """

    key: str
    now: str | None
    why: str = ""
    value: str | None = None


_PAD, _LIMITS = "launch_site.pad", "as each part of the site has its own limit"
_SUPPLIES = "elements.*.supplies"
_ENGINE = "elements.*.engines.*"
KEYS: tuple[Former, ...] = (
    Former(f"{_PAD}.height_limit", "door_height and hook_height", _LIMITS),
    Former(f"{_PAD}.width_limit", "door_width"),
    Former(f"{_PAD}.mass_limit", "platform_load"),
    Former(f"{_PAD}.footprint_limit", "foot_width"),
    Former(f"{_PAD}.element_limit", None, "a pad does not limit the number of elements"),
    Former(f"{_PAD}.clamp_height", "post_height", "it counts under the assembly-hall door only"),
    Former(
        "elements.*.control_capacity",
        "active_guidance",
        "true for an element that carries guidance and control equipment; [control] states what "
        "control authority is required for",
    ),
    Former("control.powered_turn", "powered_steering"),
    Former("control.coasting_turn", "attitude_hold"),
    Former("control.docking_push", "docking_translation"),
    Former("climb.rise_time", "vertical_rise_time"),
    Former("climb.tilt_time", "pitchover_duration"),
    Former("lunar_ascent.rise_time", "vertical_rise_time"),
    Former(f"{_SUPPLIES}.food", "packed_food", "dry food, the water in it and its packaging"),
    Former(f"{_SUPPLIES}.water", "potable_water and hygiene_water"),
    Former(
        f"{_SUPPLIES}.co2_absorber",
        "lioh_canisters",
        "a table with count, mass and rated; or co2_removal for other equipment",
    ),
    Former(f"{_SUPPLIES}.waste_water", "urine_and_condensate_storage"),
    Former(f"{_SUPPLIES}.waste_solids", "faecal_storage"),
    Former(f"{_ENGINE}.ignitions", "starts"),
    Former(f"{_ENGINE}.burn_time", "qualified_duration"),
    Former(f"{_ENGINE}.single_burn_time", "longest_burn"),
    Former(f"{_ENGINE}.needs_settling", "settling_required"),
    Former(
        f"{_ENGINE}.cost",
        "nonrecurring_cost and unit_cost",
        "what is paid once, whatever the count, and what each one costs",
    ),
    Former(f"{_ENGINE}.lead_time", "delivery_time"),
)


def findings(data: dict[str, Any], inside: str = "") -> Iterator[KeyProblem]:
    """Yield a finding for each key of an earlier format.

    `inside` is the place, as in `KEYS`, that `data` takes in a scenario: "" for the whole of it,
    "elements.*.engines.*" for an engine's file read by itself.
    """
    if not inside and data.get("format") in EARLIER:
        yield KeyProblem(("format",), _earlier(data["format"]))
    for former in KEYS:
        if former.key.startswith(inside):
            steps = former.key[len(inside) :].strip(".").split(".")
            for path, value in _matches(data, steps):
                if former.value in (None, value):
                    yield KeyProblem(path, _told(former, value))


def _earlier(found: str) -> str:
    text = f"found {shown(found)}, an earlier format; accepted: {shown(FORMAT)}"
    return f"{text}, once every former key is replaced; each is named with what to write"


def _told(former: Former, value: object) -> str:
    """Say what to write in place of a key, or of a value, and why."""
    what, now = "a former key", former.now
    if former.value is not None:
        what, now = f"found {shown(value)}, a former value", now and shown(now)
    text = f"{what}; write {now} in its place" if now else f"{what}; omit it"
    return f"{text}: {former.why}" if former.why else text


def _matches(data: object, steps: list[str], path: Path = ()) -> Iterator[tuple[Path, object]]:
    """Yield the path and value of everything in `data` that the steps lead to."""
    if not steps:
        yield path, data
        return
    listed = enumerate(data) if isinstance(data, list) else ()
    inside = data.items() if isinstance(data, dict) else listed
    for key, below in inside:
        if steps[0] in ("*", key):
            yield from _matches(below, steps[1:], (*path, key))
