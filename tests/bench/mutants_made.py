"""What a line of code could say instead: the slips a mutation run makes, one at a time."""

import ast
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import singledispatch
from types import CodeType

COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
COUNTED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
}
CHOSEN = {"min": "max", "max": "min", "any": "all", "all": "any", "minimum": "maximum"}
CHOSEN |= {"maximum": "minimum", "ceil": "floor", "floor": "ceil"}


@dataclass(frozen=True)
class Slip:
    """One place of a module, and what stands there instead."""

    node: int  # its number among the nodes of the tree, walked in breadth
    line: int
    said: str
    instead: str
    within: str | None  # the outermost function whose body it is in; None: read once, at import

    def __str__(self) -> str:
        return f"{self.line}: {_short(self.said)}  ->  {_short(self.instead)}"


@singledispatch
def instead(node: ast.AST) -> ast.AST | None:
    """What a place in the code could say instead, if anything."""
    return None


@instead.register
def _compared(node: ast.Compare) -> ast.AST | None:
    other = COMPARED.get(type(node.ops[0]))
    return ast.Compare(node.left, [other(), *node.ops[1:]], node.comparators) if other else None


@instead.register
def _counted(node: ast.BinOp) -> ast.AST | None:
    other = COUNTED.get(type(node.op))
    return ast.BinOp(node.left, other(), node.right) if other else None


@instead.register
def _joined(node: ast.BoolOp) -> ast.AST:
    return ast.BoolOp(ast.Or() if isinstance(node.op, ast.And) else ast.And(), node.values)


@instead.register
def _turned(node: ast.UnaryOp) -> ast.AST | None:
    return node.operand if isinstance(node.op, ast.Not | ast.USub) else None


@instead.register
def _either(node: ast.IfExp) -> ast.AST:
    return ast.IfExp(node.test, node.orelse, node.body)


@instead.register
def _asked(node: ast.If) -> ast.AST | None:
    """Other questions hold something that can be changed themselves."""
    plain = isinstance(node.test, ast.Name | ast.Attribute | ast.Call)
    return ast.If(ast.UnaryOp(ast.Not(), node.test), node.body, node.orelse) if plain else None


@instead.register
def _done(node: ast.Expr) -> ast.AST | None:
    return ast.Pass() if isinstance(node.value, ast.Call) else None


@instead.register
def _number(node: ast.Constant) -> ast.AST | None:
    if isinstance(node.value, bool):
        return ast.Constant(not node.value)
    return ast.Constant(node.value + 1) if isinstance(node.value, int | float) else None


@instead.register
def _chosen(node: ast.Name) -> ast.AST | None:
    return ast.Name(CHOSEN[node.id], node.ctx) if node.id in CHOSEN else None


@instead.register
def _called(node: ast.Attribute) -> ast.AST | None:
    return ast.Attribute(node.value, CHOSEN[node.attr], node.ctx) if node.attr in CHOSEN else None


def slips(text: str) -> list[Slip]:
    """Every place of a module that could say something else."""
    tree = ast.parse(text)
    inside = dict(bodies(tree, ()))
    return [
        Slip(at, getattr(node, "lineno", 0), said(node), said(other), inside.get(id(node)))
        for at, node in enumerate(ast.walk(tree))
        if (other := instead(node)) is not None
    ]


def said(node: ast.AST) -> str:
    """Of an `if` only its question."""
    return f"if {ast.unparse(node.test)}" if isinstance(node, ast.If) else ast.unparse(node)


def bodies(node: ast.AST, classes: Sequence[str]) -> Iterator[tuple[int, str]]:
    """Each node in the body of a function, and the name of the outermost one."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.ClassDef):
            yield from bodies(child, (*classes, child.name))
        elif isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef):
            name = ".".join((*classes, child.name))
            yield from ((id(one), name) for part in child.body for one in ast.walk(part))
        else:
            yield from bodies(child, classes)


class Swap(ast.NodeTransformer):
    """Puts one node in place of another."""

    def __init__(self, old: ast.AST, new: ast.AST | None) -> None:
        self.old, self.new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        if node is self.old and self.new is not None:
            return ast.copy_location(self.new, node)
        return self.generic_visit(node)


def broken(text: str, slip: Slip, filename: str) -> CodeType:
    """The whole module with one slip in it."""
    tree = ast.parse(text)
    node = list(ast.walk(tree))[slip.node]
    whole = ast.fix_missing_locations(Swap(node, instead(node)).visit(tree))
    return compile(whole, filename, "exec", dont_inherit=True)


def codes(code: CodeType) -> Iterator[CodeType]:
    """The code of a module and of all that is defined in it."""
    yield code
    for part in code.co_consts:
        if isinstance(part, CodeType):
            yield from codes(part)


def _short(words: str) -> str:
    one = " ".join(words.split())
    return one if len(one) <= 90 else f"{one[:87]}..."
