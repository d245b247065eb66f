"""What the launch site allows, limit by limit, and what the stack has against each.

Estimates for planning: the design load of a platform also covers wind and the release, and the
site's own engineers and range authority settle what stands there.
"""

from __future__ import annotations

from typing import NamedTuple

from mplan.physics.propellants import PROPELLANTS
from mplan.scenario import Element, Scenario
from mplan.scenario.events import burns_of
from mplan.vehicle import geometry
from mplan.vehicle.ledger import main_engine, thrust_at_sea_level
from mplan.vehicle.stack import on_pad


class SiteLimit(NamedTuple):
    """A limit of the launch site, by its key; None where it is not stated or nothing counts.

    `found` and `limit` are SI; `scale` turns them into `unit`. `excess` is a sentence about a
    stack beyond the limit, with a place for how far.
    """

    key: str
    name: str
    found: float | None
    limit: float | None
    unit: str
    scale: float
    excess: str

    @property
    def over(self) -> float:
        """How far the stack is beyond the limit, SI; negative is room left, 0 if not limited."""
        return 0.0 if self.found is None or self.limit is None else self.found - self.limit


class _Kind(NamedTuple):
    """What is said of a limit, whatever the stack."""

    name: str
    unit: str
    scale: float
    excess: str


_KINDS = {
    "door_height": _Kind(
        "assembly-hall door, height with posts",
        *("m", 1.0, "the stack is {} too tall for the assembly-hall door"),
    ),
    "door_width": _Kind(
        "assembly-hall door, width",
        *("m", 1.0, "the stack is {} too wide for the assembly-hall door"),
    ),
    "hook_height": _Kind(
        "crane hook, top of the stack", *("m", 1.0, "the stack is {} too tall for the crane")
    ),
    "platform_load": _Kind(
        "launch platform, lift-off mass",
        *("t", 1e-3, "the stack is {} too heavy for the launch platform"),
    ),
    "umbilical_reach": _Kind(
        "umbilicals, highest connection",
        *("m", 1.0, "the highest umbilical connection is {} above the umbilicals' reach"),
    ),
    "deflector_thrust": _Kind(
        "flame deflector, lift-off thrust",
        *("MN", 1e-6, "the lift-off thrust is {} too much for the flame deflector"),
    ),
    "foot_width": _Kind(
        "launch platform, width of the foot",
        *("m", 1.0, "the stack is {} too wide at its foot for the launch platform"),
    ),
}


def limits(scenario: Scenario) -> tuple[SiteLimit, ...]:
    """Return every limit that a launch site can have, and the stack's figure against it.

    The stack stands on its hold-down posts under the door only; heights elsewhere are counted
    from its foot.
    """
    stack, pad = on_pad(scenario), scenario.launch_site.pad
    found = {
        "door_height": stack.height + pad.post_height,
        "door_width": stack.width,
        "hook_height": stack.height,
        "platform_load": stack.mass,
        "umbilical_reach": highest_connection(scenario),
        "deflector_thrust": lift_off_thrust(scenario),
        "foot_width": stack.foot,
    }
    return tuple(
        SiteLimit(key, kind.name, found[key], getattr(pad, key), *kind[1:])
        for key, kind in _KINDS.items()
    )


def highest_connection(scenario: Scenario) -> float | None:
    """Return the height [m] above the stack's foot of the highest umbilical, None if there is none.

    It is at the upper end of the uppermost element that is loaded on the pad.
    """
    stack = geometry.standing(scenario)
    return max((each.top for each in stack if _loaded_there(each.element)), default=None)


def _loaded_there(element: Element) -> bool:
    """Tell whether a tank is filled on the pad: what is cryogenic, and kerosene.

    Storable and solid propellants are loaded before roll-out (common practice, no source).
    """
    held = {tank.propellant for tank in element.tanks.values()}
    return "kerosene" in held or any(PROPELLANTS[each].cryogenic for each in held)


def lift_off_thrust(scenario: Scenario) -> float | None:
    """Return the thrust at sea level [N] of all that burns at lift-off, None without a climb burn.

    Where an engine states none at sea level, its thrust in vacuum counts.
    """
    first = next(burns_of(scenario.events, "climb"), None)
    if first is None:
        return None
    core = main_engine(scenario.elements[first.element], first.engine)[1]
    boosters = (main_engine(scenario.elements[name])[1] for name in first.beside)
    return sum(map(thrust_at_sea_level, (core, *boosters)))
