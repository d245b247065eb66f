"""An act put off until nobody has asked for it anew for a while, in the loop that is running.

In a notebook that is the kernel's own loop, between two messages: no thread, nothing to lock.
Where no loop runs, as in a plain script, nothing is put off and nothing happens by itself.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable


class Pause:
    """One act and the time [s] that must pass first."""

    def __init__(self, act: Callable[[], None], length: float) -> None:
        """Keep the act; nothing is put off yet."""
        self._act, self._length = act, length
        self._handle: asyncio.TimerHandle | None = None

    @property
    def waits(self) -> bool:
        """Whether the act is yet to come."""
        return self._handle is not None

    def begin(self) -> bool:
        """Put the act off from now on, whatever was put off before; False where no loop runs."""
        self.end()
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            return False
        self._handle = loop.call_later(self._length, self._over)
        return True

    def end(self) -> None:
        """Put nothing off any more."""
        if self._handle is not None:
            self._handle.cancel()
            self._handle = None

    def _over(self) -> None:
        self._handle = None
        self._act()
