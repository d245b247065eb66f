"""What every printed page is made of: its width, titled tables, cautions, a bar for long work."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from shutil import get_terminal_size
from typing import IO, Any

from rich import box
from rich.align import VerticalAlignMethod
from rich.console import Console, Group, JustifyMethod
from rich.segment import Segment
from rich.table import Table
from rich.text import Text

from mplan import lettering
from mplan.cautions import CAUTIONS
from mplan.show.columns import Column, cell, text

WIDTH = 100
_RULE_ONLY = box.Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)
_LEFT = (
    "limit of",
    "what",
    "burn",
    "element",
    "basis",
    "event",
    "UTC",
    "day",
    "side",
    "opens",
    "ends",
    "splash",
    "in",
    "change",
    "margins\nm/s",
    "engine",
    "propellants",
    "status",
    "mission",
    "pad",
    "crew",
    "team",
    "path",
    "work",
    "over",
    "key",
    "figure",
    "held by",
    "combination",
    "what came of it",
    "date",
    "unit",
    "way out",
    "way\nhome",
    "usual way home,\nor why none",
    "of which way,\nwhen [h:min]",
    "of which way,\nwhen [h:min:s]",
    "lands",
)


class Screen(Console):
    """A console that no name gives commands to."""

    def render(self, *args: Any, **kwargs: Any) -> Iterator[Segment]:  # noqa: ANN401 (as above it)
        """Yield what is to be written, its texts as letters alone; the styles are rich's own."""
        for part in super().render(*args, **kwargs):
            yield part if part.control else Segment(lettering.terminal(part.text), part.style)


def console(file: IO[str]) -> Console:
    """Return a console for `file`, as wide as it may be and no wider than 100 columns."""
    if not file.isatty():
        return Screen(file=file, width=WIDTH, no_color=True, highlight=False, markup=False)
    return Screen(
        file=file, width=min(WIDTH, get_terminal_size().columns), highlight=False, markup=False
    )


@contextmanager
def progress(what: str) -> Iterator[Callable[..., None]]:
    """Show how far long work is, on standard error; the yielded function takes done and total.

    A third argument says what is being done. Where no one watches, nothing is shown.
    """
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    shown = Screen(stderr=True, markup=False)
    with Progress(*columns, console=shown, transient=True, disable=not shown.is_terminal) as bar:
        task = bar.add_task(what, total=None)

        def step(done: int, total: int, now: str = what) -> None:
            bar.update(task, completed=done, total=total, description=now)

        yield step


def cautions() -> Group:
    """Return what the numbers are not for."""
    return Group(Text("\nCautions", style="bold"), *(Text(x, style="italic") for x in CAUTIONS))


def titled(
    title: str,
    columns: Sequence[Column],
    rows: Sequence[Any],
    out: Console,
    across: VerticalAlignMethod = "bottom",
) -> Group:
    """Return a table under its title, drawn as wide as `out` allows.

    `across` says where short cells stand beside a cell of several lines.
    """
    lines = box.SIMPLE_HEAD if out.is_terminal else _RULE_ONLY
    table = Table(box=lines, pad_edge=False, show_edge=False, padding=0)
    for column in columns:
        side: JustifyMethod = "left" if column.header in _LEFT else "right"
        table.add_column(column.header, justify=side, vertical=across, overflow="fold")
    for row in rows:
        table.add_row(*(text(cell(x, row), x.digits) for x in columns))
    return Group(Text(f"\n{title}", style="bold"), table)
