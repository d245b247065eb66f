"""What is typed behind `mplan`, a file a command: its arguments (`add`), what it does (`run`).

A command loads no more than it needs: heavy modules are brought in where it runs.
"""

__all__ = [
    "brief",
    "cards",
    "compare",
    "engines",
    "events",
    "exit_codes",
    "lab",
    "new",
    "odds",
    "output",
    "programme",
    "report",
    "sensitivities",
    "size",
    "study",
    "ways",
    "windows",
]
