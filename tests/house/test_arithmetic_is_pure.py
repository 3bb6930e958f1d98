"""The layers that compute touch no file, clock, chance or screen."""

import ast

import pytest
from source_tree import ARITHMETIC, modules

BANNED_MODULES = {"os", "pathlib", "json", "datetime", "random", "logging", "time", "io"}
BANNED_CALLS = {"open", "print", "input", "eval", "exec"}
MODULES = list(modules(*ARITHMETIC))


@pytest.mark.parametrize(("file", "tree"), MODULES, ids=[file for file, _ in MODULES])
def test_nothing_but_arithmetic(file, tree):
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            assert not {a.name.split(".")[0] for a in node.names} & BANNED_MODULES, file
        if isinstance(node, ast.ImportFrom):
            assert (node.module or "").split(".")[0] not in BANNED_MODULES, file
        assert not isinstance(node, ast.Global), file
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in BANNED_CALLS, f"{file} calls {node.func.id}"
