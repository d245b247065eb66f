"""A cell that is interrupted while the kit works says so in a line, with no traceback."""

from __future__ import annotations

import sys
from pathlib import Path
from traceback import walk_tb
from types import TracebackType
from typing import Any

KIT = str(Path(__file__).parents[1] / "_")[:-1]  # with what stands between folders
SAID = "Stopped before this cell came to its end. Run it again to go on."


class Interrupted(KeyboardInterrupt):
    """An interruption of the kernel after which there is nothing to show: said in one line."""

    def _render_traceback_(self) -> list[str]:
        """Return what IPython shows."""
        return [f"Interrupted: {self}"]


def in_a_line(shell: Any = None) -> None:  # noqa: ANN401 (an IPython shell, the one there is if None)
    """Let interruptions of the kit's work be told so; those of anybody's own code stay as they are.

    Outside IPython nothing happens.
    """
    if shell is None:
        running = sys.modules.get("IPython")
        shell = running.get_ipython() if running is not None else None
    if shell is not None:
        shell.set_custom_exc((KeyboardInterrupt,), _told)


def _told(
    shell: Any,  # noqa: ANN401
    kind: type[BaseException],
    interruption: BaseException,
    trace: TracebackType | None,
    tb_offset: int | None = None,
) -> None:
    inside = any(frame.f_code.co_filename.startswith(KIT) for frame, _ in walk_tb(trace))
    if inside and not isinstance(interruption, Interrupted):
        kind, interruption = Interrupted, Interrupted(SAID)
    shell.showtraceback((kind, interruption, trace), tb_offset=tb_offset)
