"""What Numba is told: each function's source with its callees, types, and where it is kept.

A compiled function is kept beside the integrators, under the fingerprint of the machine, of
Numba's version and of the text of all sources.
"""

from __future__ import annotations

import contextlib
import sys
from array import array
from bisect import bisect_right
from collections.abc import Iterable, Iterator
from io import BytesIO
from pathlib import Path
from types import FunctionType
from typing import Any, get_args, get_origin, get_type_hints

import numba
import numpy as np
from numba import types
from numba.core.compiler import CompileResult
from numba.core.environment import Environment, lookup_environment
from numba.core.runtime import rtsys
from numba.core.serialize import NumbaPickler
from numba.extending import overload

from mplan.physics.arcs import compiled

SCALARS = {float: types.float64, int: types.int64, bool: types.boolean}
TABLE = types.PyArray(types.float64, 1, "C")
ROWS = types.Array(types.float64, 2, "C")
LEAST_TABLE = 4  # tuples of numbers as long as this are constant arrays to the compiler


@overload(bisect_right)
def _bisect_right(table: Any, x: Any) -> Any:  # noqa: ANN401 (types of Numba's)
    """Give Numba the bisection of a sorted table."""

    def search(table: Any, x: Any) -> int:  # noqa: ANN401
        low, high = 0, len(table)
        while low < high:
            middle = (low + high) // 2
            if x < table[middle]:
                high = middle
            else:
                low = middle + 1
        return low

    return search if isinstance(table, (types.Buffer, types.UniTuple)) else None


def compile_all(
    sources: Iterable[FunctionType], entries: Iterable[FunctionType], *, only_kept: bool = False
) -> Iterator[Any]:
    """Yield for each entry its compiled function: loaded, or compiled and kept.

    With `only_kept`, KeyError for one that is not kept.
    """
    sources, entries = list(sources), list(entries)
    worlds = {each.__module__: dict(each.__globals__) for each in (*sources, *entries)}
    inner = {each: numba.njit(_in(each, worlds)) for each in (*sources, *entries)}
    for world in worlds.values():
        for name, value in world.items():
            world[name] = _seen(value, inner)
    stamp = compiled.functions_stamp()
    for each in entries:
        yield _compiled(each, inner[each], stamp, only_kept=only_kept)


def _in(function: FunctionType, worlds: dict[str, dict[str, Any]]) -> FunctionType:
    """Return a function as written that looks its names up in a world of its own."""
    world = worlds[function.__module__]
    copy = FunctionType(function.__code__, world, function.__name__, function.__defaults__)
    copy.__module__, copy.__qualname__ = function.__module__, function.__qualname__
    return copy


def _seen(value: Any, inner: dict[FunctionType, Any]) -> Any:  # noqa: ANN401 (any global)
    """Return what a global name stands for to the compiler."""
    written = getattr(value, "written", value)
    if isinstance(written, FunctionType):
        return inner.get(written, value)
    if isinstance(value, tuple) and len(value) >= LEAST_TABLE:
        return np.array(value) if all(isinstance(x, float) for x in value) else value
    return np.array(value) if isinstance(value, array) else value


def _compiled(
    written: FunctionType,
    dispatcher: Any,  # noqa: ANN401 (Numba's)
    stamp: str,
    *,
    only_kept: bool = False,
) -> Any:  # noqa: ANN401
    """Return a dispatcher with the one signature that its annotations tell, and no other."""
    file = compiled.function_file(written)
    dispatcher._cache = _KeptFunction(file, stamp, only_kept=only_kept)
    dispatcher.compile(_signature(written))
    dispatcher.disable_compile()
    return dispatcher


class _KeptFunction:
    """What Numba asks of the cache of a function, answered from the folder of what is ours."""

    def __init__(self, file: Path, stamp: str, *, only_kept: bool) -> None:
        self.only_kept = only_kept
        self.file, self.stamp = file, stamp
        self.cache_path = str(self.file.parent)  # told among its statistics

    def load_overload(self, signature: Any, target: Any) -> CompileResult | None:  # noqa: ANN401
        """Load what is kept. It calls into Numba's run-time alone: all that its compiler knows,
        which Numba's own cache brings in here, would take three times as long as the rest.
        """
        parts = compiled.read(self.file, self.stamp)
        if parts is None and self.only_kept:
            raise KeyError(self.file.stem)
        if parts is None:
            return None
        rtsys.initialize(target)
        return CompileResult._rebuild(target, *parts)

    def save_overload(self, signature: Any, result: CompileResult) -> None:  # noqa: ANN401
        with contextlib.suppress(OSError), BytesIO() as body:
            _KeptPickler(body, protocol=4).dump(result._reduce())
            compiled.write(self.file, self.stamp, body.getvalue())


class _KeptPickler(NumbaPickler):
    """Writes what is kept as Numba does, but for what compiled functions have of their modules."""

    def reducer_override(self, it: Any) -> Any:  # noqa: ANN401 (whatever is written)
        if isinstance(it, Environment):
            return _environment, (it.globals.get("__name__"), list(it.consts), it.env_name)
        return super().reducer_override(it)


def _environment(module: str | None, constants: list[Any], name: str) -> Environment:
    """Return what a compiled function has of its module: constants, and where it was written.

    Numba brings in each module for it, those of its compiler and SciPy among them: two thirds of
    what loading takes. What runs without Python objects reads nothing of them.
    """
    known = lookup_environment(name)
    if known is not None:
        return known
    made = Environment(vars(sys.modules[module]) if module in sys.modules else {"__name__": module})
    made.consts[:] = constants
    made.env_name = name
    Environment._memo[name] = made
    return made


def _signature(written: FunctionType) -> tuple[Any, ...]:
    """Return the types of the arguments, by a function's annotations."""
    hints = get_type_hints(written)
    return tuple(_type(hint) for name, hint in hints.items() if name != "return")


def _type(hint: Any) -> Any:  # noqa: ANN401 (an annotation)
    """Return Numba's type for an annotation of ours; TypeError for one that has none."""
    if hint in SCALARS:
        return SCALARS[hint]
    if hint is array or get_origin(hint) is array:
        return TABLE
    if hint is np.ndarray:
        return ROWS
    if hasattr(hint, "_fields"):
        fields = [_type(each) for each in get_type_hints(hint).values()]
        if len(set(fields)) == 1:
            return types.NamedUniTuple(fields[0], len(fields), hint)
        return types.NamedTuple(fields, hint)
    if get_origin(hint) is tuple:
        return types.BaseTuple.from_types([_type(each) for each in get_args(hint)])
    raise TypeError(f"no compiled function takes {hint}")
