"""The numbers that a module's source holds, by the name of what holds them."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Sequence

NEUTRAL = frozenset({0, 1, 2, 0.5, 100})
"""What arithmetic is made of (a sign, a half, a square, a percentage): no place of a function needs a source
for these. A constant of a module or a class does."""


def numbers_by_place(source: str) -> dict[str, list[float]]:
    """Return "NAME", "Class.NAME" or "function()" -> its numbers in the order of the source."""
    found: dict[str, list[float]] = {}
    for name, node, named in _places(ast.parse(source).body, ""):
        numbers = [number for number in _numbers(node) if named or abs(number) not in NEUTRAL]
        if numbers:
            found.setdefault(name, []).extend(numbers)
    return found


def _places(body: Sequence[ast.stmt], within: str) -> Iterator[tuple[str, ast.AST, bool]]:
    for node in body:
        match node:
            case ast.ClassDef(name=name, body=inner):
                yield from _places(inner, f"{within}{name}.")
            case ast.FunctionDef(name=name):
                yield f"{within}{name}()", node, False
            case ast.Assign(targets=[ast.Tuple(elts=targets)], value=ast.Tuple(elts=values)):
                for target, value in zip(targets, values, strict=True):
                    yield f"{within}{ast.unparse(target)}", value, True
            case (
                ast.Assign(targets=[target], value=value)
                | ast.AnnAssign(target=target, value=ast.expr() as value)
            ):
                yield f"{within}{ast.unparse(target)}", value, True
            case _:
                yield f"{within}()", node, False


def _numbers(node: ast.AST) -> Iterator[float]:
    """Yield the numbers in order; what stands in a subscript or a text is a place, not a value."""
    match node:
        case ast.UnaryOp(op=ast.USub(), operand=ast.Constant(value=int() | float() as value)):
            yield -value
        case ast.Constant(value=bool()) | ast.JoinedStr():
            return
        case ast.Constant(value=int() | float() as value):
            yield value
        case ast.Subscript(value=value):
            yield from _numbers(value)
        case _:
            for child in ast.iter_child_nodes(node):
                yield from _numbers(child)
