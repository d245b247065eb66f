"""What sliders stood at, step by step: undo and redo."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic
from typing import Any

Values = dict[str, Any]  # what each slider stands at, by its key


class History:
    """States of the sliders; a run of moves of one of them, without a rest [s], is one step."""

    def __init__(self, first: Values, rest: float, clock: Callable[[], float] = monotonic) -> None:
        """Begin with the first state."""
        self._states, self._place = [first], 0
        self._rest, self._clock = rest, clock
        self._turned: str | None = None  # the slider that the newest step moved, and when
        self._at = 0.0

    @property
    def now(self) -> Values:
        """The state that is reached."""
        return self._states[self._place]

    @property
    def undoes(self) -> bool:
        """Whether there is a step back."""
        return self._place > 0

    @property
    def redoes(self) -> bool:
        """Whether there is a step forward again."""
        return self._place < len(self._states) - 1

    def note(self, values: Values) -> None:
        """Add a state; steps that were undone are gone."""
        moved = [key for key, value in values.items() if value != self.now[key]]
        if not moved:
            return
        now, turned = self._clock(), moved[0] if len(moved) == 1 else None
        runs_on = turned is not None and turned == self._turned and now - self._at < self._rest
        self._turned, self._at = turned, now
        del self._states[self._place + 1 :]
        if runs_on:
            self._states.pop()
        if runs_on and self._states[-1] == values:
            self._turned = None  # moved back to where the run began: there is no step
        else:
            self._states.append(values)
        self._place = len(self._states) - 1

    def rest(self) -> None:
        """End the run: the next state is a step of its own."""
        self._turned = None

    def undo(self) -> Values:
        """Go a step back and return that state; the first one where there is none before."""
        return self._go(max(0, self._place - 1))

    def redo(self) -> Values:
        """Go a step forward again and return that state; the newest where there is none after."""
        return self._go(min(len(self._states) - 1, self._place + 1))

    def _go(self, place: int) -> Values:
        self._place, self._turned = place, None
        return self.now
