"""The small mistakes that are planted: each changes one place of a file and leaves the rest as it is."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

COMPARE: dict[type[ast.cmpop], tuple[str, ...]] = {
    ast.Lt: ("<=", ">="),
    ast.LtE: ("<", ">"),
    ast.Gt: (">=", "<="),
    ast.GtE: (">", "<"),
    ast.Eq: ("!=",),
    ast.NotEq: ("==",),
    ast.In: ("not in",),
    ast.NotIn: ("in",),
    ast.Is: ("is not",),
    ast.IsNot: ("is",),
}
ARITHMETIC: dict[type[ast.operator], str] = {
    ast.Add: "-",
    ast.Sub: "+",
    ast.Mult: "/",
    ast.Div: "*",
    ast.FloorDiv: "*",
    ast.Mod: "*",
    ast.BitAnd: "|",
    ast.BitOr: "&",
}
SWAPPED = {"min": "max", "max": "min", "any": "all", "all": "any", "sorted": "list"}
ANNOTATIONS = ("annotation", "returns", "type_params")


@dataclass(frozen=True)
class Mutant:
    """One change of one file: where, the text of its line, which sort, what stood and what stands there."""

    file: str
    line: int
    text: str
    sort: str
    old: str
    new: str
    start: int
    end: int

    def applied(self, source: bytes) -> bytes:
        """Return the file's bytes with the change in them."""
        return source[: self.start] + self.new.encode() + source[self.end :]


def mutants_of(file: str, source: bytes) -> list[Mutant]:
    """Return every mutant of a file that still is a program, in the order of the file."""
    text = source.decode("utf-8")
    starts = [0]
    for each in source.splitlines(keepends=True):
        starts.append(starts[-1] + len(each))
    found = []
    for node in _code(ast.parse(text)):
        for sort, start, end, new in _changes(node, source, starts):
            line = source[:start].count(b"\n") + 1
            written = source.splitlines()[line - 1].decode().strip()
            mutant = Mutant(file, line, written, sort, source[start:end].decode(), new, start, end)
            try:
                compile(mutant.applied(source), file, "exec")
            except (SyntaxError, ValueError):
                continue
            found.append(mutant)
    return sorted(set(found), key=lambda one: (one.start, one.end, one.sort, one.new))


def _code(node: ast.AST) -> Iterator[ast.AST]:
    """Yield what runs: no annotation, no docstring, nothing inside a formatted text."""
    yield node
    for name, value in ast.iter_fields(node):
        if name in ANNOTATIONS or isinstance(node, ast.JoinedStr):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.dump(child.test):
                continue
            if isinstance(child, ast.AST):
                yield from _code(child)


def _changes(  # noqa: C901, PLR0912, PLR0915 - a table: one case a sort of change
    node: ast.AST, source: bytes, starts: list[int]
) -> Iterator[tuple[str, int, int, str]]:
    def begin(one: ast.expr | ast.stmt) -> int:
        return starts[one.lineno - 1] + one.col_offset

    def end(one: ast.expr | ast.stmt) -> int:
        return starts[(one.end_lineno or 0) - 1] + (one.end_col_offset or 0)

    def said(one: ast.expr) -> str:
        return source[begin(one) : end(one)].decode()

    def between(left: ast.expr, right: ast.expr, old: str, new: str) -> Iterator[tuple[int, int, str]]:
        gap = source[end(left) : begin(right)].decode()
        if gap.count(old) == 1:
            at = end(left) + len(gap[: gap.index(old)].encode())
            yield at, at + len(old), new

    match node:
        case ast.Compare():
            sides = [node.left, *node.comparators]
            for left, op, right in zip(sides, node.ops, node.comparators, strict=False):
                for new in COMPARE[type(op)]:
                    for edit in between(left, right, _written(op), new):
                        yield "comparison", *edit
        case ast.BinOp() if type(node.op) in ARITHMETIC:
            for edit in between(node.left, node.right, _written(node.op), ARITHMETIC[type(node.op)]):
                yield "arithmetic", *edit
        case ast.BoolOp():
            old, new = ("and", "or") if isinstance(node.op, ast.And) else ("or", "and")
            for left, right in zip(node.values, node.values[1:], strict=False):
                for edit in between(left, right, old, new):
                    yield "boolean", *edit
        case ast.UnaryOp(op=ast.Not()):
            yield "dropped not", begin(node), end(node), f"bool({said(node.operand)})"
        case ast.UnaryOp(op=ast.USub()):
            yield "sign", begin(node), end(node), f"(+{said(node.operand)})"
        case ast.Constant(value=bool()):
            yield "constant", begin(node), end(node), str(not node.value)
        case ast.Constant(value=int() | float()):
            yield "constant", begin(node), end(node), _other_number(node.value)
        case ast.Return(value=ast.expr() as value) if said(value) not in {"None", "[]", "()", "{}"}:
            yield "returns none", begin(value), end(value), "None"
        case ast.If() | ast.IfExp() | ast.comprehension():
            for test in node.ifs if isinstance(node, ast.comprehension) else [node.test]:
                yield "condition", begin(test), end(test), "True"
                yield "condition", begin(test), end(test), "False"
        case ast.Call(func=ast.Name(id=name) as func) if name in SWAPPED:
            yield "function", begin(func), end(func), SWAPPED[name]
        case ast.Set() if len(node.elts) > 1:
            last = node.elts[-1]
            yield "member", end(node.elts[-2]), end(last), ""
        case ast.Continue():
            yield "loop", begin(node), end(node), "break"
        case ast.Break():
            yield "loop", begin(node), end(node), "continue"


def _written(op: ast.cmpop | ast.operator) -> str:
    names = {
        ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==", ast.NotEq: "!=",
        ast.In: "in", ast.NotIn: "not in", ast.Is: "is", ast.IsNot: "is not",
        ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.FloorDiv: "//", ast.Mod: "%",
        ast.BitAnd: "&", ast.BitOr: "|",
    }  # fmt: skip
    return names[type(op)]


def _other_number(value: float) -> str:
    """Return the next whole number; of a fraction nine tenths more, so that a rounding does not hide it."""
    return str(value + 1) if isinstance(value, int) else repr(value * 1.9 if value else 1.0)
