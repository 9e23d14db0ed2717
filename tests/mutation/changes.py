"""Small changes of random lines of the program, one to a line."""

import ast
import copy
import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from tests.mutation.near import ROOT

COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
RECKONED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.FloorDiv: ast.Mult,
    ast.Div: ast.Mult,
}


@dataclass(frozen=True, slots=True)
class Mutation:
    """One small change of one line of a file."""

    file: str
    line: int
    before: str
    after: str
    whole: str
    """The line with its change."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}  {self.before}  →  {self.after}"

    @property
    def layer(self) -> str:
        """The layer that it is in."""
        return self.file.split("/")[1]


def mutations(file: str, source: str, line: int = 0) -> Iterator[Mutation]:
    """Every small change of a module, or of one of its lines."""
    for node in ast.walk(ast.parse(source)):
        if line and getattr(node, "lineno", 0) != line:
            continue
        for other in _others(node):
            before = ast.get_source_segment(source, node)
            if before is None or "\n" in before:
                continue
            after = ast.unparse(ast.fix_missing_locations(other))
            if isinstance(other, ast.expr):
                after = f"({after})"
            yield Mutation(file, node.lineno, before, after, _replaced(source, node, after))  # type: ignore[attr-defined]


def _others(node: ast.AST) -> Iterator[ast.stmt | ast.expr]:
    """What may stand in a node's place."""
    other = copy.deepcopy(node)
    match other:
        case ast.Compare(ops=[operator]) if type(operator) in COMPARED:
            other.ops = [COMPARED[type(operator)]()]
            yield other
        case ast.BoolOp():
            other.op = ast.Or() if isinstance(other.op, ast.And) else ast.And()
            yield other
        case ast.BinOp() if type(other.op) in RECKONED:
            other.op = RECKONED[type(other.op)]()
            yield other
        case ast.UnaryOp(op=ast.Not()):
            yield other.operand
        case ast.Constant(value=bool()):
            yield ast.Constant(not other.value)
        case ast.Constant(value=int() as number):
            yield ast.Constant(number + 1)
        case ast.Return(value=ast.expr() as value) if ast.unparse(value) != "None":
            yield ast.Return(ast.Constant(None))


def _replaced(source: str, node: ast.AST, after: str) -> str:
    line = source.encode().splitlines(keepends=True)[node.lineno - 1]  # type: ignore[attr-defined]
    start, end = node.col_offset, node.end_col_offset  # type: ignore[attr-defined]
    return (line[:start] + after.encode() + line[end:]).decode()


def changed(source: str, changes: Iterable[Mutation]) -> str:
    """A module's source with these changes in it, each on a line of its own."""
    lines = source.encode().splitlines(keepends=True)
    for each in changes:
        lines[each.line - 1] = each.whole.encode()
    return b"".join(lines).decode()


def chosen(count: int, seed: int, layers: list[str]) -> list[Mutation]:
    """One change on each of so many random lines of these layers."""
    paths = [path for layer in layers for path in sorted((ROOT / "carelog" / layer).rglob("*.py"))]
    sources = {path.relative_to(ROOT).as_posix(): path.read_text(encoding="utf-8") for path in paths}
    places = [(file, n) for file, source in sources.items() for n in range(1, source.count("\n") + 1)]
    chance = random.Random(seed)
    found: list[Mutation] = []
    chance.shuffle(places)
    while places and len(found) < count:
        file, line = places.pop()
        if there := list(mutations(file, sources[file], line)):
            found.append(chance.choice(there))
    return found
