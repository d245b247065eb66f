"""A row that writes the scenario shown to a file; it overwrites nothing without asking."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from pathlib import Path

import ipywidgets as widgets

from mplan.scenario import Scenario, ScenarioError
from mplan.show import notes


class SaveRow(widgets.HBox):
    """A file's name, a button, and what became of it."""

    def __init__(self, source: Path, shown: Callable[[], Scenario]) -> None:
        """Offer a name beside the file that is open; `shown` gives what is to be written."""
        self._source, self._shown = source, shown
        self._saved: set[Path] = set()
        self._asked: tuple[Path, bytes] | None = None  # a file that may be overwritten, as it was
        self.name = widgets.Text(
            str(source.with_name(f"{source.stem}_changed.toml")),
            tooltip="file to save the scenario as",
            layout={"width": "340px", "max_width": "100%"},
            continuous_update=False,
        )
        self.button = widgets.Button(description="Save as", icon="save", tooltip="write this file")
        self.saying = widgets.HTML()
        self.button.on_click(lambda button: self.save())
        wrap = {"flex_flow": "row wrap", "align_items": "center"}
        super().__init__([self.name, self.button, self.saying], layout=wrap)

    def save(self) -> None:
        """Write the file, or say why not."""
        path, scenario = Path(self.name.value), self._shown()
        try:
            self._refuse_strange(path)
            if self._asks(path):
                return
            scenario.save(path)
        except (ScenarioError, OSError) as problem:
            self.saying.value = notes.trouble(f"Not saved: {problem}")
            return
        self._saved.add(path.resolve())
        count = len(scenario.changes)
        changes = "as in the file" if not count else f"{count} change{'s' * (count > 1)}"
        self.saying.value = f"Saved {escape(str(path))}: {changes}."

    def _asks(self, path: Path) -> bool:
        """Ask before a file is overwritten; a second press, with the file as it was, is the yes."""
        there = (path.resolve(), path.read_bytes()) if path.exists() else None
        asks = there is not None and there != self._asked
        self._asked = there if asks else None
        if asks:
            own = path.resolve() == self._source.resolve()
            which = "the scenario that is open" if own else "there already"
            text = f"{path} is {which}; press Save as once more to overwrite it."
            self.saying.value = notes.question(text)
        return asks

    def _refuse_strange(self, path: Path) -> None:
        """Raise FileExistsError for a file that neither this panel nor its scenario owns."""
        own = {self._source.resolve(), *self._saved}
        if path.exists() and path.resolve() not in own:
            raise FileExistsError(f"{path} is there already; choose another name")
