"""Where a file can be changed, and how: every site of a syntax tree with its replacements."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
RECKONED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult, ast.Mod: ast.Add,
    ast.Pow: ast.Mult,
}  # fmt: skip
CALLED = {
    "min": "max", "max": "min", "sin": "cos", "cos": "sin", "tan": "sin", "asin": "acos", "acos": "asin", "floor": "ceil",
    "ceil": "floor", "any": "all", "all": "any", "up": "down", "down": "up", "degrees": "radians", "radians": "degrees",
}  # fmt: skip


@dataclass(frozen=True)
class Mutant:
    """One change of one file.

    Parameters
    ----------
    module : str
        Path of the file from the top of the checkout.
    where : str
        Function that it stands in and name that is given a value, or "module".
    was, now : str
        The changed expression or statement before and after.
    nth : int
        Which of those that read alike in that function, from 1.
    begin, end : int
        Lines of the statement.
    site : int
        Number of the change in the file; the text of the changed file follows from it.
    loading : bool
        Whether it runs while the module is loaded, as a constant does.
    """

    module: str
    where: str
    was: str
    now: str
    nth: int
    begin: int
    end: int
    site: int
    loading: bool

    @property
    def name(self) -> str:
        """What it is known by: it stays the same when lines are added above it."""
        count = f" (no. {self.nth})" if self.nth > 1 else ""
        return f"{self.module} {self.where}: {self.was} -> {self.now}{count}"


def _replacements(node: ast.AST) -> Iterator[ast.AST]:
    """Every other node that one node may be changed to."""
    match node:
        case ast.Compare(left, [operator, *more], rest) if type(operator) in COMPARED:
            yield ast.Compare(left, [COMPARED[type(operator)](), *more], rest)
            if type(operator) in (ast.Lt, ast.LtE, ast.Gt, ast.GtE):
                turned = {ast.Lt: ast.Gt, ast.LtE: ast.GtE, ast.Gt: ast.Lt, ast.GtE: ast.LtE}[type(operator)]
                yield ast.Compare(left, [turned(), *more], rest)
        case ast.BinOp(left, operator, right) if type(operator) in RECKONED and not isinstance(
            left, ast.Constant | ast.JoinedStr
        ):
            yield ast.BinOp(left, RECKONED[type(operator)](), right)
        case ast.BoolOp(operator, values):
            yield ast.BoolOp(ast.Or() if isinstance(operator, ast.And) else ast.And(), values)
        case ast.UnaryOp(ast.Not() | ast.USub(), operand):
            yield operand
        case ast.Constant(bool(value)):
            yield ast.Constant(not value)
        case ast.Constant(int(value)):
            yield ast.Constant(value + 1)
            if value > 1:
                yield ast.Constant(value - 1)
        case ast.Constant(float(value)):
            yield ast.Constant(value * 1.01 if value else 1.0)
        case ast.Call(ast.Name(name) as called, arguments, keywords) if name in CALLED:
            yield ast.Call(ast.Name(CALLED[called.id], ast.Load()), arguments, keywords)
        case ast.Call(ast.Attribute(value, name), arguments, keywords) if name in CALLED:
            yield ast.Call(ast.Attribute(value, CALLED[name], ast.Load()), arguments, keywords)
        case ast.IfExp(test, body, other):
            yield ast.IfExp(test, other, body)
        case ast.If(test, body, other):
            yield ast.If(ast.UnaryOp(ast.Not(), test), body, other)
        case ast.Raise() | ast.AugAssign() | ast.Continue() | ast.Break():
            yield ast.Pass()
        case ast.Expr(ast.Call() | ast.Yield()):
            yield ast.Pass()
        case ast.Return(ast.expr() as value) if not isinstance(value, ast.Constant):
            yield ast.Return(ast.Constant(None))
        case _:
            return


class _Sites(ast.NodeTransformer):
    """Walks a tree, counts the changes that can be made, and makes the one that is asked for."""

    def __init__(self, module: str, wanted: int | None = None) -> None:
        self.module, self.wanted = module, wanted
        self.found: list[Mutant] = []
        self.where: list[str] = []
        self.lines = (1, 1)
        self.held: list[str] = []
        self.loading = True
        self.seen: dict[tuple[str, str, str], int] = {}

    def visit(self, node: ast.AST) -> ast.AST:
        if isinstance(node, ast.stmt):
            # A block's own line is that of its head: its body has lines of its own.
            last = node.body[0].lineno - 1 if getattr(node, "body", None) else node.end_lineno or node.lineno
            self.lines = (node.lineno, max(node.lineno, last))
            self.held = _target(node)
        begin, end = self.lines
        for other in _replacements(node):
            if (made := self._count(node, other, begin, end)) is not None:
                return made
        return self._inside(node)

    def _count(self, node: ast.AST, other: ast.AST, begin: int, end: int) -> ast.AST | None:
        was, now = (_short(each) for each in (node, other))
        where = ".".join(self.where + self.held) or "module"
        nth = self.seen[where, was, now] = self.seen.get((where, was, now), 0) + 1
        self.found.append(Mutant(self.module, where, was, now, nth, begin, end, len(self.found), self.loading))
        return ast.copy_location(other, node) if self.wanted == len(self.found) - 1 else None

    def _inside(self, node: ast.AST) -> ast.AST:
        match node:
            case ast.FunctionDef() | ast.ClassDef() | ast.AsyncFunctionDef():
                self.where.append(node.name)
                loading, self.loading = self.loading, self.loading and isinstance(node, ast.ClassDef)
                node.body = [self.visit(each) for each in node.body]  # type: ignore[misc]  # a statement stays one
                self.loading = loading
                if not isinstance(node, ast.ClassDef):
                    node.args.defaults = [self.visit(each) for each in node.args.defaults]  # type: ignore[misc]
                self.where.pop()
                return node  # decorators and annotations change nothing that is reckoned
            case ast.AnnAssign(value=ast.expr() as value):
                node.value = self.visit(value)  # type: ignore[assignment]
                return node
            case ast.AnnAssign() | ast.Assert() | ast.Import() | ast.ImportFrom() | ast.JoinedStr():
                return node
            case ast.If(test=ast.Name("TYPE_CHECKING")):
                return node
            case _:
                return self.generic_visit(node)


def _target(node: ast.stmt) -> list[str]:
    """The name that a statement gives a value to, so that constants are known by it."""
    match node:
        case ast.Assign([ast.Name(name)]) | ast.AnnAssign(ast.Name(name)):
            return [name]
        case _:
            return []


def _short(node: ast.AST) -> str:
    """The text of a node in one line; of a block its head alone."""
    return ast.unparse(ast.fix_missing_locations(node)).splitlines()[0][:120]


def mutants(module: str, source: str) -> list[Mutant]:
    """Every change that can be made in a file.

    Examples
    --------
    >>> [each.name for each in mutants("a.py", "def f(x):\\n    return x < 2")]
    ['a.py f: return x < 2 -> return None', 'a.py f: x < 2 -> x <= 2', 'a.py f: x < 2 -> x > 2', 'a.py f: 2 -> 3', 'a.py f: 2 -> 1']
    """
    sites = _Sites(module)
    sites.visit(ast.parse(source))
    return sites.found


def changed(mutant: Mutant, source: str) -> str:
    """The text of the file with one change made.

    Examples
    --------
    >>> source = "def f(x):\\n    return x < 2"
    >>> changed(mutants("a.py", source)[1], source)
    'def f(x):\\n    return x <= 2'
    """
    tree = _Sites(mutant.module, mutant.site).visit(ast.parse(source))
    return ast.unparse(ast.fix_missing_locations(tree))
