"""What the file of a sized scenario says beside its keys: from what, and which limit holds it."""

from __future__ import annotations

from pathlib import PurePath

from mplan.scenario.based_file import Note
from mplan.show.sizing.words import told
from mplan.studies.sizing import BASIS, Sized, Sizing


def head(found: Sizing) -> list[str]:
    """Return the lines of comment at the top: what was found, and how."""
    lines = [*told(found), f"Estimates: {BASIS}.", "A planning study, not flight approval."]
    held = [f"{each.room.name}, {each.room.said} left" for each in found.active]
    if held:
        lines.insert(2, f"Limits that hold it: {'; '.join(held)}.")
    return lines


def notes(found: Sizing) -> list[Note]:
    """Return a comment for each freed key, above what it changes."""
    return [_note(each) for each in found.keys]


def _note(each: Sized) -> Note:
    freed = each.freed
    said = f"{freed.key}: from {each.before} to {each.after}; {each.reason}"
    if freed.kind == "engine":
        option = next(x for x in freed.options if x.name == each.value)
        origin = "" if option.listed is None else PurePath(option.listed.file).as_posix()
        return Note(("elements", freed.element, "engines", freed.part), said, origin)
    if freed.element:
        return Note(("elements", freed.element), said)
    steps = (int(x) if x.isdigit() else x for x in freed.key.split("."))
    return Note(tuple(steps), said)
