"""What is kept while the events are gone through: what is joined, who is where, what is gone."""

from __future__ import annotations

from collections.abc import Iterable

from mplan.flight.sequence import chain
from mplan.flight.sequence.chain import Chain
from mplan.scenario import Event, Scenario
from mplan.vehicle import stack


class Log:
    """The state of the mission as far as the order of events decides it; nothing is flown.

    A fault that was told is taken as mended, so that one mistake is told once.
    """

    def __init__(self, scenario: Scenario) -> None:
        """Begin on the pad."""
        self.scenario = scenario
        self.chains: list[Chain] = [chain.on_pad(scenario)]
        self.beside = {x: host for x in scenario.stack if (host := scenario.elements[x].beside)}
        self.crew = stack.crew_on_pad(scenario)
        self.gone: dict[str, int] = {}  # by which event
        self.assumed: set[str] = set()  # gone, because their lack of a jettison has been told
        self.ports: set[frozenset[str]] = set()  # pairs that are docked
        self.mended: set[frozenset[str]] = set()  # what a told fault has docked or parted already
        self.told: set[str] = set()  # jettisoned by an event that was told to be at fault

    @property
    def events(self) -> tuple[Event, ...]:
        """The events of this ship, and of the one that may go on with it."""
        return (*self.scenario.events, *self.scenario.then)

    def meet(self, other: Log) -> None:
        """Take in the craft that a ship launched on its own has come to."""
        self.chains += other.chains
        self.beside |= other.beside
        self.ports |= other.ports
        self.assumed.update((*other.gone, *other.assumed))

    def keep(self, elements: Iterable[str]) -> None:
        """Forget everything but the craft that elements belong to."""
        kept = set(elements)
        self.chains = [x for x in self.chains if kept & set(chain.names(x))]
        self.beside = {x: host for x, host in self.beside.items() if x in kept}
        self.ports = {pair for pair in self.ports if pair <= kept}
        self.gone, self.assumed = {}, set()

    def chain_of(self, element: str) -> Chain:
        """Return the chain an element belongs to, by its host if it stands beside one; () if gone.

        What stands beside a host that is gone is gone with it.
        """
        place = self.beside.get(element, element)
        if element in self.beside and element in self.gone:
            return ()
        return next((x for x in self.chains if place in chain.names(x)), ())

    def craft_of(self, element: str) -> tuple[str, ...]:
        """Return everything that is joined to an element, and itself."""
        joined = chain.names(self.chain_of(element))
        hanging = (x for x, host in self.beside.items() if host in joined and x not in self.gone)
        return (*joined, *hanging)

    def there(self, element: str) -> bool:
        """Return whether an element has not been jettisoned."""
        return element not in self.gone and element not in self.assumed

    def jettison(self, elements: Iterable[str], index: int) -> None:
        """Take elements out for good."""
        for name in elements:
            self.gone.setdefault(name, index)
            self.crew.pop(name, None)
        self._drop(elements)

    def assume_gone(self, elements: Iterable[str]) -> None:
        """Take out what should have been jettisoned by now."""
        self.assumed.update(elements)
        self._drop(elements)

    def _drop(self, elements: Iterable[str]) -> None:
        gone = set(elements)
        self._hang_on(gone)
        left = (chain.without(each, gone) for each in self.chains)
        self.chains = [each for each in left if each]
        self.ports = {pair for pair in self.ports if not pair & gone}
        self.beside = {x: host for x, host in self.beside.items() if x not in gone}

    def _hang_on(self, gone: set[str]) -> None:
        """Hang what stood beside something that goes on to what was joined to that."""
        for name, host in self.beside.items():
            if host in gone:
                left = chain.names(chain.without(self.chain_of(host), gone))
                self.beside[name] = left[0] if left else host

    def part(self, elements: Iterable[str]) -> None:
        """Let elements leave as one craft."""
        leaving = set(elements)
        whole = self.chain_of(next(iter(elements)))
        stays = chain.without(whole, leaving)
        leaves = tuple(link for link in whole if link.name in leaving)
        self.chains = [x for x in self.chains if x != whole]
        self.chains += [x for x in (stays, leaves) if x]
        apart = {pair for pair in self.ports if len(pair & leaving) == 1}
        self.ports -= apart

    def join(self, element: str, target: str) -> None:
        """Dock one to another; where both are in one craft, the upper part turns round first."""
        one, other = self.chain_of(element), self.chain_of(target)
        if one == other:
            joined = chain.turned_round(one, element, target)
        else:
            joined = chain.docked(one, element, other, target)
        self.chains = [x for x in self.chains if x not in (one, other)]
        self.chains.append(joined)
        self.ports.add(frozenset((element, target)))

    def goes_later(self, element: str, index: int) -> int | None:
        """Return the event after `index` that jettisons an element, if there is one."""
        for place, event in enumerate(self.events[index + 1 :], index + 1):
            if event.do == "jettison" and element in event.elements:
                return place
        return None

    def burns_later(self, element: str, index: int) -> int | None:
        """Return the event after `index` that lights an element, if there is one."""
        for place, event in enumerate(self.events[index + 1 :], index + 1):
            if event.do == "burn" and element in (event.element, *event.beside):
                return place
        return None

    def burned_before(self, element: str, index: int) -> bool:
        """Return whether an event before `index` lights an element."""
        return any(
            event.do == "burn" and element in (event.element, *event.beside)
            for event in self.events[:index]
        )
