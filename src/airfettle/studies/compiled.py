"""Loops over events, compiled on first use; everything else is arrays.

A function handed to ``jit`` is plain Python on plain arrays and runs as such when called directly. The compiler costs
a second or two to import, so nothing else imports it.
"""

from __future__ import annotations

import hashlib
import inspect
from collections.abc import Callable, Iterator
from functools import cache
from types import FunctionType
from typing import Any, cast

OWN = f"{__package__}."
"""Functions of studies are compiled with those that call them. [text]"""


def inlined(function: Callable[..., Any]) -> Callable[..., Any]:
    """Mark a small function to be written out where it is called: handing it arrays costs more than it does."""
    function.inlined = True  # type: ignore[attr-defined]
    return function


@cache
def jit(function: Callable[..., Any]) -> Callable[..., Any]:
    """Return a function compiled, with the functions of studies that it calls; the same one each time.

    Compiled code is kept on disk beside the source, inside the environment, under a name that holds a digest of all
    source it comes from: another version never runs old code.
    """
    import numba

    assert isinstance(function, FunctionType)
    names = dict(function.__globals__)
    for name, helper in _helpers(function):
        names[name] = jit(helper)
    ready = FunctionType(function.__code__, names, function.__name__, function.__defaults__, function.__closure__)
    ready.__module__ = function.__module__
    ready.__qualname__ = f"{function.__qualname__}_{_digest(function)}"
    how: Any = {"nogil": True, "error_model": "numpy", "inline": "always" if hasattr(function, "inlined") else "never"}
    try:
        return cast(Callable[..., Any], numba.njit(cache=True, **how)(ready))
    except RuntimeError:  # no folder to keep compiled code in
        return cast(Callable[..., Any], numba.njit(**how)(ready))


def _helpers(function: FunctionType) -> Iterator[tuple[str, FunctionType]]:
    """Functions of studies that a function calls, by the name it knows them under."""
    for name in function.__code__.co_names:
        helper = function.__globals__.get(name)
        if isinstance(helper, FunctionType) and helper.__module__.startswith(OWN) and helper is not function:
            yield name, helper


def _all(function: FunctionType) -> set[FunctionType]:
    found = {function}
    for _, helper in _helpers(function):
        found |= _all(helper)
    return found


@cache
def _digest(function: FunctionType) -> str:
    """Digest of the source of a function and of all that it calls, constants of their modules included."""
    called = sorted(_all(function), key=lambda each: (each.__module__, each.__name__))
    modules = [inspect.getmodule(each) for each in (*called, _digest.__wrapped__)]
    text = "".join(inspect.getsource(module) for module in dict.fromkeys(modules) if module is not None)
    return hashlib.sha256(text.encode()).hexdigest()[:12]
