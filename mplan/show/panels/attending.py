"""Whether somebody is at the page of the cell that is run."""

from __future__ import annotations

from IPython import get_ipython


def attended() -> bool:
    """Tell whether somebody is at the page: who sends cells for a report takes no questions."""
    shell = get_ipython()
    asked = shell.get_parent() if hasattr(shell, "get_parent") else {}
    return bool(asked.get("content", {}).get("allow_stdin"))
